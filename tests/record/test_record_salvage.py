"""What SQLite reads around damage, and how the parts of a day are put together."""

import sqlite3
from collections.abc import Iterable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from damaged import PAGE, ROWS, brew_three, days_of, with_copies
from test_record_copies import BEGAN, a_day

from assistant.record.copies import copy_paths, copy_text
from assistant.record.copy_lines import ReadCopy, read_copy
from assistant.record.journal import FILE_NAME, DayStatus, Journal
from assistant.record.kept import KeptDay, Row
from assistant.record.pages import read_pages
from assistant.record.salvage import LOST_BEER, Salvage, read_around
from assistant.record.uniting import UnitedDay, united


def rows_by_seq(rows: Iterable[Row]) -> dict[int, Row]:
    return {row.seq: row for row in rows}


def salvaged(*days: KeptDay) -> Salvage:
    return Salvage(
        heads={day.number: day.head for day in days},
        rows={day.number: rows_by_seq(day.rows) for day in days},
    )


def copied(day: KeptDay) -> ReadCopy:
    return read_copy(copy_text(day), "copy")


def test_sqlite_reads_each_day_from_both_ends_up_to_the_damage(tmp_path: Path) -> None:
    brew_three(tmp_path)
    kept = days_of(tmp_path)
    path = tmp_path / FILE_NAME
    file = path.read_bytes()
    middle = next(
        start
        for start in range(0, len(file), PAGE)
        if b"Harbour Mild, note 30:" in file[start : start + PAGE]
    )
    path.write_bytes(file[:middle] + b"\xff" * PAGE + file[middle + PAGE :])
    salvage, left = Salvage(), Salvage()
    with closing(sqlite3.connect(path)) as connection:
        read_around(connection, salvage, ())
    read_pages(path.read_bytes(), b"", left)
    assert 1 < len(salvage.rows[2]) < ROWS
    assert {1, ROWS} <= salvage.rows[2].keys()
    # The row that points to the damaged page can't be reached on the way past it.
    only_on_pages = left.rows[2].keys() - salvage.rows[2].keys()
    assert len(only_on_pages) <= 1
    assert salvage.rows[2].keys() <= left.rows[2].keys()
    assert (salvage.rows[1], salvage.rows[3]) == (left.rows[1], left.rows[3])
    assert salvage.heads == {day.number: day.head for day in kept}
    assert salvage.learned == {day.number: day.learned for day in kept if day.learned}


@pytest.mark.parametrize("rows", [2, 3])
def test_the_record_and_the_copy_make_up_for_each_other(rows: int) -> None:
    day = a_day()
    here = replace(day, rows=day.rows[rows:])
    (found,) = united(salvaged(here), [copied(replace(day, rows=day.rows[:rows]))])
    assert found == UnitedDay(day=day, missing=0)


def test_rows_after_a_lost_one_are_numbered_anew_and_the_lost_are_counted() -> None:
    day = a_day()
    (found,) = united(salvaged(replace(day, rows=(day.rows[0], day.rows[3]))), [])
    assert found.missing == 2
    assert found.day.rows == (day.rows[0], replace(day.rows[3], seq=2))


def test_a_row_under_a_damaged_number_is_not_told_twice() -> None:
    day = a_day()
    salvage = salvaged(replace(day, rows=(*day.rows[:3], replace(day.rows[3], seq=260))))
    (found,) = united(salvage, [copied(day)])
    assert found == UnitedDay(day=day, missing=0)


def test_rows_under_a_damaged_day_are_no_day_where_they_are_known() -> None:
    day = a_day()
    salvage = salvaged(day)
    salvage.rows[268] = {3: day.rows[2]}
    assert united(salvage, []) == [UnitedDay(day=day, missing=0)]


def test_rows_that_nothing_else_holds_are_kept_as_a_day_without_a_name() -> None:
    day = a_day()
    (found,) = united(Salvage(rows={12: rows_by_seq(day.rows)}), [])
    assert found.day.rows == day.rows
    assert found.day.head.beer == LOST_BEER
    assert found.day.head.status is DayStatus.LEFT


def test_a_complete_copy_knows_how_the_day_ended() -> None:
    finished = a_day(DayStatus.FINISHED)
    (found,) = united(salvaged(a_day()), [copied(finished)])
    assert found.day == finished


def test_a_day_that_went_on_after_its_copy_was_closed_is_open_still() -> None:
    day = a_day()
    closed = replace(a_day(DayStatus.FINISHED), rows=day.rows[:3])
    (found,) = united(salvaged(day), [copied(closed)])
    assert found.day == day


def test_what_a_damaged_copy_holds_beyond_the_record_follows_it_once(tmp_path: Path) -> None:
    brew_three(tmp_path)
    backup = (tmp_path / FILE_NAME).read_bytes()
    day = replace(a_day(), head=replace(a_day().head, began_wall=BEGAN + 3600.0))
    with Journal.open(tmp_path) as journal:
        journal.take_in(day)
    with_copies(tmp_path)
    path = copy_paths(tmp_path)[3]
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:2], b"{\n", *lines[3:]]))
    (tmp_path / FILE_NAME).write_bytes(backup)
    expected = (day.rows[0], *(replace(row, seq=row.seq - 1) for row in day.rows[2:]))
    for mended in (True, False):
        with Journal.open(tmp_path) as journal:
            assert (journal.mended is not None) == mended
            if journal.mended is not None:
                assert journal.mended.gaps == ((4, 1),)
        assert {day.number: day.rows for day in days_of(tmp_path)}[4] == expected
