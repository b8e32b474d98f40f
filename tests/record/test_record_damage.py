"""A record that something else has changed: told as a fault of the record, and never a crash."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from small_day import small_schedule, whole_day

from assistant.cli import main
from assistant.day.events import TimePassed
from assistant.day.teaching import learned_kettle
from assistant.record.journal import FILE_NAME, DayStatus, Journal, RecordError
from assistant.record.replay import replay


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The file of a record with one finished day and what it taught."""
    folder = tmp_path_factory.mktemp("record")
    day = whole_day(small_schedule())
    with Journal.open(folder) as journal:
        day_id = journal.begin_day(day.schedule, "slipway.yaml", 1e9)
        for event in day.events:
            journal.append(day_id, event, 1e9 + event.at)
        journal.keep_learned(day_id, learned_kettle(day.state))
        journal.close_day(day_id, DayStatus.FINISHED)
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    return (folder / FILE_NAME).read_bytes()


@pytest.fixture
def folder(written: bytes, tmp_path: Path) -> Path:
    """A folder with a copy of that record."""
    (tmp_path / FILE_NAME).write_bytes(written)
    return tmp_path


def change(folder: Path, *statements: str) -> None:
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection, connection:
        for trigger in ("events_stay", "events_are_kept", "events_follow"):
            connection.execute(f"DROP TRIGGER {trigger}")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for statement in statements:
            connection.execute(statement)


MENDS = "the next `kettleside brew` or `kettleside mend` mends it"


def look_on(folder: Path) -> Iterator[str]:
    """What the commands that look on print, with their exit status."""
    for words in (["days"], ["report", "1"]):
        result = CliRunner().invoke(main, [*words, "--data", str(folder)])
        assert result.exception is None or isinstance(result.exception, SystemExit), words
        assert result.exit_code in (0, 2, 3)
        told = result.stderr.splitlines()
        damaged = [line for line in told if MENDS in line]
        assert len(damaged) <= 1
        assert (result.exit_code == 0) == (told == damaged)
        yield result.stdout + result.stderr


SPOILT = {
    "a status nobody knows": "UPDATE days SET status = 'spilt'",
    "a status of bytes": "UPDATE days SET status = x'00ff'",
    "a beginning in words": "UPDATE days SET began_wall = 'dawn'",
    "a beginning without end": "UPDATE days SET began_wall = 9e999",
    "a beginning past any calendar": "UPDATE days SET began_wall = 1e300",
    "a beer of bytes": "UPDATE days SET beer = x'1b5b324a'",
    "a schedule of bytes": "UPDATE days SET schedule = x'7b7d'",
    "a schedule of a number": "UPDATE days SET schedule = 7",
    "no water": "UPDATE days SET schedule = json_set(schedule, '$.fermenter_l', -1e300)",
    "no rests": "UPDATE days SET schedule = json_set(schedule, '$.mash', json('[]'))",
    "a boil of no number": "UPDATE days SET schedule = json_replace(schedule,"
    " '$.boil_minutes', 1e300)",
    "a kind of bytes": "UPDATE events SET kind = x'00'",
    "a kind of escapes": "UPDATE events SET kind = char(27) || '[2J'",
    "a body of bytes": "UPDATE events SET body = x'5b5d'",
    "a body of a number": "UPDATE events SET body = 3",
    "an event at no moment": "UPDATE events SET body = json_set(body, '$.at', 'noon')",
    "an event after the end of time": "UPDATE events SET body = json_set(body, '$.at', 1e300)"
    " WHERE seq = (SELECT max(seq) FROM events)",
    "a row of words": "UPDATE events SET seq = char(27) || seq, body = '{'",
}


@pytest.mark.parametrize("statement", SPOILT.values(), ids=SPOILT)
def test_a_record_with_a_spoilt_row_is_told_in_a_line(folder: Path, statement: str) -> None:
    change(folder, statement)
    told = list(look_on(folder))
    assert any(" on record" in text or " is damaged: " in text for text in told), told
    for text in told:
        assert all(line.isprintable() for line in text.splitlines())


@pytest.mark.parametrize("column", ["at", "wall"])
def test_a_moment_that_is_no_number_is_damage(folder: Path, column: str) -> None:
    change(folder, f"UPDATE events SET {column} = 'noon'")
    with Journal.open(folder, read_only=True) as journal:
        assert journal.mended is not None
        last = journal.last(1)
    assert last is None or all(isinstance(moment, float) for moment in last)


def test_a_name_on_record_does_not_act_on_the_terminal(folder: Path) -> None:
    change(folder, "UPDATE days SET beer = char(27) || '[2J' || char(155) || char(8238) || 'pils'")
    listed, reported = look_on(folder)
    assert r"\x1b[2J\x9b\u202epils" in listed
    for line in (listed + reported).splitlines():
        assert line.isprintable()


def test_a_fault_that_python_can_not_decode_is_damage(folder: Path, written: bytes) -> None:
    spoilt = written.replace(b"tablelearnedlearned", b"tablel\xfbarnedlearned")
    spoilt = spoilt.replace(b"CREATE TABLE learned", b"CREATE TABEL learned")
    assert spoilt.count(b"\xfbarned") == spoilt.count(b"TABEL") == 1
    (folder / FILE_NAME).write_bytes(spoilt)
    with Journal.open(folder, read_only=True) as journal:
        assert journal.mended is not None
        assert journal.rows(1) > 30


def test_a_day_that_never_ends_is_not_waited_for() -> None:
    with pytest.raises(RecordError, match=r"an event at 1e\+300 s lies past"):
        replay(small_schedule(), [TimePassed(at=1e300)])


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    spoilt=st.lists(
        st.tuples(st.integers(0, 2**20), st.binary(min_size=1, max_size=6)), min_size=1, max_size=4
    )
)
def test_whatever_bytes_have_changed_the_commands_end_in_words(
    folder: Path, written: bytes, spoilt: list[tuple[int, bytes]]
) -> None:
    whole = bytearray(written)
    for place, new in spoilt:
        start = place % (len(whole) - len(new))
        whole[start : start + len(new)] = new
    (folder / FILE_NAME).write_bytes(whole)
    for text in look_on(folder):
        assert all(line.isprintable() for line in text.splitlines())
