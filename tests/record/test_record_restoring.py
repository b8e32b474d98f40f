"""A backup put back: whole into an empty folder, or what a record lacks; nothing there is lost."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from backups import backed_up, backup_of_three, files_in, looked_through, repacked, with_record
from click.testing import CliRunner, Result
from damaged import BEERS, ROWS, brew_three, days_of, with_copies, without_copies
from small_day import small_schedule
from test_record_files import closed_to_us
from test_record_import import brewed
from test_record_learned import taught

from assistant.cli import main
from assistant.day.events import NoteTaken
from assistant.record.backup_format import RECORD
from assistant.record.copies import FOLDER_NAME, copies, copy_paths, set_aside
from assistant.record.journal import FILE_NAME, DayStatus, Journal
from assistant.record.kept import KeptDay
from assistant.record.schema import VERSION

STEPS = Path(__file__).parent.parent / "faults" / "killed_steps.py"
DAMAGED = "kettleside-damaged-2024-06-20.db"


def restore(file: Path, folder: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["restore", str(file), "--data", str(folder), *words])


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return backup_of_three(tmp_path_factory.mktemp("three"))


@pytest.fixture(scope="module")
def days(three: Path) -> list[KeptDay]:
    return days_of(three.parent / "brewed")


def holds(folder: Path, days: list[KeptDay]) -> None:
    assert days_of(folder) == days
    held = sorted((copy.day for _, copy in copies(folder)), key=lambda day: day.number)
    assert [day.rows for day in held] == [day.rows for day in days]


@pytest.mark.parametrize("there", [False, True], ids=["missing", "empty"])
def test_a_record_comes_back_whole(
    three: Path, days: list[KeptDay], tmp_path: Path, there: bool
) -> None:
    folder = tmp_path / "a" / "b"
    if there:
        folder.mkdir(parents=True)
    done = restore(three, folder)
    assert (done.exit_code, done.output) == (0, f"3 days with 180 rows are back in {folder}.\n")
    holds(folder, days)
    with Journal.open(folder) as journal:
        assert journal.learned("garage") == taught(3.5, brews=2)
        assert journal.unfinished("/beers/2.yaml") is not None
        journal.append(3, NoteTaken(at=90.0, text="it goes on"), 90.0)
        assert journal.begin_day(small_schedule(), "next.yaml", 0.0) == 4


def test_numbers_that_were_given_to_days_are_not_given_again(tmp_path: Path) -> None:
    brew_three(tmp_path / "here")
    with closing(sqlite3.connect(tmp_path / "here" / FILE_NAME)) as connection, connection:
        connection.execute("UPDATE sqlite_sequence SET seq = 41 WHERE name = 'days'")
    restore(backed_up(tmp_path / "here", tmp_path / "b.zip"), tmp_path / "there")
    with Journal.open(tmp_path / "there") as journal:
        assert journal.begin_day(small_schedule(), "next.yaml", 0.0) == 42


def test_what_was_set_aside_comes_back_beside_the_record(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    brew_three(here)
    with_copies(here)
    (copy, *_) = copy_paths(here)
    set_aside(copy)
    (here / DAMAGED).write_bytes(b"half a record")
    file = backed_up(here, tmp_path / "b.zip")
    there.mkdir()
    (there / DAMAGED).write_bytes(b"something of this folder's own")
    assert restore(file, there).exit_code == 0
    aside = f"{copy.name}.damaged"
    assert (there / FOLDER_NAME / aside).read_bytes() == (here / FOLDER_NAME / aside).read_bytes()
    assert (there / DAMAGED).read_bytes() == b"something of this folder's own"
    assert len(days_of(there)) == 3


@pytest.mark.parametrize("kind", ["record", "copies alone", "another's database", "mended"])
def test_a_folder_with_a_record_is_left_alone(three: Path, tmp_path: Path, kind: str) -> None:
    folder = tmp_path / "here"
    if kind == "another's database":
        folder.mkdir()
        (folder / FILE_NAME).write_bytes(b"Dear brewer, this is a letter")
    else:
        brewed(folder)
        with_copies(folder)
        if kind == "copies alone":
            (folder / FILE_NAME).unlink()
        if kind == "mended":
            without_copies(folder)
            (folder / FILE_NAME).rename(folder / "kettleside-mended.db")
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    done = restore(three, folder)
    assert done.exit_code == 2
    assert done.stderr == (
        f"{folder} has a record already; --merge takes in what it lacks, or name another folder "
        "with --data\n"
    )
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_a_damaged_backup_makes_no_folder(three: Path, tmp_path: Path) -> None:
    file = tmp_path / "b.zip"
    file.write_bytes(three.read_bytes()[:-40])
    for words in ((), ("--merge",)):
        done = restore(file, tmp_path / "there", *words)
        assert (done.exit_code, done.stdout) == (2, "")
        assert done.stderr == f"{file} is not a backup of brew days, or was cut short\n"
    assert list(tmp_path.iterdir()) == [file]


def test_a_newer_record_is_refused_and_an_older_one_brought_up_to_date(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    newer, older = tmp_path / "newer.zip", tmp_path / "older.zip"
    newer.write_bytes(with_record(three.read_bytes(), "PRAGMA user_version = 99", tmp_path))
    done = restore(newer, tmp_path / "there")
    assert done.exit_code == 2
    assert done.stderr == (
        f"the record {newer} is of version 99 and this program knows versions up to {VERSION}; "
        "start the newer Kettleside that wrote it\n"
    )
    first = with_record(
        three.read_bytes(),
        "DROP TABLE beers; DROP TABLE learned; PRAGMA user_version = 1",
        tmp_path,
    )
    taught_nothing = [replace(day, learned=None) for day in days]
    names = [name for name in files_in(first) if name.startswith("days/")]
    from assistant.record.copies import copy_text

    texts = {name: copy_text(day) for name, day in zip(names, taught_nothing, strict=True)}
    older.write_bytes(repacked(first, texts, lambda told: told["record"].update(version=1)))
    assert restore(older, tmp_path / "there").exit_code == 0
    assert days_of(tmp_path / "there") == taught_nothing
    with closing(sqlite3.connect(tmp_path / "there" / FILE_NAME)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (VERSION,)


def test_a_merge_takes_in_what_the_record_lacks_and_leaves_the_rest(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    here = tmp_path / "here"
    with Journal.open(here) as journal:
        journal.take_in(days[0])
        journal.take_in(
            replace(
                days[1],
                rows=days[1].rows[:20],
                learned=None,
                head=replace(days[1].head, status=DayStatus.OPEN),
            )
        )
    done = restore(three, here, "--merge")
    assert (done.exit_code, done.output) == (
        0,
        f"Day 1, {BEERS[0]}, is on record already.\n"
        f"Day 2, {BEERS[1]}, completed: {ROWS - 20} rows.\n"
        f"Day 3, {BEERS[2]}, put on record: {ROWS} rows.\n",
    )
    holds(here, days)
    again = restore(three, here, "--merge")
    assert again.exit_code == 0
    assert again.output.count("is on record already") == 3
    holds(here, days)


def test_a_day_that_went_on_since_keeps_what_it_has(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    here = tmp_path / "here"
    restore(three, here)
    with Journal.open(here) as journal:
        journal.append(3, NoteTaken(at=90.0, text="since the backup"), 90.0)
        journal.begin_day(small_schedule(), "since.yaml", 5.0)
    since = days_of(here)
    done = restore(three, here, "--merge")
    assert done.output.count("is on record already") == 3
    assert days_of(here) == since
    assert len(since[2].rows) == ROWS + 1


def test_a_day_that_went_on_differently_comes_in_beside_the_one_that_is_there(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    here = tmp_path / "here"
    with Journal.open(here) as journal:
        journal.take_in(replace(days[2], rows=days[2].rows[:30]))
        journal.append(1, NoteTaken(at=35.0, text="another afternoon"), 35.0)
    own = days_of(here)
    done = restore(three, here, "--merge")
    assert done.output.splitlines() == [
        f"Day 2, {BEERS[0]}, put on record: {ROWS} rows.",
        f"Day 3, {BEERS[1]}, put on record: {ROWS} rows.",
        f"Day 4, {BEERS[2]}, put on record: {ROWS} rows.",
    ]
    assert days_of(here) == own + [replace(day, number=day.number + 1) for day in days]


def test_a_merge_keeps_numbers_where_they_follow_on(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    assert restore(three, tmp_path / "empty", "--merge").exit_code == 0
    assert days_of(tmp_path / "empty") == days


def test_a_record_that_another_brew_day_writes_is_not_touched(three: Path, tmp_path: Path) -> None:
    here = tmp_path / "here"
    brewed(here)
    with Journal.open(here):
        done = restore(three, here, "--merge")
        assert done.exit_code == 3
        assert done.stderr.startswith(f"another brew day or visit is being recorded in {here}")
    assert len(days_of(here)) == 1


def test_a_folder_that_cant_be_written_is_named(three: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    done = restore(three, tmp_path / "file" / "there")
    assert done.exit_code == 3
    assert "can't be used: Not a directory" in done.stderr
    there = tmp_path / "there"
    there.mkdir()
    with closed_to_us(there, 0o500):
        for words in ((), ("--merge",)):
            done = restore(three, there, *words)
            assert done.exit_code == 3
            assert "can't be used: Permission denied" in done.stderr


def killed(tmp_path: Path, *words: str) -> list[Path]:
    """The copies of ``tmp_path / "prepared"``, each as a kill at another step left it."""
    work, passing = tmp_path / "work", tmp_path / "passing"
    work.mkdir()
    passing.mkdir()
    done = subprocess.run(
        [sys.executable, STEPS, tmp_path / "prepared", work, *words],
        env={**os.environ, "TMPDIR": str(passing)},
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    left = sorted(work.iterdir(), key=lambda path: int(path.name))
    assert len(left) > 4
    return left


def test_a_restoring_that_is_killed_has_put_back_nothing_or_all_and_can_be_done_again(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    (tmp_path / "prepared").mkdir()
    came_back = []
    for folder in killed(tmp_path, "restore", str(three), "--data", "@/data"):
        data = folder / "data"
        found = days_of(data)
        assert found in ([], days)
        came_back.append(bool(found))
        if not found:
            assert restore(three, data).exit_code == 0
        holds_all = restore(three, data, "--merge")
        assert holds_all.output.count("is on record already") == 3
        holds(data, days)
    # Once it is back it stays.
    assert came_back == sorted(came_back)
    assert not came_back[0]
    assert came_back[-1]


def test_a_merge_that_is_killed_has_taken_in_all_days_or_none(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    with Journal.open(tmp_path / "prepared") as journal:
        journal.take_in(
            replace(
                days[0],
                rows=days[0].rows[:20],
                learned=None,
                head=replace(days[0].head, status=DayStatus.OPEN),
            )
        )
    before = days_of(tmp_path / "prepared")
    came_in = []
    for folder in killed(tmp_path, "restore", str(three), "--merge", "--data", "@"):
        found = days_of(folder)
        assert found in (before, days)
        came_in.append(found == days)
        assert restore(three, folder, "--merge").exit_code == 0
        holds(folder, days)
    assert came_in == sorted(came_in)
    assert not came_in[0]
    assert came_in[-1]


def test_a_backup_that_is_killed_leaves_the_earlier_one_or_is_there_whole(
    three: Path, days: list[KeptDay], tmp_path: Path
) -> None:
    prepared = tmp_path / "prepared"
    (prepared / "stick").mkdir(parents=True)
    brewed(prepared / "data")
    now = days_of(prepared / "data")
    (prepared / "stick" / "b.zip").write_bytes(three.read_bytes())
    words = ("backup", "@/stick/b.zip", "--replace", "--data", "@/data")
    replaced = []
    for folder in killed(tmp_path, *words):
        found = looked_through((folder / "stick" / "b.zip").read_bytes())[1]
        assert found in (days, now)
        replaced.append(found == now)
        assert days_of(folder / "data") == now
    assert replaced == sorted(replaced)
    assert not replaced[0]
    assert replaced[-1]


def test_a_record_of_the_backup_is_what_stands_in_the_folder(three: Path, tmp_path: Path) -> None:
    restore(three, tmp_path)
    (tmp_path / RECORD).rename(tmp_path / "moved.db")
    with closing(sqlite3.connect(tmp_path / "moved.db")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
