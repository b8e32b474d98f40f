"""A plain copy of every day in the folder ``days``, that grows along with the day.

The record is one file, and one file can be lost in one stroke; from the copies it can be put
together again (:mod:`assistant.record.mending`), by another program as well. A copy is never
written over one that holds more of the day.
"""

import hashlib
import os
import re
from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from assistant.record.copy_lines import ReadCopy, first_line, last_line, read_copy, row_line
from assistant.record.disk import sync_folder, write_whole
from assistant.record.errors import CopyError, RecordError, copy_fault
from assistant.record.kept import DayStatus, KeptDay, Row, same_json

FOLDER_NAME = "days"
SUFFIX = ".jsonl"

LONGEST_NAME = 40
"""Letters of the beer's name in that of the file: a path has to fit any file system."""


class DayCopy:
    """The growing copy of one day.

    It belongs to one thread. Once a method has raised
    :class:`~assistant.record.errors.CopyError` the copy stays as far as it came, and only
    :meth:`begun` takes it up again.
    """

    def __init__(self, path: Path, file: BinaryIO, lines: bytes, rows: int) -> None:
        self.path = path
        self.rows = rows
        """How many rows it holds."""
        self._file: BinaryIO | None = file
        self._digest = hashlib.sha256(lines)

    @classmethod
    def begun(cls, folder: Path, day: KeptDay) -> "DayCopy":
        """The copy of ``day`` in the record's ``folder``, written anew from the rows it has.

        It is ready for the day's next row, also where the day had ended and goes on. Raises
        :class:`~assistant.record.errors.CopyError` where it can't be written.
        """
        lines = _lines(day)
        path = _written(folder, day, lines)
        try:
            file = path.open("ab")
        except OSError as error:
            raise copy_fault(path, error) from error
        return cls(path, file, lines, len(day.rows))

    def add(self, row: Row) -> None:
        """Write the day's next row, as it went on record; the system has it when this returns.

        Raises :class:`~assistant.record.errors.CopyError` where it can't be written, or is not
        the row that comes next.
        """
        if row.seq != self.rows + 1:
            self.close()
            raise copy_fault(self.path, f"row {row.seq} came after row {self.rows}")
        self._put(row_line(row))
        self.rows = row.seq

    def finish(self, status: DayStatus, learned: str | None) -> None:
        """Write the last line of a day that has ended, put it on the disk, and close the file.

        ``learned`` is the JSON text of what the day taught. Raises
        :class:`~assistant.record.errors.CopyError` where it can't be written.
        """
        self._put(last_line(status, learned, self.rows, self._digest.hexdigest()), sync=True)
        self.close()

    def close(self) -> None:
        """Let go of the file, as far as it came."""
        file, self._file = self._file, None
        if file is not None:
            try:
                file.close()
            except OSError as error:
                raise copy_fault(self.path, error) from error

    def _put(self, line: bytes, *, sync: bool = False) -> None:
        if self._file is None:
            raise copy_fault(self.path, "it was given up before")
        try:
            self._file.write(line)
            self._file.flush()
            if sync:
                os.fsync(self._file.fileno())
        except OSError as error:
            self._give_up()
            raise copy_fault(self.path, error) from error
        self._digest.update(line)

    def _give_up(self) -> None:
        # Closing tries once more to write what could not be; that fault is told already.
        with suppress(CopyError):
            self.close()


def write_copy(folder: Path, day: KeptDay) -> Path:
    """Write the copy of ``day`` as it stands, closed where the day has ended; where it is.

    Raises :class:`~assistant.record.errors.CopyError` where it can't be written.
    """
    return _written(folder, day, copy_text(day))


def copy_text(day: KeptDay) -> bytes:
    """The whole copy of a day: all its lines, and the last where it has ended.

    Raises ValueError for a day on record that can't be read.
    """
    lines = _lines(day)
    if day.head.status is DayStatus.OPEN:
        return lines
    digest = hashlib.sha256(lines).hexdigest()
    return lines + last_line(day.head.status, day.learned, len(day.rows), digest)


def _lines(day: KeptDay) -> bytes:
    return first_line(day) + b"".join(map(row_line, day.rows))


def copies(folder: Path) -> Iterator[tuple[Path, ReadCopy]]:
    """Every copy in the record's ``folder`` that can be read, in the order of their names."""
    for path in copy_paths(folder):
        try:
            yield path, read_copy(path.read_bytes(), path.name)
        except (OSError, RecordError):
            continue


def set_aside(path: Path) -> None:
    """Keep a damaged copy under a name that is no copy's, so that a whole one takes its place."""
    aside, more = path.with_name(f"{path.name}.damaged"), 1
    while aside.exists():
        more += 1
        aside = path.with_name(f"{path.name}.damaged-{more}")
    # Where it can't be moved it stays, and the whole one goes beside it.
    with suppress(OSError):
        path.rename(aside)


def set_aside_damaged(folder: Path) -> None:
    """Set every copy aside of which a line is damaged."""
    for path, copy in list(copies(folder)):
        if copy.faults:
            set_aside(path)


def copy_paths(folder: Path) -> list[Path]:
    """The files of the record's ``folder`` that are named as copies are."""
    try:
        return sorted(path for path in (folder / FOLDER_NAME).iterdir() if path.suffix == SUFFIX)
    except OSError:
        return []


def same_day(one: KeptDay, other: KeptDay) -> bool:
    """Whether both are the same brew day, however far each tells it."""
    return one.head.began_wall == other.head.began_wall and same_json(
        one.head.schedule, other.head.schedule
    )


def _written(folder: Path, day: KeptDay, lines: bytes) -> Path:
    place = folder / FOLDER_NAME
    try:
        place.mkdir(parents=True, exist_ok=True)
        path = _path_for(place, day)
        write_whole(path, lines)
        sync_folder(place)
    except OSError as error:
        raise copy_fault(place, error) from error
    return path


def _path_for(place: Path, day: KeptDay) -> Path:
    """Where the copy goes: over one that holds no more of the day, or where no file is yet."""
    for path in sorted(place.glob(f"{day.number:04d}-*{SUFFIX}")):
        if _holds_no_more(path, day):
            return path
    name = copy_name(day)
    path, more = place / f"{name}{SUFFIX}", 1
    while path.exists():
        more += 1
        path = place / f"{name}-{more}{SUFFIX}"
    return path


def _holds_no_more(path: Path, day: KeptDay) -> bool:
    try:
        held = read_copy(path.read_bytes(), path.name).day
    except (OSError, RecordError):
        return False
    if _ended(held) and not _ended(day) and len(held.rows) >= len(day.rows):
        # An end that the brewer took back has a row for that; this one was lost.
        return False
    return same_day(held, day) and all(row in day.rows[row.seq - 1 : row.seq] for row in held.rows)


def _ended(day: KeptDay) -> bool:
    return day.head.status is not DayStatus.OPEN


def copy_name(day: KeptDay) -> str:
    """What the copy of a day is called, without the suffix: ASCII, on any file system."""
    try:
        date = f"{datetime.fromtimestamp(day.head.began_wall):%Y-%m-%d}"
    except (ValueError, OverflowError, OSError):
        date = "undated"
    words = re.sub(r"[^a-z0-9]+", "-", day.head.beer.lower())[:LONGEST_NAME].strip("-")
    return f"{day.number:04d}-{date}-{words or 'beer'}"
