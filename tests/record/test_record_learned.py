"""What a day taught of its kettle, kept with the day and found by the next one."""

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from small_day import small_schedule

from assistant.advice.learned import Figure, LearnedKettle, Trait
from assistant.day.events import DayBegan, NoteTaken
from assistant.record.codec import schedule_text
from assistant.record.journal import FILE_NAME, DayStatus, Journal, RecordError
from assistant.record.schema import VERSION
from assistant.schedule.load import INLINE_KETTLE_NAME

PATH = "/beers/slipway.yaml"


def taught(boil_off_l_h: float, kettle: str = "garage", brews: int = 1) -> LearnedKettle:
    figure = Figure(value=boil_off_l_h, spread=0.2, card=2.4)
    return LearnedKettle(kettle=kettle, brews=brews, figures={Trait.BOIL_OFF: figure})


def finished(journal: Journal, learned: LearnedKettle) -> int:
    day_id = journal.begin_day(small_schedule(), PATH, 0.0)
    journal.keep_learned(day_id, learned)
    journal.close_day(day_id, DayStatus.FINISHED)
    return day_id


def test_what_the_newest_finished_day_taught_is_what_is_known(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        assert journal.learned("garage") is None
        for brews, boil_off_l_h in enumerate((2.6, 2.7, 2.8), start=1):
            finished(journal, taught(boil_off_l_h, brews=brews))
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.learned("garage") == taught(2.8, brews=3)


def test_each_kettle_is_known_by_its_own_name(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        finished(journal, taught(2.8, "garage"))
        finished(journal, taught(3.5, "boathouse"))
        assert journal.learned("garage") == taught(2.8, "garage")
        assert journal.learned("boathouse") == taught(3.5, "boathouse")
        assert journal.learned("garage, new element") is None


def test_of_a_kettle_without_a_name_nothing_is_known(tmp_path: Path) -> None:
    assert small_schedule().kettle.name == INLINE_KETTLE_NAME
    with Journal.open(tmp_path) as journal:
        finished(journal, taught(2.8, INLINE_KETTLE_NAME))
        assert journal.learned(INLINE_KETTLE_NAME) is None


@pytest.mark.parametrize("status", [DayStatus.OPEN, DayStatus.LEFT], ids=["open", "left"])
def test_only_a_finished_day_teaches(tmp_path: Path, status: DayStatus) -> None:
    with Journal.open(tmp_path) as journal:
        finished(journal, taught(2.6))
        journal.close_day(finished(journal, taught(9.0, brews=2)), status)
        assert journal.learned("garage") == taught(2.6)


def test_what_a_day_taught_can_be_put_right_and_taken_away(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        finished(journal, taught(2.6))
        day_id = finished(journal, taught(2.7, brews=2))
        journal.keep_learned(day_id, taught(2.9, brews=2))
        assert journal.learned("garage") == taught(2.9, brews=2)
        journal.keep_learned(day_id, None)
        journal.keep_learned(day_id, None)
        assert journal.learned("garage") == taught(2.6)


def test_a_kettle_under_a_name_that_is_not_utf8_is_found_again(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        finished(journal, taught(2.6, "gar\udce4ge"))
        assert journal.learned("gar\udce4ge") == taught(2.6, "gar\udce4ge")


def test_nothing_is_kept_of_a_day_that_is_not_on_record(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        with pytest.raises(RecordError, match="day 9 is not on record"):
            journal.keep_learned(9, taught(2.6))
        with pytest.raises(RecordError, match="can't go on record"):
            journal.keep_learned(9, taught(float("nan")))


def test_what_cant_be_read_of_a_kettle_is_named_by_its_day(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        finished(journal, taught(2.6))
        day_id = finished(journal, taught(2.7))
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as other, other:
        other.execute("UPDATE learned SET body = '{' WHERE day = ?", (day_id,))
    wording = f"what day {day_id} on record taught of its kettle can't be read: it is not JSON"
    with (
        Journal.open(tmp_path, read_only=True) as journal,
        pytest.raises(RecordError, match=wording),
    ):
        journal.learned("garage")


FIRST_VERSION = """
CREATE TABLE days (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    began_wall REAL NOT NULL,
    schedule_path TEXT NOT NULL,
    beer TEXT NOT NULL,
    schedule TEXT NOT NULL,
    status TEXT NOT NULL CHECK (status IN ('open', 'finished', 'left'))
);
CREATE TABLE events (
    day INTEGER NOT NULL REFERENCES days (id),
    seq INTEGER NOT NULL,
    at REAL NOT NULL,
    wall REAL NOT NULL,
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (day, seq)
) WITHOUT ROWID;
CREATE TRIGGER events_stay BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'what happened stays on record'); END;
CREATE TRIGGER events_are_kept BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'what happened stays on record'); END;
CREATE TRIGGER events_follow BEFORE INSERT ON events
WHEN NEW.seq IS NOT (SELECT COALESCE(MAX(seq), 0) + 1 FROM events WHERE day = NEW.day)
BEGIN SELECT RAISE(ABORT, 'events go on record one after another'); END;
PRAGMA application_id = 1265922924;
PRAGMA user_version = 1;
PRAGMA journal_mode = WAL;
"""
"""The statements of the first version, as they were."""


@pytest.fixture
def first_version(tmp_path: Path) -> Path:
    """The folder of a record that the first version wrote: a finished day and an open one."""
    rows = [
        (1, 1, 0.0, 10.0, "DayBegan", '{"at":0.0}'),
        (1, 2, 60.0, 70.0, "NoteTaken", '{"at":60.0,"text":"steam","dictated":false}'),
        (2, 1, 5.0, 900.0, "DayBegan", '{"at":5.0}'),
    ]
    schedule = schedule_text(small_schedule())
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection, connection:
        connection.executescript(FIRST_VERSION)
        for began_wall, status in ((10.0, "finished"), (895.0, "open")):
            connection.execute(
                "INSERT INTO days (began_wall, schedule_path, beer, schedule, status)"
                " VALUES (?, ?, 'Slipway Bitter', ?, ?)",
                (began_wall, PATH, schedule, status),
            )
        connection.executemany("INSERT INTO events VALUES (?, ?, ?, ?, ?, ?)", rows)
    return tmp_path


def is_whole(journal: Journal) -> None:
    assert [(day.id, day.status) for day in journal.days()] == [
        (2, DayStatus.OPEN),
        (1, DayStatus.FINISHED),
    ]
    assert journal.events(1) == (DayBegan(at=0.0), NoteTaken(at=60.0, text="steam"))
    assert journal.events(2) == (DayBegan(at=5.0),)
    assert journal.last(1) == (60.0, 70.0)
    assert journal.schedule(1) == journal.schedule(2) == small_schedule()


def version(folder: Path) -> int:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


def test_a_record_of_the_first_version_is_looked_at_as_it_is(first_version: Path) -> None:
    with Journal.open(first_version, read_only=True) as journal:
        is_whole(journal)
        assert journal.learned("garage") is None
    assert version(first_version) == 1


def test_a_record_of_the_first_version_is_brought_up_to_date_without_loss(
    first_version: Path,
) -> None:
    with Journal.open(first_version) as journal:
        is_whole(journal)
        journal.keep_learned(1, taught(2.8))
        assert journal.learned("garage") == taught(2.8)
    assert version(first_version) == VERSION
    with Journal.open(first_version) as journal:
        is_whole(journal)
        assert journal.learned("garage") == taught(2.8)
    with (
        closing(sqlite3.connect(first_version / FILE_NAME)) as connection,
        pytest.raises(sqlite3.IntegrityError, match="what happened stays on record"),
    ):
        connection.execute("DELETE FROM events")


def test_a_new_record_and_one_brought_up_to_date_have_the_same_tables(
    first_version: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    fresh = tmp_path_factory.mktemp("fresh")
    made = []
    for folder in (first_version, fresh):
        Journal.open(folder).close()
        with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
            rows = connection.execute("SELECT name, sql FROM sqlite_master ORDER BY name")
            made.append([(name, " ".join((sql or "").split())) for name, sql in rows])
    assert made[0] == made[1]


def test_the_kettle_of_a_day_that_began_knowing_it_comes_back_with_the_day(tmp_path: Path) -> None:
    began = DayBegan(at=0.0, learned=taught(2.8))
    named = replace(small_schedule(), kettle=replace(small_schedule().kettle, name="garage"))
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(named, PATH, 0.0)
        journal.append(day_id, began, 0.0)
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.events(day_id) == (began,)


def test_what_each_finished_day_taught_is_told_oldest_first(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        assert journal.learned_over("garage") == journal.kettles() == ()
        first = finished(journal, taught(2.6))
        finished(journal, taught(3.5, "boathouse"))
        left = finished(journal, taught(9.0, brews=2))
        journal.close_day(left, DayStatus.LEFT)
        last = journal.begin_day(small_schedule(), PATH, 5000.0)
        journal.append(last, DayBegan(at=0.0, learned=taught(2.6)), 5000.0)
        journal.keep_learned(last, taught(2.7, brews=2))
        journal.close_day(last, DayStatus.FINISHED)
        older, newer = journal.learned_over("garage")
        assert (older.day, older.began, older.learned) == (first, None, taught(2.6))
        assert (newer.day, newer.began_wall) == (last, 5000.0)
        assert newer.began == DayBegan(at=0.0, learned=taught(2.6))
        assert newer.schedule == journal.last_taught_with("garage") == small_schedule()
        assert journal.kettles() == ("garage", "boathouse")


def test_of_a_kettle_without_a_name_there_is_nothing_to_list(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        finished(journal, taught(2.8, INLINE_KETTLE_NAME))
        assert journal.kettles() == journal.learned_over(INLINE_KETTLE_NAME) == ()
        assert journal.last_taught_with(INLINE_KETTLE_NAME) is None


def test_a_row_of_a_kettle_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        day_id = finished(journal, taught(2.6))
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as other, other:
        other.execute("UPDATE days SET schedule = '{}' WHERE id = ?", (day_id,))
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.learned("garage") == taught(2.6)
        with pytest.raises(RecordError, match=f"the schedule of day {day_id} on record"):
            journal.learned_over("garage")
