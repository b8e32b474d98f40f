"""The copy of the day at hand, kept up with its rows; a copy that can't be written harms no day."""

from collections.abc import Callable

from assistant.backing_off import BackingOff
from assistant.record.copies import DayCopy
from assistant.record.errors import CopyError, RecordError
from assistant.record.journal import Journal
from assistant.record.kept import DayStatus, Row


class CopyingAlong:
    """Copies what has gone on record of one day, in the thread that writes the record.

    A copy that failed is begun anew after a pause, with all that is on record by then.
    """

    def __init__(self, journal: Journal, day_id: int, now_s: Callable[[], float]) -> None:
        self._journal, self._day_id = journal, day_id
        self._copy: DayCopy | None = None
        self._backing_off = BackingOff(now_s=now_s)

    def add(self, row: Row) -> None:
        """Copy the row that has just gone on record."""
        try:
            if self._copy is not None:
                self._copy.add(row)
            elif self._backing_off.due_in_s == 0:
                self._copy = DayCopy.begun(self._journal.folder, self._journal.kept(self._day_id))
                self._backing_off.works()
        except (CopyError, RecordError, ValueError):
            self._failed()

    def end(self, status: DayStatus, learned: str | None) -> None:
        """Close the copy of a day that has ended; one that goes on is begun anew."""
        copy, self._copy = self._copy, None
        try:
            if copy is not None and status is not DayStatus.OPEN:
                copy.finish(status, learned)
        except (CopyError, RecordError, ValueError):
            self._failed()

    def close(self) -> None:
        """Let go of the file, as far as it came."""
        copy, self._copy = self._copy, None
        try:
            if copy is not None:
                copy.close()
        except (CopyError, RecordError, ValueError):
            self._failed()

    def _failed(self) -> None:
        # The next opening of the record, and the next row after a pause, write it whole.
        self._copy = None
        self._backing_off.failed()
