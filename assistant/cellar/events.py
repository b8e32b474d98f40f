"""What happens to a beer after its brew day: what the brewer says and reads on visits to it.

On a visit the same things happen as on a brew day: readings, numbers, words, notes, time passing.
Only the visit itself is new; every row of a day's record after one, up to the next start of the
brew day, is the beer's and not the brew day's.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum

from assistant.day.events import DayBegan, DayResumed, Event
from assistant.schedule.model import Package, Units


class Errand(Enum):
    """What the brewer came for."""

    TEND = "tend"
    PACKAGE = "package"


@dataclass(frozen=True, kw_only=True)
class VisitBegan:
    """The brewer came to the beer; ``at`` goes on in the seconds of its brew day.

    ``package`` is how the beer is to be packaged, where it differs from the schedule, with
    ``bottle_ml`` for the bottles and ``serving_c`` for the keg. ``final_gravity`` is where the
    brewer has found by a trial that it ends. ``units`` are those it is told in and a bare number
    is taken in. None for what was not said. ``unsure`` says that ``at`` is a guess: the clock had
    been set back since the last row.
    """

    at: float
    errand: Errand
    package: Package | None = None
    bottle_ml: float | None = None
    serving_c: float | None = None
    final_gravity: float | None = None
    units: Units | None = None
    unsure: bool = False


BeerEvent = Event | VisitBegan
"""Everything that a day's record can hold."""

BREWING_AGAIN = (DayBegan, DayResumed)
"""What tells that the rows after it are the brew day's once more."""


def brewing_of(events: Iterable[BeerEvent]) -> tuple[Event, ...]:
    """Of all that a day's record holds what happened on the brew day itself."""
    return tuple(
        event
        for event, visiting in _told_apart(events)
        if not visiting and not isinstance(event, VisitBegan)
    )


def visits_of(events: Iterable[BeerEvent]) -> tuple[BeerEvent, ...]:
    """Of all that a day's record holds what happened on the visits to its beer."""
    return tuple(event for event, visiting in _told_apart(events) if visiting)


def _told_apart(events: Iterable[BeerEvent]) -> Iterator[tuple[BeerEvent, bool]]:
    visiting = False
    for event in events:
        visiting = isinstance(event, VisitBegan) or (
            visiting and not isinstance(event, BREWING_AGAIN)
        )
        yield event, visiting
