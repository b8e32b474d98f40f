"""The lines of a day's copy: JSON objects, made and read back to the last bit.

The first line says what the file is and holds the day and its schedule; then comes a line for
each row; a day that has ended closes with a line that holds how, what it taught of its kettle, the
number of rows, and the SHA-256 of all the lines before it.
"""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from assistant import __version__
from assistant.record.codec import learned_from
from assistant.record.errors import RecordError
from assistant.record.kept import (
    DayStatus,
    Head,
    KeptDay,
    Row,
    checked_head,
    checked_row,
)
from assistant.schedule.faults import harmless

KIND = "brew day"
FORMAT = 1
"""The number of the format; a program refuses those above its own."""


@dataclass(frozen=True, kw_only=True)
class ReadCopy:
    """What a copy holds: ``day`` with every row that can be read, in order.

    ``complete`` where its last line is there and fits; ``faults`` says of each damaged line what
    is wrong with it. A last line that was cut short is no fault.
    """

    day: KeptDay
    complete: bool
    faults: tuple[str, ...]


def first_line(day: KeptDay) -> bytes:
    """The line that a copy begins with."""
    return _line(
        {
            "kettleside": KIND,
            "format": FORMAT,
            "program": __version__,
            "day": {
                "number": day.number,
                "began_wall": day.head.began_wall,
                "schedule_path": day.head.schedule_path,
                "beer": day.head.beer,
            },
            "schedule": json.loads(day.head.schedule),
        }
    )


def row_line(row: Row) -> bytes:
    """The line of a row."""
    return _line(
        {
            "seq": row.seq,
            "at": row.at,
            "wall": row.wall,
            "kind": row.kind,
            "body": json.loads(row.body),
        }
    )


def last_line(status: DayStatus, learned: str | None, rows: int, digest: str) -> bytes:
    """The line that closes the copy of a day that has ended."""
    taught = None if learned is None else json.loads(learned)
    return _line({"status": status.value, "learned": taught, "rows": rows, "sha256": digest})


def _line(entry: object) -> bytes:
    return _text(entry).encode("ascii") + b"\n"


def _text(entry: object) -> str:
    return json.dumps(entry, allow_nan=False, separators=(",", ":"))


def read_copy(data: bytes, name: str) -> ReadCopy:
    """What the copy in ``data`` holds; ``name`` is its file's, for the words.

    Raises :class:`~assistant.record.errors.RecordError` for what is no copy of a brew day, for a
    newer format, and where the first line, without which there is no day, is damaged.
    """
    lines = data.split(b"\n")
    day = _day(lines[0], harmless(name, 300))
    reading = _Reading(name=harmless(name, 300), rows={}, faults=[])
    before = 0
    for place, line in enumerate(lines[1:], start=2):
        before += len(lines[place - 2]) + 1
        cut_short = place == len(lines)
        if not line and cut_short:
            continue
        try:
            reading.take(_entry(line), data, before)
        except (ValueError, RecordError) as error:
            if not cut_short:
                reading.faults.append(f"{reading.name}, line {place} is damaged: {_why(error)}")
    rows = tuple(row for _, row in sorted(reading.rows.items()))
    head = replace(day.head, status=reading.status)
    return ReadCopy(
        day=replace(day, head=head, rows=rows, learned=reading.learned),
        complete=reading.ended and not reading.faults,
        faults=tuple(reading.faults),
    )


@dataclass(kw_only=True)
class _Reading:
    """A copy as far as it has been read."""

    name: str
    rows: dict[int, Row]
    faults: list[str]
    status: DayStatus = DayStatus.OPEN
    learned: str | None = None
    ended: bool = False

    def take(self, entry: dict[str, Any], data: bytes, before: int) -> None:
        """One line after the first; ``before`` is how many bytes of ``data`` precede it."""
        if self.ended:
            raise ValueError("found a line after the last; wanted none")
        if "seq" in entry:
            self._take_row(entry)
        else:
            self._take_end(entry, data[:before])

    def _take_row(self, entry: dict[str, Any]) -> None:
        _only(entry, ("seq", "at", "wall", "kind", "body"))
        row = checked_row(
            entry["seq"], entry["at"], entry["wall"], entry["kind"], _text(entry["body"])
        )
        # Only a greater number is ever added, so the last to come in is the greatest.
        wanted = next(reversed(self.rows), 0) + 1
        if row.seq >= wanted:
            self.rows[row.seq] = row
        if row.seq != wanted:
            raise ValueError(f"found row {row.seq}; wanted row {wanted}")

    def _take_end(self, entry: dict[str, Any], before: bytes) -> None:
        _only(entry, ("status", "learned", "rows", "sha256"))
        self.status = DayStatus(entry["status"])
        self.ended = True
        if entry["learned"] is not None:
            learned = _text(entry["learned"])
            learned_from(learned, "the day")
            self.learned = learned
        if entry["rows"] != len(self.rows):
            raise ValueError(f"found {len(self.rows)} rows before it; wanted {entry['rows']!r}")
        if entry["sha256"] != hashlib.sha256(before).hexdigest():
            raise ValueError("the SHA-256 it holds is not that of the lines before it")


def _day(line: bytes, name: str) -> KeptDay:
    """The day of a first line, without its rows."""
    try:
        entry = _entry(line)
    except ValueError:
        entry = {}
    if entry.get("kettleside") != KIND:
        raise RecordError(f"{name} is not the copy of a brew day; nothing was changed")
    found = entry.get("format")
    if isinstance(found, int) and found > FORMAT:
        raise RecordError(
            f"{name} is a copy of format {found} and this program knows formats up to {FORMAT}; "
            "read it with the newer Kettleside that wrote it"
        )
    try:
        return _day_of(entry)
    except (ValueError, RecordError) as error:
        raise RecordError(f"{name}, line 1 is damaged: {_why(error)}") from error


def _day_of(entry: dict[str, Any]) -> KeptDay:
    _only(entry, ("kettleside", "format", "program", "day", "schedule"))
    day = entry["day"]
    if not isinstance(day, dict):
        raise ValueError("found no day")
    _only(day, ("number", "began_wall", "schedule_path", "beer"))
    number = day["number"]
    if not isinstance(number, int) or isinstance(number, bool) or not 0 < number < 2**62:
        raise ValueError(f"found the number {number!r} of a day; wanted 1 or more")
    head: Head = checked_head(
        day["began_wall"],
        day["schedule_path"],
        day["beer"],
        _text(entry["schedule"]),
        DayStatus.OPEN.value,
    )
    return KeptDay(number=number, head=head, rows=(), learned=None)


def _entry(line: bytes) -> dict[str, Any]:
    """The object of a line. Raises ValueError for what is none."""
    try:
        entry = json.loads(line, parse_constant=_no_number)
    except RecursionError as error:
        raise ValueError("found brackets in brackets without end") from error
    if not isinstance(entry, dict):
        raise ValueError("found no object")
    return entry


def _no_number(word: str) -> float:
    raise ValueError(f"found {word}; wanted a number")


def _only(entry: dict[str, Any], wanted: Sequence[str]) -> None:
    if set(entry) != set(wanted):
        raise ValueError(f"found the keys {', '.join(entry)}; wanted {', '.join(wanted)}")


def _why(error: Exception) -> str:
    if isinstance(error, UnicodeDecodeError | json.JSONDecodeError):
        return "it is not JSON"
    return harmless(str(error), 300)
