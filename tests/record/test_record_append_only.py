"""What happened stays on record, whichever program has the file open."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from small_day import small_schedule

from assistant.day.events import DayBegan, TimePassed
from assistant.record.journal import FILE_NAME, Journal

EVENTS = (DayBegan(at=0.0), TimePassed(at=60.0), TimePassed(at=120.0))


@pytest.fixture
def record(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """Another program's hand on a record with one day of three rows."""
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), "slipway.yaml", 0.0)
        for event in EVENTS:
            journal.append(day_id, event, event.at)
    with closing(sqlite3.connect(tmp_path / FILE_NAME, isolation_level=None)) as connection:
        yield connection
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.events(day_id) == EVENTS


@pytest.mark.parametrize(
    "statement",
    [
        pytest.param("UPDATE events SET at = 61 WHERE seq = 2", id="a time moved"),
        pytest.param("UPDATE events SET seq = seq + 1", id="rows renumbered"),
        pytest.param("DELETE FROM events WHERE seq = 3", id="the last row dropped"),
        pytest.param("DELETE FROM events", id="all rows dropped"),
    ],
)
def test_a_row_can_be_neither_changed_nor_dropped(
    record: sqlite3.Connection, statement: str
) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="what happened stays on record"):
        record.execute(statement)


@pytest.mark.parametrize(
    "statement",
    [
        pytest.param(
            "INSERT OR REPLACE INTO events VALUES (1, 2, 61, 61, 'TimePassed', '{}')",
            id="a row replaced",
        ),
        pytest.param(
            "INSERT INTO events VALUES (1, 0, 0, 0, 'TimePassed', '{}')", id="before the first"
        ),
        pytest.param("INSERT INTO events VALUES (1, 9, 9, 9, 'TimePassed', '{}')", id="with a gap"),
    ],
)
def test_rows_only_ever_follow_the_last(record: sqlite3.Connection, statement: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="one after another"):
        record.execute(statement)


def test_a_day_with_events_can_not_be_dropped(record: sqlite3.Connection) -> None:
    record.execute("PRAGMA foreign_keys = ON")
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        record.execute("DELETE FROM days")
