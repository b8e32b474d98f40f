"""The whole record written into one file, and read back before it takes its name.

What belongs to the record goes in: the database, a copy of each day, and what was set aside as
damaged. What listens, speaks and locks does not: models, the secret of the board, locks.
"""

import hashlib
import os
import re
import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import BinaryIO

from assistant.record.backup_check import checked
from assistant.record.backup_files import PIECE, BackupFiles, opened
from assistant.record.backup_format import (
    EXPLAINED,
    LIST,
    MOST_BYTES,
    RECORD,
    SET_ASIDE,
    WORDS,
    Contents,
    Listed,
    list_text,
    program,
)
from assistant.record.copies import FOLDER_NAME, SUFFIX, copy_name, copy_text
from assistant.record.disk import sync_folder, whole_file
from assistant.record.errors import BackupError
from assistant.record.journal import Journal
from assistant.record.kept import kept_day
from assistant.record.salvage import LOST
from assistant.record.schema import VERSION
from assistant.schedule.faults import harmless

MEND = "`kettleside mend` looks at every row of the record and mends what is damaged"

EARLIEST_YEAR = 1980
"""Where the calendar of zip files begins."""


def back_up(
    journal: Journal, file: Path, made: datetime, *, replace: bool = False
) -> tuple[Contents, int]:
    """Write all that is on record to ``file`` as it is at this moment; what is in it, and its size.

    A brew day may be under way. The file is read back and looked through, every row of it, before
    it is there under its name; with ``replace`` it takes the place of an earlier backup then, and
    of nothing else. ``made`` is the moment in UTC. Raises
    :class:`~assistant.record.errors.BackupError` where it can't be written, and
    :class:`~assistant.record.errors.RecordError` where the record can't be read.
    """
    shown = harmless(str(file), 300)
    _check_place(journal, file, replace=replace)
    try:
        with TemporaryDirectory(prefix="kettleside-") as folder:
            snapshot = Path(folder, RECORD)
            journal.copy_to(snapshot)
            with whole_file(file) as to:
                _write(to, snapshot, journal.folder, made)
                to.flush()
                contents, size = _read_back(to, file), to.seek(0, os.SEEK_END)
    except OSError as error:
        reason = harmless(error.strerror or str(error), 200)
        raise BackupError(f"{shown} can't be written: {reason}") from error
    # Where the system can't be asked to, the name is there all the same.
    with suppress(OSError):
        sync_folder(file.parent)
    return contents, size


def _check_place(journal: Journal, file: Path, *, replace: bool) -> None:
    shown = harmless(str(file), 300)
    folder = Path(os.path.realpath(journal.folder))
    if Path(os.path.realpath(file)).is_relative_to(folder):
        raise BackupError(
            f"{shown} is in the folder of the record, and would be lost with it; name another place"
        )
    if not journal.days():
        raise BackupError(
            f"no brew day is on record in {harmless(str(folder), 300)}: nothing to back up"
        )
    if not os.path.lexists(file):
        return
    if not replace:
        raise BackupError(f"{shown} is there already; name a file that is not, or add --replace")
    if journal.mended is not None:
        raise BackupError(
            f"{shown} is left as it is, for it may hold more than the damaged record; {MEND}"
        )
    try:
        with opened(file):
            pass
    except BackupError as error:
        raise BackupError(
            f"{shown} is there already and is left as it is, for it can't be read as a backup"
        ) from error


def _read_back(to: BinaryIO, file: Path) -> Contents:
    try:
        with checked(BackupFiles(to, file)) as backup:
            return backup.contents
    except BackupError as error:
        shown = harmless(str(file), 300)
        raise BackupError(*error.faults, f"{shown} was not written; {MEND}") from error


def _write(to: BinaryIO, snapshot: Path, folder: Path, made: datetime) -> None:
    with (
        _zip_into(to) as packed,
        closing(sqlite3.connect(snapshot, isolation_level=None)) as connection,
    ):
        packing = _Packing(packed, made)
        packing.put(WORDS, BytesIO(EXPLAINED.encode("ascii")))
        with snapshot.open("rb") as record:
            packing.put(RECORD, record)
        for name, copy in _copies(connection):
            packing.put(name, BytesIO(copy))
        for name, path in _set_aside(folder).items():
            with path.open("rb") as damaged:
                packing.put(name, damaged)
        days, rows = connection.execute(
            "SELECT (SELECT count(*) FROM days), (SELECT count(*) FROM events)"
        ).fetchone()
        contents = Contents(
            program=program(),
            made=f"{made:%Y-%m-%dT%H:%M:%SZ}",
            version=VERSION,
            days=days,
            rows=rows,
            files=packing.files,
        )
        packing.put(LIST, BytesIO(list_text(contents)))


@contextmanager
def _zip_into(to: BinaryIO) -> Iterator[zipfile.ZipFile]:
    """A zip to fill, finished at the end; one that is given up half-way is let be as it is.

    Finishing that would raise where a file of it is still open, in the place of what ended it, such
    as a Ctrl-C.
    """
    packed = zipfile.ZipFile(to, "w")
    try:
        yield packed
        packed.close()
    except BaseException:
        packed.fp = None
        raise


class _Packing:
    """A zip file as it is filled; ``files`` is what is in it."""

    def __init__(self, packed: zipfile.ZipFile, made: datetime) -> None:
        self.files: dict[str, Listed] = {}
        self._packed = packed
        self._moment = (max(made.year, EARLIEST_YEAR), *made.timetuple()[1:6])

    def put(self, name: str, source: BinaryIO) -> None:
        """Pack what is left to read of ``source`` under ``name``."""
        info = zipfile.ZipInfo(name, self._moment)
        info.compress_type = zipfile.ZIP_DEFLATED
        info.external_attr = 0o644 << 16
        digest, size = hashlib.sha256(), 0
        room = MOST_BYTES - sum(listed.size for listed in self.files.values())
        with self._packed.open(info, "w") as to:
            while piece := source.read(PIECE):
                size += len(piece)
                if size >= room:
                    raise BackupError(f"all of it is more than {MOST_BYTES >> 30} GiB; {MEND}")
                digest.update(piece)
                to.write(piece)
        self.files[name] = Listed(size=size, sha256=digest.hexdigest())


def _copies(connection: sqlite3.Connection) -> Iterator[tuple[str, bytes]]:
    for (number,) in connection.execute("SELECT id FROM days ORDER BY id").fetchall():
        try:
            day = kept_day(connection, number)
            if day is None or day.head.schedule == LOST:
                # A copy that has no schedule could not be read again.
                continue
            yield f"{FOLDER_NAME}/{copy_name(day)}{SUFFIX}", copy_text(day)
        except (ValueError, TypeError, sqlite3.Error):
            # What can't be read is told when the backup is looked through.
            continue


def _set_aside(folder: Path) -> dict[str, Path]:
    """The damaged files that a mending kept in the record's ``folder``, by their names inside."""
    found = {}
    kept = (*folder.glob("kettleside-damaged-*"), *folder.glob(f"{FOLDER_NAME}/*{SUFFIX}.damaged*"))
    for path in sorted(kept):
        name = f"set aside/{re.sub('[^A-Za-z0-9._-]', '_', path.name)}"
        if SET_ASIDE.fullmatch(name) and path.is_file() and not path.is_symlink():
            found[name] = path
    return found
