"""The whole record as one file, made while days go on, and read back before it counts."""

import gc
import json
import shutil
import sqlite3
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from contextlib import closing
from io import BytesIO
from pathlib import Path

import pytest
from backups import COPY_OF_FIRST, MADE, backed_up, backup_of_three, files_in, looked_through
from damaged import ROWS, brew_three, days_of, with_copies
from hypothesis import given, settings
from hypothesis import strategies as st
from reported_days import put_on_record, rehearsed
from test_record_copies import ANY_TEXT, NOTES
from test_record_files import closed_to_us
from test_record_import import brewed

from assistant.board.tokens import kept_secret
from assistant.day.events import DayBegan, NoteTaken
from assistant.record.backup import _zip_into, back_up
from assistant.record.backup_format import LIST, RECORD, WORDS
from assistant.record.copies import FOLDER_NAME, copy_paths, copy_text, set_aside
from assistant.record.errors import BackupError, RecordError
from assistant.record.journal import FILE_NAME, Journal
from assistant.record.opening import LOCK_NAME
from assistant.record.schema import VERSION

MADE_BY_LOOKING = ("-shm", "-wal")
"""What SQLite makes beside a record for whoever looks at it, and leaves there empty."""


def everything_in(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.endswith(MADE_BY_LOOKING)
    }


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return backup_of_three(tmp_path_factory.mktemp("three"))


def test_a_backup_is_a_zip_of_the_record_a_copy_of_each_day_and_a_list(three: Path) -> None:
    inside = files_in(three.read_bytes())
    assert list(inside) == [
        WORDS,
        RECORD,
        COPY_OF_FIRST,
        "days/0002-2024-06-15-harbour-mild.jsonl",
        "days/0003-2024-06-16-breakwater-amber.jsonl",
    ]
    days = days_of(three.parent / "brewed")
    assert inside[COPY_OF_FIRST] == copy_text(days[0])
    told = json.loads(zipfile.ZipFile(three).read(LIST))
    assert told["record"] == {"version": VERSION, "days": 3, "rows": 3 * ROWS}
    assert told["made"] == "2024-06-17T08:30:00Z"
    assert looked_through(three.read_bytes())[1] == days


def test_any_sqlite_reads_the_record_of_a_backup_in_a_folder_that_cant_be_written(
    three: Path, tmp_path: Path
) -> None:
    # What is read there has no log to make: an older SQLite would want to write one.
    record = tmp_path / RECORD
    record.write_bytes(files_in(three.read_bytes())[RECORD])
    assert record.read_bytes()[18:20] == b"\1\1"
    with closing(sqlite3.connect(f"{record.as_uri()}?immutable=1", uri=True)) as connection:
        assert connection.execute("SELECT count(*) FROM events").fetchone() == (3 * ROWS,)
        assert connection.execute("SELECT seq FROM sqlite_sequence").fetchone() == (3,)


def test_a_rehearsed_day_goes_into_a_backup_to_the_last_bit(tmp_path: Path) -> None:
    day = rehearsed()
    put_on_record(tmp_path / "here", day.state.schedule, day.events)
    file = backed_up(tmp_path / "here", tmp_path / "b.zip")
    assert looked_through(file.read_bytes())[1] == days_of(tmp_path / "here")


@settings(max_examples=15)
@given(notes=st.lists(ANY_TEXT | st.sampled_from(NOTES), max_size=4))
def test_a_day_with_any_notes_goes_into_a_backup_as_it_is(
    tmp_path_factory: pytest.TempPathFactory, notes: list[str]
) -> None:
    folder = tmp_path_factory.mktemp("notes")
    brewed(folder / "here", rows=1)
    with Journal.open(folder / "here") as journal:
        for at, text in enumerate(notes, start=1):
            journal.append(1, NoteTaken(at=float(at), text=text), 1000.0 + at)
    file = backed_up(folder / "here", folder / "b.zip")
    assert looked_through(file.read_bytes())[1] == days_of(folder / "here")
    shutil.rmtree(folder)


def test_making_a_backup_changes_nothing_and_tells_no_secret(tmp_path: Path) -> None:
    here = tmp_path / "here"
    brew_three(here)
    with_copies(here)
    secret = kept_secret(here)
    (here / "models").mkdir()
    (here / "models" / "ear.bin").write_bytes(b"a model of speech")
    before = everything_in(here)
    inside = files_in(backed_up(here, tmp_path / "b.zip").read_bytes())
    assert everything_in(here) == before
    assert not any(LOCK_NAME in name or "model" in name for name in inside)
    assert not any(secret in held or b"a model of speech" in held for held in inside.values())


WRITER = """
import sys
from pathlib import Path
from assistant.day.events import NoteTaken
from assistant.record.journal import Journal
with Journal.open(Path(sys.argv[1])) as journal:
    for second in range(3, 100_000):
        journal.append(1, NoteTaken(at=60.0 * second, text="steam " * 40), 1000.0 + second)
        print(second + 1, flush=True)
        if sys.stdin.readline() != "go on\\n":
            break
"""


class Writer:
    """Another process that records a brew day, a row whenever it is asked for one."""

    def __init__(self, folder: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.rows = self._told()

    def write(self) -> None:
        assert self._process.stdin is not None
        self._process.stdin.write("go on\n")
        self._process.stdin.flush()

    def written(self) -> None:
        self.rows = self._told()

    def _told(self) -> int:
        assert self._process.stdout is not None
        return int(self._process.stdout.readline())

    def end(self) -> int:
        self._process.communicate("", timeout=60)
        return self._process.returncode


@pytest.fixture
def writer(tmp_path: Path) -> Iterator[Writer]:
    brewed(tmp_path / "here")
    at_work = Writer(tmp_path / "here")
    yield at_work
    assert at_work.end() == 0


def test_a_day_under_way_in_another_process_is_backed_up_as_far_as_it_has_come(
    tmp_path: Path, writer: Writer
) -> None:
    for turn in range(5):
        # The row may go on record before, while or after the backup is made.
        writer.write()
        file = backed_up(tmp_path / "here", tmp_path / f"{turn}.zip")
        known = writer.rows
        writer.written()
        (day,) = looked_through(file.read_bytes())[1]
        assert len(day.rows) in (known, writer.rows)
        assert day.rows == days_of(tmp_path / "here")[0].rows[: len(day.rows)]


def test_what_only_a_copy_holds_is_backed_up_too(tmp_path: Path) -> None:
    here = tmp_path / "here"
    brew_three(here)
    with_copies(here)
    whole = days_of(here)
    with closing(sqlite3.connect(here / FILE_NAME)) as connection:
        connection.executescript(
            "DROP TRIGGER events_are_kept; DELETE FROM events WHERE day = 3 AND seq > 40"
        )
        connection.execute(
            "CREATE TRIGGER events_are_kept BEFORE DELETE ON events"
            " BEGIN SELECT RAISE(ABORT, 'what happened stays on record'); END"
        )
        connection.commit()
    assert len(days_of(here)[2].rows) == 40
    before = everything_in(here)
    assert looked_through(backed_up(here, tmp_path / "b.zip").read_bytes())[1] == whole
    assert everything_in(here) == before


def test_what_a_mending_set_aside_goes_along(tmp_path: Path) -> None:
    here = tmp_path / "here"
    brew_three(here)
    with_copies(here)
    set_aside(copy_paths(here)[0])
    (here / "kettleside-damaged-2024-06-20.db").write_bytes(b"half a record")
    (here / FOLDER_NAME / "fass bier ü.jsonl.damaged-2").write_bytes(b"half a line")
    inside = files_in(backed_up(here, tmp_path / "b.zip").read_bytes())
    kept = {name: held for name, held in inside.items() if name.startswith("set aside/")}
    assert kept.keys() == {
        "set aside/0001-2024-06-14-slipway-bitter.jsonl.damaged",
        "set aside/kettleside-damaged-2024-06-20.db",
        "set aside/fass_bier__.jsonl.damaged-2",
    }
    assert kept["set aside/kettleside-damaged-2024-06-20.db"] == b"half a record"


def spoil_rows(folder: Path, change: str) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        (made,) = connection.execute(
            "SELECT sql FROM sqlite_master WHERE name = 'events_stay'"
        ).fetchone()
        connection.executescript(f"DROP TRIGGER events_stay; {change}; {made}")


def test_a_record_with_a_row_that_cant_be_read_is_not_backed_up_and_mending_is_named(
    tmp_path: Path,
) -> None:
    here, file = tmp_path / "here", tmp_path / "b.zip"
    brew_three(here)
    spoil_rows(here, "UPDATE events SET body = '{}' WHERE day = 2 AND seq = 7")
    with pytest.raises(BackupError) as found:
        backed_up(here, file)
    assert found.value.faults[0].startswith(f"{file} is damaged: day 2 can't be read")
    assert "kettleside mend" in found.value.faults[-1]
    assert list(tmp_path.iterdir()) == [here]
    Journal.open(here, thorough=True).close()
    assert len(looked_through(backed_up(here, file).read_bytes())[1]) == 3


def test_a_damaged_record_is_backed_up_as_far_as_it_reads_but_over_no_earlier_backup(
    tmp_path: Path,
) -> None:
    here, earlier = tmp_path / "here", tmp_path / "earlier.zip"
    brew_three(here)
    backed_up(here, earlier)
    with_copies(here)
    whole = days_of(here)
    with (here / FILE_NAME).open("r+b") as file:
        file.seek(4096)
        file.write(b"\xff" * 4096)
    before, left = everything_in(here), earlier.read_bytes()
    assert looked_through(backed_up(here, tmp_path / "b.zip").read_bytes())[1] == whole
    with pytest.raises(BackupError, match="may hold more than the damaged record"):
        backed_up(here, earlier, replace=True)
    assert earlier.read_bytes() == left
    assert everything_in(here) == before


def test_an_earlier_backup_is_replaced_where_that_is_asked_for_and_nothing_else_is(
    tmp_path: Path, three: Path
) -> None:
    brewed(tmp_path / "here")
    earlier, letter = tmp_path / "b.zip", tmp_path / "letter.txt"
    shutil.copyfile(three, earlier)
    letter.write_text("Dear brewer")
    with pytest.raises(BackupError, match="is there already; name a file that is not"):
        backed_up(tmp_path / "here", earlier)
    with pytest.raises(BackupError, match="can't be read as a backup"):
        backed_up(tmp_path / "here", letter, replace=True)
    assert letter.read_text() == "Dear brewer"
    assert earlier.read_bytes() == three.read_bytes()
    backed_up(tmp_path / "here", earlier, replace=True)
    assert looked_through(earlier.read_bytes())[1] == days_of(tmp_path / "here")


def test_a_backup_is_not_kept_beside_the_record(tmp_path: Path) -> None:
    brewed(tmp_path / "here")
    (tmp_path / "road").symlink_to(tmp_path / "here")
    for file in (tmp_path / "here" / FILE_NAME, tmp_path / "road" / FOLDER_NAME / "b.zip"):
        with pytest.raises(BackupError, match="is in the folder of the record"):
            backed_up(tmp_path / "here", file, replace=True)


def test_of_no_days_no_backup_is_made(tmp_path: Path) -> None:
    with pytest.raises(BackupError, match=r"no brew day is on record in .*/gone"):
        backed_up(tmp_path / "gone", tmp_path / "b.zip")
    assert list(tmp_path.iterdir()) == []


def test_a_backup_that_cant_be_written_leaves_the_earlier_one_and_nothing_beside_it(
    tmp_path: Path,
) -> None:
    brewed(tmp_path / "here")
    with pytest.raises(BackupError, match="can't be written: No such file or directory"):
        backed_up(tmp_path / "here", tmp_path / "gone" / "b.zip")
    with pytest.raises(BackupError, match="can't be written: File name too long"):
        backed_up(tmp_path / "here", tmp_path / ("b" * 300))
    there = tmp_path / "there"
    there.mkdir()
    earlier = backed_up(tmp_path / "here", there / "b.zip").read_bytes()
    with (
        closed_to_us(there, 0o500),
        pytest.raises(BackupError, match="can't be written: Permission denied"),
    ):
        backed_up(tmp_path / "here", there / "b.zip", replace=True)
    assert everything_in(there) == {"b.zip": earlier}


def test_a_record_that_another_program_keeps_for_itself_is_told_of_soon(tmp_path: Path) -> None:
    brewed(tmp_path / "here")
    path = tmp_path / "here" / FILE_NAME
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    with (
        Journal.open(tmp_path / "here", read_only=True) as journal,
        closing(sqlite3.connect(path, isolation_level=None)) as other,
    ):
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(RecordError, match="is in use by another program"):
            journal.copy_to(tmp_path / "b.db")


def test_an_open_day_goes_on_in_the_backup_where_it_was(tmp_path: Path) -> None:
    brewed(tmp_path / "here", rows=2)
    file = backed_up(tmp_path / "here", tmp_path / "b.zip")
    with Journal.open(tmp_path / "here") as journal:
        journal.append(1, DayBegan(at=200.0), 1200.0)
        back_up(journal, tmp_path / "c.zip", MADE)
    assert [len(looked_through(f.read_bytes())[1][0].rows) for f in (file, tmp_path / "c.zip")] == [
        2,
        3,
    ]


@pytest.mark.parametrize("left_open", [False, True], ids=["between files", "in a file"])
def test_a_zip_that_is_given_up_says_what_ended_it(left_open: bool) -> None:
    def interrupted() -> None:
        with _zip_into(BytesIO()) as packed:
            handle = packed.open("kettleside.db", "w")
            handle.write(b"half of a record")
            if not left_open:
                handle.close()
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    gc.collect()
