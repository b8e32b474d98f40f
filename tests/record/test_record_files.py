"""A record that is missing, foreign, damaged, newer, older or out of reach."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from small_day import small_schedule

from assistant.day.events import DayBegan, NoteTaken
from assistant.record import opening, schema
from assistant.record.errors import database_fault
from assistant.record.journal import FILE_NAME, Journal, RecordError
from assistant.record.opening import LOCK_NAME

READING_AND_WRITING = pytest.mark.parametrize(
    "read_only", [True, False], ids=["reading", "writing"]
)


def set_version(folder: Path, version: int) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection, connection:
        connection.execute(f"PRAGMA user_version = {version}")


def test_looking_makes_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "never brewed"
    with Journal.open(folder, read_only=True) as journal:
        assert journal.days() == ()
        assert journal.day(1) is None
        assert journal.unfinished("slipway.yaml") is None
    assert not folder.exists()


@pytest.mark.parametrize("brewed_before", [True, False], ids=["with days", "without a record"])
def test_nothing_is_written_when_only_looking(tmp_path: Path, brewed_before: bool) -> None:
    if brewed_before:
        Journal.open(tmp_path).close()
    with (
        Journal.open(tmp_path, read_only=True) as journal,
        pytest.raises(RecordError, match="can't be written"),
    ):
        journal.begin_day(small_schedule(), "slipway.yaml", 0.0)


@READING_AND_WRITING
@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"beer", id="one word"),
        pytest.param(b"beer, date, gravity\n" * 200, id="a table of another kind"),
        pytest.param(bytes(range(256)) * 64, id="binary"),
    ],
)
def test_a_file_that_is_no_database_is_refused_and_left_as_it_is(
    tmp_path: Path, content: bytes, read_only: bool
) -> None:
    (tmp_path / FILE_NAME).write_bytes(content)
    with pytest.raises(RecordError, match=r"kettleside\.db is not a database; move it out"):
        Journal.open(tmp_path, read_only=read_only)
    assert (tmp_path / FILE_NAME).read_bytes() == content


@READING_AND_WRITING
def test_another_programs_database_is_refused(tmp_path: Path, read_only: bool) -> None:
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection, connection:
        connection.execute("CREATE TABLE bees (hive TEXT)")
    with pytest.raises(RecordError, match="is a database, but not a record of brew days"):
        Journal.open(tmp_path, read_only=read_only)


@READING_AND_WRITING
def test_an_empty_file_is_a_record_without_days(tmp_path: Path, read_only: bool) -> None:
    (tmp_path / FILE_NAME).touch()
    with Journal.open(tmp_path, read_only=read_only) as journal:
        assert journal.days() == ()


@READING_AND_WRITING
def test_a_newer_record_is_refused(tmp_path: Path, read_only: bool) -> None:
    Journal.open(tmp_path).close()
    set_version(tmp_path, schema.VERSION + 1)
    wording = f"is of version {schema.VERSION + 1} and this program knows versions up to"
    with pytest.raises(RecordError, match=wording):
        Journal.open(tmp_path, read_only=read_only)


def test_a_damaged_record_says_so_and_shows_what_can_be_read(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), "slipway.yaml", 0.0)
        for second in range(200):
            journal.append(day_id, NoteTaken(at=float(second), text="steam " * 50), 0.0)
    path = tmp_path / FILE_NAME
    whole = path.read_bytes()
    path.write_bytes(whole[: 5 * 4096] + b"\xff" * 8192 + whole[7 * 4096 :])
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.mended is not None
        assert "kettleside.db is damaged: 1 day with 1" in journal.mended.sentence
        assert 150 < len(journal.events(day_id)) < 200


def later_version(monkeypatch: pytest.MonkeyPatch, *statements: str) -> None:
    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, statements))
    monkeypatch.setattr(schema, "VERSION", schema.VERSION + 1)
    monkeypatch.setattr(opening, "VERSION", schema.VERSION)


def test_an_older_record_is_brought_up_to_date_by_the_next_brew_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(small_schedule(), "slipway.yaml", 0.0)
        journal.append(day_id, DayBegan(at=0.0), 0.0)
    later_version(monkeypatch, "ALTER TABLE days ADD COLUMN weather TEXT")
    before = (tmp_path / FILE_NAME).read_bytes()
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.events(day_id) == (DayBegan(at=0.0),)
    assert (tmp_path / FILE_NAME).read_bytes() == before
    with Journal.open(tmp_path) as journal:
        assert journal.events(day_id) == (DayBegan(at=0.0),)
    with Journal.open(tmp_path, read_only=True) as journal:
        assert len(journal.days()) == 1


def test_a_step_between_versions_that_fails_leaves_the_record_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Journal.open(tmp_path).close()
    with monkeypatch.context() as patch:
        later_version(
            patch, "ALTER TABLE days ADD COLUMN weather TEXT", "DROP TABLE that_never_was"
        )
        with pytest.raises(RecordError, match="that_never_was"):
            Journal.open(tmp_path)
    with Journal.open(tmp_path) as journal:
        assert journal.days() == ()
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        assert "weather" not in [row[1] for row in connection.execute("PRAGMA table_info(days)")]


@pytest.mark.parametrize("inside", [".", "deeper"])
def test_a_folder_that_cant_be_made_is_named_with_a_way_out(tmp_path: Path, inside: str) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(RecordError, match=r"file.* can't be used: .*; name another folder with"):
        Journal.open(tmp_path / "file" / inside)


def test_a_folder_in_the_place_of_the_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).mkdir()
    with pytest.raises(RecordError, match="can't be opened; see to the rights on it"):
        Journal.open(tmp_path)


def test_a_refused_record_lets_the_next_writer_in(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"not a record")
    with pytest.raises(RecordError, match="is not a database"):
        Journal.open(tmp_path)
    (tmp_path / FILE_NAME).unlink()
    with Journal.open(tmp_path) as journal:
        assert journal.days() == ()


@contextmanager
def closed_to_us(folder: Path, mode: int) -> Iterator[None]:
    folder.chmod(mode)
    try:
        if os.access(folder, os.W_OK):
            pytest.skip("this user may write anywhere")
        yield
    finally:
        folder.chmod(0o755)


def test_a_record_in_a_folder_that_cant_be_written_can_still_be_read(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.begin_day(small_schedule(), "slipway.yaml", 0.0)
    (tmp_path / LOCK_NAME).unlink()
    with closed_to_us(tmp_path, 0o555):
        with Journal.open(tmp_path, read_only=True) as journal:
            assert len(journal.days()) == 1
        with pytest.raises(RecordError, match="can't be used: Permission denied"):
            Journal.open(tmp_path)


def test_a_log_left_by_a_killed_day_is_not_passed_over_where_it_cant_be_read(
    tmp_path: Path,
) -> None:
    Journal.open(tmp_path).close()
    (tmp_path / f"{FILE_NAME}-wal").write_bytes(b"a row or two")
    with closed_to_us(tmp_path, 0o555), pytest.raises(RecordError, match="can't be opened"):
        Journal.open(tmp_path, read_only=True)


def test_a_folder_that_cant_be_looked_into_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "locked"
    folder.mkdir()
    wording = "locked can't be used: Permission denied"
    with closed_to_us(folder, 0o000), pytest.raises(RecordError, match=wording):
        Journal.open(folder, read_only=True)


@pytest.mark.parametrize(
    ("code", "wording"),
    [
        (sqlite3.SQLITE_FULL, "the disk is full; free some space"),
        (sqlite3.SQLITE_IOERR_WRITE, "the disk reports a fault"),
        (sqlite3.SQLITE_READONLY_DBMOVED, "can't be written; make it writable"),
        (sqlite3.SQLITE_BUSY_SNAPSHOT, "in use by another program"),
        (sqlite3.SQLITE_MISMATCH, "can't be used: odd"),
    ],
    ids=["full disk", "bad disk", "read-only", "busy", "anything else"],
)
def test_what_the_database_reports_is_put_in_plain_words(code: int, wording: str) -> None:
    error = sqlite3.OperationalError("odd")
    error.sqlite_errorcode = code
    assert wording in str(database_fault(Path("kettleside.db"), error))
