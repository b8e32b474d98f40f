"""The tables of the record, and how a record made by an earlier version is brought up to date."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from assistant.record.errors import RecordError
from assistant.schedule.faults import harmless

APPLICATION_ID = 0x4B74736C
"""Marks the file as a Kettleside record among other SQLite files; no meaning beyond that."""

CREATE = (
    """
    CREATE TABLE days (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        began_wall REAL NOT NULL,
        schedule_path TEXT NOT NULL,
        beer TEXT NOT NULL,
        schedule TEXT NOT NULL,
        status TEXT NOT NULL CHECK (status IN ('open', 'finished', 'left'))
    )
    """,
    """
    CREATE TABLE events (
        day INTEGER NOT NULL REFERENCES days (id),
        seq INTEGER NOT NULL,
        at REAL NOT NULL,
        wall REAL NOT NULL,
        kind TEXT NOT NULL,
        body TEXT NOT NULL,
        PRIMARY KEY (day, seq)
    ) WITHOUT ROWID
    """,
    """
    CREATE TRIGGER events_stay BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'what happened stays on record'); END
    """,
    """
    CREATE TRIGGER events_are_kept BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'what happened stays on record'); END
    """,
    # INSERT OR REPLACE deletes the row before it without asking the trigger above.
    """
    CREATE TRIGGER events_follow BEFORE INSERT ON events
    WHEN NEW.seq IS NOT (SELECT COALESCE(MAX(seq), 0) + 1 FROM events WHERE day = NEW.day)
    BEGIN SELECT RAISE(ABORT, 'events go on record one after another'); END
    """,
    f"PRAGMA application_id = {APPLICATION_ID}",
)

LEARNED = (
    """
    CREATE TABLE learned (
        day INTEGER PRIMARY KEY REFERENCES days (id),
        kettle TEXT NOT NULL,
        body TEXT NOT NULL
    )
    """,
)
"""What each finished day taught of its kettle; unlike its events it can be reckoned anew."""

NEW_KINDS_OF_EVENTS: tuple[str, ...] = ()
"""The same tables, but rows that an earlier program would not know: it has to be kept out."""

BEERS = (
    """
    CREATE TABLE beers (
        day INTEGER PRIMARY KEY REFERENCES days (id),
        brewed INTEGER NOT NULL,
        reckoned INTEGER NOT NULL,
        body TEXT NOT NULL
    )
    """,
)
"""What each brew day handed over to the fermenter, as reckoned from ``brewed`` rows of it.

It spares going through the day again, which takes a second; what is lost of it is reckoned anew.
The rows of the visits to a beer, and of sensors that report by themselves, are new as well.
"""

MIGRATIONS: Sequence[Sequence[str]] = (CREATE, LEARNED, NEW_KINDS_OF_EVENTS, BEERS)
"""The statements that lead from each version to the next, from the empty file (0) on."""

VERSION = len(MIGRATIONS)


def version_of(connection: sqlite3.Connection, path: Path) -> int:
    """The version of the record, 0 for an empty file.

    Raises :class:`~assistant.record.errors.RecordError` for a newer version and for a database
    that is no record.
    """
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    marked = connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
    empty = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0
    shown = harmless(str(path), 300)
    if not marked and not (empty and version == 0):
        raise RecordError(
            f"{shown} is a database, but not a record of brew days; move it out of the way and a "
            "new record is begun in its place"
        )
    if version > VERSION:
        raise RecordError(
            f"the record {shown} is of version {version} and this program knows versions up to "
            f"{VERSION}; start the newer Kettleside that wrote it"
        )
    return version


def bring_up_to_date(connection: sqlite3.Connection, version: int) -> None:
    """Lead the record from ``version`` to the present one, or leave it as it was."""
    with transaction(connection):
        for statements in MIGRATIONS[version:]:
            for statement in statements:
                connection.execute(statement)
        connection.execute(f"PRAGMA user_version = {VERSION}")


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Everything in the context is written, or, where it raises, nothing is."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
