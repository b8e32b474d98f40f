"""`days --ics`: the calendar in a file or printed, what may be written over, and how it ends."""

import os
import sqlite3
import subprocess
import sys
import time
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import vobject
from pitched_day import PITCHED_S, on_record, told
from sample_files import SAMPLES

from assistant.record.journal import FILE_NAME
from assistant.schedule import load

PALE = SAMPLES / "saltgrass-pale.yaml"
FULL = Path("/dev/full")
DAY_S = 86400

NOTHING = "Nothing is to come for the beers on record: no calendar is made.\n"

ZONES = [
    "UTC",
    "Europe/Berlin",
    "America/New_York",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Pacific/Apia",
]


def days_ics(
    file: Path | str, record: Path, *, zone: str = "UTC"
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "assistant", "days", "--ics", str(file), "--data", str(record)],
        capture_output=True,
        timeout=200,
        check=False,
        env={"PATH": "/nowhere", "HOME": "/nowhere", "TZ": zone, "PYTHONUTF8": "1"},
    )


def ended(done: subprocess.CompletedProcess[bytes]) -> tuple[int, str, str]:
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def events_of(data: bytes) -> dict[str, vobject.base.Component]:
    calendar = vobject.readOne(data.decode())
    calendar.validate(raiseException=True)
    return {event.uid.value: event for event in calendar.vevent_list}


@pytest.fixture(scope="module")
def yesterday() -> float:
    """When the day on record began, in Unix seconds: a whole one."""
    return float(int(time.time()) - DAY_S)


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory, yesterday: float) -> Path:
    """A day of yesterday, and one of a year ago whose beer is drunk."""
    folder = tmp_path_factory.mktemp("record")
    on_record(folder, load(PALE), began_wall=yesterday - 365 * DAY_S)
    on_record(folder, load(PALE), began_wall=yesterday)
    return folder


def test_the_moments_are_the_same_in_every_zone_and_told_by_its_clock(
    record: Path, yesterday: float, tmp_path: Path
) -> None:
    # The schedule: Cascade at day 4, 14 days to ferment, counted from the yeast.
    pitched_s = yesterday + PITCHED_S
    file = tmp_path / "beer.ics"
    for zone in ZONES:
        # By the IANA time zone database, as zoneinfo reads it.
        first = datetime.fromtimestamp(pitched_s + 4 * DAY_S, ZoneInfo(zone))
        assert ended(days_ics(file, record, zone=zone)) == (
            0,
            f"4 dates to come, first {first:%Y-%m-%d %H:%M}: Saltgrass Pale,"
            " Add 2 ounces of Cascade.\n",
            "",
        )
        events = events_of(file.read_bytes()).values()
        moments = [event.dtstart.value.timestamp() - pitched_s for event in events]
        assert (moments[0], moments[-1]) == (4 * DAY_S, 14 * DAY_S), zone
        # The gravity near its end, and again three days on.
        assert moments[2] - moments[1] == pytest.approx(3 * DAY_S, abs=2), zone
    assert [path.name for path in tmp_path.iterdir()] == ["beer.ics"]


def test_what_is_printed_is_the_calendar_byte_for_byte(record: Path) -> None:
    printed = days_ics("-", record).stdout
    assert printed.startswith(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
    assert printed.endswith(b"END:VCALENDAR\r\n")
    assert b"\r\r\n" not in printed
    assert printed.count(b"\n") == printed.count(b"\r\n")


@pytest.mark.skipif(not FULL.exists(), reason="only Linux has a device that is always full")
def test_a_calendar_that_can_not_be_printed_is_told(record: Path) -> None:
    with FULL.open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "assistant", "days", "--ics", "-", "--data", str(record)],
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=200,
            check=False,
        )
    told = b"This can't be printed: No space left on device.\n"
    assert (done.returncode, done.stderr) == (1, told)


def test_a_calendar_of_ours_is_replaced_and_its_events_updated(
    record: Path, tmp_path: Path
) -> None:
    file = tmp_path / "beer.ics"
    days_ics(file, record)
    before = events_of(file.read_bytes())
    time.sleep(1.1)
    assert days_ics(file, record).returncode == 0
    after = events_of(file.read_bytes())
    # RFC 5545, 3.8.4.7 and 3.8.7.4: the same events, each a newer revision.
    assert after.keys() == before.keys()
    for uid, event in after.items():
        assert int(event.sequence.value) > int(before[uid].sequence.value)
        assert event.dtstart.value == before[uid].dtstart.value


@pytest.mark.parametrize("held", [b"", b"a letter\n", b"BEGIN:VCALENDAR\r\nPRODID:-//A//EN\r\n"])
def test_a_file_of_another_hand_is_let_be(record: Path, tmp_path: Path, held: bytes) -> None:
    file = tmp_path / "beer.ics"
    file.write_bytes(held)
    status, out, err = ended(days_ics(file, record))
    assert (status, out) == (2, "")
    assert err == (
        f"{file} is there already and is no calendar of Kettleside's;"
        " name a file that is one, or that is not there\n"
    )
    assert file.read_bytes() == held


def test_a_link_and_a_pipe_are_let_be(record: Path, tmp_path: Path) -> None:
    ours, link, pipe = tmp_path / "beer.ics", tmp_path / "link.ics", tmp_path / "pipe.ics"
    days_ics(ours, record)
    link.symlink_to(ours)
    os.mkfifo(pipe)
    for file in (link, pipe):
        assert days_ics(file, record).returncode == 2
    assert link.is_symlink()
    assert pipe.is_fifo()


@pytest.mark.parametrize(
    ("name", "why"),
    [("away/beer.ics", "No such file or directory"), ("x" * 300, "File name too long")],
)
def test_a_file_that_can_not_be_written_is_told(
    record: Path, tmp_path: Path, name: str, why: str
) -> None:
    status, out, err = ended(days_ics(tmp_path / name, record))
    assert (status, out) == (2, "")
    assert err.startswith(str(tmp_path))
    assert err.endswith(f" can't be written: {why}\n")
    assert list(tmp_path.iterdir()) == []


def test_where_nothing_is_to_come_nothing_is_written(tmp_path: Path, yesterday: float) -> None:
    record, file = tmp_path / "record", tmp_path / "beer.ics"
    assert ended(days_ics(file, record)) == (0, NOTHING, "")
    on_record(record, load(PALE), began_wall=yesterday, events=told(until_s=PITCHED_S - 1))
    on_record(record, load(PALE), began_wall=yesterday - 80 * DAY_S)
    assert ended(days_ics(file, record)) == (0, NOTHING, "")
    assert ended(days_ics("-", record)) == (0, "", NOTHING)
    assert not file.exists()


def test_a_day_that_can_not_be_read_is_told_and_the_others_are_written(
    tmp_path: Path, yesterday: float
) -> None:
    record, file = tmp_path / "record", tmp_path / "beer.ics"
    for _ in range(2):
        on_record(record, load(PALE), began_wall=yesterday)
    with sqlite3.connect(record / FILE_NAME) as connection:
        connection.execute("UPDATE days SET schedule = '{}' WHERE id = 1")
    connection.close()
    status, out, err = ended(days_ics(file, record))
    assert status == 3
    assert out.startswith("4 dates to come")
    assert "day 1" in err
    assert "Traceback" not in err
    assert len(events_of(file.read_bytes())) == 4


def test_a_day_far_past_every_calendar_is_told_in_words(tmp_path: Path) -> None:
    record = tmp_path / "record"
    on_record(record, load(PALE), began_wall=1e15)
    status, out, err = ended(days_ics("-", record))
    assert (status, out) == (3, "")
    assert err.startswith(NOTHING)
    assert "day 1: the date of its addition 5 is on no calendar: 1e+15 s after 1970 began" in err
    assert "Traceback" not in err


def test_a_hostile_name_stays_one_title(tmp_path: Path, yesterday: float) -> None:
    # A schedule takes any printable name of 80 characters.
    name = "A\\N,b;c:" + "🍺" * 40
    schedule = replace(load(PALE), beer=name)
    on_record(tmp_path, schedule, began_wall=yesterday)
    titles = {e.summary.value for e in events_of(days_ics("-", tmp_path).stdout).values()}
    assert f"{name}: Add 2 ounces of Cascade" in titles
