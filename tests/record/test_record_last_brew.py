"""What a beer came to when it was brewed last, from the record."""

from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from reported_days import BEGAN, put_on_record, rehearsed
from sample_files import SAMPLES

from assistant.cli import main
from assistant.last_brew import last_brew_of
from assistant.plan_page import last_brew_line
from assistant.record.journal import DayStatus, Journal
from assistant.schedule import Schedule
from assistant.schedule.model import Units


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("brewed")
    day = rehearsed()
    put_on_record(folder, day.schedule, day.events)
    return folder


def test_the_last_brew_of_a_beer_is_told_beside_its_plan(record: Path, amber: Schedule) -> None:
    with Journal.open(record, read_only=True) as journal:
        last = last_brew_of(journal, amber.beer)
    assert last is not None
    state = rehearsed().state
    assert (last.day, last.began_wall) == (1, BEGAN)
    assert last.beer.planned_original_gravity == state.plan.original_gravity
    assert state.forecast is not None
    assert last.beer.original_gravity == pytest.approx(state.forecast.original_gravity, abs=0.0005)
    line = last_brew_line(last, Units.METRIC)
    assert line.startswith("Brewed last on 2024-06-14, day 1: 1.0")
    assert line.endswith("of 1.050 and 20 litres planned.")


def test_the_plan_of_a_beer_tells_of_its_last_brew(record: Path) -> None:
    called = CliRunner().invoke(
        main,
        ["plan", str(SAMPLES / "breakwater-amber.yaml"), "--data", str(record)],
        env={"COLUMNS": "120"},
    )
    assert called.exit_code == 0
    assert "Brewed last on 2024-06-14, day 1: " in called.output


def test_a_beer_that_was_never_brewed_to_its_end_has_no_last_brew(
    tmp_path: Path, amber: Schedule
) -> None:
    with Journal.open(tmp_path) as journal:
        assert last_brew_of(journal, amber.beer) is None
        day_id = journal.begin_day(amber, "amber.yaml", BEGAN)
        assert last_brew_of(journal, amber.beer) is None
        journal.close_day(day_id, DayStatus.LEFT)
        assert last_brew_of(journal, amber.beer) is None


def test_another_beer_is_not_this_one(record: Path) -> None:
    with Journal.open(record, read_only=True) as journal:
        assert last_brew_of(journal, "Jetty Mild") is None


def test_a_day_of_which_no_wort_was_read_tells_nothing(tmp_path: Path, amber: Schedule) -> None:
    with Journal.open(tmp_path) as journal:
        journal.close_day(journal.begin_day(amber, "amber.yaml", BEGAN), DayStatus.FINISHED)
        assert last_brew_of(journal, amber.beer) is None


def test_a_day_that_cannot_be_gone_through_keeps_nobody_from_a_plan(
    tmp_path: Path, amber: Schedule
) -> None:
    never = replace(amber, kettle=replace(amber.kettle, heat_loss_w_k=99.0, holds_l=300.0))
    with Journal.open(tmp_path) as journal:
        journal.close_day(journal.begin_day(never, "amber.yaml", BEGAN), DayStatus.FINISHED)
        assert last_brew_of(journal, amber.beer) is None
