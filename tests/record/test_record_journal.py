"""Days on record: begun, written to, looked up, closed."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from small_day import small_schedule

from assistant.day.commands import Command
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    DayBegan,
    DayResumed,
    EarTroubled,
    Event,
    HeardUnsurely,
    Jump,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    RecordMended,
    RecordTrouble,
    RecordTroubled,
    SensorsTroubled,
    SensorTrouble,
    TaskDone,
    TimePassed,
    TimerRequested,
    Trouble,
)
from assistant.day.quantities import Quantity
from assistant.record import opening
from assistant.record.journal import FILE_NAME, Day, DayStatus, Journal, RecordError

WALL_S = 1718355720.0
PATH = "/beers/slipway.yaml"

ONE_OF_EACH: tuple[Event, ...] = (
    DayBegan(at=0.0),
    NoteTaken(at=0.1, text="fan on\nthe left \x00 \ud800 ünder the stairs"),
    TimePassed(at=0.1 + 0.2),
    SensorsTroubled(at=0.4, trouble=SensorTrouble.GONE),
    ReadingTaken(at=61.0, quantity=Quantity.MASH_TEMPERATURE, value=150.8, unit="degF"),
    NumberSaid(at=62.0, value=1.048),
    CommandGiven(at=63.0, command=Command.ADDED, subject="Target"),
    OptionChosen(at=64.0, say="leave it"),
    TaskDone(at=65.0, task_id=12),
    TimerRequested(at=66.0, seconds=600.0, name="yeast"),
    HeardUnsurely(
        at=66.5,
        meanings=(
            NumberSaid(at=66.5, value=15.0),
            CommandGiven(at=66.5, command=Command.ADDED, subject="Target"),
        ),
    ),
    EarTroubled(at=66.6, trouble=Trouble.NOT_CAUGHT),
    RecordTroubled(at=66.7, trouble=RecordTrouble.FULL),
    RecordMended(at=66.8, missing=3),
    ClockJumped(at=66.9, jump=Jump.SLEPT, seconds=720.0),
    DayResumed(at=67.0, unsure=True),
)


def test_the_folder_is_made_where_it_is_missing(tmp_path: Path) -> None:
    folder = tmp_path / "beer" / "record"
    with Journal.open(folder) as journal:
        assert journal.days() == ()
    assert (folder / FILE_NAME).is_file()


def test_a_day_is_on_record_from_its_beginning(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), PATH, WALL_S)
        assert journal.day(day_id) == Day(
            id=day_id,
            began_wall=WALL_S,
            schedule_path=PATH,
            beer="Slipway Bitter",
            status=DayStatus.OPEN,
        )
        assert journal.schedule(day_id) == small_schedule()
        assert journal.events(day_id) == ()
        assert journal.last(day_id) is None


def test_every_kind_of_event_is_kept_in_order(tmp_path: Path) -> None:
    assert {type(event) for event in ONE_OF_EACH} == set(Event.__args__)
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), PATH, WALL_S)
        for event in ONE_OF_EACH:
            journal.append(day_id, event, WALL_S + event.at)
    with Journal.open(tmp_path) as journal:
        assert journal.events(day_id) == ONE_OF_EACH
        assert journal.last(day_id) == (67.0, WALL_S + 67.0)


def test_days_brewed_side_by_side_keep_their_events_apart(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        first = journal.begin_day(small_schedule(), PATH, WALL_S)
        second = journal.begin_day(small_schedule(), PATH, WALL_S + 60)
        journal.append(first, DayBegan(at=0.0), WALL_S)
        journal.append(second, DayBegan(at=5.0), WALL_S + 65)
        journal.append(first, TimePassed(at=70.0), WALL_S + 70)
        assert journal.events(first) == (DayBegan(at=0.0), TimePassed(at=70.0))
        assert journal.events(second) == (DayBegan(at=5.0),)


def test_days_are_listed_newest_first_also_when_the_clock_was_set_back(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        begun = [
            journal.begin_day(small_schedule(), PATH, WALL_S + shift_s)
            for shift_s in (0.0, 3600.0, -86400.0)
        ]
        assert [day.id for day in journal.days()] == begun[::-1]


def test_the_unfinished_day_is_the_newest_open_one_of_its_schedule(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        older, newer = (journal.begin_day(small_schedule(), PATH, WALL_S) for _ in range(2))
        journal.begin_day(small_schedule(), "/beers/other.yaml", WALL_S)
        found = journal.unfinished(PATH)
        assert found is not None
        assert found.id == newer
        journal.close_day(newer, DayStatus.LEFT)
        found = journal.unfinished(PATH)
        assert found is not None
        assert found.id == older
        journal.close_day(older, DayStatus.FINISHED)
        assert journal.unfinished(PATH) is None
        assert [day.status for day in journal.days()][1:] == [DayStatus.LEFT, DayStatus.FINISHED]


def test_a_day_whose_end_was_taken_back_is_open_again(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), PATH, WALL_S)
        journal.close_day(day_id, DayStatus.FINISHED)
        journal.close_day(day_id, DayStatus.OPEN)
        assert journal.unfinished(PATH) is not None


def test_a_schedule_under_a_name_that_is_not_utf8_is_found_again(tmp_path: Path) -> None:
    path = "/beers/f\udcfcr immer.yaml"
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), path, WALL_S)
        found = journal.unfinished(path)
        assert found is not None
        assert found.id == day_id


@pytest.mark.parametrize("name", ["a b", "50 % off", "what?mode=rw", "nr #3", "bière"])
def test_any_folder_name_will_do(tmp_path: Path, name: str) -> None:
    with Journal.open(tmp_path / name) as journal:
        journal.begin_day(small_schedule(), PATH, WALL_S)
    with Journal.open(tmp_path / name, read_only=True) as journal:
        assert len(journal.days()) == 1


def test_a_day_that_is_not_on_record_is_named(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        assert journal.day(9) is None
        assert journal.events(9) == ()
        assert journal.last(9) is None
        with pytest.raises(RecordError, match="day 9 is not on record"):
            journal.append(9, DayBegan(at=0.0), WALL_S)
        with pytest.raises(RecordError, match="day 9 is not on record"):
            journal.schedule(9)
        with pytest.raises(RecordError, match="day 9 is not on record"):
            journal.close_day(9, DayStatus.FINISHED)


def test_a_row_that_cant_be_read_is_named_by_day_and_row(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), PATH, WALL_S)
        journal.append(day_id, DayBegan(at=0.0), WALL_S)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as other, other:
        other.execute("INSERT INTO events VALUES (?, 2, 0, 0, 'TimePassed', '{')", (day_id,))
    wording = f"row 2 of day {day_id} of the record, TimePassed"
    with (
        Journal.open(tmp_path, read_only=True) as journal,
        pytest.raises(RecordError, match=wording),
    ):
        journal.events(day_id)


def test_a_row_waits_only_a_moment_for_another_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "BUSY_S", 0.01)
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), PATH, WALL_S)
        with closing(sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(RecordError, match="in use by another program"):
                journal.append(day_id, DayBegan(at=0.0), WALL_S)
            other.execute("ROLLBACK")
        journal.append(day_id, DayBegan(at=0.0), WALL_S)
        assert journal.events(day_id) == (DayBegan(at=0.0),)


def test_the_disk_has_a_row_before_it_is_acknowledged(tmp_path: Path) -> None:
    # Nothing short of a power cut shows the difference, so the settings themselves are looked at.
    with Journal.open(tmp_path) as journal:
        settings = [
            journal._connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "foreign_keys")
        ]
    full = 2
    assert settings == ["wal", full, 1]


def test_a_closed_journal_may_be_closed_again(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.close()
    journal.close()
    with Journal.open(tmp_path) as again:
        assert again.days() == ()
