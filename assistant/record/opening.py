"""The file of a record opened, to write it by one program or to look on."""

import sqlite3
from contextlib import ExitStack, closing
from pathlib import Path

from assistant.record.errors import folder_fault
from assistant.record.lock import WriterLock
from assistant.record.schema import VERSION, bring_up_to_date, version_of

FILE_NAME = "kettleside.db"
LOCK_NAME = "kettleside.lock"

BUSY_S = 2.0
"""How long a row waits for a program that holds the file: a brewer would notice any longer."""


def for_writing(path: Path, held: ExitStack) -> sqlite3.Connection:
    """The record at ``path`` for its one writer, made or brought up to date where need be.

    What has to be given back goes on ``held``. Raises
    :class:`~assistant.record.errors.RecordError` for a folder that can't be used, another writer
    and a newer record, and SQLite's own errors as they come.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise folder_fault(path.parent, error) from error
    held.enter_context(WriterLock(path.parent / LOCK_NAME))
    connection = held.enter_context(
        # Whoever keeps a day writes in a thread of its own, and nobody uses it then but that.
        closing(
            sqlite3.connect(path, timeout=BUSY_S, isolation_level=None, check_same_thread=False)
        )
    )
    version = version_of(connection, path)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    if version < VERSION:
        bring_up_to_date(connection, version)
    return connection


def for_reading(path: Path, held: ExitStack) -> sqlite3.Connection:
    """The record at ``path`` for one who looks on; nothing on the disk is made or changed.

    A missing record is one without days, and an older one is seen as the next brew day will have
    it. Raises as :func:`for_writing` does, but lets a writer be.
    """
    try:
        missing = not path.exists()
    except OSError as error:
        raise folder_fault(path.parent, error) from error
    if missing:
        return _brought_up_to_date(_in_memory(held))
    connection = held.enter_context(closing(_read_only(path)))
    if version_of(connection, path) == VERSION:
        return connection
    copy = _in_memory(held)
    connection.backup(copy)
    # A brew day may have brought the record up to date between the two.
    return _brought_up_to_date(copy, version_of(copy, path))


def _read_only(path: Path) -> sqlite3.Connection:
    where = path.resolve().as_uri()
    connection = _connected_to(f"{where}?mode=ro")
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.OperationalError:
        connection.close()
        if path.with_name(f"{FILE_NAME}-wal").exists():
            raise
        # A log at rest is empty; where the folder can't be written, one can't be made to read.
        return _connected_to(f"{where}?immutable=1")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def _connected_to(address: str) -> sqlite3.Connection:
    return sqlite3.connect(address, uri=True, timeout=BUSY_S, isolation_level=None)


def _in_memory(held: ExitStack) -> sqlite3.Connection:
    return held.enter_context(closing(sqlite3.connect(":memory:", isolation_level=None)))


def _brought_up_to_date(connection: sqlite3.Connection, version: int = 0) -> sqlite3.Connection:
    bring_up_to_date(connection, version)
    connection.execute("PRAGMA query_only = ON")
    return connection
