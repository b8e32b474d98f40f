"""The end of a program that holds rows of a day which the record has not taken."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import gettempdir
from uuid import uuid4

from assistant.advice import figures
from assistant.record.copies import copy_text
from assistant.record.disk import write_whole
from assistant.record.errors import RecordError
from assistant.record.keeping import Keeper
from assistant.record.kept import KeptDay
from assistant.schedule.faults import harmless


@contextmanager
def all_kept(keeper: Keeper) -> Iterator[None]:
    """Keep the record of a day for as long as the context lasts.

    Raises :class:`~assistant.record.errors.RecordError` at its end where rows are left that could
    not be written.
    """
    try:
        with keeper:
            yield
    finally:
        left = keeper.left
        if left:
            raise RecordError(_told(len(left), _saved_elsewhere(keeper.whole_day)))


def _saved_elsewhere(day: KeptDay) -> Path | None:
    """The file that the whole day was written to instead, if there is a place that takes it."""
    name = f"kettleside-day-{day.number}-{uuid4().hex[:8]}.jsonl"
    for place in (Path.home, Path.cwd, gettempdir):
        with suppress(OSError, RuntimeError):
            file = Path(place()) / name
            write_whole(file, copy_text(day))
            return file
    return None


def _told(left: int, saved: Path | None) -> str:
    things = figures.counted(str(left), "thing")
    lost = f"the last {things} of this day could not be put on record"
    if saved is None:
        return f"{lost}, nor anywhere else"
    return (
        f"{lost}; the whole day is in {harmless(str(saved), 300)}: when the record can be written "
        "to again, `kettleside import` with that file completes it"
    )
