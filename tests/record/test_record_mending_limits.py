"""What a mending can't do, and what must stay as it was: other files, newer ones, full disks."""

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from damaged import PAGE, brew_three, days_of, with_copies
from test_record_copies import a_day, row
from test_record_files import closed_to_us
from test_record_learned import first_version, is_whole, version

from assistant.day.events import NoteTaken
from assistant.record.copies import FOLDER_NAME, copy_paths, copy_text, write_copy
from assistant.record.journal import FILE_NAME, Journal, RecordError
from assistant.record.kept import KeptDay
from assistant.record.mended import Fault, Mended
from assistant.record.opening import LOCK_NAME
from assistant.record.schema import VERSION

assert first_version


def damage(folder: Path, start: int, noise: bytes) -> bytes:
    path = folder / FILE_NAME
    data = path.read_bytes()
    path.write_bytes(data[:start] + noise + data[start + len(noise) :])
    return path.read_bytes()


def test_a_damaged_record_of_the_first_version_is_mended_and_brought_up_to_date(
    first_version: Path,
) -> None:
    damage(first_version, 0, bytes(PAGE))
    with Journal.open(first_version, read_only=True) as journal:
        is_whole(journal)
    with Journal.open(first_version) as journal:
        assert journal.mended is not None
        is_whole(journal)
    assert version(first_version) == VERSION


@pytest.mark.parametrize("read_only", [True, False], ids=["reading", "writing"])
@pytest.mark.parametrize(
    "content",
    [b"beer", b"beer, date, gravity\n" * 400, b"SQLite format 3\x00", bytes(8192), b"SQLi"],
    ids=["a word", "a table", "a head alone", "zeros", "half a head"],
)
def test_a_file_that_is_no_record_is_left_where_it_is(
    tmp_path: Path, content: bytes, read_only: bool
) -> None:
    (tmp_path / FILE_NAME).write_bytes(content)
    with pytest.raises(RecordError):
        Journal.open(tmp_path, read_only=read_only)
    assert (tmp_path / FILE_NAME).read_bytes() == content
    assert not list(tmp_path.glob("*damaged*"))


def test_another_programs_damaged_database_is_left_where_it_is(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection, connection:
        connection.execute("CREATE TABLE bees (hive TEXT, six, columns, like, our, rows)")
        connection.executemany("INSERT INTO bees VALUES (?, 1, 2, 3, 4, 5)", [("x" * 900,)] * 40)
    spoilt = damage(tmp_path, PAGE, b"\xff" * PAGE)
    for read_only in (True, False):
        with pytest.raises(RecordError, match=r"but not a record of brew days"):
            Journal.open(tmp_path, read_only=read_only)
    assert (tmp_path / FILE_NAME).read_bytes() == spoilt


def test_a_newer_record_is_left_as_it_is_though_it_has_copies(tmp_path: Path) -> None:
    brew_three(tmp_path)
    with_copies(tmp_path)
    newer = damage(tmp_path, 60, (VERSION + 1).to_bytes(4, "big"))
    with pytest.raises(RecordError, match="start the newer Kettleside"):
        Journal.open(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == newer


FULL_DISK = """
import resource, signal, sys
from pathlib import Path
from assistant.record.journal import Journal, RecordError
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), int(sys.argv[2])))
try:
    Journal.open(Path(sys.argv[1]))
except RecordError as error:
    print(error)
    sys.exit(3)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="needs rlimit")
@pytest.mark.parametrize("room", [1000, 20_000, 60_000])
def test_a_disk_without_room_for_the_new_record_leaves_the_old_one(
    tmp_path: Path, room: int
) -> None:
    brew_three(tmp_path)
    with_copies(tmp_path)
    full = days_of(tmp_path)
    spoilt = damage(tmp_path, 0, bytes(PAGE))
    done = subprocess.run(
        [sys.executable, "-c", FULL_DISK, str(tmp_path), str(room)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (3, "")
    assert done.stdout.count("\n") == 1
    assert (tmp_path / FILE_NAME).read_bytes() == spoilt
    with Journal.open(tmp_path) as journal:
        assert journal.mended is not None
    assert days_of(tmp_path) == full


def test_a_damaged_record_in_a_folder_that_cant_be_written_is_read_and_not_mended(
    tmp_path: Path,
) -> None:
    brew_three(tmp_path)
    with_copies(tmp_path)
    full = days_of(tmp_path)
    spoilt = damage(tmp_path, 0, bytes(PAGE))
    (tmp_path / LOCK_NAME).unlink()
    with closed_to_us(tmp_path, 0o555):
        assert days_of(tmp_path) == full
        with pytest.raises(RecordError, match="Permission denied"):
            Journal.open(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == spoilt


def test_a_damaged_record_that_cant_be_read_says_so(tmp_path: Path) -> None:
    brew_three(tmp_path)
    damage(tmp_path, 0, bytes(PAGE))
    path = tmp_path / FILE_NAME
    path.chmod(0)
    if os.access(path, os.R_OK):
        pytest.skip("this user may read anything")
    for read_only in (True, False):
        with pytest.raises(RecordError, match="can't be opened; see to the rights on it"):
            Journal.open(tmp_path, read_only=read_only)


def test_a_copy_for_each_number_is_taken_though_they_are_of_other_days(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    for folder in (here, there):
        brew_three(folder)
        with_copies(folder)
    with closing(sqlite3.connect(there / FILE_NAME)) as other, other:
        other.execute("UPDATE days SET began_wall = began_wall + 7")
    shutil.rmtree(there / FOLDER_NAME)
    with_copies(there)
    for path in copy_paths(there):
        shutil.copy(path, here / FOLDER_NAME / f"z{path.name}")
    (here / FILE_NAME).unlink()
    with Journal.open(here):
        pass
    began = {day.head.began_wall for day in days_of(here)}
    assert len(began) == 6
    with Journal.open(here) as journal:
        assert journal.mended is None


def went_on(day: KeptDay, *notes: str) -> KeptDay:
    first = len(day.rows) + 1
    rows = (row(seq, NoteTaken(at=99.0 * seq, text=n)) for seq, n in enumerate(notes, start=first))
    return replace(day, rows=(*day.rows, *rows))


@pytest.mark.parametrize("numbers", [(12, 13), (12, 12)], ids=["two numbers", "one number"])
def test_two_days_that_went_on_differently_from_one_beginning_both_outlive_the_record(
    tmp_path: Path, numbers: tuple[int, int]
) -> None:
    two = [went_on(a_day(), "x1", "x2", "x3"), went_on(a_day(), "y1", "y2", "y3", "y4")]
    for number, day in zip(numbers, two, strict=True):
        write_copy(tmp_path, replace(day, number=number))
    write_copy(tmp_path, replace(a_day(), number=12))
    (tmp_path / FILE_NAME).write_bytes(40_000 * b"\xa5")
    with Journal.open(tmp_path) as journal:
        assert journal.mended is not None
        assert journal.mended.fault is Fault.DAMAGED
    assert {tuple(day.rows) for day in days_of(tmp_path)} == {tuple(day.rows) for day in two}
    with Journal.open(tmp_path) as journal:
        assert journal.mended is None


def test_the_sentence_names_all_that_a_brewer_has_to_know() -> None:
    found = Mended(
        path=Path("kettleside.db"),
        fault=Fault.DAMAGED,
        days=3,
        rows=1,
        gaps=((1, 2),),
        without_schedule=(2,),
        kept=Path("kettleside-damaged-2026-11-28.db"),
    )
    assert found.sentence == (
        "the record kettleside.db was damaged and is mended: it has 3 days with 1 row; "
        "2 rows of day 1 could not be found; the schedule of day 2 could not be found; "
        "the damaged file is kept as kettleside-damaged-2026-11-28.db"
    )


def test_rows_that_a_lost_record_has_no_copy_of_are_told(tmp_path: Path) -> None:
    brew_three(tmp_path)
    with_copies(tmp_path)
    path = copy_paths(tmp_path)[1]
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:5], *(2 * [b"\xa5\n"]), *lines[7:]]))
    (tmp_path / FILE_NAME).unlink()
    with Journal.open(tmp_path) as journal:
        assert journal.mended is not None
        assert journal.mended.fault is Fault.MISSING
        assert journal.mended.gaps == ((2, 2),)
    assert [len(day.rows) for day in days_of(tmp_path)] == [60, 58, 60]


@pytest.mark.parametrize(
    ("name", "later_s"),
    [("0-mine.jsonl", -7.0), ("0001-2024-01-01-a.jsonl", 7.0)],
    ids=["a name without the number", "a day that began later"],
)
def test_the_days_of_a_lost_record_keep_their_numbers_though_another_claims_one(
    tmp_path: Path, name: str, later_s: float
) -> None:
    brew_three(tmp_path)
    with_copies(tmp_path)
    before = days_of(tmp_path)
    first = before[0]
    head = replace(first.head, began_wall=first.head.began_wall + later_s)
    (tmp_path / FOLDER_NAME / name).write_bytes(copy_text(replace(first, head=head)))
    for _ in range(2):
        (tmp_path / FILE_NAME).unlink()
        with Journal.open(tmp_path) as journal:
            assert journal.mended is not None
        there = {day.number: day for day in days_of(tmp_path)}
        assert [there[day.number] for day in before] == before
        assert there[4].head == head
