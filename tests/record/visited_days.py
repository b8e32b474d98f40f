"""Beers to report of: a rehearsed day on record, and the visits to its fermenter since."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from reported_days import BEGAN, put_on_record, rehearsed

from assistant.cellar.events import BeerEvent, Errand, VisitBegan
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, NoteTaken, ReadingTaken, Source
from assistant.day.quantities import Quantity
from assistant.record.beers import beer_on_record
from assistant.record.journal import Journal
from assistant.record.reporting.account import Account
from assistant.record.reporting.making import account_on_record
from assistant.schedule.model import Units
from assistant.visit import Visit

DAY_S = 86400.0
ORIGINAL = {"breakwater-amber": 1.049, "saltgrass-pale": 1.060}


def read(
    day: float, quantity: Quantity, value: float, unit: str, source: Source = Source.WORDS
) -> ReadingTaken:
    """A reading on a day of fermentation."""
    return ReadingTaken(at=day * DAY_S, quantity=quantity, value=value, unit=unit, source=source)


def gravity(day: float, value: float) -> ReadingTaken:
    return read(day, Quantity.GRAVITY, value, "SG")


def brix(day: float, value: float) -> ReadingTaken:
    return read(day, Quantity.BRIX, value, "brix")


def warm(day: float, value: float) -> ReadingTaken:
    return read(day, Quantity.FERMENTER_TEMPERATURE, value, "degC")


def said(day: float, command: Command, subject: str | None = None) -> CommandGiven:
    return CommandGiven(at=day * DAY_S, command=command, subject=subject)


def visit(day: float, errand: Errand = Errand.TEND) -> VisitBegan:
    return VisitBegan(at=day * DAY_S, errand=errand)


FERMENTED: tuple[BeerEvent, ...] = (
    visit(3),
    warm(3.001, 19.0),
    gravity(3.002, 1.026),
    visit(6),
    warm(6.001, 22.5),
    brix(6.002, 6.6),
    NoteTaken(at=6.003 * DAY_S, text="smells of apples"),
    visit(9),
    gravity(9.001, 1.012),
    warm(9.002, 19.5),
)
"""A beer read thrice, warm once, near its end on the ninth day."""

PACKAGED: tuple[BeerEvent, ...] = (
    *FERMENTED,
    visit(14, Errand.PACKAGE),
    gravity(14.001, 1.012),
    warm(14.002, 19.0),
    read(14.003, Quantity.FERMENTER_VOLUME, 19.0, "L"),
    said(14.01, Command.PACKAGED),
    read(14.02, Quantity.SLURRY_VOLUME, 250, "mL"),
)
"""The same beer, bottled after a fortnight and some of its yeast kept."""


def put_visits_on_record(folder: Path, day_id: int, events: Iterable[BeerEvent]) -> None:
    """These things happen on visits to the beer of a day, counted from its pitching."""
    with Journal.open(folder) as journal:
        beer = beer_on_record(journal, journal.day(day_id))
        pitched_s = beer.fermenting.beer.pitched_s
        going: Visit | None = None
        for event in events:
            event = replace(event, at=pitched_s + event.at)
            if isinstance(event, VisitBegan):
                if going is not None:
                    going.end()
                    beer = beer_on_record(journal, journal.day(day_id))
                going, _ = Visit.begin(journal, beer, event, BEGAN + event.at)
            else:
                going.happen(event, BEGAN + event.at)
        if going is not None:
            going.end()


def visited(
    folder: Path,
    events: Iterable[BeerEvent] = PACKAGED,
    *,
    sample: str = "breakwater-amber",
    units: Units | None = None,
) -> Account:
    """The account of a sample's day on record with visits to its beer."""
    day = rehearsed(sample)
    day_id = put_on_record(folder, day.schedule, day.events)
    put_visits_on_record(folder, day_id, events)
    with Journal.open(folder, read_only=True) as journal:
        account = account_on_record(journal, day_id, units)
    assert account is not None
    return account
