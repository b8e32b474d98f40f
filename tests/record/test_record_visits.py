"""Visits on record: told apart from the brewing, kept through everything that befalls a record."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pitched_day import PITCHED_S, on_record, told
from small_day import small_schedule

from assistant.advice.timeline import Stage
from assistant.cellar.assessing import Progress, assess
from assistant.cellar.events import BeerEvent, Errand, VisitBegan, brewing_of, visits_of
from assistant.cellar.state import DAY_S, CellarState
from assistant.cli import main
from assistant.day.commands import Command
from assistant.day.effects import Refused
from assistant.day.events import (
    CommandGiven,
    DayResumed,
    NoteTaken,
    ReadingTaken,
    Source,
    TimePassed,
)
from assistant.day.quantities import Quantity
from assistant.record.beers import beer_on_record, fermenting, keep_beer
from assistant.record.copies import copy_paths
from assistant.record.copy_lines import ReadCopy, read_copy
from assistant.record.journal import FILE_NAME, DayStatus, Journal
from assistant.record.replay import replay
from assistant.visit import Visit

BEGAN = 1718355600.0
PAGE = 4096


def at_day(day: float) -> float:
    return PITCHED_S + day * DAY_S


def gravity(day: float, value: float) -> ReadingTaken:
    return ReadingTaken(
        at=at_day(day), quantity=Quantity.GRAVITY, value=value, unit="SG", source=Source.WORDS
    )


def visit(folder: Path, day: float, *events: BeerEvent, number: int = 1) -> CellarState:
    """A visit on that day, as the commands make one: the beer at its end."""
    with Journal.open(folder) as journal:
        found = journal.day(number)
        assert found is not None
        beer = beer_on_record(journal, found)
        keep_beer(journal, beer)
        began = VisitBegan(at=at_day(day), errand=Errand.TEND)
        there, effects = Visit.begin(journal, beer, began, BEGAN + at_day(day))
        with there.keeper:
            for event in events:
                effects += there.happen(event, BEGAN + event.at)
            there.end()
    assert not [effect for effect in effects if isinstance(effect, Refused)], effects
    return there.state


def state_of(folder: Path, number: int = 1) -> CellarState:
    with Journal.open(folder, read_only=True) as journal:
        day = journal.day(number)
        assert day is not None
        return beer_on_record(journal, day).fermenting


def copy_of(folder: Path) -> ReadCopy:
    (path,) = copy_paths(folder)
    return read_copy(path.read_bytes(), path.name)


def kettleside(folder: Path, *words: object) -> Result:
    return CliRunner().invoke(main, [*map(str, words), "--data", str(folder)])


@pytest.fixture
def tended(tmp_path: Path) -> Path:
    """A finished day with two visits."""
    folder = tmp_path / "record"
    on_record(folder, small_schedule(), began_wall=BEGAN)
    visit(folder, 3.0, gravity(3.0, 1.022), NoteTaken(at=at_day(3.0) + 60, text="smells of pears"))
    visit(folder, 8.0, gravity(8.0, 1.012))
    return folder


def test_what_was_read_on_one_visit_is_known_on_the_next(tended: Path) -> None:
    state = visit(tended, 11.0, gravity(11.0, 1.012))
    assert assess(state).progress is Progress.FINISHED
    assert [note.text for note in state.notes] == ["smells of pears"]
    assert state_of(tended) == state


def test_the_brewing_is_what_it_was_without_the_visits(tended: Path) -> None:
    with Journal.open(tended, read_only=True) as journal:
        assert journal.events(1) == tuple(told())
        assert len(journal.all_events(1)) == len(told()) + 5
        day = journal.day(1)
        assert day is not None
        assert day.status is DayStatus.FINISHED
        assert replay(journal.schedule(1), journal.events(1)).stage is Stage.FINISHED


def test_a_brewing_that_is_gone_on_with_between_two_visits_is_told_apart(tmp_path: Path) -> None:
    # The yeast is in; the cleaning was left for the next day.
    on_record(tmp_path, small_schedule(), began_wall=BEGAN, events=told(until_s=PITCHED_S))
    visit(tmp_path, 0.5, NoteTaken(at=at_day(0.5), text="it foams"))
    brewing = (
        DayResumed(at=at_day(0.6)),
        NoteTaken(at=at_day(0.6), text="the kettle still stands"),
        CommandGiven(at=at_day(0.61), command=Command.CLEANED),
    )
    with Journal.open(tmp_path) as journal:
        for event in brewing:
            journal.append(1, event, BEGAN + event.at)
    state = visit(tmp_path, 4.0, gravity(4.0, 1.020))
    assert [note.text for note in state.notes] == ["it foams"]
    assert assess(state).gravity == pytest.approx(1.020)
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.events(1) == (*told(until_s=PITCHED_S), *brewing)
        assert replay(journal.schedule(1), journal.events(1)).stage is Stage.FINISHED
        events = journal.all_events(1)
    assert len(brewing_of(events)) + len(visits_of(events)) == len(events)
    # An open day is not closed by a visit to its beer.
    assert not copy_of(tmp_path).complete


def test_a_finished_days_copy_is_closed_again_after_a_visit(tended: Path) -> None:
    copy = copy_of(tended)
    assert copy.complete
    assert copy.day.head.status is DayStatus.FINISHED
    with Journal.open(tended, read_only=True) as journal:
        assert copy.day == journal.kept(1)
        assert visits_of(journal.all_events(1))[0] == VisitBegan(at=at_day(3), errand=Errand.TEND)


def test_what_the_day_taught_of_its_kettle_stays_through_a_visit(tmp_path: Path) -> None:
    from test_record_learned import taught

    on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    with Journal.open(tmp_path) as journal:
        journal.keep_learned(1, taught(2.8))
        before = journal.kept(1).learned
    visit(tmp_path, 3.0, gravity(3.0, 1.022))
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.kept(1).learned == before
    assert copy_of(tmp_path).day.learned == before


def test_the_report_of_the_brewing_is_what_it_was_before_a_visit(tmp_path: Path) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    before = kettleside(tmp_path, "report", 1)
    visit(tmp_path, 3.0, gravity(3.0, 1.022))
    after = kettleside(tmp_path, "report", 1)
    assert (before.exit_code, after.exit_code) == (0, 0)
    assert "Slipway Bitter" in before.output
    lines = after.output.splitlines()
    assert [line for line in before.output.splitlines() if line not in lines] == []


def test_a_day_with_visits_goes_out_and_in_as_it_was(tended: Path, tmp_path: Path) -> None:
    there, file = tmp_path / "there", tmp_path / "day.jsonl"
    assert kettleside(tended, "export", 1, file).exit_code == 0
    assert kettleside(there, "import", file).exit_code == 0
    assert state_of(there) == state_of(tended)


def test_a_visit_made_elsewhere_comes_in_with_the_copy(tended: Path, tmp_path: Path) -> None:
    there, file = tmp_path / "there", tmp_path / "day.jsonl"
    kettleside(tended, "export", 1, file)
    kettleside(there, "import", file)
    visit(there, 11.0, gravity(11.0, 1.012))
    kettleside(there, "export", 1, tmp_path / "later.jsonl")
    assert kettleside(tended, "import", tmp_path / "later.jsonl").exit_code == 0
    assert state_of(tended) == state_of(there)


def test_a_record_that_is_gone_comes_back_from_the_copy_with_its_visits(tended: Path) -> None:
    before = state_of(tended)
    for path in tended.glob("kettleside.db*"):
        path.unlink()
    Journal.open(tended).close()
    assert state_of(tended) == before


def pages(folder: Path) -> Iterator[int]:
    return iter(range(0, (folder / FILE_NAME).stat().st_size, PAGE))


def test_whichever_page_is_damaged_the_visits_are_mended_from_the_copy(
    tended: Path, tmp_path: Path
) -> None:
    before = state_of(tended)
    sound = {
        path.relative_to(tended): path.read_bytes() for path in tended.rglob("*") if path.is_file()
    }
    for start in pages(tended):
        folder = tmp_path / f"from {start}"
        for name, data in sound.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(data)
        file = folder / FILE_NAME
        data = file.read_bytes()
        file.write_bytes(data[:start] + b"\xff" * PAGE + data[start + PAGE :])
        with Journal.open(folder, thorough=True) as journal:
            day = journal.day(1)
            assert day is not None
            assert beer_on_record(journal, day).state == before, start


def test_a_record_of_an_earlier_version_is_brought_up_to_date_by_a_visit(tmp_path: Path) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        connection.execute("DROP TABLE beers")
        connection.execute("PRAGMA user_version = 3")
        connection.commit()
    # Who only looks on sees it brought up to date in memory.
    assert state_of(tmp_path).readings == ()
    visit(tmp_path, 3.0, gravity(3.0, 1.022))
    assert assess(state_of(tmp_path)).gravity == pytest.approx(1.022)


# What a brew day handed over is kept, so that it is not gone through again each time.


def spoilt(folder: Path, change: str, *values: object) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.execute(f"UPDATE beers SET {change}", values)
        assert connection.total_changes == 1
        connection.commit()


def kept_body(folder: Path) -> str:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        return str(connection.execute("SELECT body FROM beers").fetchone()[0])


@pytest.fixture
def lying(tended: Path) -> Path:
    """A record that keeps another volume of the beer than its day comes to."""
    litres = state_of(tended).beer.volume_l
    body = kept_body(tended)
    assert f'"volume_l":{litres!r}' in body
    spoilt(tended, "body = ?", body.replace(f'"volume_l":{litres!r}', '"volume_l":7.0', 1))
    return tended


def test_what_is_kept_is_taken_as_long_as_nothing_was_brewed_since(lying: Path) -> None:
    assert state_of(lying).beer.volume_l == 7.0


def test_what_is_kept_of_a_day_that_went_on_is_reckoned_anew(lying: Path) -> None:
    with Journal.open(lying) as journal:
        journal.append(1, DayResumed(at=at_day(9)), BEGAN + at_day(9))
        journal.append(1, TimePassed(at=at_day(9) + 60), BEGAN + at_day(9) + 60)
    assert state_of(lying).beer.volume_l > 15
    # And kept anew by the next visit.
    visit(lying, 9.5)
    assert '"volume_l":7.0' not in kept_body(lying)


def test_what_another_version_reckoned_is_reckoned_anew(lying: Path) -> None:
    spoilt(lying, "reckoned = reckoned + 1")
    assert state_of(lying).beer.volume_l > 15


@pytest.mark.parametrize("body", ["", "{}", "[1]", '{"pitched_s": "soon"}', b"\xff\x00"])
def test_what_is_kept_and_can_not_be_read_is_reckoned_anew(tended: Path, body: object) -> None:
    before = state_of(tended)
    spoilt(tended, "body = ?", body)
    assert state_of(tended) == before


def test_after_a_mending_nothing_is_taken_from_before_it(lying: Path) -> None:
    file = lying / FILE_NAME
    data = file.read_bytes()
    file.write_bytes(b"\xff" * PAGE + data[PAGE:])
    with Journal.open(lying) as journal:
        assert journal.mended is not None
    assert state_of(lying).beer.volume_l > 15


def test_the_newest_beer_that_is_not_packaged_is_the_one_that_ferments(tended: Path) -> None:
    on_record(tended, small_schedule(), began_wall=BEGAN + DAY_S)
    with Journal.open(tended, read_only=True) as journal:
        found = fermenting(journal)
        assert found is not None
        assert found.day.id == 2
    packing = (
        CommandGiven(at=at_day(9), command=Command.PACKAGED),
        CommandGiven(at=at_day(9) + 5, command=Command.YES),
    )
    visit(tended, 9.0, *packing, number=2)
    with Journal.open(tended, read_only=True) as journal:
        found = fermenting(journal)
        assert found is not None
        assert found.day.id == 1


def test_a_day_without_yeast_has_no_beer(tmp_path: Path) -> None:
    on_record(tmp_path, small_schedule(), began_wall=BEGAN, events=told(until_s=PITCHED_S - 1))
    with Journal.open(tmp_path, read_only=True) as journal:
        (day,) = journal.days()
        assert beer_on_record(journal, day).state is None
        assert fermenting(journal) is None


def test_a_visit_goes_on_where_a_cut_copy_left_off(tended: Path) -> None:
    (path,) = copy_paths(tended)
    path.write_bytes(path.read_bytes()[:-40])
    visit(tended, 11.0, gravity(11.0, 1.012))
    assert copy_of(tended).complete


def test_refused_words_are_no_row(tended: Path) -> None:
    rows = count_rows(tended)
    with Journal.open(tended) as journal:
        day = journal.day(1)
        assert day is not None
        beer = beer_on_record(journal, day)
        seconds = count(int(at_day(10)))
        began = VisitBegan(at=next(seconds), errand=Errand.TEND)
        there, _ = Visit.begin(journal, beer, began, BEGAN)
        for command in (Command.PITCHED, Command.YES, Command.HOPS_IN, Command.WATER_READY):
            there.happen(CommandGiven(at=next(seconds), command=command), BEGAN)
    # The beginning, and the moment at which hops had fallen due.
    assert count_rows(tended) - rows <= 2


def count_rows(folder: Path) -> int:
    with Journal.open(folder, read_only=True) as journal:
        return journal.rows(1)
