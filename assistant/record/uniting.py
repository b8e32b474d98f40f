"""Each day made whole from what was salvaged of it and what its copies hold.

A row in either is a row. Where they differ the better word counts: a copy that is whole before the
damaged record, and the record before a copy that is damaged too.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from assistant.record.copies import same_day
from assistant.record.copy_lines import ReadCopy
from assistant.record.kept import DayStatus, Head, KeptDay, Row, same_json
from assistant.record.salvage import LOST, LOST_BEER, Salvage
from assistant.record.taking_in import begins

MOST_MISSING = 10_000
"""A wider gap is no gap but a damaged number: no day has as many rows."""


@dataclass(frozen=True, kw_only=True)
class UnitedDay:
    """A day as far as it is there; ``missing`` rows of it are known to be lost."""

    day: KeptDay
    missing: int


def united(salvage: Salvage, copies: Iterable[ReadCopy]) -> list[UnitedDay]:
    """The days of a damaged record and of copies, in the order of their numbers."""
    copies_of = _by_number(salvage, sorted(copies, key=_doubt))
    numbers = {*salvage.heads, *salvage.remnants, *salvage.rows, *copies_of}
    days = [_united_day(number, salvage, copies_of.get(number, [])) for number in sorted(numbers)]
    strays = _strays(days, salvage, copies_of)
    return [found for found in days if found.day.number not in strays]


def renumbered(rows: Iterable[Row], first: int = 1) -> tuple[Row, ...]:
    """Rows numbered one after another, as the record has to have them."""
    return tuple(replace(row, seq=seq) for seq, row in enumerate(rows, start=first))


def told(row: Row) -> tuple[float, float, str, str]:
    """What a row tells, whatever its number."""
    return row.at, row.wall, row.kind, row.body


def missing_in(rows: Sequence[Row], after: int = 0) -> int:
    """How many rows the numbers leave out, of rows in order that follow row ``after``."""
    jumps = pairwise((after, *(row.seq for row in rows)))
    gaps = (later - earlier - 1 for earlier, later in jumps)
    return sum(gap for gap in gaps if gap < MOST_MISSING)


def _doubt(copy: ReadCopy) -> int:
    if copy.faults:
        return 2
    return 0 if copy.complete else 1


def _by_number(salvage: Salvage, copies: Sequence[ReadCopy]) -> dict[int, list[ReadCopy]]:
    """The copies of each day, under the number it has on record."""
    found: dict[int, list[ReadCopy]] = {}
    last = max([*salvage.heads, *salvage.rows, *(copy.day.number for copy in copies)], default=0)
    for copy in copies:
        number = _number_of(copy, salvage, found)
        if number is None:
            number = last = last + 1
        found.setdefault(number, []).append(copy)
    return found


def _number_of(
    copy: ReadCopy, salvage: Salvage, found: Mapping[int, Sequence[ReadCopy]]
) -> int | None:
    """The number of the day on record, or its own where that is free; None for another's."""
    day, own = copy.day, copy.day.number
    for number in (own, *salvage.heads, *salvage.remnants):
        head = salvage.heads.get(number, salvage.remnants.get(number))
        if head is None or not _same_head(head, day):
            continue
        if all(_go_together(other, copy) for other in found.get(number, ())):
            return number
    for number in (own, *found):
        if number in found and all(_tell_one_day(other, copy) for other in found[number]):
            return number
    taken = own in found or own in salvage.heads or own in salvage.remnants
    return None if taken or not _agree(salvage.rows.get(own, {}), day.rows) else own


def _tell_one_day(one: ReadCopy, other: ReadCopy) -> bool:
    return same_day(one.day, other.day) and _go_together(one, other)


def _go_together(one: ReadCopy, other: ReadCopy) -> bool:
    """Whether one begins the other; of a day that went on in two ways each way is kept."""
    if one.faults or other.faults:
        return _agree({row.seq: row for row in one.day.rows}, other.day.rows)
    return begins(one.day.rows, other.day.rows) or begins(other.day.rows, one.day.rows)


def _same_head(head: Head, day: KeptDay) -> bool:
    if head.began_wall != day.head.began_wall:
        return False
    return head.schedule == LOST or same_json(head.schedule, day.head.schedule)


def _agree(rows: Mapping[int, Row], others: Iterable[Row]) -> bool:
    both = [(rows[other.seq], other) for other in others if other.seq in rows]
    # A damaged row may read as another.
    return 2 * sum(row == other for row, other in both) >= len(both)


def _united_day(number: int, salvage: Salvage, copies: Sequence[ReadCopy]) -> UnitedDay:
    here = salvage.rows.get(number, {})
    sound = [{row.seq: row for row in copy.day.rows} for copy in copies if not copy.faults]
    doubtful = [{row.seq: row for row in copy.day.rows} for copy in copies if copy.faults]
    rows = _layered([*sound, here, *doubtful])
    head, learned = _head(number, salvage, copies, rows)
    day = KeptDay(number=number, head=head, rows=renumbered(rows), learned=learned)
    return UnitedDay(day=day, missing=missing_in(rows))


def _layered(layers: Iterable[Mapping[int, Row]]) -> list[Row]:
    """The rows of all layers in order; the first word on a number counts."""
    rows: dict[int, Row] = {}
    for layer in layers:
        known = {told(row) for row in rows.values()}
        for seq, row in layer.items():
            # What is known under another number has a damaged one here.
            if seq not in rows and told(row) not in known:
                rows[seq] = row
    return [row for _, row in sorted(rows.items())]


def _head(
    number: int, salvage: Salvage, copies: Sequence[ReadCopy], rows: Sequence[Row]
) -> tuple[Head, str | None]:
    """What is known of a day besides its rows, and what it taught."""
    head, learned = salvage.heads.get(number), salvage.learned.get(number)
    if copies:
        best = copies[0].day
        whole = copies[0].complete and len(best.rows) >= len(salvage.rows.get(number, ()))
        if head is None or whole:
            head, learned = best.head, best.learned or learned
        else:
            head = replace(best.head, status=head.status)
    if head is None:
        head = salvage.remnants.get(number) or _nameless(rows)
    return head, learned if head.status is DayStatus.FINISHED else None


def _nameless(rows: Sequence[Row]) -> Head:
    return Head(
        began_wall=rows[0].wall if rows else 0.0,
        schedule_path="",
        beer=LOST_BEER,
        schedule=LOST,
        status=DayStatus.LEFT,
    )


def _strays(
    days: Iterable[UnitedDay], salvage: Salvage, copies_of: Mapping[int, object]
) -> set[int]:
    """Days that are none: rows of another day under a damaged number."""
    known = {*salvage.heads, *salvage.remnants, *copies_of}
    rows = {told(row) for found in days if found.day.number in known for row in found.day.rows}
    return {
        found.day.number
        for found in days
        if found.day.number not in known and all(told(row) in rows for row in found.day.rows)
    }
