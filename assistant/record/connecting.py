"""The one file of a record, and SQLite's hand on it for those who only look."""

import sqlite3
from pathlib import Path

FILE_NAME = "kettleside.db"

BUSY_S = 2.0
"""How long a row waits for a program that holds the file: a brewer would notice any longer."""

PAUSE_S = 0.25
"""How long a copy of the whole database waits before it tries again."""

LOG_SUFFIX = "-wal"
BESIDE = (LOG_SUFFIX, "-shm", "-journal")
"""What SQLite keeps beside a database under its name with these added."""


def beside(path: Path, suffix: str) -> Path:
    """The file that SQLite keeps beside the one at ``path``."""
    return path.with_name(f"{path.name}{suffix}")


def read_only(path: Path) -> sqlite3.Connection:
    """The database at ``path``, to look at. Raises SQLite's own errors as they come."""
    where = path.resolve().as_uri()
    connection = _connected_to(f"{where}?mode=ro")
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.OperationalError:
        connection.close()
        if beside(path, LOG_SUFFIX).exists():
            raise
        # A log at rest is empty; where the folder can't be written, one can't be made to read.
        return _connected_to(f"{where}?immutable=1")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def copy_database(connection: sqlite3.Connection, copy: sqlite3.Connection) -> None:
    """Copy a database as it stands at one moment to an empty one, as a single file.

    Raises SQLite's own errors as they come, also where another program holds it for long.
    """
    waited_s = 0.0

    def look(status: int, remaining: int, pages: int) -> None:
        nonlocal waited_s
        if status not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            return
        waited_s += PAUSE_S
        if waited_s >= BUSY_S:
            # Python would go on trying for ever.
            error = sqlite3.OperationalError("database is locked")
            error.sqlite_errorcode = sqlite3.SQLITE_BUSY
            raise error

    connection.backup(copy, progress=look, sleep=PAUSE_S)
    copy.execute("PRAGMA journal_mode = DELETE")


def _connected_to(address: str) -> sqlite3.Connection:
    return sqlite3.connect(address, uri=True, timeout=BUSY_S, isolation_level=None)
