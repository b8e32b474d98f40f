"""A record cut short, wiped, overwritten or torn is mended, and loses only what was hit."""

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from damaged import (
    PAGE,
    ROWS,
    brew_three,
    days_of,
    told,
    with_copies,
    without_copies,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from small_day import small_schedule, whole_day
from test_record_learned import taught

from assistant.cli import main
from assistant.day.events import TimePassed
from assistant.day.teaching import learned_kettle
from assistant.record import mending
from assistant.record.copies import copies, copy_paths, copy_text
from assistant.record.journal import FILE_NAME, DayStatus, Journal, Mended, RecordError
from assistant.record.kept import KeptDay
from assistant.record.mended import Fault
from assistant.record.pages import read_pages
from assistant.record.salvage import Salvage


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a record of three days with their copies; not to be touched."""
    folder = tmp_path_factory.mktemp("whole")
    brew_three(folder)
    with_copies(folder)
    return folder


@pytest.fixture(scope="module")
def kept(whole: Path) -> list[KeptDay]:
    """What the record of three days holds."""
    return days_of(whole)


@pytest.fixture(params=[True, False], ids=["with copies", "without copies"])
def copied(request: pytest.FixtureRequest) -> bool:
    return bool(request.param)


@pytest.fixture
def folder(whole: Path, tmp_path: Path, copied: bool) -> Path:
    """A record of three days to be damaged."""
    return fresh(whole, tmp_path / "record", copied=copied)


def fresh(whole: Path, folder: Path, *, copied: bool) -> Path:
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(whole, folder)
    if not copied:
        without_copies(folder)
    return folder


def mended(folder: Path) -> Mended | None:
    with Journal.open(folder) as journal:
        return journal.mended


def damage(folder: Path, spoil: Callable[[bytes], bytes]) -> bytes:
    path = folder / FILE_NAME
    path.write_bytes(spoil(path.read_bytes()))
    return path.read_bytes()


def on_pages(file: bytes) -> Salvage:
    salvage = Salvage()
    read_pages(file, b"", salvage)
    return salvage


def lost_with(file: bytes, start: int, end: int) -> set[tuple[float, float, str, str]]:
    """The rows that stand on the bytes of a whole file from ``start`` to ``end``."""
    wiped = file[:start] + bytes(end - start) + file[end:]
    before, after = on_pages(file), on_pages(wiped)
    return {
        (row.at, row.wall, row.kind, row.body)
        for day, rows in before.rows.items()
        for seq, row in rows.items()
        if seq not in after.rows.get(day, {})
    }


def is_mended_for_good(folder: Path, found: Mended | None) -> None:
    assert found is not None
    assert found.written
    assert mended(folder) is None
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"


GARBAGE: dict[str, Callable[[int], bytes]] = {
    "zeros": bytes,
    "ones": lambda length: b"\xff" * length,
    "text": lambda length: (b"malt and hops, " * (length // 15 + 1))[:length],
}


def test_the_pages_hold_every_row_and_day(whole: Path, kept: list[KeptDay]) -> None:
    salvage = on_pages((whole / FILE_NAME).read_bytes())
    assert {n: tuple(r for _, r in sorted(rows.items())) for n, rows in salvage.rows.items()} == {
        day.number: day.rows for day in kept
    }
    assert salvage.heads == {day.number: day.head for day in kept}
    assert salvage.learned == {day.number: day.learned for day in kept if day.learned}


@pytest.mark.parametrize("garbage", GARBAGE.values(), ids=GARBAGE.keys())
def test_a_damaged_page_loses_what_was_on_it_and_nothing_else(
    whole: Path, tmp_path: Path, kept: list[KeptDay], garbage: Callable[[int], bytes]
) -> None:
    file = (whole / FILE_NAME).read_bytes()
    pages = len(file) // PAGE
    assert pages > 8
    for start in range(0, len(file), PAGE):
        folder = fresh(whole, tmp_path / "record", copied=False)
        damage(folder, lambda data, at=start: data[:at] + garbage(PAGE) + data[at + PAGE :])
        found = mended(folder)
        lost = lost_with(file, start, start + PAGE)
        after = {day.number: day for day in days_of(folder)}
        for day in kept:
            assert told(after[day.number]) >= told(day) - lost, f"page {start // PAGE + 1}"
            missing = len(told(day)) - len(told(after[day.number]))
            last_lost = day.rows[-1] not in after[day.number].rows
            if missing and found and not last_lost:
                assert (day.number, missing) in found.gaps
        if found is not None:
            is_mended_for_good(folder, found)
        else:
            assert not lost


@pytest.mark.parametrize("garbage", GARBAGE.values(), ids=GARBAGE.keys())
def test_with_the_copies_a_damaged_page_loses_nothing(
    whole: Path, tmp_path: Path, kept: list[KeptDay], garbage: Callable[[int], bytes]
) -> None:
    for start in range(0, (whole / FILE_NAME).stat().st_size, PAGE):
        folder = fresh(whole, tmp_path / "record", copied=True)
        damage(folder, lambda data, at=start: data[:at] + garbage(PAGE) + data[at + PAGE :])
        found = mended(folder)
        assert days_of(folder) == kept
        if found is not None:
            assert found.gaps == found.without_schedule == ()
            is_mended_for_good(folder, found)


def test_a_record_cut_short_keeps_what_is_before_the_cut(
    whole: Path, tmp_path: Path, kept: list[KeptDay], copied: bool
) -> None:
    file = (whole / FILE_NAME).read_bytes()
    cuts = [1, 15, 16, 99, 100, 511, 512, 4095, *range(PAGE, len(file), PAGE + 700), len(file) - 1]
    for cut in cuts:
        folder = fresh(whole, tmp_path / "record", copied=copied)
        damage(folder, lambda data, at=cut: data[:at])
        if cut < 100 and not copied:
            continue
        found = mended(folder)
        after = {day.number: day for day in days_of(folder)}
        if copied:
            assert list(after.values()) == kept, cut
        else:
            lost = lost_with(file, cut, len(file))
            rows = set().union(*map(told, after.values())) if after else set()
            assert rows >= set().union(*map(told, kept)) - lost, cut
        is_mended_for_good(folder, found)


@pytest.mark.parametrize(
    "spoil",
    [
        pytest.param(lambda data: bytes(100) + data[100:], id="zeros"),
        pytest.param(lambda data: b"malt and hops, " * 6 + data[90:], id="text"),
        pytest.param(lambda data: data[:16] + bytes(84) + data[100:], id="all but its first words"),
        pytest.param(lambda data: data[:18] + b"\x07\x07" + data[20:], id="its format"),
        pytest.param(lambda data: data[:60] + b"\xf0" + data[61:], id="its version"),
        pytest.param(lambda data: data[:60] + bytes(4) + data[64:], id="its version, to nought"),
        pytest.param(lambda data: data[:63] + b"\x01" + data[64:], id="its version, to an older"),
        pytest.param(lambda data: data[:68] + b"bees" + data[72:], id="its mark"),
        pytest.param(
            lambda data: data.replace(b"events_stay", b"events_slay"), id="a table's name"
        ),
        pytest.param(lambda data: data.replace(b"stays on", b"strays!!"), id="a trigger's words"),
    ],
)
def test_a_head_that_was_overwritten_loses_nothing(
    folder: Path, kept: list[KeptDay], spoil: Callable[[bytes], bytes]
) -> None:
    damage(folder, spoil)
    seen = days_of(folder)
    found = mended(folder)
    assert days_of(folder) == kept
    assert [replace(day, learned=None) for day in seen] == [
        replace(day, learned=None) for day in kept
    ]
    is_mended_for_good(folder, found)


def test_what_an_open_day_tells_is_mended_where_it_makes_no_sense(
    folder: Path, kept: list[KeptDay], copied: bool
) -> None:
    damage(
        folder,
        lambda data: data.replace(b'"Breakwater Amber, note 7:', b'"Breakwater Amber, note 7"'),
    )
    found = mended(folder)
    assert found is not None
    if copied:
        assert days_of(folder) == kept
    else:
        assert found.gaps == ((3, 1),)
        assert "1 row of day 3 could not be found" in found.sentence
        assert told(days_of(folder)[2]) == told(
            replace(kept[2], rows=[r for r in kept[2].rows if r.seq != 8])
        )
    is_mended_for_good(folder, found)


def killed_with_a_log(folder: Path, kept: list[KeptDay]) -> bytes:
    """A record whose last day is in its log alone, as a killed day leaves it; the log."""
    aside = folder.parent / "aside"
    with Journal.open(folder) as journal:
        for second in range(ROWS, ROWS + 12):
            journal.append(3, TimePassed(at=float(second)), 0.0)
        shutil.rmtree(aside, ignore_errors=True)
        shutil.copytree(folder, aside)
    shutil.rmtree(folder)
    shutil.move(aside, folder)
    return (folder / f"{FILE_NAME}-wal").read_bytes()


def cut_log(folder: Path, log: bytes, cut: int) -> None:
    (folder / f"{FILE_NAME}-wal").write_bytes(log[:cut])
    (folder / f"{FILE_NAME}-shm").unlink(missing_ok=True)


def test_a_log_cut_short_anywhere_leaves_the_beginning_and_the_copy_has_the_rest(
    whole: Path, tmp_path: Path, kept: list[KeptDay]
) -> None:
    torn = fresh(whole, tmp_path / "torn", copied=True)
    log = killed_with_a_log(torn, kept)
    full = days_of(torn)
    assert len(full[2].rows) == ROWS + 12
    copy = copy_text(full[2])
    for copied in (True, False):
        for cut in range(0, len(log), 512):
            folder = tmp_path / "record"
            shutil.rmtree(folder, ignore_errors=True)
            shutil.copytree(torn, folder)
            cut_log(folder, log, cut)
            if copied:
                copy_paths(folder)[2].write_bytes(copy)
            else:
                without_copies(folder)
            found = mended(folder)
            after = days_of(folder)
            if copied:
                assert after == full
                assert found is None or found.gaps == ()
            else:
                rows = after[2].rows
                assert (after[:2], rows) == (full[:2], full[2].rows[: len(rows)])
                assert len(rows) >= ROWS
            assert mended(folder) is None


@pytest.mark.parametrize("size", [None, 0], ids=["missing", "empty"])
def test_a_record_that_is_gone_comes_back_from_its_log_and_copies(
    whole: Path, tmp_path: Path, kept: list[KeptDay], size: int | None
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=True)
    killed_with_a_log(folder, kept)
    full = days_of(folder)
    (folder / FILE_NAME).unlink()
    if size is not None:
        (folder / FILE_NAME).touch()
    assert [day.number for day in days_of(folder)] == [1, 2, 3]
    found = mended(folder)
    assert days_of(folder) == full
    is_mended_for_good(folder, found)


def test_a_lost_record_comes_back_from_the_copies_alone(
    whole: Path, tmp_path: Path, kept: list[KeptDay]
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=True)
    (folder / FILE_NAME).unlink()
    assert days_of(folder) == kept
    assert not (folder / FILE_NAME).exists()
    found = mended(folder)
    assert days_of(folder) == kept
    is_mended_for_good(folder, found)


def test_a_record_from_an_old_backup_is_brought_up_to_its_copies(
    whole: Path, tmp_path: Path
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=True)
    backup = (folder / FILE_NAME).read_bytes()
    with Journal.open(folder) as journal:
        journal.append(3, TimePassed(at=99.0), 99.0)
        journal.begin_day(journal.schedule(1), "/beers/new.yaml", 5.0)
        journal.close_day(3, DayStatus.FINISHED)
    with_copies(folder)
    full = days_of(folder)
    (folder / FILE_NAME).write_bytes(backup)
    found = mended(folder)
    assert days_of(folder) == full
    is_mended_for_good(folder, found)


@pytest.mark.parametrize("status", [DayStatus.FINISHED, DayStatus.LEFT])
def test_an_end_that_the_record_lost_with_the_last_of_its_log_comes_back_from_the_copy(
    tmp_path: Path, status: DayStatus
) -> None:
    brew_three(tmp_path)
    with Journal.open(tmp_path) as journal:
        journal.append(3, TimePassed(at=99.0), 99.0)
        if status is DayStatus.FINISHED:
            journal.keep_learned(3, taught(2.8, brews=3))
        journal.close_day(3, status)
    with_copies(tmp_path)
    full = days_of(tmp_path)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as record, record:
        record.execute("UPDATE days SET status = 'open' WHERE id = 3")
        record.execute("DELETE FROM learned WHERE day = 3")
    found = mended(tmp_path)
    assert found is not None
    assert found.fault is Fault.BEHIND
    assert days_of(tmp_path) == full
    is_mended_for_good(tmp_path, found)


def test_an_end_that_was_taken_back_stays_so_and_its_copy_is_opened_again(tmp_path: Path) -> None:
    brew_three(tmp_path)
    with_copies(tmp_path)
    with Journal.open(tmp_path) as journal:
        journal.append(2, TimePassed(at=99.0), 99.0)
        journal.keep_learned(2, None)
        journal.close_day(2, DayStatus.OPEN)
    open_again = days_of(tmp_path)
    for _ in range(2):
        assert mended(tmp_path) is None
        assert days_of(tmp_path) == open_again
    assert sorted(copy.day.number for _, copy in copies(tmp_path)) == [1, 2, 3]
    assert [copy.day for _, copy in copies(tmp_path)] == open_again


def test_the_damaged_file_is_kept_and_an_earlier_one_stays(folder: Path) -> None:
    names = []
    for _ in range(2):
        spoilt = damage(folder, lambda data: data[: 5 * PAGE] + bytes(PAGE) + data[6 * PAGE :])
        found = mended(folder)
        assert found is not None
        assert found.kept is not None
        assert found.kept.parent == folder
        assert found.kept.read_bytes() == spoilt
        assert f"is kept as {found.kept.name}" in found.sentence
        names.append(found.kept)
    assert len(set(names)) == 2
    assert all(name.exists() for name in names)


def everything(folder: Path) -> dict[str, bytes]:
    return {str(p): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_looking_at_a_damaged_record_changes_nothing_on_the_disk(
    folder: Path, kept: list[KeptDay], copied: bool
) -> None:
    damage(folder, lambda data: data[: 6 * PAGE] + bytes(PAGE) + data[7 * PAGE :])
    before = everything(folder)
    with Journal.open(folder, read_only=True) as journal:
        assert journal.mended is not None
        assert not journal.mended.written
        assert "the next `kettleside brew` or `kettleside mend` mends it" in journal.mended.sentence
        assert len(journal.days()) == 3
        with pytest.raises(RecordError, match="can't be written"):
            journal.begin_day(journal.schedule(1), "x.yaml", 0.0)
    assert everything(folder) == before
    assert (days_of(folder) == kept) == copied


@pytest.mark.parametrize("step", ["_keep", "carry_on"])
def test_a_mending_that_is_cut_short_is_taken_up_by_the_next_start(
    folder: Path, kept: list[KeptDay], step: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    damage(folder, lambda data: bytes(PAGE) + data[PAGE:])

    class Cut(Exception):
        pass

    def cut(_: Path) -> None:
        raise Cut

    real = getattr(mending, step)
    with monkeypatch.context() as patch:
        patch.setattr(mending, step, cut)
        with pytest.raises(Cut):
            Journal.open(folder)
    assert getattr(mending, step) is real
    assert days_of(folder) == kept
    mended(folder)
    assert days_of(folder) == kept
    assert mended(folder) is None
    assert not (folder / mending.READY).exists()
    assert not (folder / mending.UNDER_WAY).exists()


def test_the_old_log_is_never_played_into_the_new_record(
    whole: Path, tmp_path: Path, kept: list[KeptDay], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=True)
    killed_with_a_log(folder, kept)
    full = days_of(folder)
    damage(folder, lambda data: bytes(PAGE) + data[PAGE:])
    killed = "import os, sys; from pathlib import Path; from assistant.record import mending\n"
    killed += "from assistant.record.journal import Journal\n"
    killed += "real = Path.replace\n"
    killed += (
        "Path.replace = lambda a, b: os._exit(7) if b.name == 'kettleside.db' else real(a, b)\n"
    )
    killed += "Journal.open(Path(sys.argv[1]))\n"
    done = subprocess.run(
        [sys.executable, "-c", killed, str(folder)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=False,
    )
    assert done.returncode == 7
    assert (folder / mending.READY).exists()
    assert not (folder / f"{FILE_NAME}-wal").exists()
    assert days_of(folder) == full
    # What is moved into its place is whole, and needs no mending again.
    assert mended(folder) is None
    assert days_of(folder) == full


def test_rows_and_days_of_which_no_page_is_left_are_told(
    whole: Path, tmp_path: Path, kept: list[KeptDay]
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=False)
    file = (folder / FILE_NAME).read_bytes()
    wiped = {
        start: on_pages(file[:start] + bytes(PAGE) + file[start + PAGE :]).heads
        for start in range(0, len(file), PAGE)
    }
    page = min(wiped, key=lambda start: len(wiped[start]))
    lost = tuple(sorted({1, 2, 3} - wiped[page].keys()))
    assert len(lost) > 1
    damage(folder, lambda data: data[:page] + bytes(PAGE) + data[page + PAGE :])
    found = mended(folder)
    assert found is not None
    assert found.without_schedule == lost
    assert f"the schedule of day {lost[0]} could not be found" in found.sentence
    after = days_of(folder)
    assert [day.rows for day in after] == [day.rows for day in kept]
    with Journal.open(folder, read_only=True) as journal:
        for day_id in lost:
            day = journal.day(day_id)
            assert day is not None
            assert day.status is DayStatus.LEFT
            wording = f"the schedule of day {day_id} on record can't be read"
            with pytest.raises(RecordError, match=wording):
                journal.schedule(day_id)


def test_a_row_that_another_version_wrote_outlives_the_mending(whole: Path, tmp_path: Path) -> None:
    folder = fresh(whole, tmp_path / "record", copied=False)
    with closing(sqlite3.connect(folder / FILE_NAME)) as other, other:
        other.execute(
            "INSERT INTO events VALUES (3, ?, 99.0, 99.0, 'SongSung', ?)",
            (ROWS + 1, '{"at":99.0,"song":"shanty"}'),
        )
    assert mended(folder) is None
    damage(folder, lambda data: bytes(PAGE) + data[PAGE:])
    is_mended_for_good(folder, mended(folder))
    assert days_of(folder)[2].rows[-1].kind == "SongSung"


def test_what_a_day_taught_is_reckoned_anew_where_it_was_lost(tmp_path: Path) -> None:
    schedule = replace(small_schedule(), kettle=replace(small_schedule().kettle, name="garage"))
    day = whole_day(schedule)
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(schedule, "/beers/0.yaml", 0.0)
        for event in day.events:
            journal.append(day_id, event, event.at)
        journal.keep_learned(day_id, learned_kettle(day.state))
        journal.close_day(day_id, DayStatus.FINISHED)
    for place in (0, 1):
        damage(tmp_path, lambda data: data.replace(b'{"kettle":"garage"', b'{"cattle":"garage"'))
        damage(tmp_path, lambda data, at=place: data[: 68 + at] + b"x" + data[69 + at :])
        is_mended_for_good(tmp_path, mended(tmp_path))
        without_copies(tmp_path)
        with Journal.open(tmp_path, read_only=True) as journal:
            assert journal.learned("garage") == learned_kettle(day.state)


def spoil_a_letter(data: bytes) -> bytes:
    assert data.count(b"Harbour Mild, note 7:") == 1
    return data.replace(b"Harbour Mild, note 7:", b"Harbour Mild, nose 7:")


def kettleside(folder: Path, *words: str) -> Result:
    return CliRunner().invoke(main, [*words, "--data", str(folder)])


def test_a_changed_letter_that_no_check_of_the_file_sees_is_found_by_looking_at_all(
    whole: Path, tmp_path: Path, kept: list[KeptDay]
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=True)
    sound = kettleside(folder, "mend")
    assert (sound.stdout, sound.stderr) == (f"Nothing is damaged: days 3, rows {3 * ROWS}.\n", "")
    damage(folder, spoil_a_letter)
    assert mended(folder) is None
    done = kettleside(folder, "mend")
    assert (done.exit_code, done.stdout) == (0, "")
    assert f"was damaged and is mended: it has 3 days with {3 * ROWS} rows" in done.stderr
    assert days_of(folder) == kept
    assert kettleside(folder, "mend").stdout == sound.stdout


def test_a_damaged_copy_is_set_aside_and_written_anew(
    whole: Path, tmp_path: Path, kept: list[KeptDay]
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=True)
    copy = copy_paths(folder)[1]
    before = copy.read_bytes()
    copy.write_bytes(spoil_a_letter(before))
    assert "Nothing is damaged" in kettleside(folder, "mend").stdout
    assert days_of(folder) == kept
    assert copy.read_bytes() == before
    aside = copy.with_name(f"{copy.name}.damaged")
    assert aside.read_bytes() == spoil_a_letter(before)


def test_a_record_and_a_copy_that_are_both_damaged_make_up_for_each_other(
    whole: Path, tmp_path: Path, kept: list[KeptDay]
) -> None:
    folder = fresh(whole, tmp_path / "record", copied=True)
    for copy in copy_paths(folder):
        lines = copy.read_bytes().splitlines(keepends=True)
        copy.write_bytes(b"".join([*lines[:40], b"\x00" * 300 + b"\n", *lines[44:]]))
    file = (folder / FILE_NAME).read_bytes()
    hit = {start for start in range(0, len(file), PAGE) if lost_with(file, start, start + PAGE)}
    lost = {start: lost_with(file, start, start + PAGE) for start in sorted(hit)}
    page = next(s for s, rows in lost.items() if not any(40 <= r[0] <= 45 for r in rows))
    damage(folder, lambda data: data[:page] + bytes(PAGE) + data[page + PAGE :])
    is_mended_for_good(folder, mended(folder))
    assert days_of(folder) == kept


@pytest.mark.parametrize("command", [("days",), ("report", "3")], ids=["days", "report"])
def test_a_damaged_record_is_shown_with_one_line_of_warning(
    folder: Path, copied: bool, command: tuple[str, ...]
) -> None:
    damage(folder, lambda data: bytes(PAGE) + data[PAGE:])
    done = kettleside(folder, *command)
    assert done.exit_code == 0
    assert "Breakwater Amber" in done.stdout
    assert done.stderr.count("\n") == 1
    assert "kettleside.db is damaged: 3 days with 180 rows can be read" in done.stderr


@settings(max_examples=60)
@given(data=st.data(), copied=st.booleans())
def test_random_damage_is_mended_or_told_and_the_copies_lose_nothing(
    whole: Path, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject, copied: bool
) -> None:
    kept = days_of(whole)
    folder = fresh(whole, tmp_path_factory.getbasetemp() / "random", copied=copied)
    path = folder / FILE_NAME
    spoilt = bytearray(path.read_bytes())
    hits = st.tuples(
        st.one_of(
            st.integers(min_value=0, max_value=len(spoilt) - 1),
            st.integers(min_value=0, max_value=120),
            st.integers(min_value=0, max_value=len(spoilt) // PAGE - 1).map(lambda n: n * PAGE + 3),
        ),
        st.binary(min_size=1, max_size=40),
    )
    for place, noise in data.draw(st.lists(hits, min_size=1, max_size=8)):
        spoilt[place : place + len(noise)] = noise
    path.write_bytes(spoilt)
    try:
        days_of(folder)
        mended(folder)
    except RecordError:
        # A mark or a version that is another's: left as it was.
        assert path.read_bytes() == spoilt
        return
    assert mended(folder) is None
    after = days_of(folder)
    if copied:
        assert {day.number: len(day.rows) for day in after} == {
            day.number: len(day.rows) for day in kept
        }
        Journal.open(folder, thorough=True).close()
        assert days_of(folder)[:2] == kept[:2]
