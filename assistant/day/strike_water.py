"""What is stirred into the strike water, and what comes of a mash pH that was read."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.mash_minerals import MINERALS, strike_minerals
from assistant.advice.mash_water import WAIT_MINUTES
from assistant.advice.timeline import Stage
from assistant.day.effects import Why
from assistant.day.hot_side import ask_in
from assistant.day.quantities import Quantity
from assistant.day.state import State, Task
from assistant.day.turn import Turn


def minerals_wanted(turn: Turn) -> None:
    """The salts and the acid of the schedule become tasks, told in one breath."""
    minerals = strike_minerals(turn.state.schedule)
    for mineral in minerals:
        turn.open_task(Action(do=Do.ADD, item=mineral.item, grams=round(mineral.grams, 1)))
    if minerals:
        turn.say(f"Stir in {figures.listed([m.words for m in minerals])}.", Why.PROMPT)


def is_mineral(task: Task) -> bool:
    """Whether a task is to stir in a salt or an acid that is no addition of the boil."""
    return task.index is None and task.action.do is Do.ADD and task.action.item in MINERALS


def open_minerals(state: State) -> list[Task]:
    """The salts and acids still to go in."""
    return [task for task in state.tasks if is_mineral(task)]


def minerals_missing(turn: Turn) -> None:
    """The water is hot enough: the last moment for what has not gone in."""
    missing = open_minerals(turn.state)
    if turn.state.stage is Stage.STRIKE and missing:
        names = figures.listed([task.action.item or "" for task in missing])
        turn.say(f"Hot enough. Stir in the {names} first, then say done.", Why.PROMPT)


def mineral_in(turn: Turn, task: Task) -> None:
    """A salt or an acid is in; a mash is measured again once it has mixed."""
    turn.say(f"{figures.sentence(task.action.item or '')} in.", Why.READBACK)
    if turn.state.stage is Stage.MASH:
        ask_in(turn, Quantity.MASH_PH, WAIT_MINUTES)


def minerals_in(turn: Turn) -> None:
    """Everything that was to be stirred in is in."""
    names = [task.action.item or "" for task in open_minerals(turn.state)]
    turn.close_tasks(is_mineral)
    turn.say(f"{figures.sentence(figures.listed(names))} in.", Why.READBACK)
