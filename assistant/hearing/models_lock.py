"""One fetch of a model at a time: two that add to one file would spoil it for each other."""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from assistant.file_lock import HeldElsewhere, take_lock


class FetchedElsewhere(Exception):
    """Another program holds the lock."""


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the lock at ``path`` as long as the context lasts; the system lets go of a killed one's.

    Raises :class:`FetchedElsewhere`, and OSError where the file can't be made or locked.
    """
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    try:
        try:
            take_lock(descriptor)
        except HeldElsewhere as error:
            raise FetchedElsewhere from error
        try:
            yield
        finally:
            # Windows keeps a file that is open; an empty one left behind does no harm.
            with suppress(OSError):
                path.unlink()
    finally:
        os.close(descriptor)
