"""The beer of each day on record: what its brewing handed over, and what became of it since.

Going through a brew day again takes a second or so. What it handed over is therefore kept in a
table of its own, which counts only as long as nothing was brewed after it: it can be lost, and is
reckoned anew.
"""

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace

from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.cellar.advance import advance
from assistant.cellar.beer import beer_of
from assistant.cellar.events import BeerEvent, brewing_of, visits_of
from assistant.cellar.state import CellarState, new_beer
from assistant.record.errors import RecordError
from assistant.record.journal import Day, Journal
from assistant.record.replay import LATEST_S
from assistant.record.replay import replay as brewed_again

CLOCK_SET_S = 60.0
"""Where the wall clock and the day's own differ by more, the wall clock was set on the day."""


@dataclass(frozen=True, kw_only=True)
class BeerOnRecord:
    """A day with its beer as it stands; ``state`` is None where no yeast went in."""

    day: Day
    state: CellarState | None

    @property
    def fermenting(self) -> CellarState:
        """The beer; only of a day whose yeast is in."""
        assert self.state is not None
        return self.state


def beer_on_record(journal: Journal, day: Day) -> BeerOnRecord:
    """A day's beer, with what happened on the visits to it.

    Raises :class:`~assistant.record.errors.RecordError` where the day can't be gone through.
    """
    events = journal.all_events(day.id)
    schedule = journal.schedule(day.id)
    brewed = brewing_of(events)
    beer = journal.beer(day.id, len(brewed))
    if beer is None:
        try:
            beer = beer_of(brewed_again(schedule, brewed))
        except (OutOfRange, NeverReaches) as error:
            raise RecordError(
                f"day {day.id} on record comes to no beer that adds up: {error}"
            ) from error
    if beer is None:
        return BeerOnRecord(day=day, state=None)
    state = tended(new_beer(schedule, beer), visits_of(events))
    # A visit may be held in other units: its brew day's are told again once it is over.
    return BeerOnRecord(day=day, state=replace(state, schedule=schedule))


def tended(beer: CellarState, events: Iterable[BeerEvent]) -> CellarState:
    """The beer after these events, told to nobody.

    Raises :class:`~assistant.record.errors.RecordError` where they lead nowhere.
    """
    for event in events:
        if event.at > LATEST_S:
            raise RecordError(f"a visit at {event.at:g} s lies past the end of any beer")
        try:
            beer, _ = advance(beer, event, quiet=True)
        except Exception as error:
            # Figures that were never read, in a file that something has changed.
            raise RecordError(
                f"the visits on record can't be gone through again: {error}"
            ) from error
    return beer


def fermenting(journal: Journal) -> BeerOnRecord | None:
    """The newest beer on record that is in its fermenter.

    Raises :class:`~assistant.record.errors.RecordError` where a day can't be gone through.
    """
    for day in journal.days():
        try:
            found = beer_on_record(journal, day)
        except RecordError as error:
            # An older beer may not be the one that is meant.
            raise RecordError(
                f"{error}; to go to another beer than day {day.id}'s name its day"
            ) from error
        if found.state is not None and found.state.packaged is None:
            return found
    return None


def keep_newest(journal: Journal) -> None:
    """Keep what the newest day handed over, so that nobody waits for it later.

    The record must be open to write. A day that can't be gone through is let be.
    """
    for day in journal.days()[:1]:
        with suppress(RecordError):
            keep_beer(journal, beer_on_record(journal, day))


def keep_all(journal: Journal) -> None:
    """Keep what each day handed over; a second for each that was not kept yet."""
    for day in journal.days():
        with suppress(RecordError):
            keep_beer(journal, beer_on_record(journal, day))


def is_quick(journal: Journal, day: Day) -> bool:
    """Whether a day's beer is told without going through its brewing again."""
    return journal.beer(day.id, len(journal.events(day.id))) is not None


def keep_beer(journal: Journal, found: BeerOnRecord) -> None:
    """Keep what a day handed over, where it is not kept yet; the record must be open to write."""
    if found.state is None:
        return
    rows = len(journal.events(found.day.id))
    if journal.beer(found.day.id, rows) is None:
        journal.keep_beer(found.day.id, rows, found.state.beer)


def zero_wall_s(day: Day, last: tuple[float, float]) -> float:
    """When the day's second 0 was, in Unix seconds, by the wall clock as it was last.

    ``last`` is the day's own second and the wall clock of its last event. A computer without a
    battery begins its day in the past and has its clock set later. Where it was not set, the
    beginning as it stands on record keeps a date from moving by a second's part.
    """
    by_last_s = last[1] - last[0]
    return by_last_s if abs(by_last_s - day.began_wall) > CLOCK_SET_S else day.began_wall
