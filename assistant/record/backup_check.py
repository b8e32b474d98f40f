"""A backup looked through: every file by its checksum, every row of the record, every copy.

Nothing but a folder of the system's for passing things is written to.
"""

import shutil
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.record import schema
from assistant.record.backup_files import BackupFiles
from assistant.record.backup_format import (
    MOST_DAY_BYTES,
    MOST_TEXT_BYTES,
    RECORD,
    Contents,
    copy_number,
)
from assistant.record.connecting import read_only
from assistant.record.copies import same_day
from assistant.record.copy_lines import read_copy
from assistant.record.errors import BackupError, RecordError
from assistant.record.kept import DayStatus, KeptDay, check_known, kept_day, same_json
from assistant.record.salvage import LOST
from assistant.record.soundness import check_day, sound_inside, strangers
from assistant.schedule.faults import harmless

MOST_DAYS = 20_000
"""A brew day every day for half a century."""

MOST_FAULTS = 100

UNREADABLE = (sqlite3.Error, RecordError, TypeError, ValueError, RecursionError, OverflowError)
"""What a look at a record comes to that anybody may have made."""


@dataclass(frozen=True, kw_only=True)
class DayInside:
    """A day in a backup, to be listed: ``began_wall`` is Unix seconds."""

    number: int
    began_wall: float
    status: DayStatus
    beer: str


class CheckedBackup:
    """A backup that is whole; ``record`` is the file of the record in it, unpacked."""

    def __init__(
        self,
        files: BackupFiles,
        record: Path,
        connection: sqlite3.Connection,
        days: tuple[DayInside, ...],
    ) -> None:
        self.files = files
        self.record = record
        self.days = days
        """The days in it, the newest first."""
        self._connection = connection

    @property
    def contents(self) -> Contents:
        """What the backup says of itself."""
        return self.files.contents

    def oldest_first(self) -> list[DayInside]:
        """The days in it, the one that began first before the others."""
        return sorted(self.days, key=lambda day: (day.began_wall, day.number))

    def kept(self) -> Iterator[KeptDay]:
        """Every day in it, with its rows, in that order.

        Raises :class:`~assistant.record.errors.RecordError` for an event that this version does
        not know.
        """
        for inside in self.oldest_first():
            day = _day(self._connection, inside.number)
            check_known(day, self.files.shown)
            yield day


@contextmanager
def checked(files: BackupFiles) -> Iterator[CheckedBackup]:
    """The backup looked through, for as long as the context lasts.

    Raises :class:`~assistant.record.errors.BackupError` with a line for each fault.
    """
    with ExitStack() as held:
        try:
            folder = Path(held.enter_context(TemporaryDirectory(prefix="kettleside-")))
            record = folder / RECORD
            _unpack(files, record)
            connection = held.enter_context(closing(_opened(files, record)))
            version = _checked_version(files, connection)
            if version < schema.VERSION:
                present = folder / "present.db"
                shutil.copyfile(record, present)
                connection = held.enter_context(closing(_brought_up_to_date(present, version)))
            days = _checked_days(files, connection)
        except OSError as error:
            reason = harmless(error.strerror or str(error), 200)
            raise BackupError(f"{files.shown} can't be unpacked: {reason}") from error
        except UNREADABLE as error:
            raise _damaged(files, [f"the record in it can't be read: {_why(error)}"]) from error
        yield CheckedBackup(files, record, connection, days)


class _Nowhere:
    def write(self, data: bytes, /) -> int:
        return len(data)


def _unpack(files: BackupFiles, record: Path) -> None:
    """Unpack the record and look at the checksums of all that is there."""
    faults: list[str] = []
    for name in files.contents.files:
        try:
            if name == RECORD:
                with record.open("wb") as to:
                    files.copy_out(name, to)
            else:
                files.copy_out(name, _Nowhere())
        except BackupError as error:
            faults += error.faults
    if faults:
        raise BackupError(*_first(faults))


def _opened(files: BackupFiles, record: Path) -> sqlite3.Connection:
    connection = read_only(record)
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, MOST_TEXT_BYTES)
    return connection


def _brought_up_to_date(path: Path, version: int) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, MOST_TEXT_BYTES)
    try:
        schema.bring_up_to_date(connection, version)
    except BaseException:
        connection.close()
        raise
    return connection


def _checked_version(files: BackupFiles, connection: sqlite3.Connection) -> int:
    """The version of a record that is whole as far as SQLite can tell."""
    marked = connection.execute("PRAGMA application_id").fetchone()[0] == schema.APPLICATION_ID
    if not marked:
        raise _damaged(files, ["the database in it is no record of brew days"])
    try:
        version = schema.version_of(connection, files.path)
    except RecordError as error:
        raise BackupError(str(error)) from error
    odd = [
        f"the record in it holds {harmless(repr(name), 200)}, which is none of its own"
        for name in strangers(connection, version)
    ]
    if odd:
        # Before anything is asked of it: a trigger or a view does what its maker wants.
        raise _damaged(files, odd)
    if not 0 < version == files.contents.version:
        raise _damaged(files, [f"the record in it is of version {version}, not as its list says"])
    if not sound_inside(connection, deep=True):
        raise _damaged(files, ["the record in it is damaged"])
    return version


def _checked_days(files: BackupFiles, connection: sqlite3.Connection) -> tuple[DayInside, ...]:
    numbers = [number for (number,) in connection.execute("SELECT id FROM days ORDER BY id DESC")]
    faults = list(_odd_numbers(connection, numbers))
    if faults:
        raise _damaged(files, faults)
    copies, more = _copies(files.contents)
    faults += more
    faults += [f"the copy of day {n}, which is not on record" for n in copies.keys() - {*numbers}]
    days, rows = [], 0
    for number in numbers:
        try:
            day = _day(connection, number)
            check_day(day)
        except UNREADABLE as error:
            faults.append(f"day {number} can't be read: {_why(error)}")
            continue
        rows += len(day.rows)
        days.append(_inside(day))
        faults += _copy_faults(files, day, copies.get(number))
    contents = files.contents
    if not faults and (len(days), rows) != (contents.days, contents.rows):
        faults.append(
            f"its record has {len(days)} days with {rows} rows; by its list it is "
            f"{contents.days} with {contents.rows}"
        )
    if faults:
        raise _damaged(files, faults)
    return tuple(days)


def _day(connection: sqlite3.Connection, number: int) -> KeptDay:
    day = kept_day(connection, number)
    if day is None:
        raise ValueError("it is not there")
    return day


def _odd_numbers(connection: sqlite3.Connection, numbers: list[int]) -> Iterator[str]:
    if len(numbers) > MOST_DAYS:
        yield f"its record has {len(numbers)} days, and no brewer comes to more than {MOST_DAYS}"
    for number in numbers:
        if not 0 < number < 2**62:
            yield f"its record has a day of the number {number}"
    long = connection.execute(
        "SELECT day FROM events GROUP BY day"
        " HAVING sum(100 + length(CAST(body AS BLOB)) + length(CAST(kind AS BLOB))) > ?",
        (MOST_DAY_BYTES,),
    ).fetchall()
    for (number,) in long:
        yield f"day {number} holds more than {MOST_DAY_BYTES >> 20} MiB, and none does"


def _copies(contents: Contents) -> tuple[Mapping[int, str], list[str]]:
    """The names of the copies by the numbers of their days, and faults."""
    copies: dict[int, str] = {}
    faults = []
    for name in contents.files:
        number = copy_number(name)
        if number is None:
            continue
        if number in copies:
            faults.append(f"{name} is a second copy of day {number}")
        copies[number] = name
    return copies, faults


def _copy_faults(files: BackupFiles, day: KeptDay, name: str | None) -> Iterator[str]:
    if name is None:
        if day.head.schedule != LOST:
            yield f"the copy of day {day.number} is missing"
        return
    if files.contents.files[name].size > MOST_DAY_BYTES:
        yield f"{name} holds more than {MOST_DAY_BYTES >> 20} MiB, and no day does"
        return
    data = files.data(name)
    if any(len(line) > MOST_TEXT_BYTES for line in data.split(b"\n")):
        yield f"{name} has a line that is longer than any of a day"
        return
    try:
        copy = read_copy(data, name)
    except RecordError as error:
        yield str(error)
        return
    if copy.faults:
        yield from copy.faults
    elif not _same(copy.day, day) or copy.complete != (day.head.status is not DayStatus.OPEN):
        yield f"{name} does not say what the record says of day {day.number}"


def _same(copy: KeptDay, day: KeptDay) -> bool:
    return (
        copy.number == day.number
        and same_day(copy, day)
        and (copy.head.beer, copy.head.schedule_path) == (day.head.beer, day.head.schedule_path)
        and copy.head.status is day.head.status
        and tuple(copy.rows) == tuple(day.rows)
        and (day.head.status is DayStatus.OPEN or _same_text(copy.learned, day.learned))
    )


def _same_text(one: str | None, other: str | None) -> bool:
    if one is None or other is None:
        return one is other
    return same_json(one, other)


def _inside(day: KeptDay) -> DayInside:
    head = day.head
    return DayInside(
        number=day.number, began_wall=head.began_wall, status=head.status, beer=head.beer
    )


def _damaged(files: BackupFiles, faults: Iterable[str]) -> BackupError:
    return BackupError(*_first([f"{files.shown} is damaged: {fault}" for fault in faults]))


def _first(faults: list[str]) -> list[str]:
    more = len(faults) - MOST_FAULTS
    return faults if more <= 0 else [*faults[:MOST_FAULTS], f"and {more} faults more"]


def _why(error: BaseException) -> str:
    return harmless(str(error) or type(error).__name__, 300)
