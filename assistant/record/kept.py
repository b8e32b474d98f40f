"""A brew day as the record holds it: what is known of it, its rows, and what it taught.

The texts are those of :mod:`assistant.record.codec`, so a day goes from the record to its copy and
back without a figure being read and written anew.
"""

import json
import math
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

from assistant.cellar.events import BeerEvent
from assistant.record.codec import KINDS, event_from, event_text, learned_from, schedule_from


class DayStatus(Enum):
    """How far a day on record has come; LEFT was given up for a new start."""

    OPEN = "open"
    FINISHED = "finished"
    LEFT = "left"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One thing that happened: ``at`` in the day's own seconds, ``wall`` since 1970-01-01 UTC."""

    seq: int
    at: float
    wall: float
    kind: str
    body: str


@dataclass(frozen=True, kw_only=True)
class Head:
    """What is known of a day besides its rows; ``schedule`` is its JSON text."""

    began_wall: float
    schedule_path: str
    beer: str
    schedule: str
    status: DayStatus


@dataclass(frozen=True, kw_only=True)
class KeptDay:
    """A whole day; ``learned`` is the JSON text of what it taught of its kettle, if anything."""

    number: int
    head: Head
    rows: Sequence[Row]
    learned: str | None


def kept_day(connection: sqlite3.Connection, number: int) -> KeptDay | None:
    """A day of the record as it stands there, read or unread; None where there is none."""
    found = connection.execute(
        "SELECT began_wall, schedule_path, beer, schedule, status FROM days WHERE id = ?", (number,)
    ).fetchone()
    if found is None:
        return None
    began_wall, schedule_path, beer, schedule, status = found
    rows = connection.execute(
        "SELECT seq, at, wall, kind, body FROM events WHERE day = ? ORDER BY seq", (number,)
    ).fetchall()
    learned = connection.execute("SELECT body FROM learned WHERE day = ?", (number,)).fetchone()
    return KeptDay(
        number=number,
        head=Head(
            began_wall=began_wall,
            schedule_path=schedule_path,
            beer=beer,
            schedule=schedule,
            status=DayStatus(status),
        ),
        rows=tuple(
            Row(seq=seq, at=at, wall=wall, kind=kind, body=body)
            for seq, at, wall, kind, body in rows
        ),
        learned=None if learned is None else learned[0],
    )


def put_day(connection: sqlite3.Connection, day: KeptDay, number: int | None) -> int:
    """Put a day on record under ``number``, or the next one where that is None; its number."""
    head = day.head
    connection.execute(
        "INSERT INTO days (id, began_wall, schedule_path, beer, schedule, status)"
        " VALUES (?, ?, ?, ?, ?, ?)",
        (
            number,
            head.began_wall,
            head.schedule_path,
            head.beer,
            head.schedule,
            head.status.value,
        ),
    )
    if number is None:
        number = int(connection.execute("SELECT last_insert_rowid()").fetchone()[0])
    put_rows(connection, number, day.rows)
    put_learned(connection, number, day.learned)
    return number


def row_of(event: BeerEvent, wall_s: float, seq: int) -> Row:
    """The row that an event makes as a day's ``seq``-th.

    Raises :class:`~assistant.record.errors.RecordError` for one that no record could hold.
    """
    kind, body = event_text(event)
    return Row(seq=seq, at=event.at, wall=wall_s, kind=kind, body=body)


def put_rows(connection: sqlite3.Connection, number: int, rows: Iterable[Row]) -> None:
    """Put rows on record as a day's next; each must follow the last."""
    connection.executemany(
        "INSERT INTO events (day, seq, at, wall, kind, body) VALUES (?, ?, ?, ?, ?, ?)",
        ((number, row.seq, row.at, row.wall, row.kind, row.body) for row in rows),
    )


def put_learned(connection: sqlite3.Connection, number: int, learned: str | None) -> None:
    """Put on record what a day taught, in the place of what it had taught."""
    connection.execute("DELETE FROM learned WHERE day = ?", (number,))
    if learned is None:
        return
    kettle = learned_from(learned, f"day {number}").kettle
    connection.execute(
        "INSERT INTO learned (day, kettle, body) VALUES (?, ?, ?)",
        (number, storable(kettle), learned),
    )


def storable(text: str) -> str:
    """``text`` as SQLite takes it: a file name that is not UTF-8 reaches Python as half letters."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def checked_row(seq: object, at: object, wall: object, kind: object, body: object) -> Row:
    """A row from what was found in a file, which may be anything.

    A kind of event that this version does not know is let be: the version that wrote it does.
    Raises ValueError, or :class:`~assistant.record.errors.RecordError` which says more, for what
    is no row of a day: a body that is none of an event, or of another moment than ``at``.
    """
    if not isinstance(seq, int) or isinstance(seq, bool) or not 0 < seq < 2**63:
        raise ValueError(f"found the number {seq!r}; wanted 1 or more")
    if not isinstance(kind, str) or not isinstance(body, str):
        raise ValueError("found no words for what happened")
    at_s, wall_s = finite(at), finite(wall)
    if not (kind.isascii() and kind.isalpha()):
        raise ValueError(f"found {kind!r} as the kind of an event")
    same_moment(at_s, body)
    body.encode("utf-8")
    if kind in KINDS:
        event_from(kind, body, f"row {seq}")
    return Row(seq=seq, at=at_s, wall=wall_s, kind=kind, body=body)


def same_moment(at: object, body: object) -> None:
    """Raises ValueError where the JSON text of an event is none, or of another moment."""
    if moment_of(body) != at:
        raise ValueError(f"found the second {at} beside an event of another")


def moment_of(body: object) -> object:
    """The second that the JSON text of an event holds. Raises ValueError for a text of none."""
    if not isinstance(body, str):
        raise ValueError("found no words for what happened")
    try:
        event = json.loads(body)
    except RecursionError as error:
        raise ValueError("found brackets in brackets without end") from error
    if not isinstance(event, dict) or "at" not in event:
        raise ValueError("found no event")
    return event["at"]


def check_known(day: KeptDay, name: str) -> None:
    """Raises :class:`~assistant.record.errors.RecordError` for an event of a later version."""
    for row in day.rows:
        if row.kind not in KINDS:
            event_from(row.kind, row.body, f"{name}: row {row.seq}")


def checked_head(
    began_wall: object, schedule_path: object, beer: object, schedule: object, status: object
) -> Head:
    """What is known of a day from what was found in a file.

    Raises ValueError or :class:`~assistant.record.errors.RecordError` for what is none of it.
    """
    if not (isinstance(schedule_path, str) and isinstance(beer, str) and isinstance(schedule, str)):
        raise ValueError("found no words for the beer or its schedule")
    schedule_from(schedule, "the day")
    for text in (schedule_path, beer, schedule):
        text.encode("utf-8")
    return Head(
        began_wall=finite(began_wall),
        schedule_path=schedule_path,
        beer=beer,
        schedule=schedule,
        status=DayStatus(status),
    )


def finite(value: object) -> float:
    """``value`` as a number of seconds. Raises ValueError for what is none."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"found {value!r}; wanted a number")
    try:
        number = float(value)
    except OverflowError as error:
        raise ValueError("found a number past all counting") from error
    if not math.isfinite(number):
        raise ValueError(f"found {number}; wanted a finite number")
    return number


def same_json(one: str, other: str) -> bool:
    """Whether two JSON texts say the same, however they are spaced; one that is none says less."""
    try:
        return one == other or bool(json.loads(one) == json.loads(other))
    except (ValueError, RecursionError):
        return False
