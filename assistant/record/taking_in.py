"""A day from a copy put on record: as a new day, or as the rest of one that is there in part."""

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.record.copies import same_day
from assistant.record.kept import (
    DayStatus,
    KeptDay,
    Row,
    kept_day,
    put_day,
    put_learned,
    put_rows,
)


@dataclass(frozen=True, kw_only=True)
class TakenIn:
    """Where a day went: its number on record, how many rows were new, whether the day was.

    ``known`` where all of it was on record already.
    """

    number: int
    rows: int
    new: bool
    known: bool = False


class OnRecordAlready(Exception):
    """The day is on record with all that its copy holds; ``number`` is its number there."""

    def __init__(self, number: int) -> None:
        super().__init__(f"on record already as day {number}")
        self.number = number


def take_in(connection: sqlite3.Connection, day: KeptDay, *, number: int | None = None) -> TakenIn:
    """Put ``day`` on record, or what the record lacks of it.

    A new day gets ``number``, or the next one where that is None or taken. The caller has a
    transaction open. Raises :class:`OnRecordAlready` where there is nothing new.
    """
    alike = connection.execute(
        "SELECT id FROM days WHERE began_wall = ? ORDER BY id", (day.head.began_wall,)
    ).fetchall()
    for (found,) in alike:
        there = kept_day(connection, found)
        if there is None or not same_day(there, day):
            continue
        if not begins(there.rows, day.rows) and not begins(day.rows, there.rows):
            # Two days that went on differently from the same beginning: each is kept.
            continue
        if not _adds(day, there):
            raise OnRecordAlready(found)
        return _complete(connection, there, day)
    if number is not None and kept_day(connection, number) is not None:
        number = None
    return TakenIn(number=put_day(connection, day, number), rows=len(day.rows), new=True)


def take_in_all(connection: sqlite3.Connection, days: Iterable[KeptDay]) -> tuple[TakenIn, ...]:
    """Put each of ``days`` on record, or what the record lacks of it, in the order they come.

    A new day keeps its number where that is past all on record: the newest has the say on what
    its kettle is like. The caller has a transaction open.
    """
    taken = []
    for day in days:
        last = connection.execute("SELECT COALESCE(MAX(id), 0) FROM days").fetchone()[0]
        number = day.number if day.number > last else None
        try:
            taken.append(take_in(connection, day, number=number))
        except OnRecordAlready as already:
            taken.append(TakenIn(number=already.number, rows=0, new=False, known=True))
    return tuple(taken)


def begins(shorter: Sequence[Row], longer: Sequence[Row]) -> bool:
    """Whether the longer of two runs of rows goes on from the shorter."""
    return tuple(longer[: len(shorter)]) == tuple(shorter)


def _adds(day: KeptDay, there: KeptDay) -> bool:
    """Whether the copy holds more rows, or with the same rows that the day has ended."""
    ended = there.head.status is DayStatus.OPEN and day.head.status is not DayStatus.OPEN
    return len(day.rows) > len(there.rows) or (len(day.rows) == len(there.rows) and ended)


def _complete(connection: sqlite3.Connection, there: KeptDay, day: KeptDay) -> TakenIn:
    more = day.rows[len(there.rows) :]
    put_rows(connection, there.number, more)
    connection.execute(
        "UPDATE days SET status = ? WHERE id = ?", (day.head.status.value, there.number)
    )
    put_learned(connection, there.number, day.learned)
    return TakenIn(number=there.number, rows=len(more), new=False)
