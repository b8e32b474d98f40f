"""Salts and acid: into the strike water, and into a mash whose pH was read."""

from assistant.advice import figures
from assistant.advice.actions import Do
from assistant.advice.mash_minerals import (
    LACTIC_ACID,
    MINERALS,
    acid_held_back,
    amount_of,
    strike_minerals,
)
from assistant.advice.mash_water import WAIT_MINUTES
from assistant.advice.timeline import Stage
from assistant.day.cautioning import speak_caution
from assistant.day.cautions import Caution
from assistant.day.effects import Why
from assistant.day.hot_side import ASK_AGAIN_MIN, ask_in
from assistant.day.quantities import Quantity
from assistant.day.state import State, Stirred, Task
from assistant.day.turn import Turn


def minerals_wanted(turn: Turn) -> None:
    """The salts and the acid of the schedule become tasks, told in one breath, but only once."""
    state = turn.state
    settled = {stirred.action.item for stirred in state.stirred if not stirred.left_out}
    strike_l = state.plan.strike_volume_l
    wanted = [
        mineral.action
        for mineral in strike_minerals(state.schedule, strike_l)
        if mineral.item not in settled
    ]
    for action in wanted:
        turn.open_task(action)
        if action.item == LACTIC_ACID:
            speak_caution(turn, Caution.ACID)
    amounts = [amount_of(action) for action in wanted]
    for first in range(0, len(amounts), 2):
        turn.say(f"Stir in {figures.listed(amounts[first : first + 2])}.", Why.PROMPT)
    if acid_held_back(state.schedule, strike_l) and LACTIC_ACID not in settled:
        turn.say("Hold back the lactic acid until the mash is measured.", Why.PROMPT)


def is_mineral(task: Task) -> bool:
    """Whether a task is to stir in a salt or an acid that is no addition of the boil."""
    return task.index is None and task.action.do is Do.ADD and task.action.item in MINERALS


def open_minerals(state: State) -> list[Task]:
    """The salts and acids still to go in."""
    return [task for task in state.tasks if is_mineral(task)]


def minerals_missing(turn: Turn) -> bool:
    """The water is hot: the last moment for what has not gone in; tells whether that is so."""
    missing = open_minerals(turn.state)
    if turn.state.stage is not Stage.STRIKE or not missing:
        return False
    turn.say(f"Hot enough, heat off. Stir in the {_names(missing)}, then say done.", Why.PROMPT)
    ask_in(turn, Quantity.WATER_TEMPERATURE, ASK_AGAIN_MIN)
    return True


def minerals_in(turn: Turn, tasks: list[Task]) -> None:
    """What was to be stirred in is in; a mash is measured again once it has mixed."""
    ids = {task.id for task in tasks}
    turn.close_tasks(lambda task: task.id in ids)
    went_in = tuple(Stirred(at=turn.now_s, action=task.action) for task in tasks)
    turn.change(stirred=(*turn.state.stirred, *went_in))
    turn.say(f"{figures.sentence(_names(tasks))} in.", Why.READBACK)
    if turn.state.stage is Stage.MASH:
        ask_in(turn, Quantity.MASH_PH, WAIT_MINUTES)


def minerals_left_out(turn: Turn) -> None:
    """The day goes on without what was to be stirred in: that is told, and kept."""
    missing = open_minerals(turn.state)
    if not missing:
        return
    left = tuple(Stirred(at=turn.now_s, action=task.action, left_out=True) for task in missing)
    turn.close_tasks(is_mineral)
    turn.change(stirred=(*turn.state.stirred, *left))
    turn.say(f"{figures.sentence(_names(missing))} left out.", Why.ANSWER)


def mixing(state: State) -> bool:
    """Whether something for the pH is on its way in, or too fresh in the mash to be judged."""
    if state.stage is Stage.MASH and open_minerals(state):
        return True
    fresh_s = max(state.now_s - WAIT_MINUTES * 60, _mash_began_s(state))
    return any(stirred.at > fresh_s and not stirred.left_out for stirred in state.stirred)


def acid_in_ml(state: State) -> float:
    """Millilitres of lactic acid that went in so far."""
    return sum(
        stirred.action.millilitres or 0.0 for stirred in state.stirred if not stirred.left_out
    )


def _mash_began_s(state: State) -> float:
    """When the first rest began."""
    began_s = state.now_s
    for reached in reversed(state.reached):
        if reached.stage is Stage.MASH:
            began_s = reached.at
        elif reached.stage is Stage.DOUGH_IN:
            break
    return began_s


def _names(tasks: list[Task]) -> str:
    return figures.listed([task.action.item or "" for task in tasks])
