"""The files in a backup, read piece by piece: anybody may have made it, or a worn disk.

Nothing is unpacked under a name that the zip file holds, nothing is read further than the list of
the backup says, and what is read fits the checksum there or is a fault.
"""

import hashlib
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from io import BytesIO
from pathlib import Path
from typing import BinaryIO, Protocol

from assistant.record.backup_format import (
    LIST,
    MOST_BYTES,
    MOST_LIST_BYTES,
    RECORD,
    Contents,
    NewerBackup,
    listed_in,
    may_be_named,
)
from assistant.record.errors import BackupError
from assistant.schedule.faults import harmless

PIECE = 1 << 20
"""Bytes that are read at once."""

END = struct.Struct("<4s4H2LH")
"""The record that ends a zip file ("APPNOTE.TXT", section 4.3.16)."""

END_MARK = b"PK\x05\x06"
LARGE_MARK = b"PK\x06\x07"
LARGE_BYTES = 20
"""The mark and length of what stands before it in a zip file past 4 GiB (section 4.3.15)."""

MOST_DIRECTORY_BYTES = 8 * 2**20

NO_ZIP = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    OverflowError,
    RuntimeError,
    ValueError,
    struct.error,
)
"""What reading a zip file comes to where it is none, or damaged."""

ENCRYPTED = 1


class Writable(Protocol):
    """Where a file of a backup can go."""

    def write(self, data: bytes, /) -> object:
        """Take the next bytes."""


class BackupFiles:
    """The files of the backup that ``file`` holds; ``path`` is its place, for the words.

    Raises :class:`~assistant.record.errors.BackupError` where it is no backup, one of a newer
    format, or its list is damaged; and OSError where it can't be read.
    """

    def __init__(self, file: BinaryIO, path: Path) -> None:
        self.path = path
        self.shown = shown = harmless(str(path), 300)
        _check_end(file, shown)
        try:
            self._zip = zipfile.ZipFile(file)
        except NO_ZIP as error:
            raise _no_backup(shown) from error
        self._members = {info.filename: info for info in self._zip.infolist()}
        if LIST not in self._members:
            raise _no_backup(shown)
        self.contents = self._contents()
        self._check_members()

    def copy_out(self, name: str, to: Writable) -> None:
        """Write a file of the backup to ``to``.

        Raises :class:`~assistant.record.errors.BackupError` where it is not as the list has it.
        """
        listed = self.contents.files[name]
        digest, size = hashlib.sha256(), 0
        for piece in self._pieces(name):
            size += len(piece)
            digest.update(piece)
            to.write(piece)
        if size != listed.size or digest.hexdigest() != listed.sha256:
            raise self._damaged(name, "its SHA-256 is not the one in the list")

    def data(self, name: str) -> bytes:
        """A file of the backup, whole; raises as :meth:`copy_out` does."""
        to = BytesIO()
        self.copy_out(name, to)
        return to.getvalue()

    def _contents(self) -> Contents:
        if self._members[LIST].file_size > MOST_LIST_BYTES:
            raise self._damaged(LIST, "it is longer than any list of a backup")
        try:
            return listed_in(b"".join(self._pieces(LIST)))
        except NewerBackup as error:
            raise BackupError(f"{self.shown} {error}") from error
        except ValueError as error:
            raise self._damaged(LIST, harmless(str(error), 300)) from error

    def _check_members(self) -> None:
        """Raises BackupError, with a line for each fault, where list and files differ."""
        faults = []
        names = [info.filename for info in self._zip.infolist()]
        files = self.contents.files
        if RECORD not in files:
            faults.append("it holds no record")
        for name in sorted(files.keys() - set(names)):
            faults.append(f"{name} is missing")
        for name in sorted(set(names) - files.keys() - {LIST}):
            known = "is not in its list" if may_be_named(name) else "is no file of a backup"
            faults.append(f"{harmless(repr(name), 200)} {known}")
        if len(set(names)) < len(names):
            faults.append("it holds a file twice")
        faults += [
            f"{name} has {self._members[name].file_size} bytes; wanted {listed.size}"
            for name, listed in files.items()
            if name in self._members and self._members[name].file_size != listed.size
        ]
        if sum(listed.size for listed in files.values()) > MOST_BYTES:
            faults.append(f"it would unpack to more than {MOST_BYTES >> 30} GiB")
        if faults:
            raise BackupError(*(f"{self.shown} is damaged: {fault}" for fault in faults))

    def _pieces(self, name: str) -> Iterator[bytes]:
        info = self._members[name]
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise self._damaged(name, "it is packed in a way that no backup is")
        if info.flag_bits & ENCRYPTED:
            raise self._damaged(name, "it is encrypted")
        try:
            with self._zip.open(info) as file:
                while piece := file.read(PIECE):
                    yield piece
        except NO_ZIP as error:
            raise self._damaged(name, "it can't be unpacked") from error
        except OSError as error:
            raise unreadable(self.shown, error) from error

    def _damaged(self, name: str, why: str) -> BackupError:
        return BackupError(f"{self.shown} is damaged: {name}: {why}")


@contextmanager
def opened(path: Path) -> Iterator[BackupFiles]:
    """The files of the backup at ``path``, for as long as the context lasts.

    Raises :class:`~assistant.record.errors.BackupError` where it can't be read or is none.
    """
    shown = harmless(str(path), 300)
    with ExitStack() as held:
        try:
            # A pipe would be waited for.
            if path.exists() and not path.is_file():
                raise BackupError(f"{shown} is no file")
            files = BackupFiles(held.enter_context(path.open("rb")), path)
        except (OSError, ValueError) as error:
            raise unreadable(shown, error) from error
        yield files


def unreadable(shown: str, error: OSError | ValueError) -> BackupError:
    """What the system found wrong with the file of a backup."""
    reason = harmless(getattr(error, "strerror", None) or str(error), 200)
    return BackupError(f"{shown} can't be read: {reason}")


def _check_end(file: BinaryIO, shown: str) -> None:
    """Raises BackupError for what is no zip file of a size that a backup may have.

    Python's own reader would load a directory of any length into memory.
    """
    size = file.seek(0, 2)
    if size > MOST_BYTES:
        raise BackupError(f"{shown} has more than {MOST_BYTES >> 30} GiB: it is no backup")
    file.seek(max(0, size - END.size - LARGE_BYTES))
    tail = file.read()
    end = tail[-END.size :]
    if len(end) < END.size or not end.startswith(END_MARK):
        raise _no_backup(shown)
    directory_bytes = END.unpack(end)[5]
    if directory_bytes > MOST_DIRECTORY_BYTES or tail.startswith(LARGE_MARK):
        raise _no_backup(shown)


def _no_backup(shown: str) -> BackupError:
    return BackupError(f"{shown} is not a backup of brew days, or was cut short")
