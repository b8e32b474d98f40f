"""The words and the exit statuses of ``backup`` and ``restore``, as a process of their own."""

import os
import resource
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.day.events import NoteTaken
from assistant.record.journal import Journal
from assistant.schedule import load_text

SCHEDULE = """
beer: Slipway
volume: 18 L
kettle: {holds: 32 L, heater: {power: 2.6 kW}}
grist: [{malt: pale ale malt, weight: 3.6 kg}]
mash: [{rest: single, at: 66 degC, for: 60 min}]
boil: {for: 60 min}
yeast: {name: ale yeast}
"""
ORDERING = replace(load_text(SCHEDULE, "slipway.yaml"), beer="[bold]Slipway\x1b[2J[/]")
ROWS = 400
LARGEST_FILE_BYTES = 40_000


@pytest.fixture
def data(tmp_path: Path) -> Path:
    folder = tmp_path / "data"
    with Journal.open(folder) as journal:
        day_id = journal.begin_day(ORDERING, "slipway.yaml", 86400.0)
        journal._connection.execute("BEGIN")
        for second in range(ROWS):
            note = NoteTaken(at=float(second), text=f"{second} " * 20)
            journal.append(day_id, note, 86400.0 + second)
        journal._connection.execute("COMMIT")
    return folder


def kettleside(*words: str | Path, small_disk: bool = False) -> subprocess.CompletedProcess[str]:
    def no_larger() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (LARGEST_FILE_BYTES, LARGEST_FILE_BYTES))

    return subprocess.run(
        [sys.executable, "-m", "assistant", *map(os.fspath, words)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        preexec_fn=no_larger if small_disk else None,
        env={**os.environ, "TZ": "UTC"},
    )


def test_a_record_goes_out_is_looked_through_and_comes_back(data: Path, tmp_path: Path) -> None:
    file, there = tmp_path / "b.zip", tmp_path / "there"
    done = kettleside("backup", file, "--data", data)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(f"{file} has 1 day with {ROWS} rows in ")
    assert done.stdout.endswith(" kB, read back and whole.\n")
    done = kettleside("backup", file, "--check")
    assert (done.returncode, done.stderr) == (0, "")
    first, listed = done.stdout.splitlines()
    assert first.startswith(f"{file} is whole: 1 day with {ROWS} rows, written 20")
    assert first.endswith("by Kettleside 0.1.0.")
    assert listed == "   1  1970-01-02 00:00  open      [bold]Slipway\\x1b[2J[/]"
    done = kettleside("restore", file, "--data", there)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == f"1 day with {ROWS} rows are back in {there}.\n"
    assert kettleside("days", "--data", there).stdout.splitlines() == [listed]
    assert kettleside("export", "1", "--data", there).stdout == (
        kettleside("export", "1", "--data", data).stdout
    )


def test_a_call_without_sense_ends_with_2(data: Path, tmp_path: Path) -> None:
    file = tmp_path / "b.zip"
    for words in (
        ("backup", file, "--check", "--replace"),
        ("backup", tmp_path),
        ("backup",),
        ("restore", tmp_path / "gone"),
        ("backup", tmp_path / "gone", "--check"),
        ("backup", file, "--data", tmp_path / "gone"),
        ("backup", data / "b.zip", "--data", data),
    ):
        done = kettleside(*words)
        assert (done.returncode, done.stdout) == (2, ""), words
        assert "Traceback" not in done.stderr
    assert sorted(tmp_path.iterdir()) == [data]


def test_each_fault_of_a_backup_has_a_line_and_the_status_is_2(data: Path, tmp_path: Path) -> None:
    file = tmp_path / "[bold]\x1b[2J.zip"
    kettleside("backup", file, "--data", data)
    spoilt = bytearray(file.read_bytes())
    # Into the midst of what is packed of the record and of the copy.
    for name in (b"kettleside.db", b"days/0001"):
        place = spoilt.index(name) + 2000
        spoilt[place] ^= 0xFF
    file.write_bytes(spoilt)
    done = kettleside("backup", file, "--check")
    assert (done.returncode, done.stdout) == (2, "")
    lines = done.stderr.splitlines()
    assert len(lines) == 2
    assert all("[bold]\\x1b[2J.zip is damaged: " in line for line in lines)


def test_a_record_without_a_day_on_the_calendar_is_listed_in_words(tmp_path: Path) -> None:
    folder, file = tmp_path / "data", tmp_path / "b.zip"
    with Journal.open(folder) as journal:
        journal.begin_day(ORDERING, "slipway.yaml", 1e300)
    assert kettleside("backup", file, "--data", folder).returncode == 0
    done = kettleside("backup", file, "--check")
    assert done.returncode == 0
    assert done.stdout.splitlines()[1].split()[:4] == ["1", "on", "no", "calendar"]


def test_a_disk_that_is_full_leaves_what_was_there(data: Path, tmp_path: Path) -> None:
    file = tmp_path / "b.zip"
    done = kettleside("backup", file, "--data", data, small_disk=True)
    assert done.returncode == 3
    assert done.stderr.startswith("the record can't be copied to ")
    assert "make room there" in done.stderr
    assert sorted(tmp_path.iterdir()) == [data]
    kettleside("backup", file, "--data", data)
    whole = file.read_bytes()
    assert len(whole) < LARGEST_FILE_BYTES
    for words in (("backup", file, "--replace", "--data", data), ("backup", file, "--check")):
        done = kettleside(*words, small_disk=True)
        assert done.returncode in (2, 3)
        assert "Traceback" not in done.stderr
        assert file.read_bytes() == whole
    done = kettleside("restore", file, "--data", tmp_path / "there", small_disk=True)
    assert done.returncode == 2
    assert "can't be unpacked: File too large" in done.stderr
    assert sorted(tmp_path.iterdir()) == [file, data]


def test_ctrl_c_ends_in_a_word_and_leaves_nothing_half(data: Path, tmp_path: Path) -> None:
    file = tmp_path / "b.zip"
    running = subprocess.Popen(
        [sys.executable, "-m", "assistant", "backup", file, "--data", data],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    until = time.monotonic() + 60
    part = tmp_path / "b.zip.part"
    while not part.exists() and running.poll() is None and time.monotonic() < until:
        time.sleep(0.001)
    running.send_signal(signal.SIGINT)
    told = running.communicate(timeout=60)
    assert not part.exists()
    if running.returncode == 130:
        assert told == ("", "Stopped.\n")
        assert not file.exists()
        return
    # It was done already, or Python was at its end and is ended by the signal as a whole.
    assert running.returncode in (0, -signal.SIGINT), told
    assert "read back and whole." in told[0]
    assert told[1] == ""
    assert kettleside("backup", file, "--check").returncode == 0
