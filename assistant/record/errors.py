"""Why the record can't be read or written, in words that say what to do about it."""

import sqlite3
from collections.abc import Mapping
from pathlib import Path

from assistant.schedule.faults import harmless

ELSEWHERE = "name another folder with --data or KETTLESIDE_DATA"


class RecordError(Exception):
    """The record can't be read or written; the message says where, why and what to do."""


class RecordGone(RecordError):
    """The file that was being written is not in its place any more."""


class BackupError(Exception):
    """A backup can't be made, or is none that can be used; ``faults`` has a line for each."""

    def __init__(self, *faults: str) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


class CopyError(Exception):
    """A day's copy can't be written; the day itself is on record, and may go on without it."""


_WORDS: Mapping[int, str] = {
    sqlite3.SQLITE_NOTADB: (
        "is not a database; move it out of the way and a new record is begun in its place"
    ),
    sqlite3.SQLITE_CORRUPT: (
        "is damaged; start again, and what can be read is mended from it and the days' copies"
    ),
    sqlite3.SQLITE_FULL: "can't grow because the disk is full; free some space and start again",
    sqlite3.SQLITE_READONLY: f"can't be written; make it writable, or {ELSEWHERE}",
    sqlite3.SQLITE_CANTOPEN: f"can't be opened; see to the rights on it, or {ELSEWHERE}",
    sqlite3.SQLITE_PERM: f"can't be opened; see to the rights on it, or {ELSEWHERE}",
    sqlite3.SQLITE_IOERR: f"can't be read or written, the disk reports a fault; {ELSEWHERE}",
    sqlite3.SQLITE_BUSY: "is in use by another program; close that and try again",
    sqlite3.SQLITE_LOCKED: "is in use by another program; close that and try again",
}
"""Words for SQLite's primary result codes (SQLite, "Result and Error Codes")."""

PRIMARY_CODE = 0xFF
"""The byte of an extended result code that holds the primary one."""


def database_fault(path: Path, error: sqlite3.Error) -> RecordError:
    """What SQLite found wrong with the record at ``path``."""
    code = getattr(error, "sqlite_errorcode", None)
    words = _WORDS.get(code & PRIMARY_CODE) if isinstance(code, int) else None
    if words is None:
        words = f"can't be used: {harmless(str(error), 200)}"
    return RecordError(f"the record {_shown(path)} {words}")


def no_room_for_copy(folder: Path, error: sqlite3.Error) -> RecordError:
    """A whole copy of the record can't be written to ``folder``, one for files in passing."""
    return RecordError(
        f"the record can't be copied to {_shown(folder)}: {harmless(str(error), 200)}; "
        "make room there, or name a folder that has some with TMPDIR"
    )


def damaged(path: Path) -> RecordError:
    """The record at ``path`` is so far gone that SQLite's own word on it can't be read."""
    return RecordError(f"the record {_shown(path)} {_WORDS[sqlite3.SQLITE_CORRUPT]}")


def folder_fault(folder: Path, error: OSError) -> RecordError:
    """What the system found wrong with the folder of the record."""
    reason = harmless(error.strerror or str(error), 200)
    return RecordError(f"the record in {_shown(folder)} can't be used: {reason}; {ELSEWHERE}")


def copy_fault(path: Path, reason: OSError | str) -> CopyError:
    """Why the copy at ``path``, or in that folder, can't be written."""
    if isinstance(reason, OSError):
        reason = reason.strerror or str(reason)
    return CopyError(
        f"the copy in {_shown(path)} can't be written: {harmless(reason, 200)}; "
        "the day itself is on record"
    )


def _shown(path: Path) -> str:
    return harmless(str(path), 300)
