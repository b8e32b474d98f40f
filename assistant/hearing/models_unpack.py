"""An archive unpacked so that it can do no harm: one folder, plain files, no more than announced.

Every name is judged before anything is written, and what is written is counted, for an archive's
own figures need not be true.
"""

import os
import shutil
import stat
import tempfile
import zipfile
import zlib
from pathlib import Path, PurePosixPath

from assistant.hearing.models import is_model

FILES_AT_MOST = 10_000

_BLOCK_BYTES = 1 << 16
_UNREADABLE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError)


class ArchiveRefused(Exception):
    """The archive is damaged or not to be trusted; the text follows the archive's name."""


def unpack(archive: Path, top: str, place: Path, *, at_most_bytes: int) -> Path:
    """Unpack the archive's only folder, ``top``, into ``place``: whole or not at all.

    Raises :class:`ArchiveRefused`, and OSError where the folder can't be written.
    """
    beside = Path(tempfile.mkdtemp(prefix=".unpacking-", dir=place))
    try:
        with zipfile.ZipFile(archive) as opened:
            _judge(opened.infolist(), top, at_most_bytes)
            _write(opened, beside, at_most_bytes)
        if not is_model(beside / top):
            raise ArchiveRefused("holds no speech model (am/final.mdl is missing)")
        os.rename(beside / top, place / top)
    except _UNREADABLE as error:
        raise ArchiveRefused(f"is damaged ({error})") from error
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return place / top


def _judge(members: list[zipfile.ZipInfo], top: str, at_most_bytes: int) -> None:
    if len(members) > FILES_AT_MOST:
        raise ArchiveRefused(f"holds {len(members)} files, at most {FILES_AT_MOST} are taken")
    if sum(member.file_size for member in members) > at_most_bytes:
        raise ArchiveRefused(f"would unpack to more than {at_most_bytes / 1e6:.1f} MB")
    names = set()
    for member in members:
        name = member.filename
        path = PurePosixPath(name)
        if path.is_absolute() or ".." in path.parts or any(sign in name for sign in "\\:\0"):
            raise ArchiveRefused(f"holds a file that would land elsewhere ({name!r})")
        if path.parts[:1] != (top,):
            raise ArchiveRefused(f"holds {name!r} outside the folder {top}")
        if stat.S_IFMT(member.external_attr >> 16) not in (0, stat.S_IFREG, stat.S_IFDIR):
            raise ArchiveRefused(f"holds a link or a device ({name!r})")
        if str(path).casefold() in names:
            raise ArchiveRefused(f"holds {name!r} twice")
        names.add(str(path).casefold())


def _write(opened: zipfile.ZipFile, beside: Path, at_most_bytes: int) -> None:
    left_bytes = at_most_bytes
    for member in opened.infolist():
        target = beside.joinpath(*PurePosixPath(member.filename).parts)
        if member.is_dir():
            target.mkdir(parents=True, exist_ok=True)
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        with opened.open(member) as source, target.open("xb") as written:
            while block := source.read(_BLOCK_BYTES):
                left_bytes -= len(block)
                if left_bytes < 0:
                    raise ArchiveRefused(f"unpacks to more than {at_most_bytes / 1e6:.1f} MB")
                written.write(block)
