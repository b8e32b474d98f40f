"""What goes into the kettle, as marks beside its temperature: when it went in, or should."""

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.batch import Place
from assistant.advice.timeline import Stage
from assistant.advice.worts import boil_minutes_planned
from assistant.day.ahead import Ahead, ahead
from assistant.day.boil_clock import boil_left_min
from assistant.day.state import Fate, State, TimerKind
from assistant.schedule.model import Addition, Moment


@dataclass(frozen=True, kw_only=True)
class Mark:
    """One addition, in seconds of the day; ``done`` once it is in, else it is to come."""

    at_s: float
    name: str
    done: bool


def marks(state: State) -> tuple[Mark, ...]:
    """The additions to the kettle in the order of their times; what was left out is not there.

    One that is due is expected now.
    """
    found = [*_in(state)]
    if state.begun and state.batch.place is not Place.FERMENTER:
        found += _to_come(state)
    return tuple(sorted(found, key=lambda mark: mark.at_s))


def _in(state: State) -> Iterator[Mark]:
    for addition, entry in zip(state.schedule.additions, state.additions, strict=True):
        if entry.fate is not Fate.IN or entry.in_at_s is None:
            continue
        name = _name(state, addition, entry.weight_g)
        yield Mark(at_s=entry.in_at_s, name=name, done=True)
        for extra in entry.extra:
            yield Mark(at_s=extra.at_s, name=_name(state, addition, extra.grams), done=True)


def _to_come(state: State) -> Iterator[Mark]:
    to_come = ahead(state)
    for index, addition in enumerate(state.schedule.additions):
        entry = state.additions[index]
        if entry.fate not in (Fate.PENDING, Fate.DUE) or addition.moment is Moment.DAY:
            continue
        at_s = max(_due_s(state, to_come, index, addition), state.now_s)
        yield Mark(at_s=at_s, name=_name(state, addition, entry.weight_g), done=False)


def _due_s(state: State, to_come: Ahead, index: int, addition: Addition) -> float:
    """When an addition is due by its timer; before it has one, when its moment should be."""
    for timer in state.timers:
        if timer.kind is TimerKind.ADDITION and timer.index == index:
            return timer.due_s if timer.left_s is None else state.now_s + timer.left_s
    match addition.moment:
        case Moment.FIRST_WORT:
            return to_come.begins(Stage.BOIL_UP, state.now_s).at_s
        case Moment.FLAMEOUT:
            return to_come.begins(Stage.WHIRLPOOL, state.now_s).at_s
        case Moment.WHIRLPOOL:
            return to_come.whirlpool_s
    boils_s = to_come.begins(Stage.BOIL, state.now_s).at_s
    planned_min = boil_minutes_planned(addition, state.schedule.boil_minutes) or 0.0
    return boils_s + 60 * max(boil_left_min(state) - planned_min, 0.0)


def _name(state: State, addition: Addition, weight_g: float) -> str:
    return f"{addition.name}, {figures.weight(weight_g, state.schedule.units)}"
