"""The one file of a record, and SQLite's hand on it for those who only look."""

import sqlite3
from pathlib import Path

FILE_NAME = "kettleside.db"

BUSY_S = 2.0
"""How long a row waits for a program that holds the file: a brewer would notice any longer."""

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


def _connected_to(address: str) -> sqlite3.Connection:
    return sqlite3.connect(address, uri=True, timeout=BUSY_S, isolation_level=None)
