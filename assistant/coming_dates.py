"""What is still to come for the beers on record, each in the seconds of its own day."""

import json
from collections import Counter
from dataclasses import dataclass
from itertools import chain

from assistant.advice.timeline import Stage
from assistant.calendar_file import Awaited
from assistant.cellar.coming import Coming, Kind
from assistant.day.state import State
from assistant.day.wording import addition_words
from assistant.record.errors import RecordError
from assistant.record.journal import Day, Journal
from assistant.record.replay import replay
from assistant.schedule.model import Moment, Schedule, Vessel

DAY_S = 86400.0

CLOCK_SET_S = 60.0
"""Where the wall clock and the day's own differ by more, the wall clock was set on the day."""

PACKAGING = {
    Vessel.BOTTLES: "Bottle the beer, if it has finished",
    Vessel.KEG: "Fill the keg, if the beer has finished",
}


@dataclass(frozen=True, kw_only=True)
class ComingDates:
    """The beers with what comes for each, oldest first, and why others could not be looked at."""

    beers: tuple[Awaited, ...]
    faults: tuple[RecordError, ...]


def coming_dates(journal: Journal, now_wall_s: float) -> ComingDates:
    """What comes for the beers on record; of a beer that is long done at ``now_wall_s``, nothing.

    Some of what is given may be past by then. Raises
    :class:`~assistant.record.errors.RecordError` where the record as a whole can't be read.
    """
    beers, faults = [], []
    alike: Counter[tuple[float, str]] = Counter()
    for day in reversed(journal.days()):
        alike[day.began_wall, day.beer] += 1
        try:
            beer = _awaited(journal, day, alike[day.began_wall, day.beer], now_wall_s)
        except RecordError as error:
            faults.append(RecordError(f"day {day.id}: {error}"))
        else:
            beers += [] if beer is None else [beer]
    return ComingDates(beers=tuple(beers), faults=tuple(faults))


def _awaited(journal: Journal, day: Day, nth: int, now_wall_s: float) -> Awaited | None:
    last = journal.last(day.id)
    if last is None:
        return None
    zero_wall_s, last_s = _zero_wall_s(day, last), last[0]
    schedule = journal.schedule(day.id)
    # To go through a day again takes a second or more, and the yeast went in before its last row.
    if zero_wall_s + last_s + _longest_s(schedule) <= now_wall_s:
        return None
    comings = _comings(replay(schedule, journal.events(day.id)))
    if not comings:
        return None
    return Awaited(
        beer=day.beer,
        number=day.id,
        identity=_identity(day, nth),
        zero_wall_s=zero_wall_s,
        comings=comings,
    )


def _identity(day: Day, nth: int) -> str:
    """What tells a day from every other in any record: the number is another after an import.

    A day that was gone on with in two ways, from copies of it, is there twice: ``nth`` tells which.
    """
    return json.dumps([day.began_wall, day.beer, nth])


def _zero_wall_s(day: Day, last: tuple[float, float]) -> float:
    """When the day's second 0 was, in Unix seconds, by the wall clock as it was last.

    A computer without a battery begins its day in the past and has its clock set later. Where it
    was not set, the beginning as it stands on record keeps a date from moving by a second's part.
    """
    by_last_s = last[1] - last[0]
    return by_last_s if abs(by_last_s - day.began_wall) > CLOCK_SET_S else day.began_wall


def _longest_s(schedule: Schedule) -> float:
    """How long after pitching the last of it comes."""
    days = (addition.day or 0 for addition in schedule.additions)
    return DAY_S * max(chain(days, (schedule.ferment.days,)))


def _comings(state: State) -> tuple[Coming, ...]:
    pitched = [entry.at for entry in state.reached if entry.stage is Stage.CLEAN]
    if not pitched:
        return ()
    return (*_additions(state, pitched[-1]), *_ends(state.schedule, pitched[-1]))


def _additions(state: State, pitched_s: float) -> list[Coming]:
    """What goes into the fermenter; on the day itself nobody says of it that it is in."""
    schedule = state.schedule
    pairs = zip(schedule.additions, state.additions, strict=True)
    return [
        Coming(
            key=f"addition {number}",
            kind=Kind.ADDITION,
            what=f"Add {addition_words(addition, entry.weight_g, schedule.units)}",
            note=f"Day {addition.day}, at 24 hours a day from when the yeast went in.",
            at_s=pitched_s + DAY_S * (addition.day or 0),
        )
        for number, (addition, entry) in enumerate(pairs, start=1)
        if addition.moment is Moment.DAY
    ]


def _ends(schedule: Schedule, pitched_s: float) -> list[Coming]:
    """The end of the fermentation as it was planned."""
    at_s = pitched_s + DAY_S * schedule.ferment.days
    gravity = Coming(
        key="gravity",
        kind=Kind.STEADY,
        what="Measure the gravity",
        note="By plan the fermentation is over. Measure again 2 days later: it has to be steady.",
        at_s=at_s,
    )
    if schedule.package is None:
        return [gravity]
    package = Coming(
        key="package",
        kind=Kind.PACKAGE,
        what=PACKAGING[schedule.package.into],
        note="By plan, and only once two gravities on different days were the same: in what is"
        " closed, a beer that ferments on makes gas, and bottles burst.",
        at_s=at_s,
    )
    return [gravity, package]
