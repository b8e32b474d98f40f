"""The rows of the day at hand, held in memory until the disk has them.

A row is on the disk before what it came to is spoken, as long as the disk takes it within
:data:`PATIENCE_S`. Where it does not, the day goes on and its rows wait here in their order: a
brewer with a boil at hand can't wait for a disk. What fails is tried again with longer and longer
pauses, and whoever asks for :meth:`Keeper.news` learns of it once, and once when all is written.
"""

import sqlite3
import threading
import time
from collections import deque
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from types import TracebackType

from assistant.advice.learned import LearnedKettle
from assistant.backing_off import PAUSES_S, BackingOff, Pauses
from assistant.cellar.events import BeerEvent
from assistant.day.events import Incident, RecordMended, RecordTrouble, RecordTroubled
from assistant.record.codec import learned_text
from assistant.record.copies import write_copy
from assistant.record.copying_along import CopyingAlong
from assistant.record.errors import PRIMARY_CODE, CopyError, RecordGone
from assistant.record.journal import DayStatus, Journal
from assistant.record.kept import KeptDay, Row, row_of

PATIENCE_S = 0.5
"""So long the day waits for the disk: any longer and an answer would seem not to come."""

SLOW_AFTER_S = 10.0
"""A disk that is so far behind is told of; less is a card that tidies up now and then."""

LAST_CHANCE_S = 5.0
"""So long the end of the program waits for what is not written yet."""

TROUBLES: Mapping[int, RecordTrouble] = {
    sqlite3.SQLITE_FULL: RecordTrouble.FULL,
    sqlite3.SQLITE_READONLY: RecordTrouble.NOT_WRITABLE,
    sqlite3.SQLITE_PERM: RecordTrouble.NOT_WRITABLE,
    sqlite3.SQLITE_BUSY: RecordTrouble.BUSY,
    sqlite3.SQLITE_LOCKED: RecordTrouble.BUSY,
    sqlite3.SQLITE_CORRUPT: RecordTrouble.DAMAGED,
    sqlite3.SQLITE_NOTADB: RecordTrouble.DAMAGED,
}
"""What SQLite's primary result codes mean for a brew day; any other is a failing disk."""

REOPENED = (RecordTrouble.DAMAGED, RecordTrouble.FAILING, RecordTrouble.GONE)
"""What may hold on to an open file after its cause is gone, as a drive plugged in again does."""


@dataclass(frozen=True, kw_only=True)
class Ending:
    """The day is to be marked as ended or open again, with what it taught of its kettle."""

    status: DayStatus
    learned: LearnedKettle | None


class Keeper:
    """Keeps what happens on one day of a journal, which nobody else may use meanwhile.

    As a context manager it writes in a thread of its own, so that no disk holds up the day, and a
    copy of the day beside it. Used without, it writes the record alone, in the thread that calls.
    """

    def __init__(
        self,
        journal: Journal,
        day_id: int,
        *,
        patience_s: float = PATIENCE_S,
        slow_after_s: float = SLOW_AFTER_S,
        pauses_s: Pauses = PAUSES_S,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self.journal, self.day_id = journal, day_id
        self._patience_s, self._slow_after_s, self._now_s = patience_s, slow_after_s, now_s
        self._day = journal.kept(day_id)
        self._rows = list(self._day.rows)
        self._written = len(self._rows)
        self._waiting: deque[Row | Ending] = deque()
        self._changed = threading.Condition()
        self._copying: CopyingAlong | None = None
        self._backing_off = BackingOff(pauses_s, now_s=now_s)
        self._behind_since_s = 0.0
        self._behind = self._unsure = self._reopening = self._closing = False
        self._lost = _lost_before(journal, self._day)
        self._trouble: RecordTrouble | None = None
        self._told: RecordTrouble | None = None
        self._thread: threading.Thread | None = None

    def keep(self, event: BeerEvent, wall_s: float) -> None:
        """Put an event on record as the next, or in line to be.

        Raises :class:`~assistant.record.errors.RecordError` for one that no record could hold.
        """
        self._take(row_of(event, wall_s, len(self._rows) + 1))

    def end(self, status: DayStatus, learned: LearnedKettle | None) -> None:
        """Mark how the day stands now, and what it taught of its kettle, after all before it."""
        self._take(Ending(status=status, learned=learned))

    def news(self, at: float) -> tuple[Incident, ...]:
        """What is to be told of the record at a second of the day, once each time it changes."""
        with self._changed:
            trouble, lost = self._trouble, self._lost
            late_s = self._now_s() - self._behind_since_s
            if trouble is None and self._behind and late_s >= self._slow_after_s:
                trouble = RecordTrouble.SLOW
            changed, self._told = trouble != self._told, trouble
            self._lost = None
        told: list[Incident] = []
        if changed:
            told.append(RecordTroubled(at=at, trouble=trouble or RecordTrouble.WRITTEN_AGAIN))
        if lost is not None:
            told.append(RecordMended(at=at, missing=lost))
        return tuple(told)

    @property
    def left(self) -> tuple[Row, ...]:
        """What is in memory alone, oldest first."""
        with self._changed:
            return self._rows_waiting()

    @property
    def whole_day(self) -> KeptDay:
        """The day with all that happened, whatever of it the record has."""
        with self._changed:
            ends = [job for job in self._waiting if isinstance(job, Ending)]
            day = replace(self._day, rows=tuple(self._rows))
        if not ends:
            return day
        learned = ends[-1].learned
        return replace(
            day,
            head=replace(day.head, status=ends[-1].status),
            learned=None if learned is None else learned_text(learned),
        )

    def __enter__(self) -> "Keeper":
        self._copying = CopyingAlong(self.journal, self.day_id, self._now_s)
        self._thread = threading.Thread(target=self._run, name="keeping the record")
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Write what waits, if the disk takes it in :data:`LAST_CHANCE_S`; see ``left`` then.

        Where the disk holds a write for longer, the program ends when it lets go of it.
        """
        with self._changed:
            self._closing = True
            self._changed.notify_all()
        if self._thread is not None:
            self._thread.join(LAST_CHANCE_S)
            if self._thread.is_alive():
                self.journal.leave_open()

    def _take(self, job: Row | Ending) -> None:
        with self._changed:
            if not self._waiting:
                self._behind_since_s = self._now_s()
            self._waiting.append(job)
            if isinstance(job, Row):
                self._rows.append(job)
            if self._thread is not None:
                self._changed.notify_all()
                if not self._behind:
                    written = self._changed.wait_for(lambda: self._settled, self._patience_s)
                    self._behind = not written or bool(self._waiting)
                return
        if self._backing_off.due_in_s == 0:
            self._write()

    @property
    def _settled(self) -> bool:
        return not self._waiting or self._trouble is not None

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._waiting or self._closing)
                pause_s = self._backing_off.due_in_s
                if pause_s > 0:
                    self._changed.wait_for(lambda: self._closing, pause_s)
                last = self._closing
            self._write()
            if last:
                self._close_copy()
                return

    def _write(self) -> None:
        while self._waiting:
            try:
                if self._reopening:
                    self._reopen()
                job = self._waiting[0]
                self._put(job)
                self._copy(job)
            except Exception as error:
                # Whatever it was, what waits must not be lost with this thread.
                self._fail(error)
                return
            with self._changed:
                self._waiting.popleft()
                self._backing_off.works()
                if not self._waiting:
                    self._trouble, self._behind = None, False
                self._changed.notify_all()

    def _put(self, job: Row | Ending) -> None:
        if isinstance(job, Ending):
            self.journal.keep_learned(self.day_id, job.learned)
            self.journal.close_day(self.day_id, job.status)
            self._day = replace(self._day, head=replace(self._day.head, status=job.status))
            return
        if not self.journal.in_place:
            raise RecordGone("the record was taken away or replaced")
        # A write that was told to have failed may have reached the disk all the same.
        if not self._unsure or self.journal.rows(self.day_id) == self._written:
            self.journal.append_row(self.day_id, job)
        self._unsure = False
        self._written += 1

    def _copy(self, job: Row | Ending) -> None:
        if self._copying is None:
            return
        if isinstance(job, Row):
            self._copying.add(replace(job, seq=self._written))
        else:
            learned = None if job.learned is None else learned_text(job.learned)
            self._copying.end(job.status, learned)

    def _reopen(self) -> None:
        """Open the record anew; what it has lost of this day's end is put in line once more."""
        self._close_copy()
        with self._changed:
            # More may come to wait meanwhile: what is known and what waits is of one moment.
            waiting = list(self._rows_waiting())
            known = self._rows[: len(self._rows) - len(waiting)]
        self._copy_before_mending(known)
        self.journal.reopen()
        found = list(self.journal.kept(self.day_id).rows)
        there, lost = len(found), 0
        with self._changed:
            if found == known[:there]:
                self._waiting.extendleft(reversed(known[there:]))
            elif found == (known + waiting)[:there]:
                for row in waiting[: there - len(known)]:
                    self._waiting.remove(row)
            else:
                lost = max(self._written - there, 0)
            self._written, self._unsure, self._reopening = there, False, False
            if self._trouble is RecordTrouble.DAMAGED or lost:
                self._lost = lost

    def _copy_before_mending(self, known: list[Row]) -> None:
        # The mending takes up what a copy holds; a folder that is gone is not to be made anew.
        if self.journal.folder.is_dir():
            with suppress(CopyError, ValueError):
                write_copy(self.journal.folder, replace(self._day, rows=known))

    def _rows_waiting(self) -> tuple[Row, ...]:
        return tuple(job for job in self._waiting if isinstance(job, Row))

    def _close_copy(self) -> None:
        if self._copying is not None:
            self._copying.close()

    def _fail(self, error: Exception) -> None:
        code = getattr(error.__cause__, "sqlite_errorcode", None)
        primary = code & PRIMARY_CODE if isinstance(code, int) else -1
        trouble = TROUBLES.get(primary, RecordTrouble.FAILING)
        if isinstance(error, RecordGone):
            trouble = RecordTrouble.GONE
        with self._changed:
            self._trouble = trouble
            self._reopening = self._reopening or self._trouble in REOPENED
            self._backing_off.failed()
            self._behind = self._unsure = True
            self._changed.notify_all()


def _lost_before(journal: Journal, day: KeptDay) -> int | None:
    """How many rows of a day that goes on are missing from a record that had to be mended."""
    if journal.mended is None or not day.rows:
        return None
    return dict(journal.mended.gaps).get(day.number, 0)
