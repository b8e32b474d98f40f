"""A day at a true terminal: Ctrl-C asks first, a terminal that is closed costs nothing."""

import os
import pty
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from board.brewed import free_port
from sample_files import SAMPLES

from assistant.day.events import DayResumed, NoteTaken
from assistant.record.journal import DayStatus, Journal

WAIT_S = 30.0
AMBER = SAMPLES / "breakwater-amber.yaml"


class AtTerminal:
    """``kettleside brew`` with a terminal of its own, and who sits at it."""

    def __init__(self, data: Path, *options: str) -> None:
        self.typist, end = pty.openpty()
        self.process = subprocess.Popen(
            [
                sys.executable,
                "-c",
                # The terminal becomes the program's own, so that closing it hangs up on it.
                "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0);"
                "import signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
                "signal.signal(signal.SIGHUP, signal.SIG_DFL);"
                "from assistant.cli import main; main()",
                *("brew", str(AMBER), "--no-voice", "--data", str(data), *options),
            ],
            stdin=end,
            stdout=end,
            stderr=end,
            start_new_session=True,
            env={**os.environ, "TERM": "xterm", "COLUMNS": "100", "LINES": "40"},
        )
        os.close(end)
        self.shown = ""

    def types(self, text: str) -> None:
        os.write(self.typist, text.encode())

    def sees(self, words: str) -> None:
        """Wait until the screen has shown these words since the last time."""
        until_s = time.monotonic() + WAIT_S
        while words not in self.shown:
            assert time.monotonic() < until_s, f"never saw {words!r} in {self.shown[-3000:]!r}"
            if select.select([self.typist], [], [], 0.2)[0]:
                self.shown += plain(os.read(self.typist, 65536).decode(errors="replace"))
        self.shown = self.shown[self.shown.rindex(words) + len(words) :]

    def ends(self) -> int:
        """The exit status, with what is still written read away."""
        until_s = time.monotonic() + WAIT_S
        while self.process.poll() is None and time.monotonic() < until_s:
            try:
                if select.select([self.typist], [], [], 0.1)[0]:
                    self.shown += plain(os.read(self.typist, 65536).decode(errors="replace"))
            except OSError:
                time.sleep(0.05)
        return self.process.wait(1)


def plain(text: str) -> str:
    return re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]|\s+", " ", text).replace("  ", " ")


@pytest.fixture
def at_terminal(tmp_path: Path) -> Iterator[AtTerminal]:
    brewing = AtTerminal(tmp_path)
    try:
        yield brewing
    finally:
        brewing.process.kill()
        brewing.process.wait()
        with suppress(OSError):
            os.close(brewing.typist)


@pytest.fixture
def sharing(tmp_path: Path) -> Iterator[AtTerminal]:
    brewing = AtTerminal(tmp_path, "--share", "--port", str(free_port()))
    try:
        yield brewing
    finally:
        brewing.process.kill()
        brewing.process.wait()
        with suppress(OSError):
            os.close(brewing.typist)


def notes(data: Path) -> list[str]:
    with Journal.open(data, read_only=True) as journal:
        (day,) = journal.days()
        assert day.status is DayStatus.OPEN
        return [event.text for event in journal.events(day.id) if isinstance(event, NoteTaken)]


def test_ctrl_c_asks_once_and_then_ends_the_program_with_the_day_kept(
    at_terminal: AtTerminal, tmp_path: Path
) -> None:
    at_terminal.types("note before\r")
    at_terminal.sees("Noted.")
    at_terminal.types("\x03")
    at_terminal.sees("Ctrl-C once more stops, and the day is kept.")
    at_terminal.types("\x03")
    at_terminal.sees("The day is kept: the same command goes on with it.")
    assert at_terminal.ends() == 130
    assert notes(tmp_path) == ["before"]


def test_anything_else_after_ctrl_c_goes_on(at_terminal: AtTerminal, tmp_path: Path) -> None:
    at_terminal.sees("getting ready")
    at_terminal.types("\x03")
    at_terminal.sees("Ctrl-C once more stops")
    at_terminal.types("note went on\r")
    at_terminal.sees("Noted.")
    at_terminal.types("\x03")
    at_terminal.sees("Ctrl-C once more stops")
    assert at_terminal.process.poll() is None
    assert notes(tmp_path) == ["went on"]


@pytest.mark.parametrize("hung_up", [True, False], ids=["hung up on", "told by nobody"])
def test_a_terminal_that_is_closed_ends_the_program_and_keeps_the_day(
    at_terminal: AtTerminal, tmp_path: Path, hung_up: bool
) -> None:
    at_terminal.types("note steam\r")
    at_terminal.sees("Noted.")
    if hung_up:
        os.close(at_terminal.typist)
    else:
        at_terminal.process.send_signal(signal.SIGHUP)
    assert at_terminal.ends() == 128 + signal.SIGHUP
    assert "Traceback" not in at_terminal.shown
    assert notes(tmp_path) == ["steam"]
    again = AtTerminal(tmp_path)
    try:
        again.sees("Go on with it?")
        again.types("y\r")
        again.sees("Last on record")
        assert notes(tmp_path) == ["steam"]
    finally:
        again.process.kill()
        again.process.wait()
        os.close(again.typist)
    with Journal.open(tmp_path, read_only=True) as journal:
        assert sum(isinstance(event, DayResumed) for event in journal.events(1)) == 1


def test_a_second_program_on_the_same_record_is_refused_with_the_reason(
    at_terminal: AtTerminal, tmp_path: Path
) -> None:
    at_terminal.sees("getting ready")
    second = subprocess.run(
        [sys.executable, "-m", "assistant", "brew", str(AMBER), "--data", str(tmp_path)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert second.returncode == 3
    assert f"(process {at_terminal.process.pid}, since " in second.stderr
    assert "another brew day or visit is being recorded in" in second.stderr
    at_terminal.types("note still here\r")
    at_terminal.sees("Noted.")


def test_the_code_of_a_shared_board_goes_with_a_key_and_comes_back_when_asked_for(
    sharing: AtTerminal,
) -> None:
    sharing.sees("Any key puts this away; board brings it back.")
    sharing.types("note a")
    sharing.sees("getting ready")
    sharing.types("\r")
    sharing.sees("Noted")
    sharing.types("board\r")
    sharing.sees("Any key puts this away; board brings it back.")


def test_the_board_of_this_machine_has_its_address_on_the_screen(at_terminal: AtTerminal) -> None:
    at_terminal.sees("http://127.0.0.1:")
