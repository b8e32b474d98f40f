"""A day as a plain file: it grows with the day, closes with it, and comes back to the last bit."""

import errno
import hashlib
import json
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_day import small_schedule
from test_record_codec import ANY_TEXT, EVENTS, LEARNED

from assistant.day.events import DayBegan, Event, NoteTaken, TimePassed
from assistant.record.codec import event_text, learned_text, schedule_text
from assistant.record.copies import FOLDER_NAME, DayCopy, copy_paths, copy_text, write_copy
from assistant.record.copy_lines import ReadCopy, read_copy
from assistant.record.errors import CopyError, RecordError
from assistant.record.journal import DayStatus
from assistant.record.kept import Head, KeptDay, Row, storable

BEGAN = 1718355720.0
NOTES = ("steam", "fan\non", "\x00 \ud800 ünder the stairs \U0001f37a")


def row(seq: int, event: Event, wall_s: float = BEGAN) -> Row:
    kind, body = event_text(event)
    return Row(seq=seq, at=event.at, wall=wall_s, kind=kind, body=body)


def a_day(status: DayStatus = DayStatus.OPEN, beer: str = "Slipway Bitter") -> KeptDay:
    events = (DayBegan(at=0.0), *(NoteTaken(at=60.0 * n, text=t) for n, t in enumerate(NOTES)))
    return KeptDay(
        number=12,
        head=Head(
            began_wall=BEGAN,
            schedule_path="/beers/slipway.yaml",
            beer=beer,
            schedule=schedule_text(small_schedule()),
            status=status,
        ),
        rows=tuple(row(seq, event) for seq, event in enumerate(events, start=1)),
        learned=None,
    )


def read(path: Path) -> ReadCopy:
    return read_copy(path.read_bytes(), path.name)


def add(copy: DayCopy, made: Row) -> None:
    copy.add(made)


@pytest.mark.parametrize(
    ("beer", "name"),
    [
        ("Breakwater Amber", "0012-2024-06-14-breakwater-amber.jsonl"),
        ("../../etc: *?", "0012-2024-06-14-etc.jsonl"),
        ("CON", "0012-2024-06-14-con.jsonl"),
        ("ビール", "0012-2024-06-14-beer.jsonl"),
        ("a" * 300, f"0012-2024-06-14-{'a' * 40}.jsonl"),
    ],
)
def test_a_copy_is_named_so_that_any_file_system_takes_it(
    tmp_path: Path, beer: str, name: str
) -> None:
    path = write_copy(tmp_path, a_day(beer=beer))
    assert path == tmp_path / FOLDER_NAME / name


def test_a_copy_grows_with_the_day_and_closes_with_it(tmp_path: Path) -> None:
    day = a_day()
    copy = DayCopy.begun(tmp_path, replace(day, rows=day.rows[:1]))
    for number, made in enumerate(day.rows[1:], start=2):
        add(copy, made)
        so_far = read(copy.path)
        assert so_far.day == replace(day, rows=day.rows[:number])
        assert not so_far.complete
    copy.finish(DayStatus.FINISHED, None)
    whole = read(copy.path)
    assert whole.complete
    assert whole.day == replace(day, head=replace(day.head, status=DayStatus.FINISHED))


def test_a_copy_that_grew_and_one_written_at_once_are_the_same_file(tmp_path: Path) -> None:
    day = a_day(DayStatus.LEFT)
    copy = DayCopy.begun(tmp_path, replace(day, rows=()))
    for made in day.rows:
        add(copy, made)
    copy.finish(DayStatus.LEFT, None)
    assert copy.path.read_bytes() == copy_text(day)


def test_the_last_line_holds_a_hash_that_any_program_can_reckon(tmp_path: Path) -> None:
    lines = write_copy(tmp_path, a_day(DayStatus.FINISHED)).read_bytes().splitlines(keepends=True)
    last = json.loads(lines[-1])
    assert last == {
        "status": "finished",
        "learned": None,
        "rows": 4,
        "sha256": hashlib.sha256(b"".join(lines[:-1])).hexdigest(),
    }


def test_a_day_whose_end_was_taken_back_goes_on_in_the_same_copy(tmp_path: Path) -> None:
    day = a_day()
    copy = DayCopy.begun(tmp_path, day)
    copy.finish(DayStatus.FINISHED, None)
    taken_back = replace(day, rows=(*day.rows, row(5, TimePassed(at=300.0))))
    again = DayCopy.begun(tmp_path, taken_back)
    add(again, row(6, TimePassed(at=360.0)))
    again.close()
    assert again.path == copy.path
    assert read(again.path).day.head.status is DayStatus.OPEN
    assert len(read(again.path).day.rows) == 6
    assert copy_paths(tmp_path) == [copy.path]


def test_a_copy_is_never_written_over_one_that_holds_more(tmp_path: Path) -> None:
    day = a_day()
    whole = write_copy(tmp_path, day)
    before = whole.read_bytes()
    shorter = DayCopy.begun(tmp_path, replace(day, rows=day.rows[:2]))
    shorter.close()
    assert shorter.path != whole
    assert whole.read_bytes() == before


def test_the_copy_of_a_day_that_ended_is_not_opened_again_without_a_row_for_it(
    tmp_path: Path,
) -> None:
    ended = write_copy(tmp_path, a_day(DayStatus.FINISHED))
    before = ended.read_bytes()
    assert write_copy(tmp_path, a_day()) != ended
    assert ended.read_bytes() == before


@pytest.mark.parametrize(
    "other",
    [
        pytest.param(b"shopping list\n", id="a file of another kind"),
        pytest.param(
            copy_text(replace(a_day(), head=replace(a_day().head, began_wall=BEGAN + 60))),
            id="another day",
        ),
    ],
)
def test_a_file_that_is_in_the_way_stays(tmp_path: Path, other: bytes) -> None:
    day = a_day()
    in_the_way = tmp_path / FOLDER_NAME / "0012-2024-06-14-slipway-bitter.jsonl"
    in_the_way.parent.mkdir()
    in_the_way.write_bytes(other)
    path = write_copy(tmp_path, day)
    assert in_the_way.read_bytes() == other
    assert read(path).day == day


def test_a_copy_whose_middle_was_damaged_is_written_anew(tmp_path: Path) -> None:
    day = a_day()
    path = write_copy(tmp_path, day)
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:2], b"\xff" + lines[2][1:], *lines[3:]]))
    assert write_copy(tmp_path, day) == path
    assert read(path).day == day


class Full:
    """A file on a disk that takes no more."""

    def write(self, _: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    def close(self) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")


def test_a_disk_that_takes_no_more_ends_the_copy_and_the_next_beginning_mends_it(
    tmp_path: Path,
) -> None:
    day = a_day()
    copy = DayCopy.begun(tmp_path, replace(day, rows=day.rows[:1]))
    copy._file.close()
    copy._file = Full()
    with pytest.raises(CopyError, match="can't be written: No space left on device"):
        add(copy, day.rows[1])
    with pytest.raises(CopyError, match="given up before"):
        add(copy, day.rows[1])
    assert read(copy.path).day.rows == day.rows[:1]
    DayCopy.begun(tmp_path, day).close()
    assert read(copy.path).day == day


def test_a_row_out_of_turn_is_not_copied(tmp_path: Path) -> None:
    day = a_day()
    copy = DayCopy.begun(tmp_path, replace(day, rows=day.rows[:1]))
    with pytest.raises(CopyError, match="row 3 came after row 1"):
        add(copy, day.rows[2])
    assert read(copy.path).day.rows == day.rows[:1]


def test_a_folder_that_cant_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / FOLDER_NAME).touch()
    with pytest.raises(CopyError, match=r"the copy in .*days can't be written"):
        DayCopy.begun(tmp_path, a_day())


KEPT_DAYS = st.builds(
    lambda events, beer, began, status, learned: KeptDay(
        number=1,
        head=Head(
            began_wall=began,
            schedule_path=storable(beer),
            beer=storable(beer),
            schedule=schedule_text(small_schedule()),
            status=status,
        ),
        rows=tuple(row(seq, event, began) for seq, event in enumerate(events, start=1)),
        learned=learned_text(learned) if status is DayStatus.FINISHED else None,
    ),
    events=st.lists(st.one_of(*EVENTS.values()), max_size=6),
    beer=ANY_TEXT,
    began=st.floats(min_value=-1e12, max_value=1e12),
    status=st.sampled_from(DayStatus),
    learned=LEARNED,
)


@given(day=KEPT_DAYS)
def test_any_day_comes_back_from_its_copy_to_the_last_bit(day: KeptDay) -> None:
    # Compared as text: a number that is only equal, such as -0.0 and 0.0, is not the same.
    copy = read_copy(copy_text(day), "copy")
    assert repr(copy.day) == repr(day)
    assert copy.faults == ()
    assert copy.complete == (day.head.status is not DayStatus.OPEN)


@given(day=KEPT_DAYS, share=st.floats(min_value=0.0, max_value=1.0))
def test_a_copy_cut_anywhere_holds_every_row_before_the_cut(day: KeptDay, share: float) -> None:
    whole = copy_text(day)
    first = whole.index(b"\n")
    cut = whole[: first + 1 + int(share * (len(whole) - first - 1))]
    copy = read_copy(cut, "copy")
    assert copy.faults == ()
    assert repr(copy.day.rows) == repr(day.rows[: len(copy.day.rows)])
    assert len(copy.day.rows) >= cut.count(b'{"seq"') - 1


@given(damage=st.data())
def test_damage_to_a_closed_copy_is_always_found(damage: st.DataObject) -> None:
    whole = copy_text(a_day(DayStatus.FINISHED))
    place = damage.draw(st.integers(min_value=0, max_value=len(whole) - 2))
    found = damage.draw(st.integers(min_value=0, max_value=255).filter(lambda b: b != whole[place]))
    spoilt = whole[:place] + bytes([found]) + whole[place + 1 :]
    try:
        copy = read_copy(spoilt, "copy")
    except RecordError:
        return
    last = whole.rstrip(b"\n").rindex(b"\n") + 1
    assert copy.faults or not copy.complete or place >= last
