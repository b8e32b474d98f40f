"""A record whose disk fails: the day goes on, all of it is written later, and it is told once."""

import json
import shutil
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from disk import FAULTS, Disk

from assistant.advice.plan import make_plan
from assistant.backing_off import PAUSES_S
from assistant.cli import main
from assistant.day.commands import Command
from assistant.day.effects import Effect, Refused, Say
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    Event,
    NoteTaken,
    RecordMended,
    RecordTrouble,
    RecordTroubled,
    TimePassed,
)
from assistant.day.state import new_day
from assistant.record.copy_lines import read_copy
from assistant.record.errors import RecordError
from assistant.record.journal import DayStatus, Journal
from assistant.record.keeping import Keeper
from assistant.record.replay import replay
from assistant.schedule import Schedule
from assistant.session import Session
from assistant.unsaved import all_kept

LONG = "steam " * 80


@dataclass
class Watch:
    """A clock that a test moves."""

    s: float = 0.0

    def __call__(self) -> float:
        return self.s


@dataclass
class Brewing:
    """A day on a true record, whose disk and clock a test has in hand."""

    session: Session
    disk: Disk
    watch: Watch
    at: float = 0.0

    @property
    def keeper(self) -> Keeper:
        return self.session.keeper

    def happen(self, event: Event) -> tuple[Effect, ...]:
        effects = self.session.happen(event, 1000.0 + event.at)
        assert not any(isinstance(effect, Refused) for effect in effects)
        return effects

    def note(self, text: str = LONG) -> tuple[Effect, ...]:
        self.at += 1
        return self.happen(NoteTaken(at=self.at, text=text))

    def wait(self, seconds: float) -> tuple[Effect, ...]:
        self.watch.s += seconds
        self.at += seconds
        return self.happen(TimePassed(at=self.at))

    def on_record(self) -> tuple[Event, ...]:
        return self.keeper.journal.events(self.session.day_id)


@pytest.fixture
def brewing(amber: Schedule, tmp_path: Path) -> Iterator[Brewing]:
    with Journal.open(tmp_path) as journal:
        watch = Watch()
        day_id = journal.begin_day(amber, "amber.yaml", 1000.0)
        keeper = Keeper(journal, day_id, now_s=watch)
        session = Session(keeper, new_day(amber, make_plan(amber)))
        session.happen(DayBegan(at=0.0), 1000.0)
        yield Brewing(session, Disk(tmp_path, journal), watch)


def said(effects: tuple[Effect, ...]) -> str:
    return " ".join(effect.text for effect in effects if isinstance(effect, Say))


@pytest.mark.parametrize("trouble", FAULTS)
def test_a_day_goes_on_while_its_record_fails_and_all_of_it_is_written_later(
    brewing: Brewing, trouble: RecordTrouble
) -> None:
    FAULTS[trouble](brewing.disk)
    told = "".join(said(brewing.note()) for _ in range(40))
    assert brewing.session.state.record is trouble
    assert told.count("I keep the day in mind") == 1
    assert len(brewing.session.state.notes) == 40
    assert len(brewing.keeper.left) > 30
    brewing.disk.mend()
    told = said(brewing.wait(PAUSES_S[-1])) + said(brewing.note())
    assert "The record is written again." in told
    assert brewing.session.state.record is None
    assert brewing.keeper.left == ()
    kept = brewing.on_record()
    assert [event.text for event in kept if isinstance(event, NoteTaken)] == [LONG] * 41
    troubles = [event.trouble for event in kept if isinstance(event, RecordTroubled)]
    assert troubles == [trouble, RecordTrouble.WRITTEN_AGAIN]
    state = replay(brewing.session.state.schedule, kept)
    assert state.notes == brewing.session.state.notes
    assert state.incidents == brewing.session.state.incidents


def test_a_disk_is_tried_with_longer_and_longer_pauses(brewing: Brewing) -> None:
    tried = 0
    append = brewing.keeper.journal.append_row

    def counted(*args: object) -> None:
        nonlocal tried
        tried += 1
        append(*args)  # type: ignore[arg-type]

    brewing.keeper.journal.append_row = counted  # type: ignore[method-assign,assignment]
    brewing.disk.make_read_only()
    for _ in range(600):
        brewing.wait(0.0)
        brewing.note("hot")
        brewing.watch.s += 1.0
    assert 18 < tried < 30, "six at first, then two a minute"
    brewing.disk.mend()


def test_the_end_of_a_day_waits_in_line_like_all_before_it(brewing: Brewing) -> None:
    brewing.disk.make_read_only()
    brewing.note()
    for _ in range(20):
        brewing.at += 60
        brewing.session.happen(CommandGiven(at=brewing.at, command=Command.SKIP), 0.0)
    journal = brewing.keeper.journal
    assert [day.status for day in journal.days()] == [DayStatus.OPEN]
    brewing.disk.mend()
    brewing.watch.s += PAUSES_S[-1]
    brewing.happen(NoteTaken(at=brewing.at, text="done at last"))
    assert [day.status for day in journal.days()] == [DayStatus.FINISHED]
    assert isinstance(brewing.on_record()[-1], NoteTaken | RecordTroubled)


def test_a_write_that_failed_after_it_reached_the_disk_is_not_written_twice(
    brewing: Brewing, monkeypatch: pytest.MonkeyPatch
) -> None:
    append = brewing.keeper.journal.append_row

    def fails_afterwards(*args: object) -> None:
        append(*args)  # type: ignore[arg-type]
        raise RecordError("the disk reports a fault")

    monkeypatch.setattr(brewing.keeper.journal, "append_row", fails_afterwards)
    brewing.note("once")
    monkeypatch.undo()
    monkeypatch.setattr(brewing.keeper.journal, "reopen", lambda: None)
    brewing.watch.s += PAUSES_S[-1]
    brewing.note("and then")
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes == ["once", "and then"]


def test_a_drive_that_was_away_is_opened_anew(brewing: Brewing) -> None:
    brewing.keeper.journal.close()
    brewing.note("while it was away")
    assert brewing.session.state.record is RecordTrouble.FAILING
    brewing.watch.s += PAUSES_S[-1]
    brewing.note("back")
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes == ["while it was away", "back"]
    assert brewing.session.state.record is None
    assert not any(isinstance(event, RecordMended) for event in brewing.on_record())


def test_a_drive_that_is_pulled_out_is_not_written_beside_and_found_again(
    brewing: Brewing, tmp_path: Path
) -> None:
    away = tmp_path.rename(tmp_path.with_name(f"{tmp_path.name}-away"))
    for _ in range(3):
        brewing.note("away")
        brewing.watch.s += PAUSES_S[-1]
    assert brewing.session.state.record is RecordTrouble.GONE
    assert not tmp_path.exists()
    away.rename(tmp_path)
    brewing.watch.s += PAUSES_S[-1]
    brewing.note("back")
    assert brewing.session.state.record is None
    assert len(brewing.session.state.notes) == 4
    assert sum(isinstance(event, NoteTaken) for event in brewing.on_record()) == 4


def test_what_can_never_be_written_is_told_at_the_end(
    brewing: Brewing, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    brewing.disk.make_read_only()
    with pytest.raises(RecordError, match="2 things of this day"), all_kept(brewing.keeper):
        brewing.note("one")


@pytest.fixture
def locked(brewing: Brewing) -> Callable[[], None]:
    """The record is held by another program, for as long as SQLite has the patience."""
    brewing.disk.lock()
    brewing.keeper.journal._connection.execute("PRAGMA busy_timeout = 60000")
    return brewing.disk.mend


def test_a_slow_disk_holds_up_nothing_and_is_told_of_when_it_is_far_behind(
    brewing: Brewing, locked: Callable[[], None]
) -> None:
    keeper = brewing.keeper
    keeper._patience_s = 0.05
    with keeper:
        assert said(brewing.note("first")) == "Noted."
        assert len(keeper.left) == 1
        assert said(brewing.note("second")) == "Noted."
        assert brewing.session.state.record is None
        told = said(brewing.wait(11.0))
        assert told.startswith("The disk is very slow.")
        assert brewing.session.state.record is RecordTrouble.SLOW
        locked()
        caught_up = threading.Event()
        for _ in range(400):
            if not keeper.left:
                break
            caught_up.wait(0.025)
        assert said(brewing.note("third")).endswith("The record is written again.")
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes == ["first", "second", "third"]
    assert keeper.left == ()


def test_a_row_is_on_the_disk_before_what_it_came_to_is_handed_back(
    brewing: Brewing, tmp_path: Path
) -> None:
    with brewing.keeper, Journal.open(tmp_path, read_only=True) as looking_on:
        for number in range(50):
            brewing.note(f"note {number}")
            last = looking_on.events(brewing.session.day_id)[-1]
            assert isinstance(last, NoteTaken)
            assert last.text == f"note {number}"


def test_what_no_record_could_hold_is_refused_to_whoever_brings_it(brewing: Brewing) -> None:
    with pytest.raises(RecordError, match="can't go on record"):
        brewing.keeper.keep(TimePassed(at=float("inf")), 0.0)
    assert brewing.keeper.left == ()


def test_a_record_that_is_damaged_in_the_midst_of_a_day_is_mended_without_loss(
    brewing: Brewing,
) -> None:
    with brewing.keeper:
        for number in range(30):
            brewing.note(f"note {number}")
        overwrite(brewing.disk)
        told = ""
        for number in range(30, 40):
            told += said(brewing.note(f"note {number}"))
        patiently(lambda: not brewing.keeper.left, brewing.watch)
        told += said(brewing.note("after"))
    assert "The record is damaged. I keep the day in mind while I mend it." in told
    assert "was put together again. Nothing of this day is known to be missing." in told
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes == [*(f"note {number}" for number in range(40)), "after"]


def overwrite(disk: Disk) -> None:
    """Something writes over the record: its head, its pages, and the log of what is new in it."""
    disk.journal._connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    size = disk.path.stat().st_size
    with disk.path.open("r+b") as file:
        file.write(b"\xa5" * size)
    # SQLite has pages of its own in memory, which it reads anew once another has written.
    disk.journal._connection.execute("PRAGMA shrink_memory")


def patiently(holds: Callable[[], bool], watch: Watch) -> None:
    """Wait until something holds, with a clock that makes no one wait for pauses."""
    pause = threading.Event()
    for _ in range(400):
        if holds():
            return
        watch.s += PAUSES_S[-1]
        pause.wait(0.025)
    raise AssertionError("it never came to that")


def test_a_copy_grows_along_with_the_day_and_is_closed_with_it(
    brewing: Brewing, tmp_path: Path
) -> None:
    with brewing.keeper:
        brewing.note("hot")
        (path,) = (tmp_path / "days").iterdir()
        seen = read_copy(path.read_bytes(), path.name).day
        assert [row.kind for row in seen.rows][-1] == "NoteTaken"
        assert seen.head.status is DayStatus.OPEN
        for _ in range(20):
            brewing.at += 60
            brewing.session.happen(CommandGiven(at=brewing.at, command=Command.SKIP), 0.0)
    day = brewing.keeper.journal.kept(brewing.session.day_id)
    assert day.head.status is DayStatus.FINISHED
    assert read_copy(path.read_bytes(), path.name).day == day


def test_a_copy_that_cannot_be_written_harms_no_day(brewing: Brewing, tmp_path: Path) -> None:
    (tmp_path / "days").write_text("in the way of the folder of copies")
    with brewing.keeper:
        assert said(brewing.note("hot")) == "Noted."
        (tmp_path / "days").unlink()
        brewing.watch.s += PAUSES_S[-1]
        brewing.note("later")
        (path,) = (tmp_path / "days").iterdir()
    kept = read_copy(path.read_bytes(), path.name).day
    assert sum(row.kind == "NoteTaken" for row in kept.rows) == 2


def test_a_day_that_could_not_be_written_is_saved_elsewhere_and_comes_back_whole(
    brewing: Brewing, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setattr(Path, "home", lambda: home)
    monkeypatch.setattr("assistant.record.keeping.LAST_CHANCE_S", 0.2)
    brewing.note("on record")
    brewing.disk.make_read_only()
    with pytest.raises(RecordError, match=str(home)), all_kept(brewing.keeper):
        brewing.note("in memory alone")
    (saved,) = home.iterdir()
    brewing.disk.mend()
    brewing.keeper.journal.close()
    result = CliRunner().invoke(main, ["import", str(saved), "--data", str(tmp_path)])
    assert result.exit_code == 0, result.output
    assert "completed" in result.output
    with Journal.open(tmp_path, read_only=True) as journal:
        texts = [event.text for event in journal.events(1) if isinstance(event, NoteTaken)]
    assert texts == ["on record", "in memory alone"]


def test_a_record_that_is_deleted_in_the_midst_of_a_day_is_there_again_with_all_of_it(
    brewing: Brewing,
) -> None:
    with brewing.keeper:
        for number in range(10):
            brewing.note(f"note {number}")
        brewing.disk.path.unlink()
        brewing.note("gone")
        patiently(lambda: not brewing.keeper.left, brewing.watch)
        brewing.note("after")
    assert brewing.disk.path.exists()
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes == [*(f"note {number}" for number in range(10)), "gone", "after"]
    assert brewing.session.state.record is None


def test_a_day_whose_whole_folder_is_deleted_is_saved_elsewhere(
    brewing: Brewing, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path.parent / f"{tmp_path.name}-home"
    home.mkdir()
    monkeypatch.setattr(Path, "home", lambda: home)

    def lose_the_folder() -> None:
        with all_kept(brewing.keeper):
            brewing.note("before")
            shutil.rmtree(tmp_path)
            brewing.note("after")

    with pytest.raises(RecordError, match=str(home)):
        lose_the_folder()
    (saved,) = home.iterdir()
    day = read_copy(saved.read_bytes(), saved.name).day
    assert [json.loads(r.body)["text"] for r in day.rows if r.kind == "NoteTaken"] == [
        "before",
        "after",
    ]


def test_a_disk_that_hangs_at_the_end_is_waited_for_and_not_closed_under_the_writer(
    brewing: Brewing, locked: Callable[[], None], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    monkeypatch.setattr("assistant.record.keeping.LAST_CHANCE_S", 0.05)
    brewing.keeper._patience_s = 0.05
    with pytest.raises(RecordError, match="1 thing of this day"), all_kept(brewing.keeper):
        brewing.note("at the very end")
    brewing.keeper.journal.close()
    locked()
    thread = brewing.keeper._thread
    assert thread is not None
    assert not thread.daemon, "the end of the program waits for it"
    thread.join(30)
    with Journal.open(tmp_path / "other") as other:
        assert other.days() == ()
    last = brewing.on_record()[-1]
    assert isinstance(last, NoteTaken)
    assert last.text == "at the very end"
    brewing.keeper.journal._connection.close()


def test_a_copy_that_fails_never_has_a_row_written_twice(
    brewing: Brewing, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(day_id: int) -> None:
        raise RecordError("one page can't be read")

    with brewing.keeper:
        monkeypatch.setattr(brewing.keeper.journal, "kept", fails)
        brewing.note("once")
        monkeypatch.undo()
        brewing.note("and then")
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes == ["once", "and then"]


def test_a_record_that_comes_back_with_a_gap_still_takes_what_happens(
    brewing: Brewing, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(6):
        brewing.note(f"note {number}")
    journal = brewing.keeper.journal
    whole = journal.kept(brewing.session.day_id)
    broken = replace(whole, rows=(*whole.rows[:2], *whole.rows[4:]))
    journal.close()
    brewing.note("while it was away")
    monkeypatch.setattr(journal, "kept", lambda day_id: broken)
    brewing.watch.s += PAUSES_S[-1]
    told = said(brewing.note("back"))
    assert "2 things of this day could not be saved" in told
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes[-2:] == ["while it was away", "back"]
    assert brewing.keeper.left == ()


@pytest.mark.parametrize("lacking", ["home", "cwd"])
def test_a_place_that_is_not_there_does_not_keep_a_day_from_the_next(
    brewing: Brewing, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, lacking: str
) -> None:
    def not_there() -> Path:
        raise FileNotFoundError(2, "No such file or directory")

    for place in ("home", "cwd"):
        monkeypatch.setattr(Path, place, not_there if place == lacking else lambda: tmp_path)
    brewing.disk.make_read_only()
    with pytest.raises(RecordError, match=str(tmp_path)), all_kept(brewing.keeper):
        brewing.note("one")
    assert len(list(tmp_path.glob("kettleside-day-*.jsonl"))) == 1


def test_what_happens_while_the_record_is_opened_anew_is_written_once(
    brewing: Brewing, monkeypatch: pytest.MonkeyPatch
) -> None:
    take = brewing.keeper._take

    def meanwhile(job: object) -> None:
        brewing.keeper._reopen()
        take(job)  # type: ignore[arg-type]

    brewing.note("before")
    monkeypatch.setattr(brewing.keeper, "_take", meanwhile)
    brewing.note("meanwhile")
    monkeypatch.undo()
    brewing.note("after")
    notes = [event.text for event in brewing.on_record() if isinstance(event, NoteTaken)]
    assert notes == ["before", "meanwhile", "after"]
