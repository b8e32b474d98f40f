"""How a command ends when what it prints can't be taken, or when it is stopped in the midst."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from sample_files import SAMPLES

from assistant.day.events import DayBegan, NoteTaken
from assistant.record.journal import Journal
from assistant.schedule import load

AMBER = SAMPLES / "breakwater-amber.yaml"
FULL = Path("/dev/full")


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("record")
    with Journal.open(folder) as journal:
        schedule = load(AMBER)
        day_id = journal.begin_day(schedule, str(AMBER), 0.0)
        journal.append(day_id, DayBegan(at=0.0), 0.0)
        journal.append(day_id, NoteTaken(at=60.0, text="a windy day"), 60.0)
    return folder


PRINTING = [
    ("days",),
    ("report", "1"),
    ("report", "1", "--csv"),
    ("report", "1", "--json"),
    ("export", "1"),
    ("mend",),
    ("brew", str(AMBER), "--pipe"),
    ("plan", str(AMBER)),
    ("plan", str(AMBER), "--json"),
]


def printed_to(stdout: int, words: tuple[str, ...], record: Path) -> tuple[str, int]:
    """What a command tells where errors go, and its status; ``brew`` is sent a day's first line."""
    done = subprocess.run(
        [sys.executable, "-m", "assistant", *words, "--data", str(record)],
        input='{"at": 0, "say": "start"}\n',
        stdout=stdout,
        stderr=subprocess.PIPE,
        text=True,
        timeout=60,
        check=False,
    )
    return done.stderr, done.returncode


@pytest.mark.skipif(not FULL.exists(), reason="only Linux has a device that is always full")
@pytest.mark.parametrize("words", PRINTING, ids=" ".join)
def test_a_full_disk_is_told_in_one_line(words: tuple[str, ...], record: Path) -> None:
    with FULL.open("w") as full:
        told = printed_to(full.fileno(), words, record)
    assert told == ("This can't be printed: No space left on device.\n", 1)


# The plan is printed by rich, which ends at once, in silence too, with a status of its own.
@pytest.mark.parametrize("words", [w for w in PRINTING if w != ("plan", str(AMBER))], ids=" ".join)
def test_a_reader_who_has_left_is_told_nothing(words: tuple[str, ...], record: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    told = printed_to(writing, words, record)
    os.close(writing)
    assert told == ("", 0)


def test_ctrl_c_in_a_report_ends_it_with_its_own_status(record: Path, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    stopped = tmp_path / "stopped.py"
    stopped.write_text(
        "import os, signal\n"
        "from assistant import cli\n"
        "from assistant.record.reporting import making\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "making.account_on_record = lambda *_: os.kill(os.getpid(), signal.SIGINT)\n"
        f"cli.main(['report', '1', '--html', {str(page)!r}, '--data', {str(record)!r}])\n"
    )
    done = subprocess.run(
        [sys.executable, str(stopped)], capture_output=True, text=True, timeout=60, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (128 + signal.SIGINT, "", "Stopped.\n")
    assert not page.exists()
