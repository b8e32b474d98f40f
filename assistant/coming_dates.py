"""What is still to come for the beers on record, each in the seconds of its own day."""

import json
from collections import Counter
from dataclasses import dataclass, replace
from itertools import chain

from assistant.calendar_file import Awaited
from assistant.cellar.dates import coming
from assistant.cellar.state import DAY_S
from assistant.record.beers import beer_on_record, zero_wall_s
from assistant.record.errors import RecordError
from assistant.record.journal import Day, Journal
from assistant.schedule.model import Schedule

FORGOTTEN_DAYS = 60.0
"""So long after its planned end, and after anything was said of it, no beer is waited for."""


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
    began_wall_s, last_s = zero_wall_s(day, last), last[0]
    now_s = now_wall_s - began_wall_s
    # To go through a day again may take a second or more.
    if _is_forgotten(journal.schedule(day.id), now_s - last_s):
        return None
    state = beer_on_record(journal, day).state
    if state is None:
        return None
    comings = coming(replace(state, now_s=max(state.now_s, now_s)))
    return Awaited(
        beer=day.beer,
        number=day.id,
        identity=_identity(day, nth),
        zero_wall_s=began_wall_s,
        comings=comings,
    )


def _identity(day: Day, nth: int) -> str:
    """What tells a day from every other in any record: the number is another after an import.

    A day that was gone on with in two ways, from copies of it, is there twice: ``nth`` tells which.
    """
    return json.dumps([day.began_wall, day.beer, nth])


def _is_forgotten(schedule: Schedule, idle_s: float) -> bool:
    """Whether nothing has happened to a beer for so long that nobody waits for it any more."""
    days = (addition.day or 0 for addition in schedule.additions)
    return idle_s > DAY_S * (max(chain(days, (schedule.ferment.days,))) + FORGOTTEN_DAYS)
