"""True troubles of a disk, brought about on the true record of a day and taken away again.

Nothing stands in for SQLite: the pages run out, the file is locked by another connection, its
bytes are overwritten.
"""

import sqlite3
from collections.abc import Callable, Mapping
from pathlib import Path

from assistant.day.events import RecordTrouble
from assistant.record.journal import FILE_NAME, Journal


class Disk:
    """The disk under the record in ``folder``, as ``journal`` has it open."""

    def __init__(self, folder: Path, journal: Journal) -> None:
        self.path, self.journal = folder / FILE_NAME, journal
        self._other: sqlite3.Connection | None = None
        self._away = self.path.with_name("kettleside.away")
        self._failing: RecordTrouble | None = None

    @property
    def failing(self) -> RecordTrouble | None:
        """What is wrong with it now."""
        return self._failing

    def fill(self) -> None:
        """No page more than there are now: SQLite then says that the disk is full.

        What is free inside the pages there are can still be written to, as on a real disk.
        """
        used = self._pragma("page_count")
        self._pragma(f"max_page_count = {used}")
        self._failing = RecordTrouble.FULL

    def make_read_only(self) -> None:
        """The connection may write no more."""
        self._pragma("query_only = 1")
        self._failing = RecordTrouble.NOT_WRITABLE

    def lock(self) -> None:
        """Another program holds the file for writing."""
        self._pragma("busy_timeout = 0")
        self._other = sqlite3.connect(self.path, isolation_level=None, check_same_thread=False)
        self._other.execute("BEGIN IMMEDIATE")
        self._failing = RecordTrouble.BUSY

    def mend(self) -> None:
        """All is well again."""
        if self._other is not None:
            self._other.close()
            self._other = None
        if self._failing is RecordTrouble.FULL:
            self._pragma("max_page_count = 1073741823")
        if self._failing is RecordTrouble.NOT_WRITABLE:
            self._pragma("query_only = 0")
        self._failing = None

    def _pragma(self, text: str) -> int:
        row = self.journal._connection.execute(f"PRAGMA {text}").fetchone()
        return int(row[0]) if row else 0


FAULTS: Mapping[RecordTrouble, Callable[[Disk], None]] = {
    RecordTrouble.FULL: Disk.fill,
    RecordTrouble.NOT_WRITABLE: Disk.make_read_only,
    RecordTrouble.BUSY: Disk.lock,
}
"""What can be wrong with a disk and right again, by what the brewer is told of it."""
