"""One fetch of a model at a time: two that add to one file would spoil it for each other."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _take(descriptor: int) -> None:
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


class FetchedElsewhere(Exception):
    """Another program holds the lock."""


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the lock at ``path`` as long as the context lasts; the system lets go of a killed one's.

    Raises :class:`FetchedElsewhere`, and OSError where the file can't be made.
    """
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    try:
        try:
            _take(descriptor)
        except OSError as error:
            raise FetchedElsewhere from error
        try:
            yield
        finally:
            # Windows keeps a file that is open; an empty one left behind does no harm.
            with suppress(OSError):
                path.unlink()
    finally:
        os.close(descriptor)
