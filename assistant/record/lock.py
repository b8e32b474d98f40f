"""One writer at a time: a lock on a file that the system gives back when its holder dies."""

import os
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from types import TracebackType

from assistant.file_lock import HeldElsewhere, take_lock
from assistant.record.errors import RecordError, folder_fault
from assistant.schedule.faults import harmless

_held: set[int] = set()


def _forget_inherited() -> None:
    # A forked voice that outlives a killed brew day would otherwise keep the day from going on.
    for descriptor in _held:
        os.close(descriptor)
    _held.clear()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_forget_inherited)


def _by_whom(path: Path) -> str:
    """Which process holds the lock and since when, where that can be read."""
    try:
        process = int(path.read_text(encoding="ascii"))
        since = datetime.fromtimestamp(path.stat().st_mtime)
    except (OSError, ValueError):
        return ""
    return f" (process {process}, since {since:%H:%M})"


class WriterLock:
    """The right to write the record of one folder, held until it is released.

    Raises :class:`~assistant.record.errors.RecordError` where another writer holds it, or the
    lock file at ``path`` can't be made.
    """

    def __init__(self, path: Path) -> None:
        descriptor: int | None = None
        try:
            descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
            take_lock(descriptor)
        except (HeldElsewhere, OSError) as error:
            if descriptor is not None:
                os.close(descriptor)
            if isinstance(error, OSError):
                raise folder_fault(path.parent, error) from error
            raise RecordError(
                f"another brew day or visit is being recorded in {harmless(str(path.parent), 300)}"
                f"{_by_whom(path)}; end that one first, or name another folder with --data"
            ) from error
        self._descriptor: int | None = descriptor
        _held.add(descriptor)
        with suppress(OSError):
            # Only to be told; what counts is the lock, and a full disk must not keep a day away.
            os.ftruncate(descriptor, 0)
            os.write(descriptor, str(os.getpid()).encode())

    def release(self) -> None:
        """Let the next writer in."""
        if self._descriptor in _held:
            _held.remove(self._descriptor)
            os.close(self._descriptor)
        self._descriptor = None

    def __enter__(self) -> "WriterLock":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.release()
