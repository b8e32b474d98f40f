"""Moments of rehearsed days: what the core truly listens for, and what is likely, in each stage.

The days are rehearsed, so that what is asked, offered and running, and what a reading is likely to
be, is what it would be on the day.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.events import HeardUnsurely, NumberSaid, ReadingTaken, TimerRequested
from assistant.day.listening import Listening, listening
from assistant.day.plausible import likely
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import Ask, State
from assistant.rehearsal.day import rehearse
from assistant.rehearsal.truths import Truths
from assistant.samples import samples_folder
from assistant.schedule import load
from assistant.schedule.model import Units

SCHEDULES = {
    Units.METRIC: ("breakwater-amber.yaml", "harbour-light-stout.yaml"),
    Units.US: ("saltgrass-pale.yaml",),
}
SEED = 5

CONFUSED = ((13, 30), (14, 40), (15, 50), (16, 60), (17, 70), (18, 80), (19, 90))
"""Numbers that are taken for each other."""


@dataclass(frozen=True, kw_only=True)
class Moment:
    """A state of a day, and what it listens for."""

    state: State
    listening: Listening


def moment_of(state: State) -> Moment:
    """The moment a state makes."""
    return Moment(state=state, listening=listening(state))


@cache
def states(units: Units) -> tuple[State, ...]:
    """Every state in which the brewers of the rehearsed days said something, in order."""
    found: list[State] = []
    for name in SCHEDULES[units]:
        schedule = load(samples_folder() / name)
        day = rehearse(schedule, Truths.drawn(SEED), SEED, follow_advice=True)
        found += [past.before for past in day.state.history if past.before.begun]
    return tuple(found)


def context_for(
    stage: Stage,
    asked: tuple[Quantity, ...] = (),
    units: Units = Units.METRIC,
    *,
    timer: str | None = None,
    which: int = 0,
) -> Moment:
    """A moment in a stage with just these readings asked for, and a timer of the brewer's own.

    ``which`` chooses among the moments of the stage, those first in which these were truly asked.
    Raises ValueError where the rehearsed days have no such stage.
    """
    inside = [state for state in states(units) if state.stage is stage and not state.question]
    if not inside:
        raise ValueError(f"no {units.value} day that is rehearsed has a moment in {stage.value}")
    asking = [s for s in inside if tuple(ask.quantity for ask in s.asks) == asked]
    chosen = asking or inside
    state = chosen[which % len(chosen)]
    asks = tuple(
        Ask(id=900 + place, quantity=q, unit=QUANTITIES[q].asked_unit(units), why="to be measured")
        for place, q in enumerate(asked)
    )
    state = replace(state, asks=state.asks if asking else asks)
    if timer is not None:
        state, _ = advance(state, TimerRequested(at=state.now_s, seconds=900.0, name=timer))
    return moment_of(state)


def offered(units: Units) -> tuple[Moment, ...]:
    """The moments of the rehearsed days with advice that waits for a choice."""
    return tuple(moment_of(state) for state in states(units) if state.advice is not None)


@cache
def questioned(units: Units) -> tuple[Moment, ...]:
    """Moments with a question open that yes or no answers: a reading far from the likely."""
    return tuple(_questioned(units))


@dataclass(frozen=True, kw_only=True)
class Doubted:
    """A moment at which two or three numbers are in doubt."""

    moment: Moment
    numbers: tuple[int, ...]


@cache
def doubted(units: Units, count: int) -> tuple[Doubted, ...]:
    """Moments at which ``count`` numbers may have been said, 2 or 3, and were asked about."""
    asking = [state for state in states(units) if state.asks and not state.question]
    found = []
    for place, state in enumerate(asking):
        turned = (*CONFUSED[place % len(CONFUSED) :], *CONFUSED[: place % len(CONFUSED)])
        if units is Units.US:
            # Hot wort is between a hundred and two hundred and twelve degrees Fahrenheit.
            turned = (*((100 + teen, 100 + ty) for teen, ty in turned), *turned)
        for teen, ty in turned:
            numbers = (teen, ty, ty + 5)[:count]
            meanings = tuple(NumberSaid(at=state.now_s, value=float(one)) for one in numbers)
            after, _ = advance(state, HeardUnsurely(at=state.now_s, meanings=meanings))
            moment = moment_of(after)
            # What can't be at all is not asked about, and one meaning leaves nothing to choose.
            if len(moment.listening.doubt) == count:
                found.append(Doubted(moment=moment, numbers=numbers))
                break
    return tuple(found)


def _questioned(units: Units) -> Iterator[Moment]:
    for state in states(units):
        for ask in state.asks:
            around = likely(state, ask.quantity)
            if around is None:
                continue
            spec = QUANTITIES[ask.quantity]
            far = min(around.high + 0.6 * (around.high - around.low), spec.possible[1])
            reading = ReadingTaken(at=state.now_s, quantity=ask.quantity, value=far, unit=spec.unit)
            after, _ = advance(state, reading)
            if after.question is not None:
                yield moment_of(after)
