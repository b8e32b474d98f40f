"""What finished days taught of their kettles, as rows of the record.

Of a kettle that was given no name nothing is known: it could be any.
"""

import sqlite3
from dataclasses import dataclass
from typing import Any

from assistant.advice.learned import LearnedKettle
from assistant.day.events import DayBegan
from assistant.record.codec import event_from, learned_from, row_from, schedule_from
from assistant.record.kept import DayStatus, storable
from assistant.schedule.load import INLINE_KETTLE_NAME
from assistant.schedule.model import Schedule

OF_KETTLE = (
    "SELECT learned.day, days.began_wall, days.schedule, learned.body"
    " FROM learned JOIN days ON days.id = learned.day"
    " WHERE learned.kettle = ? AND days.status = ? ORDER BY days.id"
)


@dataclass(frozen=True, kw_only=True)
class TaughtRow:
    """A day that taught, as its rows hold it; ``began_wall`` is seconds since 1970-01-01 UTC."""

    day: int
    began_wall: float
    schedule: str
    learned: str


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """What a day taught of its kettle.

    ``schedule`` is what it was brewed by, with the kettle as known by then; ``began`` tells what
    was known, and is None where the day's first row is not on record.
    """

    day: int
    began_wall: float
    schedule: Schedule
    began: DayBegan | None
    learned: LearnedKettle


def last_taught(connection: sqlite3.Connection, kettle_name: str) -> TaughtRow | None:
    """The newest finished day that taught of a kettle of that name."""
    rows = _rows(connection, f"{OF_KETTLE} DESC LIMIT 1", kettle_name)
    return _taught(rows[0]) if rows else None


def lessons(connection: sqlite3.Connection, kettle_name: str) -> tuple[Lesson, ...]:
    """What every finished day taught of a kettle of that name, the oldest first.

    Raises :class:`~assistant.record.errors.RecordError` where a row can't be read.
    """
    return tuple(
        _lesson(connection, _taught(row)) for row in _rows(connection, OF_KETTLE, kettle_name)
    )


def kettle_names(connection: sqlite3.Connection) -> tuple[str, ...]:
    """The kettles that finished days have taught of, the latest used first."""
    rows = connection.execute(
        "SELECT learned.kettle FROM learned JOIN days ON days.id = learned.day"
        " WHERE days.status = ? AND learned.kettle != ?"
        " GROUP BY learned.kettle ORDER BY MAX(days.id) DESC",
        (DayStatus.FINISHED.value, INLINE_KETTLE_NAME),
    )
    return tuple(str(name) for (name,) in rows.fetchall())


def _rows(connection: sqlite3.Connection, query: str, kettle_name: str) -> list[Any]:
    if kettle_name == INLINE_KETTLE_NAME:
        return []
    values = (storable(kettle_name), DayStatus.FINISHED.value)
    return connection.execute(query, values).fetchall()


def _taught(row: tuple[Any, ...]) -> TaughtRow:
    names = ("day", "began_wall", "schedule", "learned")
    return row_from(dict(zip(names, row, strict=True)), TaughtRow, f"day {row[0]}")


def _lesson(connection: sqlite3.Connection, row: TaughtRow) -> Lesson:
    first = connection.execute(
        "SELECT kind, body FROM events WHERE day = ? AND seq = 1", (row.day,)
    ).fetchone()
    event = None if first is None else event_from(first[0], first[1], f"row 1 of day {row.day}")
    return Lesson(
        day=row.day,
        began_wall=row.began_wall,
        schedule=schedule_from(row.schedule, f"day {row.day}"),
        began=event if isinstance(event, DayBegan) else None,
        learned=learned_from(row.learned, f"day {row.day}"),
    )
