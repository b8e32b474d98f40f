"""The days of the record as a list: what is known of each besides its rows and its schedule."""

import sqlite3
from dataclasses import dataclass, fields

from assistant.record.codec import row_from
from assistant.record.errors import RecordError
from assistant.record.kept import DayStatus


@dataclass(frozen=True, kw_only=True)
class Day:
    """A brew day on record; ``began_wall`` is seconds since 1970-01-01 UTC."""

    id: int
    began_wall: float
    schedule_path: str
    beer: str
    status: DayStatus


def day_rows(connection: sqlite3.Connection, which: str, *values: object) -> tuple[Day, ...]:
    """The days that ``which``, the end of a query with places for ``values``, asks for."""
    rows = connection.execute(
        f"SELECT id, began_wall, schedule_path, beer, status FROM days {which}", values
    ).fetchall()
    names = [field.name for field in fields(Day)]
    return tuple(row_from(dict(zip(names, row, strict=True)), Day, f"day {row[0]}") for row in rows)


def unknown_day(day_id: int) -> RecordError:
    """What is raised for a number under which no day is on record."""
    return RecordError(f"day {day_id} is not on record; `kettleside days` lists those that are")


def names_no_day(error: RecordError) -> bool:
    """Whether a row could not be written because it belongs to no day on record."""
    code = getattr(error.__cause__, "sqlite_errorcode", None)
    return code == sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY
