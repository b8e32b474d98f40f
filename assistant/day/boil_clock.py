"""The boil by its clock: how long it has gone, how long it is still to go, and when it did."""

from dataclasses import replace

from assistant.advice.batch import boiled_s
from assistant.advice.timeline import ORDER, Stage
from assistant.day.state import BoilClock, State

BOIL_AGAIN_MIN = 5.0
"""A boil taken up again after flameout, to sanitise a chiller, lasts this long at least."""


def boil_left_min(state: State) -> float:
    """Minutes of boil still to come: all of it before the boil, none after."""
    if ORDER.index(state.stage) < ORDER.index(Stage.BOIL):
        if state.boil is not None:
            return again_min(state.boil)
        return state.schedule.boil_minutes + state.boil_change_min
    if state.stage is not Stage.BOIL or state.boil is None:
        return 0.0
    left_s = state.boil.end_s - state.now_s if state.boil.left_s is None else state.boil.left_s
    return max(left_s / 60, 0.0)


def boiled_min(state: State) -> float:
    """Minutes the wort has boiled so far, in all its boils."""
    return boiled_s(state.batch, state.now_s) / 60


def again_min(before: BoilClock) -> float:
    """How long a boil taken up again lasts: what was cut off the one before, or a few minutes."""
    return max(before.cut_s / 60, BOIL_AGAIN_MIN)


def spells(state: State) -> list[tuple[float, float]]:
    """From when to when the wort has boiled, the last as it is planned to end; pauses left out.

    A boil past its end goes on until the heat is off.
    """
    clock = state.boil
    if clock is None or state.stage is not Stage.BOIL:
        return spells_of(clock)
    if clock.left_s is not None:
        clock = replace(clock, start_s=state.now_s, end_s=state.now_s + clock.left_s)
    return spells_of(replace(clock, end_s=max(clock.end_s, state.now_s)))


def spells_of(clock: BoilClock | None) -> list[tuple[float, float]]:
    """From when to when the wort has boiled by a clock, and by those before it."""
    found: list[tuple[float, float]] = []
    while clock is not None:
        found += [(clock.start_s, clock.end_s), *clock.spells]
        clock = clock.before
    return found


def boil_end_s(state: State) -> float | None:
    """When the boil is, or was, to end; None before it has begun."""
    if state.boil is None:
        return None
    if state.boil.left_s is not None:
        return state.now_s + state.boil.left_s
    return state.boil.end_s
