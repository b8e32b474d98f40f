"""A sound record that lacks what its copies hold, brought up to them.

A log that was cut short, an old record put back from a backup or none at all reads without a
fault: only the copies tell that there was more.
"""

import sqlite3
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from assistant.record.copies import same_day, set_aside
from assistant.record.copy_keeping import Glance, glances
from assistant.record.copy_lines import read_copy
from assistant.record.errors import RecordError
from assistant.record.kept import DayStatus, KeptDay, kept_day
from assistant.record.mended import Fault, Mended
from assistant.record.schema import transaction
from assistant.record.taking_in import OnRecordAlready, take_in
from assistant.record.uniting import UnitedDay, missing_in, renumbered, told


def catch_up(
    connection: sqlite3.Connection, path: Path, *, looking_on: bool = False
) -> Mended | None:
    """Put on record what the copies beside ``path`` hold more than it; None where that is nothing.

    With ``looking_on`` the copies stay where they are, else a damaged one is set aside. Raises
    SQLite's own errors as they come; then nothing was written.
    """
    reached = _reached(connection)
    ahead = [seen for seen in glances(path.parent) if _far(seen) > reached.get(seen.began_wall, ())]
    if not ahead:
        return None
    missing: Counter[int] = Counter()
    damaged: list[Path] = []
    with transaction(connection):
        for seen in _in_turn(ahead):
            try:
                copy = read_copy(seen.path.read_bytes(), seen.path.name)
                found = _following(connection, copy.day) if copy.faults else _whole(copy.day)
                number = take_in(connection, found.day, number=seen.number).number
            except (OSError, RecordError, OnRecordAlready):
                continue
            missing[number] += found.missing
            if copy.faults and not looking_on:
                damaged.append(seen.path)
    for place in damaged:
        set_aside(place)
    fault = Fault.BEHIND if reached else Fault.MISSING
    return _told(connection, path, fault, missing) if missing else None


def _whole(day: KeptDay) -> UnitedDay:
    return UnitedDay(day=day, missing=0)


def _in_turn(ahead: Iterable[Glance]) -> list[Glance]:
    """First one copy for each number, which keeps it; then the others, which get the next ones."""
    turns: list[tuple[int, Glance]] = []
    claims: Counter[int] = Counter()
    for seen in sorted(ahead, key=_claim):
        turns.append((claims[seen.number], seen))
        claims[seen.number] += 1
    return [seen for _, seen in sorted(turns, key=lambda turn: turn[0])]


def _claim(seen: Glance) -> tuple[bool, float]:
    # A file that was put there by hand, or of another folder, may have any name.
    return not seen.path.name.startswith(f"{seen.number:04d}-"), seen.began_wall


def _far(seen: Glance) -> tuple[int, bool]:
    # With the same rows, the one that knows of the end is ahead: an end that the brewer took
    # back has a row for that.
    return seen.rows, seen.status is not DayStatus.OPEN


def _reached(connection: sqlite3.Connection) -> Mapping[float, tuple[int, bool]]:
    """How far a day that began at each moment has come: its rows, and whether it has ended."""
    found = connection.execute(
        "SELECT began_wall, (SELECT COALESCE(MAX(seq), 0) FROM events WHERE day = id), status"
        " FROM days"
    ).fetchall()
    reached: dict[float, tuple[int, bool]] = {}
    for began_wall, rows, status in found:
        far = rows, status != DayStatus.OPEN.value
        reached[began_wall] = max(far, reached.get(began_wall, far))
    return reached


def _following(connection: sqlite3.Connection, day: KeptDay) -> UnitedDay:
    """The day of a damaged copy, as what follows the rows on record, without a gap."""
    alike = connection.execute(
        "SELECT id FROM days WHERE began_wall = ? ORDER BY id", (day.head.began_wall,)
    ).fetchall()
    for (number,) in alike:
        there = kept_day(connection, number)
        if there is not None and same_day(there, day):
            known = {told(row) for row in there.rows}
            count = len(there.rows)
            rest = [row for row in day.rows if row.seq > count and told(row) not in known]
            return UnitedDay(
                day=replace(day, rows=(*there.rows, *renumbered(rest, count + 1))),
                missing=missing_in(rest, count),
            )
    return UnitedDay(day=replace(day, rows=renumbered(day.rows)), missing=missing_in(day.rows))


def _told(
    connection: sqlite3.Connection, path: Path, fault: Fault, missing: Mapping[int, int]
) -> Mended:
    days, rows = connection.execute(
        "SELECT (SELECT count(*) FROM days), (SELECT count(*) FROM events)"
    ).fetchone()
    gaps = tuple((number, lost) for number, lost in sorted(missing.items()) if lost)
    return Mended(path=path, fault=fault, days=days, rows=rows, gaps=gaps)
