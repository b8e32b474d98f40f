"""The journal: every brew day as the rows of what happened, each on the disk before it is spoken.

One SQLite file in the folder of the record. A row is committed, and the disk has it, before
``append`` returns (SQLite's write-ahead log with ``synchronous = FULL``), so a day that is killed
goes on from its last event. Readers may look on while the one writer writes.
"""

import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack, closing, contextmanager
from dataclasses import asdict
from pathlib import Path
from types import TracebackType

from assistant.advice.learned import LearnedKettle
from assistant.cellar.beer import Beer
from assistant.cellar.events import BeerEvent, brewing_of, visits_of
from assistant.day.events import Event
from assistant.record.beer_rows import kept_beer, put_beer, was_visited
from assistant.record.catching_up import catch_up
from assistant.record.codec import (
    event_from,
    learned_from,
    learned_text,
    row_from,
    schedule_from,
    schedule_text,
)
from assistant.record.connecting import FILE_NAME as FILE_NAME
from assistant.record.connecting import copy_database
from assistant.record.copies import copy_paths
from assistant.record.copy_keeping import write_missing_copies
from assistant.record.day_rows import Day as Day
from assistant.record.day_rows import day_rows, names_no_day, unknown_day
from assistant.record.errors import CopyError, RecordGone, damaged, database_fault, no_room_for_copy
from assistant.record.errors import RecordError as RecordError
from assistant.record.kept import DayStatus as DayStatus
from assistant.record.kept import KeptDay, Row, kept_day, row_of, storable
from assistant.record.lessons import Lesson as Lesson
from assistant.record.lessons import kettle_names, last_taught, lessons
from assistant.record.mended import Mended as Mended
from assistant.record.opening import for_reading, for_writing
from assistant.record.schema import transaction
from assistant.record.taking_in import TakenIn, take_in, take_in_all
from assistant.schedule.faults import harmless
from assistant.schedule.model import Schedule

WRITING = frozenset({sqlite3.SQLITE_FULL, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR_WRITE})
"""Faults of a copy being written; whatever is only read has none of these."""

MOST_DAYS = 2**63 - 1
"""The greatest number that SQLite can count to."""


class Journal:
    """The record of a folder, to read and (by one at a time) to write.

    Every method raises :class:`RecordError` where the file can't be read or written.
    """

    def __init__(self, connection: sqlite3.Connection, path: Path, held: ExitStack) -> None:
        self._connection = connection
        self._path = path
        self._held = held
        self._file = _file_at(path)
        self.mended: Mended | None = None
        """What had to be mended on opening, or with a record that is only read, what has to be."""
        self.copy_fault: CopyError | None = None
        """Why the copies of the days were not brought up to date on opening, where they weren't."""

    @classmethod
    def open(cls, folder: Path, *, read_only: bool = False, thorough: bool = False) -> "Journal":
        """Open the record in ``folder``, made where it is missing.

        A damaged one is mended first, and ``mended`` says so. With ``read_only`` nothing is made
        or changed, a missing record holds no days, and a writer may be at work; with ``thorough``
        every row of it and of the copies is looked at first, which takes a second or two for a
        hundred days. Raises :class:`RecordError` where the folder or file can't be used, another
        writer holds it, or a newer version wrote it.
        """
        path = folder / FILE_NAME
        with ExitStack() as held, _told(path):
            connection, mended = (
                for_reading(path, held) if read_only else for_writing(path, held, thorough=thorough)
            )
            journal = cls(connection, path, held.pop_all())
        journal.mended = mended
        if not read_only:
            journal._keep_copies()
        return journal

    def begin_day(self, schedule: Schedule, schedule_path: str, wall_s: float) -> int:
        """Put a new open day on record, begun at ``wall_s`` (Unix seconds); its number."""
        with _told(self._path):
            row = self._connection.execute(
                "INSERT INTO days (began_wall, schedule_path, beer, schedule, status)"
                " VALUES (?, ?, ?, ?, ?) RETURNING id",
                (
                    wall_s,
                    storable(schedule_path),
                    storable(schedule.beer),
                    schedule_text(schedule),
                    DayStatus.OPEN.value,
                ),
            ).fetchall()
        return int(row[0][0])

    def append(self, day_id: int, event: BeerEvent, wall_s: float) -> None:
        """Put an event on record as the day's next; it is on the disk when this returns."""
        self.append_row(day_id, row_of(event, wall_s, self.rows(day_id) + 1))

    def append_row(self, day_id: int, row: Row) -> None:
        """Put a row on record as the day's next, whatever its number; on the disk likewise."""
        try:
            with _told(self._path):
                self._connection.execute(
                    "INSERT INTO events (day, seq, at, wall, kind, body)"
                    " SELECT :day, COALESCE(MAX(seq), 0) + 1, :at, :wall, :kind, :body"
                    " FROM events WHERE day = :day",
                    {"day": day_id, **asdict(row)},
                )
        except RecordError as error:
            if names_no_day(error):
                raise unknown_day(day_id) from error
            raise

    def events(self, day_id: int) -> tuple[Event, ...]:
        """What happened on a brew day, in order; empty for a day that is not on record."""
        return brewing_of(self.all_events(day_id))

    def visits(self, day_id: int) -> tuple[BeerEvent, ...]:
        """What happened on the visits to the beer of a day, in order."""
        return visits_of(self.all_events(day_id))

    def all_events(self, day_id: int) -> tuple[BeerEvent, ...]:
        """All that is on record of a day: its brewing, and the visits to its beer."""
        with _told(self._path):
            rows = self._connection.execute(
                "SELECT kind, body, seq FROM events WHERE day = ? ORDER BY seq", (day_id,)
            ).fetchall()
        return tuple(
            event_from(kind, body, f"row {seq} of day {day_id}") for kind, body, seq in rows
        )

    def rows(self, day_id: int) -> int:
        """How many events of a day are on record."""
        with _told(self._path):
            found = self._connection.execute(
                "SELECT COALESCE(MAX(seq), 0) FROM events WHERE day = ?", (day_id,)
            ).fetchone()
        return int(found[0])

    def last(self, day_id: int) -> tuple[float, float] | None:
        """The day's own second and the wall clock of its last event, or None before the first."""
        with _told(self._path):
            row = self._connection.execute(
                "SELECT at, wall FROM events WHERE day = ? ORDER BY seq DESC LIMIT 1", (day_id,)
            ).fetchone()
        if row is None:
            return None
        return row_from(row, tuple[float, float], f"the last row of day {day_id}")

    def schedule(self, day_id: int) -> Schedule:
        """The schedule a day was begun with. Raises :class:`RecordError` for an unknown day."""
        with _told(self._path):
            row = self._connection.execute(
                "SELECT schedule FROM days WHERE id = ?", (day_id,)
            ).fetchone()
        if row is None:
            raise unknown_day(day_id)
        return schedule_from(row[0], f"day {day_id}")

    def days(self) -> tuple[Day, ...]:
        """Every day on record, the newest first."""
        return self._days("ORDER BY id DESC")

    def day(self, day_id: int) -> Day | None:
        """A day by its number."""
        if not 0 < day_id <= MOST_DAYS:
            return None
        return next(iter(self._days("WHERE id = ?", day_id)), None)

    def unfinished(self, schedule_path: str) -> Day | None:
        """The newest open day of the schedule at this path."""
        found = self._days(
            "WHERE status = ? AND schedule_path = ? ORDER BY id DESC LIMIT 1",
            DayStatus.OPEN.value,
            storable(schedule_path),
        )
        return next(iter(found), None)

    def close_day(self, day_id: int, status: DayStatus) -> None:
        """Mark how a day ended; OPEN opens it again, for one whose end was taken back."""
        with _told(self._path):
            changed = self._connection.execute(
                "UPDATE days SET status = ? WHERE id = ?", (status.value, day_id)
            ).rowcount
        if changed == 0:
            raise unknown_day(day_id)

    def keep_learned(self, day_id: int, learned: LearnedKettle | None) -> None:
        """Put on record what a day taught of its kettle, in the place of what it had taught.

        None takes it away, for a day that goes on. Raises :class:`RecordError` for figures that
        can't be kept, and for those of an unknown day.
        """
        text = None if learned is None else learned_text(learned)
        try:
            with _told(self._path):
                if learned is None:
                    self._connection.execute("DELETE FROM learned WHERE day = ?", (day_id,))
                else:
                    self._connection.execute(
                        "INSERT INTO learned (day, kettle, body) VALUES (?, ?, ?)"
                        " ON CONFLICT (day) DO UPDATE"
                        " SET kettle = excluded.kettle, body = excluded.body",
                        (day_id, storable(learned.kettle), text),
                    )
        except RecordError as error:
            if names_no_day(error):
                raise unknown_day(day_id) from error
            raise

    def learned(self, kettle_name: str) -> LearnedKettle | None:
        """What the newest finished day with a kettle of that name taught of it, if anything.

        Of a kettle that was given no name nothing is known: it could be any.
        """
        with _told(self._path):
            row = last_taught(self._connection, kettle_name)
        return None if row is None else learned_from(row.learned, f"day {row.day}")

    def last_taught_with(self, kettle_name: str) -> Schedule | None:
        """The schedule of that day."""
        with _told(self._path):
            row = last_taught(self._connection, kettle_name)
        return None if row is None else schedule_from(row.schedule, f"day {row.day}")

    def kettles(self) -> tuple[str, ...]:
        """The names of the kettles that finished days have taught of, the latest used first."""
        with _told(self._path):
            return kettle_names(self._connection)

    def learned_over(self, kettle_name: str) -> tuple[Lesson, ...]:
        """What each finished day with a kettle of that name taught of it, the oldest first."""
        with _told(self._path):
            return lessons(self._connection, kettle_name)

    def was_visited(self, day_id: int) -> bool:
        """Whether anything is on record of a day's beer since its brewing."""
        with _told(self._path):
            return was_visited(self._connection, day_id)

    def beer(self, day_id: int, brewed: int) -> Beer | None:
        """What a brew day of so many rows handed over, where that was kept and can be read."""
        with _told(self._path):
            return kept_beer(self._connection, day_id, brewed)

    def keep_beer(self, day_id: int, brewed: int, beer: Beer) -> None:
        """Keep what a brew day of so many rows handed over, in the place of what was kept."""
        with _told(self._path):
            put_beer(self._connection, day_id, brewed, beer)

    def reopen(self) -> None:
        """Open the file anew, as after damage or a drive that was away.

        It must be there, or copies that it can be put together from.
        """
        self.close()
        if not self._path.exists() and not copy_paths(self.folder):
            raise RecordGone(f"the record {harmless(str(self._path), 300)} is gone")
        fresh = Journal.open(self.folder)
        self._connection, self._held, self._file = fresh._connection, fresh._held, fresh._file
        self.mended, self.copy_fault = fresh.mended, fresh.copy_fault

    @property
    def in_place(self) -> bool:
        """Whether the file is still where it was opened: SQLite writes on into one that is not."""
        return _file_at(self._path) == self._file

    def row_counts(self) -> Mapping[int, int]:
        """How many rows each day on record has."""
        with _told(self._path):
            # Rows of a day are numbered from 1 without gaps, so the last number is their count.
            rows = self._connection.execute(
                "SELECT id, (SELECT COALESCE(MAX(seq), 0) FROM events WHERE day = id) FROM days"
            ).fetchall()
        return dict(rows)

    def take_in(self, day: KeptDay) -> TakenIn:
        """Put a day from a copy on record as a new one, or add to it what the record lacks.

        Raises :class:`~assistant.record.taking_in.OnRecordAlready` where there is nothing new.
        """
        with _told(self._path), transaction(self._connection):
            return take_in(self._connection, day)

    def take_in_all(self, days: Iterable[KeptDay]) -> tuple[TakenIn, ...]:
        """Put days on record as :meth:`take_in` does, all of them or none; what came of each."""
        with _told(self._path), transaction(self._connection):
            return take_in_all(self._connection, days)

    def copy_to(self, path: Path) -> None:
        """Copy all that is on record at this moment to a new database at ``path``.

        A writer may be at work. What the copies of the days hold more than the record is in it
        too, and nothing of what the folder of the record holds is changed.
        """
        try:
            with closing(sqlite3.connect(path, isolation_level=None)) as copy:
                copy_database(self._connection, copy)
                catch_up(copy, self._path, looking_on=True)
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode in WRITING:
                raise no_room_for_copy(path.parent, error) from error
            raise database_fault(self._path, error) from error
        except sqlite3.Error as error:
            raise database_fault(self._path, error) from error

    @property
    def folder(self) -> Path:
        """The folder of the record."""
        return self._path.parent

    def kept(self, day_id: int) -> KeptDay:
        """A day as it stands on record, for its copy. Raises :class:`RecordError` for none."""
        with _told(self._path):
            found = kept_day(self._connection, day_id) if 0 < day_id <= MOST_DAYS else None
        if found is None:
            raise unknown_day(day_id)
        return found

    def leave_open(self) -> None:
        """Let the file be when this is closed: a thread that is still in SQLite would crash."""
        self._held.pop_all()

    def close(self) -> None:
        """Let go of the file, and let the next writer in."""
        with _told(self._path):
            self._held.close()

    def __enter__(self) -> "Journal":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _keep_copies(self) -> None:
        try:
            write_missing_copies(self, self.folder)
        except CopyError as error:
            self.copy_fault = error

    def _days(self, which: str, *values: object) -> tuple[Day, ...]:
        with _told(self._path):
            return day_rows(self._connection, which, *values)


def _file_at(path: Path) -> tuple[int, int] | None:
    """Which file the system has there; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Tell of SQLite's troubles in a brewer's words; the program's own misuse stays as it is."""
    try:
        yield
    except sqlite3.ProgrammingError:
        raise
    except sqlite3.Error as error:
        raise database_fault(path, error) from error
    except UnicodeDecodeError as error:
        # SQLite quotes a damaged file in its fault, and Python can't decode the quotation.
        raise damaged(path) from error
