"""A lock on an open file, which the system gives back when its holder dies."""

import sys

if sys.platform == "win32":
    import msvcrt

    _HELD: tuple[type[OSError], ...] = (OSError,)

    def _lock(descriptor: int) -> None:
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    _HELD = (BlockingIOError,)

    def _lock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


class HeldElsewhere(Exception):
    """Another open file holds the lock, in this program or in another."""


def take_lock(descriptor: int) -> None:
    """Lock an open file at once, until it is closed.

    Raises :class:`HeldElsewhere`, and OSError where the file can't be locked at all.
    """
    try:
        _lock(descriptor)
    except _HELD as error:
        raise HeldElsewhere from error
