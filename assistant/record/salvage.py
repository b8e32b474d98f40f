"""What can still be read of a damaged record, gathered from one source after another.

The first word on a row counts, so the sources go from the most to the least to be trusted. Only
what reads as a row of a brew day is taken: damage can leave letters that mean nothing.
"""

import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeGuard

from assistant.record.codec import learned_from
from assistant.record.errors import RecordError
from assistant.record.kept import DayStatus, Head, Row, checked_head, checked_row, finite, moment_of

LOST = "{}"
"""Stands for a schedule that is lost; a day with it can be listed, but not replayed."""

LOST_BEER = "a beer whose name is lost"

MOST_SINGLE = 20_000
"""How many keys between two damaged places are tried one by one."""


@dataclass(kw_only=True)
class Salvage:
    """Heads, rows and lessons by the number of their day.

    ``remnants`` are heads of which a part is lost; they serve where there is no other. ``sound``
    are rows of copies by their columns, which need not be looked at again.
    """

    sound: Mapping[tuple[object, ...], Row] = field(default_factory=dict)
    heads: dict[int, Head] = field(default_factory=dict)
    remnants: dict[int, Head] = field(default_factory=dict)
    rows: dict[int, dict[int, Row]] = field(default_factory=dict)
    learned: dict[int, str] = field(default_factory=dict)

    def __bool__(self) -> bool:
        return bool(self.heads or self.remnants or self.rows)

    def take_head(self, number: object, *columns: object) -> None:
        """The columns of a day, in the order of the table."""
        if not _is_key(number) or number in self.heads:
            return
        try:
            self.heads[number] = checked_head(*columns)
        except (TypeError, ValueError, RecordError):
            self._take_remnant(number, columns)

    def _take_remnant(self, number: int, columns: tuple[object, ...]) -> None:
        if number in self.remnants or len(columns) != 5:
            return
        began_wall, schedule_path, beer, _, status = columns
        try:
            DayStatus(status)
            self.remnants[number] = Head(
                began_wall=finite(began_wall),
                schedule_path=_words(schedule_path, ""),
                beer=_words(beer, LOST_BEER),
                schedule=LOST,
                # A day that can't be replayed can't go on.
                status=DayStatus.FINISHED if status == DayStatus.FINISHED.value else DayStatus.LEFT,
            )
        except ValueError:
            return

    def take_row(self, day: object, *columns: object) -> None:
        """The columns of an event, in the order of the table."""
        if not _is_key(day) or len(columns) != 5 or not _is_key(columns[0]):
            return
        rows = self.rows.get(day, {})
        if columns[0] in rows:
            return
        seq, at, wall, kind, body = columns
        try:
            # The second stands in the body too, and is read from there on a replay.
            row = self.sound.get((seq, at, wall, kind, body)) or checked_row(
                seq, moment_of(body), wall, kind, body
            )
        except (TypeError, ValueError, RecordError):
            return
        self.rows.setdefault(day, rows)[row.seq] = row

    def take_learned(self, day: object, body: object) -> None:
        """What a day taught of its kettle."""
        if not _is_key(day) or day in self.learned or not isinstance(body, str):
            return
        try:
            learned_from(body, f"day {day}")
            body.encode("utf-8")
        except (ValueError, RecordError):
            return
        self.learned[day] = body


def _is_key(value: object) -> TypeGuard[int]:
    return isinstance(value, int) and not isinstance(value, bool) and 0 < value < 2**62


def _words(value: object, lost: str) -> str:
    try:
        return value if isinstance(value, str) and value.encode("utf-8") else lost
    except UnicodeEncodeError:
        return lost


def read_around(connection: sqlite3.Connection, salvage: Salvage, days: Iterable[int]) -> None:
    """Take what SQLite can read of a damaged record, passing over what it can't.

    ``days`` are numbers of days that are known from elsewhere.
    """
    connection.text_factory = _text
    heads = "SELECT id, began_wall, schedule_path, beer, schedule, status FROM days WHERE id"
    for row in _walk(connection, heads, "id"):
        salvage.take_head(*row)
    for day, body in _walk(connection, "SELECT day, body FROM learned WHERE day", "day"):
        salvage.take_learned(day, body)
    numbers = {*days, *salvage.heads, *salvage.remnants}
    for (day,) in _walk(connection, "SELECT DISTINCT day FROM events WHERE day", "day"):
        if _is_key(day):
            numbers.add(day)
    for number in sorted(numbers):
        rows = f"SELECT seq, at, wall, kind, body FROM events WHERE day = {number} AND seq"
        for row in _walk(connection, rows, "seq"):
            salvage.take_row(number, *row)


def _walk(connection: sqlite3.Connection, query: str, key: str) -> Iterator[tuple[object, ...]]:
    """The rows of a query by their key, its first column.

    Upwards as far as it goes, then downwards, then one by one in between.
    """
    low = 0
    for row in _rows(connection, f"{query} > 0 ORDER BY {key}"):
        if row is None:
            break
        yield row
        low = row[0] if _is_key(row[0]) else low
    else:
        return
    high = 0
    for row in _rows(connection, f"{query} > {low} ORDER BY {key} DESC"):
        if row is None:
            break
        yield row
        high = row[0] if _is_key(row[0]) else high
    for single in range(low + 1, min(high, low + MOST_SINGLE)):
        for row in _rows(connection, f"{query} = {single}"):
            if row is not None:
                yield row


def _rows(connection: sqlite3.Connection, query: str) -> Iterator[tuple[object, ...] | None]:
    """The rows of a query; None is the end where damage cuts them off."""
    try:
        yield from connection.execute(query)
    except (sqlite3.Error, MemoryError, ValueError):
        # ValueError: SQLite's words about a damaged name may be no text either.
        yield None


def _text(raw: bytes) -> str:
    # Letters that are none stay as halves, which no row with sense holds.
    return raw.decode("utf-8", "surrogateescape")
