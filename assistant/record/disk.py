"""Files put on the disk whole: there is the old one or the new one, and never half of either."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO


@contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """A file to write and read, which takes the place of ``path`` in one stroke at the end.

    The disk has it then. Where it can't be written, or the context raises, ``path`` is as it was;
    the former is an OSError.
    """
    beside = path.with_name(f"{path.name}.part")
    try:
        with beside.open("w+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def write_whole(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` in one stroke; the disk has it when this returns.

    Raises OSError where it can't be written; then ``path`` is as it was.
    """
    with whole_file(path) as file:
        file.write(data)


def sync_file(path: Path) -> None:
    """Have the disk hold what was written to ``path``. Raises OSError where it can't."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Have the disk hold the names in ``folder``, where the system can be asked to."""
    if sys.platform == "win32":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
