"""Visits in other units than the brew day's: what was said is the same when it is read again."""

from pathlib import Path

import pytest
from pitched_day import PITCHED_S, on_record

from assistant.cellar.events import Errand, VisitBegan
from assistant.day.events import NumberSaid
from assistant.record.beers import beer_on_record
from assistant.record.journal import Journal
from assistant.schedule import Schedule
from assistant.schedule.model import Units
from assistant.visit import Visit

BEGAN = 1_790_000_000.0
DAY_S = 86400.0


def visited(journal: Journal, at: float, units: Units | None, *numbers: float) -> None:
    day = journal.day(1)
    assert day is not None
    began = VisitBegan(at=at, errand=Errand.TEND, units=units)
    visit, _ = Visit.begin(journal, beer_on_record(journal, day), began, BEGAN + at)
    for value in numbers:
        visit.happen(NumberSaid(at=at + 60, value=value, unit=None), BEGAN + at + 60)


def test_a_bare_number_is_read_again_in_the_units_it_was_said_in(
    tmp_path: Path, amber: Schedule
) -> None:
    on_record(tmp_path, amber, began_wall=BEGAN)
    with Journal.open(tmp_path) as journal:
        visited(journal, PITCHED_S + 3 * DAY_S, Units.US, 66)
        visited(journal, PITCHED_S + 4 * DAY_S, Units.METRIC, 19)
        day = journal.day(1)
        assert day is not None
        state = beer_on_record(journal, day).fermenting
    # 66 °F, by definition of the scale.
    assert [r.value for r in state.readings] == pytest.approx([(66 - 32) / 1.8, 19])


def test_a_beer_is_listed_in_its_brew_days_units_whatever_a_visit_was_held_in(
    tmp_path: Path, amber: Schedule
) -> None:
    on_record(tmp_path, amber, began_wall=BEGAN)
    with Journal.open(tmp_path) as journal:
        visited(journal, PITCHED_S + 3 * DAY_S, Units.US, 66)
        day = journal.day(1)
        assert day is not None
        assert beer_on_record(journal, day).fermenting.schedule.units is Units.METRIC
