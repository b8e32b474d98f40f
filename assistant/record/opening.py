"""The file of a record opened, to write it by one program or to look on."""

import sqlite3
from contextlib import ExitStack, closing
from pathlib import Path

from assistant.record.catching_up import catch_up
from assistant.record.connecting import BUSY_S, read_only
from assistant.record.copies import copy_paths, set_aside_damaged
from assistant.record.errors import folder_fault
from assistant.record.lock import WriterLock
from assistant.record.mended import Mended
from assistant.record.mending import READY, carry_on, look_through, mend
from assistant.record.schema import VERSION, bring_up_to_date, version_of
from assistant.record.soundness import Condition, all_reads, condition

LOCK_NAME = "kettleside.lock"


def for_writing(
    path: Path, held: ExitStack, *, thorough: bool = False
) -> tuple[sqlite3.Connection, Mended | None]:
    """The record at ``path`` for its one writer, made, mended or brought up to date where need be.

    With it comes what had to be mended, if anything; ``thorough`` looks at every row for it. What
    has to be given back goes on ``held``. Raises :class:`~assistant.record.errors.RecordError` for
    a folder that can't be used, another writer and a newer record, and SQLite's own errors as they
    come.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise folder_fault(path.parent, error) from error
    held.enter_context(WriterLock(path.parent / LOCK_NAME))
    mended = _mended(path, thorough=thorough)
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
    return connection, mended or catch_up(connection, path)


def _mended(path: Path, *, thorough: bool) -> Mended | None:
    try:
        carry_on(path)
        state = condition(path, deep=True)
    except OSError as error:
        raise folder_fault(path.parent, error) from error
    if state is Condition.DAMAGED:
        return mend(path)
    if not thorough or state is Condition.MISSING:
        return None
    if not all_reads(path):
        return mend(path)
    set_aside_damaged(path.parent)
    return None


def for_reading(path: Path, held: ExitStack) -> tuple[sqlite3.Connection, Mended | None]:
    """The record at ``path`` for one who looks on; nothing on the disk is made or changed.

    A missing record is one without days, and an older one is seen as the next brew day will have
    it, a damaged one as far as it can be read. Raises as :func:`for_writing` does, but lets a
    writer be.
    """
    try:
        if path.with_name(READY).exists():
            path = path.with_name(READY)
        state = condition(path, deep=False)
    except OSError as error:
        raise folder_fault(path.parent, error) from error
    if state is Condition.DAMAGED or (state is Condition.MISSING and copy_paths(path.parent)):
        copy = _in_memory(held)
        seen = look_through(path, copy)
        copy.execute("PRAGMA query_only = ON")
        return copy, seen
    if state is Condition.MISSING:
        return _brought_up_to_date(_in_memory(held)), None
    connection = held.enter_context(closing(read_only(path)))
    if version_of(connection, path) == VERSION:
        return connection, None
    copy = _in_memory(held)
    connection.backup(copy)
    # A brew day may have brought the record up to date between the two.
    return _brought_up_to_date(copy, version_of(copy, path)), None


def _in_memory(held: ExitStack) -> sqlite3.Connection:
    return held.enter_context(closing(sqlite3.connect(":memory:", isolation_level=None)))


def _brought_up_to_date(connection: sqlite3.Connection, version: int = 0) -> sqlite3.Connection:
    bring_up_to_date(connection, version)
    connection.execute("PRAGMA query_only = ON")
    return connection
