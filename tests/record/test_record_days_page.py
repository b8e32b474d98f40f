"""The list of days: each with its beer as planned and as it came to."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from reported_days import put_on_record, rehearsed
from test_record_slurry import keep_slurry

from assistant import days_page
from assistant.cli import main
from assistant.record.beers import beer_on_record, is_quick, keep_all
from assistant.record.journal import Journal
from assistant.schedule import Schedule


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("three")
    day = rehearsed()
    for _ in range(3):
        put_on_record(folder, day.schedule, day.events)
    with Journal.open(folder) as journal:
        keep_slurry(journal, 1, 200)
    return folder


def listed(folder: Path) -> tuple[list[str], str]:
    called = CliRunner().invoke(main, ["days", "--data", str(folder)])
    assert called.exit_code == 0
    return called.stdout.splitlines(), called.stderr


def test_each_day_is_listed_with_what_was_planned_and_what_came_of_it(three: Path) -> None:
    lines, told = listed(three)
    assert [line.split()[0] for line in lines] == ["3", "2", "1"]
    assert lines[0].endswith(
        "finished  Breakwater Amber  1.049 of 1.050, 19.9 of 20.0 L, fermenting"
    )
    assert lines[2].endswith("1.049 of 1.050, 19.9 of 20.0 L, in bottles")
    assert told == ""


def test_a_list_does_not_go_through_day_after_day(
    three: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(days_page, "MOST_GONE_THROUGH", 400)
    lines, told = listed(three)
    assert "1.049" in lines[0]
    assert "1.049" not in lines[1] + lines[2]
    assert told == "`kettleside mend` reckons, once, what 2 more came to.\n"


def test_what_is_kept_of_a_day_is_the_same_and_costs_no_going_through(
    three: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Journal.open(three) as journal:
        before = [beer_on_record(journal, day) for day in journal.days()]
        assert not any(is_quick(journal, day) for day in journal.days())
        keep_all(journal)
        assert all(is_quick(journal, day) for day in journal.days())
        assert [beer_on_record(journal, day) for day in journal.days()] == before
    monkeypatch.setattr(days_page, "MOST_GONE_THROUGH", 0)
    assert "1.049" in listed(three)[0][2]


def test_a_day_without_yeast_has_no_beer_yet(tmp_path: Path, amber: Schedule) -> None:
    with Journal.open(tmp_path) as journal:
        day = journal.begin_day(amber, "amber.yaml", 0.0)
        found = journal.day(day)
        assert found is not None
        assert beer_on_record(journal, found).state is None
    assert listed(tmp_path)[0][0].endswith("open      Breakwater Amber")
