"""Days that go from one record to another by their copies."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from small_day import small_schedule
from test_record_copies import a_day, row
from test_record_learned import taught

from assistant.cli import main
from assistant.day.events import DayBegan, NoteTaken, TimePassed
from assistant.record.codec import learned_text
from assistant.record.copies import FOLDER_NAME, copy_paths, copy_text
from assistant.record.copy_keeping import glances
from assistant.record.copy_lines import read_copy
from assistant.record.journal import FILE_NAME, Day, DayStatus, Journal
from assistant.record.kept import KeptDay

FINISHED = DayStatus.FINISHED


def kettleside(folder: Path, *words: object) -> Result:
    return CliRunner().invoke(main, [*map(str, words), "--data", str(folder)])


def written(tmp_path: Path, day: KeptDay, name: str = "a.jsonl") -> Path:
    path = tmp_path / name
    path.write_bytes(copy_text(day))
    return path


def on_record(folder: Path) -> list[KeptDay]:
    """Every day of the record in ``folder``, the oldest first."""
    with Journal.open(folder, read_only=True) as journal:
        return [journal.kept(day.id) for day in reversed(journal.days())]


def brewed(folder: Path, rows: int = 3, wall_s: float = 1000.0) -> None:
    with Journal.open(folder) as journal:
        day_id = journal.begin_day(small_schedule(), "slipway.yaml", wall_s)
        journal.append(day_id, DayBegan(at=0.0), wall_s)
        for n in range(1, rows):
            journal.append(day_id, NoteTaken(at=60.0 * n, text=f"note {n}"), wall_s + 60 * n)


def test_a_day_goes_out_of_one_record_and_into_another_as_it_was(tmp_path: Path) -> None:
    here, there, file = tmp_path / "here", tmp_path / "there", tmp_path / "day.jsonl"
    brewed(here)
    with Journal.open(here) as journal:
        journal.keep_learned(1, taught(2.8))
        journal.close_day(1, FINISHED)
    assert kettleside(here, "export", 1, file).exit_code == 0
    assert kettleside(here, "export", 1).stdout_bytes == file.read_bytes()
    brewed(there, wall_s=5.0)
    done = kettleside(there, "import", file)
    assert (done.exit_code, done.stdout) == (
        0,
        "Day 2, Slipway Bitter, put on record: 3 rows.\n",
    )
    assert on_record(there)[1] == replace(on_record(here)[0], number=2)
    with Journal.open(there, read_only=True) as journal:
        assert journal.learned("garage") == taught(2.8)


def test_an_unfinished_day_comes_in_unfinished_and_goes_on(tmp_path: Path) -> None:
    kettleside(tmp_path, "import", written(tmp_path, a_day()))
    with Journal.open(tmp_path) as journal:
        day = journal.unfinished("/beers/slipway.yaml")
        assert isinstance(day, Day)
        journal.append(day.id, TimePassed(at=900.0), 900.0)
        assert len(journal.events(day.id)) == 5


@pytest.mark.parametrize("rows", [4, 3], ids=["all of it", "the beginning of it"])
def test_a_day_that_is_on_record_is_refused_in_plain_words(tmp_path: Path, rows: int) -> None:
    brewed(tmp_path)
    file = written(tmp_path, a_day())
    kettleside(tmp_path, "import", file)
    before = on_record(tmp_path)
    again = written(tmp_path, replace(a_day(), rows=a_day().rows[:rows]))
    done = kettleside(tmp_path, "import", again)
    assert done.exit_code == 2
    assert done.stderr == f"{again} is on record already as day 2\n"
    assert on_record(tmp_path) == before


def test_days_that_come_in_together_are_numbered_from_the_oldest(tmp_path: Path) -> None:
    files = []
    for began in (3000.0, 1000.0, 2000.0):
        day = a_day(FINISHED)
        day = replace(day, head=replace(day.head, began_wall=began))
        files.append(written(tmp_path, day, f"{began:g}.jsonl"))
    assert kettleside(tmp_path, "import", *files).exit_code == 0
    assert [day.head.began_wall for day in on_record(tmp_path)] == [1000.0, 2000.0, 3000.0]


def test_a_day_that_is_there_in_part_is_completed(tmp_path: Path) -> None:
    whole = replace(a_day(FINISHED), learned=learned_text(taught(2.8)))
    kettleside(tmp_path, "import", written(tmp_path, replace(a_day(), rows=whole.rows[:2])))
    done = kettleside(tmp_path, "import", written(tmp_path, whole))
    assert done.stdout == "Day 1, Slipway Bitter, completed: 2 rows.\n"
    assert on_record(tmp_path) == [replace(whole, number=1)]


def test_a_day_that_went_on_differently_is_a_day_of_its_own(tmp_path: Path) -> None:
    one = a_day()
    other = replace(one, rows=(*one.rows[:3], row(4, TimePassed(at=999.0))))
    kettleside(tmp_path, "import", written(tmp_path, one), written(tmp_path, other, "b.jsonl"))
    assert on_record(tmp_path) == [replace(one, number=1), replace(other, number=2)]


def test_a_day_whose_schedule_on_record_is_broken_comes_in_whole_beside_it(tmp_path: Path) -> None:
    file = written(tmp_path, a_day(FINISHED))
    assert kettleside(tmp_path, "import", file).exit_code == 0
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as record, record:
        record.execute("UPDATE days SET schedule = '{\"beer'")
    done = kettleside(tmp_path, "import", file)
    assert (done.exit_code, done.exception) == (0, None)
    with Journal.open(tmp_path) as journal:
        assert journal.kept(2) == replace(a_day(FINISHED), number=2)


def spoilt(place: int, into: bytes) -> Callable[[bytes], bytes]:
    def spoil(data: bytes) -> bytes:
        lines = data.splitlines(keepends=True)
        lines[place] = into
        return b"".join(lines)

    return spoil


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        pytest.param(spoilt(2, b"{\n"), "line 3 is damaged: it is not JSON", id="no JSON"),
        pytest.param(
            spoilt(2, b""), "line 3 is damaged: found row 3; wanted row 2", id="a row is gone"
        ),
        pytest.param(
            lambda data: data.replace(b"steam", b"stean"),
            "line 6 is damaged: the SHA-256 it holds is not that of the lines before it",
            id="a letter changed",
        ),
        pytest.param(
            lambda data: data.replace(b'"format":1', b'"format":7'),
            "is a copy of format 7 and this program knows formats up to 1",
            id="a newer format",
        ),
        pytest.param(
            lambda data: data.replace(b'"beer":"', b'"ale":"', 1),
            "line 1 is damaged: found the keys",
            id="a first line without its beer",
        ),
        pytest.param(
            lambda data: data.replace(b'"at":0.0', b'"at":NaN', 1),
            "line 2 is damaged: found NaN; wanted a number",
            id="a second that is none",
        ),
        pytest.param(
            lambda data: data.replace(b'"NoteTaken"', b'"NoteSung"', 1),
            "row 2 of the record holds 'NoteSung', which is no kind of event this version knows",
            id="a kind of event from another version",
        ),
        pytest.param(lambda data: data + b"{}\n", "line 7 is damaged", id="more after the end"),
        pytest.param(lambda _: b"malt, 4 kg\n", "is not the copy of a brew day", id="a list"),
        pytest.param(lambda _: b"", "is not the copy of a brew day", id="empty"),
        pytest.param(lambda _: b"[" * 100_000, "is not the copy of a brew day", id="brackets"),
    ],
)
def test_a_bad_copy_is_told_in_one_line_and_nothing_is_changed(
    tmp_path: Path, spoil: Callable[[bytes], bytes], told: str
) -> None:
    record = tmp_path / "record"
    brewed(record)
    before = on_record(record)
    good = written(tmp_path, a_day())
    bad = written(tmp_path, a_day(FINISHED), "bad.jsonl")
    bad.write_bytes(spoil(bad.read_bytes()))
    done = kettleside(record, "import", good, bad)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.startswith(f"{bad}")
    assert told in done.stderr
    assert done.stderr.count("\n") == 1
    assert on_record(record) == before


def test_where_a_bad_copy_is_bad_is_told_however_long_its_path_is(tmp_path: Path) -> None:
    brewed(tmp_path / "record")
    folder = tmp_path / ("a long name of a folder " * 8).strip()
    folder.mkdir()
    bad = written(folder, a_day(FINISHED), "bad.jsonl")
    bad.write_bytes(bad.read_bytes().replace(b'"NoteTaken"', b'"NoteSung"', 1))
    done = kettleside(tmp_path / "record", "import", bad)
    assert "bad.jsonl: row 2 of the record holds 'NoteSung'" in done.stderr


def test_a_file_that_cant_be_read_and_a_day_that_is_not_there_are_told(tmp_path: Path) -> None:
    done = kettleside(tmp_path, "import", tmp_path / "none.jsonl")
    assert done.stderr == f"{tmp_path / 'none.jsonl'} can't be read: No such file or directory\n"
    assert "day 7 is not on record" in kettleside(tmp_path, "export", 7).stderr
    brewed(tmp_path)
    there = written(tmp_path, a_day())
    done = kettleside(tmp_path, "export", 1, there)
    assert (done.exit_code, done.stderr) == (
        2,
        f"{there} is there already; name a file that is not\n",
    )
    done = kettleside(tmp_path, "export", 1, tmp_path / "no folder" / "a.jsonl")
    assert "can't be written: No such file" in done.stderr


def test_days_without_a_copy_get_one_when_the_record_is_opened_to_be_written(
    tmp_path: Path,
) -> None:
    for wall_s in (1000.0, 2000.0, 3000.0):
        brewed(tmp_path, wall_s=wall_s)
    with Journal.open(tmp_path) as journal:
        journal.close_day(1, FINISHED)
        journal.close_day(2, DayStatus.LEFT)
    Journal.open(tmp_path, read_only=True).close()
    assert {seen.status for seen in glances(tmp_path)} == {DayStatus.OPEN}
    Journal.open(tmp_path).close()
    found = [read_copy(path.read_bytes(), path.name).day for path in copy_paths(tmp_path)]
    assert found == on_record(tmp_path)


def test_copies_that_are_there_are_let_be(tmp_path: Path) -> None:
    brewed(tmp_path)
    Journal.open(tmp_path).close()
    (path,) = copy_paths(tmp_path)
    path.touch()
    before = path.stat().st_ino
    Journal.open(tmp_path).close()
    assert copy_paths(tmp_path) == [path]
    assert path.stat().st_ino == before


FIRST_LINE = (
    '{"kettleside":"brew day","format":1,"program":"1","day":{"number":%s,"began_wall":%s,'
    '"schedule_path":"","beer":""},"schedule":{}}\n'
)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(FIRST_LINE % ("1e999", "1"), id="a number without end"),
        pytest.param(FIRST_LINE % ("1", "1" + 400 * "0"), id="a moment past all counting"),
        pytest.param(FIRST_LINE % ("1", "1") + '{"seq":1e999}\n', id="rows without end"),
        pytest.param(200_000 * "[", id="brackets without end"),
        pytest.param(FIRST_LINE % ("1", "1") + 200_000 * "[", id="a row of brackets without end"),
    ],
)
def test_a_file_that_is_made_to_harm_keeps_no_day_from_being_brewed(
    tmp_path: Path, text: str
) -> None:
    place = tmp_path / FOLDER_NAME / "0001-x.jsonl"
    place.parent.mkdir()
    place.write_text(text)
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.days() == ()
    brewed(tmp_path)
    with Journal.open(tmp_path) as journal:
        assert [day.id for day in journal.days()] == [1]
    assert place.read_text() == text


def test_a_folder_of_copies_that_cant_be_written_keeps_no_day_from_being_brewed(
    tmp_path: Path,
) -> None:
    brewed(tmp_path)
    for path in copy_paths(tmp_path):
        path.unlink()
    if (tmp_path / FOLDER_NAME).exists():
        (tmp_path / FOLDER_NAME).rmdir()
    (tmp_path / FOLDER_NAME).touch()
    with Journal.open(tmp_path) as journal:
        assert "can't be written" in str(journal.copy_fault)
        journal.append(1, TimePassed(at=900.0), 900.0)
