"""How a beer is to be packaged: as the schedule has it, unless this very visit says otherwise."""

from dataclasses import replace

import pytest
from pitched_day import PITCHED_S, told

from assistant.advice.plan import Plan
from assistant.cellar.advance import advance
from assistant.cellar.beer import beer_of
from assistant.cellar.events import BeerEvent, Errand, VisitBegan
from assistant.cellar.state import CellarState, new_beer
from assistant.cellar.words import THICK_ONLY
from assistant.day.advance import advance as brew_on
from assistant.day.commands import Command
from assistant.day.effects import Say
from assistant.day.events import CommandGiven, ReadingTaken
from assistant.day.quantities import Quantity
from assistant.day.state import new_day
from assistant.schedule import Schedule
from assistant.schedule.model import Glass, Package

DAY_S = 86400.0
READ = (
    (Quantity.GRAVITY, 1.012, "SG"),
    (Quantity.FERMENTER_TEMPERATURE, 19.0, "degC"),
    (Quantity.FERMENTER_VOLUME, 20.0, "L"),
)


@pytest.fixture(scope="module")
def steady(amber: Schedule, amber_plan: Plan) -> CellarState:
    """A beer that has stood at one gravity for four days, to be bottled in ordinary glass."""
    brewed = new_day(amber, amber_plan)
    for event in told():
        brewed, _ = brew_on(brewed, event)
    beer = beer_of(brewed)
    assert beer is not None
    found, _ = readings(visited(new_beer(amber, beer), 10, Errand.TEND), 10)
    return found


def visited(
    beer: CellarState, day: float, errand: Errand, package: Package | None = None, **wanted: float
) -> CellarState:
    at = PITCHED_S + day * DAY_S
    beer, _ = advance(beer, VisitBegan(at=at, errand=errand, package=package, **wanted))
    return beer


def readings(beer: CellarState, day: float) -> tuple[CellarState, str]:
    """The beer with all read that is read before packaging, and what was said to it."""
    said: list[str] = []
    for minute, (quantity, value, unit) in enumerate(READ, start=1):
        at = PITCHED_S + day * DAY_S + 60 * minute
        event: BeerEvent = ReadingTaken(at=at, quantity=quantity, value=value, unit=unit)
        beer, effects = advance(beer, event)
        said += [effect.text for effect in effects if isinstance(effect, Say)]
    return beer, " ".join(said)


def test_more_gas_in_thick_glass_is_wanted_on_one_visit_only(steady: CellarState) -> None:
    thick = replace(steady.wanted, glass=Glass.THICK, carbonation_vol=4.2)
    beer, said = readings(visited(steady, 14, Errand.PACKAGE, thick), 14)
    assert THICK_ONLY in said
    assert beer.advised is not None
    assert beer.advised.carbonation_vol == 4.2
    again = visited(beer, 14.5, Errand.PACKAGE)
    assert again.wanted == steady.wanted
    assert again.advised is not None
    assert again.advised.carbonation_vol == 2.3


def test_bottle_and_serving_temperature_are_those_of_the_visit(steady: CellarState) -> None:
    first = visited(steady, 14, Errand.PACKAGE, bottle_ml=750.0, serving_c=12.0)
    assert (first.bottle_ml, first.serving_c) == (750.0, 12.0)
    again = visited(first, 14.5, Errand.PACKAGE)
    assert (again.bottle_ml, again.serving_c) == (None, None)


def test_ordinary_glass_is_said_nothing_of_thick_glass(steady: CellarState) -> None:
    _, said = readings(visited(steady, 14, Errand.PACKAGE), 14)
    assert "grams of sucrose" in said
    assert THICK_ONLY not in said


def test_nothing_is_foretold_by_a_reading_of_a_beer_that_is_packaged(steady: CellarState) -> None:
    beer, _ = readings(visited(steady, 14, Errand.PACKAGE), 14)
    at = beer.now_s + 60
    beer, _ = advance(beer, CommandGiven(at=at, command=Command.PACKAGED))
    opened = ReadingTaken(at=at + 9, quantity=Quantity.GRAVITY, value=1.011, unit="SG")
    _, effects = advance(beer, opened)
    assert [effect.text for effect in effects if isinstance(effect, Say)] == ["1.011, noted."]
