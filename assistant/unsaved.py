"""The end of a program that holds rows of a day which the record has not taken."""

from collections.abc import Iterator
from contextlib import contextmanager

from assistant.advice import figures
from assistant.record.errors import RecordError
from assistant.record.keeping import Keeper


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
            things = figures.counted(str(len(left)), "thing")
            raise RecordError(f"the last {things} of this day could not be put on record")
