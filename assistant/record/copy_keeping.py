"""Which days on record want a copy, told from the first and the last line of each copy."""

import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.record.copies import copy_paths, write_copy
from assistant.record.errors import RecordError
from assistant.record.kept import DayStatus

if TYPE_CHECKING:
    from assistant.record.journal import Journal

TAIL = 4096
"""Bytes from the end of a copy that are looked through first for its last line."""

NO_COPY = (OSError, ValueError, KeyError, TypeError, OverflowError, RecursionError)
"""What a look at a file comes to that is none of ours: anything may lie in the folder."""


@dataclass(frozen=True, kw_only=True)
class Glance:
    """What a copy claims to hold: the day's number, when it began, its rows and how it ended."""

    path: Path
    number: int
    began_wall: float
    rows: int
    status: DayStatus


def write_missing_copies(journal: "Journal", folder: Path) -> None:
    """Write the copies that are missing in ``folder`` or lag behind the record, one for each day.

    A day that can't be read gets none. Raises :class:`~assistant.record.errors.CopyError` where
    one can't be written; the rest are then left for the next time.
    """
    have = {(seen.number, seen.began_wall, seen.rows, seen.status) for seen in glances(folder)}
    rows = journal.row_counts()
    for day in journal.days():
        if (day.id, day.began_wall, rows[day.id], day.status) in have:
            continue
        try:
            write_copy(folder, journal.kept(day.id))
        except (ValueError, RecordError):
            continue


def glances(folder: Path) -> Iterator[Glance]:
    """A look at each copy in the record's ``folder``, without reading it through."""
    for path in copy_paths(folder):
        try:
            yield _glance(path)
        except NO_COPY:
            continue


def _glance(path: Path) -> Glance:
    with path.open("rb") as file:
        day = json.loads(file.readline())["day"]
        size = file.seek(0, os.SEEK_END)
        file.seek(max(0, size - TAIL))
        last = _last(file.read())
        if last is None:
            file.seek(0)
            last = _last(file.read())
    last = last or {"seq": 0}
    ended = "seq" not in last
    return Glance(
        path=path,
        number=int(day["number"]),
        began_wall=float(day["began_wall"]),
        rows=int(last["rows" if ended else "seq"]),
        status=DayStatus(last["status"]) if ended else DayStatus.OPEN,
    )


def _last(tail: bytes) -> Mapping[str, Any] | None:
    """The last whole line of the end of a file, if one is in it and is not the first of all."""
    for line in reversed(tail.split(b"\n")):
        try:
            entry = json.loads(line)
        except (ValueError, RecursionError):
            continue
        if isinstance(entry, dict) and ("seq" in entry or "sha256" in entry):
            return entry
    return None
