"""Taking an option of the open advice: most become a task, some move the boil or the hops."""

from collections.abc import Callable, Mapping

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.mash_minerals import LACTIC_ACID
from assistant.advice.timeline import Stage
from assistant.day import additions, boil_side
from assistant.day.cautioning import speak_caution
from assistant.day.cautions import Caution
from assistant.day.effects import Why
from assistant.day.mash import rest_longer
from assistant.day.state import Taken, Timer, TimerKind
from assistant.day.turn import Turn
from assistant.day.wording import task_words
from assistant.schedule.model import AdditionKind


def choose(turn: Turn, say: str) -> None:
    """Take an option of the open advice."""
    advice = turn.state.advice
    option = next((o for o in advice.finding.options if o.say == say), None) if advice else None
    if advice is None or option is None:
        turn.refuse(f'"{say}" is not on offer now.')
        return
    taken = Taken(
        at=turn.now_s,
        about=advice.finding.about,
        finding=advice.finding.finding,
        say=option.say,
        effect=option.effect,
    )
    turn.change(advice=None, taken=(*turn.state.taken, taken))
    if option.action.do is Do.LEAVE_IT:
        turn.change(waived=(*turn.state.waived, advice.finding.about))
        turn.say("Leaving it.", Why.READBACK)
        return
    for action in (option.action, *option.then):
        CHOICES.get(action.do, _as_task)(turn, action)


def let_be(turn: Turn) -> None:
    """Go on without taking any option, even where leaving it was not among them."""
    advice = turn.state.advice
    if advice is not None:
        turn.change(advice=None, waived=(*turn.state.waived, advice.finding.about))
        turn.say("Leaving it.", Why.READBACK)


def _as_task(turn: Turn, action: Action) -> None:
    if action.item == LACTIC_ACID:
        speak_caution(turn, Caution.ACID)
    turn.open_task(action)
    turn.say(f"{figures.sentence(task_words(action, turn.units))}. Say done.", Why.PROMPT)


def _heat_for(turn: Turn, action: Action) -> None:
    turn.open_task(action)
    seconds = action.seconds or 0.0
    turn.set_timer(Timer(name="heat off", kind=TimerKind.BURST, due_s=turn.now_s + seconds))
    turn.say(f"Full power now, {figures.duration(seconds)}. Keep stirring.", Why.PROMPT)


def _move_boil(turn: Turn, action: Action) -> None:
    minutes = action.minutes or 0.0
    change_min = minutes if action.do is Do.BOIL_LONGER else -minutes
    state = turn.state
    if state.stage is Stage.BOIL:
        additions.move_boil_end(turn, change_min * 60)
    turn.change(boil_change_min=state.boil_change_min + change_min)
    total_min = round(state.schedule.boil_minutes + turn.state.boil_change_min)
    turn.say(
        f"Boil {total_min} minutes in all, additions moved with it.{boil_side.next_addition(turn)}",
        Why.READBACK,
    )


def _add(turn: Turn, action: Action) -> None:
    hops = [
        addition.name
        for addition in turn.state.schedule.additions
        if addition.kind is AdditionKind.HOPS
    ]
    if action.item not in hops:
        _as_task(turn, action)
        return
    additions.more_hops(turn, action)
    turn.say(f"{figures.sentence(task_words(action, turn.units))}. Say done.", Why.PROMPT)


CHOICES: Mapping[Do, Callable[[Turn, Action], None]] = {
    Do.HEAT_FOR: _heat_for,
    Do.BOIL_LONGER: _move_boil,
    Do.BOIL_SHORTER: _move_boil,
    Do.ADD: _add,
    Do.HOLD: rest_longer,
}
"""Options that need more than to become a task."""
