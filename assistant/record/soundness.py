"""Whether the file of a record is whole: told apart from one of another kind, and a newer one."""

import json
import re
import sqlite3
from contextlib import closing
from enum import Enum, auto
from pathlib import Path

from assistant.record import schema
from assistant.record.codec import learned_from
from assistant.record.connecting import LOG_SUFFIX, beside, read_only
from assistant.record.copies import copies, copy_paths
from assistant.record.copy_lines import ReadCopy
from assistant.record.errors import PRIMARY_CODE, RecordError
from assistant.record.kept import (
    DayStatus,
    KeptDay,
    checked_head,
    checked_row,
    kept_day,
    same_moment,
)
from assistant.record.pages import MAGIC, read_pages
from assistant.record.salvage import LOST, Salvage

MOST_VERSIONS = 1000
"""No record will have been changed as often: a version above it is damage."""

HEAD = 100
ID_PLACE = slice(68, 72)
FORMATS_PLACE = slice(18, 20)
"""The bytes of a file's head, and where in it are its mark and two numbers that are 1 or 2
("Database File Format", section 1.3)."""

NOT_THE_FILE = frozenset(
    {
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PERM,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_NOMEM,
        sqlite3.SQLITE_PROTOCOL,
    }
)
"""Faults of the machine or the moment; any other is one of what the file holds."""


class Condition(Enum):
    """What there is to be done about a file before it is used.

    WHOLE: nothing; where it is of another kind, SQLite or its version will say so. MISSING: there
    is none, or an empty one. DAMAGED: a record of ours, to be mended.
    """

    WHOLE = auto()
    MISSING = auto()
    DAMAGED = auto()


def condition(path: Path, *, deep: bool) -> Condition:
    """The condition of the record at ``path``; nothing on the disk is changed.

    With ``deep`` also what is written in the days that are open has to make sense.

    Raises OSError where the folder or the log can't be looked into.
    """
    if not path.exists() or path.stat().st_size == 0:
        # SQLite would throw away the log of an empty file.
        return Condition.DAMAGED if _logged(path) else Condition.MISSING
    try:
        with path.open("rb") as file:
            head = file.read(HEAD)
    except OSError:
        return Condition.WHOLE
    sound = (
        head.startswith(MAGIC) and set(head[FORMATS_PLACE]) <= {1, 2} and _sound(path, deep=deep)
    )
    if sound or not _ours(path, head):
        return Condition.WHOLE
    return Condition.DAMAGED


def all_reads(path: Path) -> bool:
    """Whether every row of a sound record is one, and the same as in a complete copy of its day.

    A newer record, and one of another program, is not looked into.
    """
    try:
        with closing(read_only(path)) as connection:
            if connection.execute("PRAGMA user_version").fetchone()[0] != schema.VERSION:
                return True
            found = {copy.day.number: copy for _, copy in copies(path.parent) if copy.complete}
            for (number,) in connection.execute("SELECT id FROM days").fetchall():
                day = kept_day(connection, number)
                if day is not None and not _reads(day, found.get(number)):
                    return False
            return True
    except sqlite3.Error as error:
        return _of_the_moment(error)
    except (RecordError, TypeError, ValueError):
        return False


def check_day(day: KeptDay) -> None:
    """Raises RecordError, TypeError or ValueError where a part of the day can't be read."""
    head = day.head
    if head.schedule != LOST:
        checked_head(
            head.began_wall, head.schedule_path, head.beer, head.schedule, head.status.value
        )
    if day.learned is not None:
        learned_from(day.learned, f"day {day.number}")
    for row in day.rows:
        checked_row(row.seq, row.at, row.wall, row.kind, row.body)


def _reads(day: KeptDay, copy: ReadCopy | None) -> bool:
    check_day(day)
    head = day.head
    if copy is None or copy.day.head.began_wall != head.began_wall:
        return True
    both = zip(day.rows, copy.day.rows, strict=False)
    return all(row == copied for row, copied in both)


def _logged(path: Path) -> bool:
    log = beside(path, LOG_SUFFIX)
    return log.exists() and log.stat().st_size > 0 and bool(_on_pages(b"", log.read_bytes()))


def _ours(path: Path, head: bytes) -> bool:
    """Whether a file that can't be used as it is holds a record: by its mark, or by its rows."""
    if head.startswith(MAGIC) and head[ID_PLACE] == schema.APPLICATION_ID.to_bytes(4, "big"):
        return True
    headless = len(head) < HEAD or not head.startswith(MAGIC)
    if headless and copy_paths(path.parent):
        # No database at all in the place of a record, whose days are there to be put back.
        return True
    file, log = path.read_bytes(), beside(path, LOG_SUFFIX)
    return bool(_on_pages(file, log.read_bytes() if log.exists() else b""))


def _on_pages(file: bytes, log: bytes) -> Salvage:
    salvage = Salvage()
    read_pages(file, log, salvage)
    return salvage


def _sound(path: Path, *, deep: bool) -> bool:
    try:
        with closing(read_only(path)) as connection:
            return sound_inside(connection, deep=deep)
    except sqlite3.Error as error:
        return _of_the_moment(error)
    except (TypeError, ValueError):
        return False


def _of_the_moment(error: sqlite3.Error) -> bool:
    """Whether SQLite failed for a reason outside the file."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    cut_short = code == sqlite3.SQLITE_IOERR_SHORT_READ
    return code & PRIMARY_CODE in NOT_THE_FILE and not cut_short


def sound_inside(connection: sqlite3.Connection, *, deep: bool) -> bool:
    """Whether a database that can be opened is whole; one of another kind is let be.

    With ``deep`` as for :func:`condition`. Raises SQLite's own errors, TypeError and ValueError
    for some that are not.
    """
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    marked = connection.execute("PRAGMA application_id").fetchone()[0] == schema.APPLICATION_ID
    if marked and schema.VERSION < version <= MOST_VERSIONS:
        return True
    found = _tables(connection)
    if not marked:
        # Another program's, unless it holds just what a record does.
        return not _expected(schema.VERSION).items() <= found.items()
    return (
        0 <= version <= schema.VERSION
        and _expected(version).items() <= found.items()
        and not _made_later(version) & found.keys()
        and connection.execute("PRAGMA quick_check(1)").fetchone()[0] == "ok"
        and (version < schema.VERSION or not deep or _makes_sense(connection))
    )


def _makes_sense(connection: sqlite3.Connection) -> bool:
    """Whether what the next brew day reads is JSON still; raises ValueError where it isn't.

    More is not asked: what a later version wrote is no damage.
    """
    open_days = "SELECT id FROM days WHERE status = ?"
    values = (DayStatus.OPEN.value,)
    for at, body in connection.execute(
        f"SELECT at, body FROM events WHERE day IN ({open_days})", values
    ):
        same_moment(at, body)
    texts = connection.execute(
        f"SELECT body FROM learned UNION ALL SELECT schedule FROM days WHERE id IN ({open_days})",
        values,
    )
    return all(isinstance(json.loads(text), dict) for (text,) in texts)


def _tables(connection: sqlite3.Connection) -> dict[str, str]:
    """The statement that made each table and trigger, however it was spaced."""
    made = connection.execute(
        "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'"
    ).fetchall()
    return {name: " ".join(sql.split()) for name, sql in made}


def strangers(connection: sqlite3.Connection, version: int) -> list[str]:
    """The names of what could act by itself in a record of this version and is none of its own."""
    made = connection.execute(
        "SELECT name FROM sqlite_master"
        " WHERE type IN ('trigger', 'view') OR sql LIKE 'CREATE VIRTUAL%' ORDER BY name"
    ).fetchall()
    return [name for (name,) in made if name not in _expected(version)]


def _expected(version: int) -> dict[str, str]:
    with closing(sqlite3.connect(":memory:")) as connection:
        for statements in schema.MIGRATIONS[:version]:
            for statement in statements:
                connection.execute(statement)
        return _tables(connection)


def _made_later(version: int) -> set[str]:
    later = " ".join(s for statements in schema.MIGRATIONS[version:] for s in statements)
    return set(re.findall(r"CREATE (?:TABLE|TRIGGER|INDEX) (\w+)", later))
