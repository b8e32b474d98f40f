"""Power cuts, killed programs and two brew days at once, with real processes on real files."""

import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from small_day import small_schedule

from assistant.day.events import DayBegan, NoteTaken, TimePassed
from assistant.record.journal import Journal, RecordError

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="needs fork or rlimit")

BREWING = """
import os, signal, sys, time
from pathlib import Path
from assistant.day.events import DayBegan, NoteTaken, TimePassed
from assistant.record.journal import Journal, RecordError
from small_day import small_schedule
journal = Journal.open(Path(sys.argv[1]))
day_id = journal.begin_day(small_schedule(), "slipway.yaml", 0.0)
journal.append(day_id, DayBegan(at=0.0), 0.0)
"""


def command(folder: Path, then: str) -> list[str]:
    return [sys.executable, "-c", BREWING + textwrap.dedent(then), str(folder)]


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": os.pathsep.join([str(Path(__file__).parent), *sys.path])}


def brew(folder: Path, then: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        command(folder, then),
        env=environment(),
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


@contextmanager
def brewing(folder: Path, then: str = "") -> Iterator["subprocess.Popen[str]"]:
    """A brew day in another process, which has written its first row and waits."""
    waiting = '\nprint("ready", flush=True)\nsys.stdin.read()\n'
    with subprocess.Popen(
        command(folder, textwrap.dedent(then) + waiting),
        env=environment(),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            assert process.stdout is not None
            assert process.stdout.readline() == "ready\n"
            yield process
        finally:
            process.kill()


@pytest.mark.parametrize(
    "end",
    [
        pytest.param("os._exit(1)", id="gone without a word"),
        pytest.param("os.kill(os.getpid(), signal.SIGKILL)", id="killed", marks=POSIX),
    ],
)
def test_a_row_that_was_acknowledged_is_there_after_an_abrupt_end(tmp_path: Path, end: str) -> None:
    ended = brew(tmp_path, f'journal.append(day_id, NoteTaken(at=1.5, text="steam"), 1.5)\n{end}')
    assert ended.returncode != 0, ended.stderr
    assert ended.stderr == ""
    with Journal.open(tmp_path, read_only=True) as journal:
        assert journal.events(1) == (DayBegan(at=0.0), NoteTaken(at=1.5, text="steam"))
    with Journal.open(tmp_path) as journal:
        assert journal.last(1) == (1.5, 1.5)
        journal.append(1, TimePassed(at=9.0), 9.0)
        assert len(journal.events(1)) == 3


def test_a_second_brew_day_on_the_same_record_is_refused(tmp_path: Path) -> None:
    wording = "another brew day or visit is being recorded in"
    with brewing(tmp_path), pytest.raises(RecordError, match=wording):
        Journal.open(tmp_path)
    with Journal.open(tmp_path) as journal:
        assert len(journal.days()) == 1


def test_a_second_writer_in_the_same_program_is_refused_too(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        with pytest.raises(RecordError, match="another brew day or visit is being recorded in"):
            Journal.open(tmp_path)
        journal.begin_day(small_schedule(), "slipway.yaml", 0.0)


def test_the_record_can_be_read_while_a_day_is_brewed(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal, Journal.open(tmp_path, read_only=True) as looking_on:
        day_id = journal.begin_day(small_schedule(), "slipway.yaml", 0.0)
        journal.append(day_id, DayBegan(at=0.0), 0.0)
        assert looking_on.events(day_id) == (DayBegan(at=0.0),)
        journal.append(day_id, TimePassed(at=60.0), 60.0)
        assert looking_on.last(day_id) == (60.0, 60.0)


def test_another_process_can_be_looked_on(tmp_path: Path) -> None:
    with brewing(tmp_path), Journal.open(tmp_path, read_only=True) as looking_on:
        assert looking_on.events(1) == (DayBegan(at=0.0),)


@POSIX
def test_a_helper_process_that_outlives_a_killed_day_does_not_keep_it_from_going_on(
    tmp_path: Path,
) -> None:
    forked = """
        helper = os.fork()
        if helper == 0:
            os.close(1)
            time.sleep(60)
            os._exit(0)
        print(helper, flush=True)
        os.kill(os.getpid(), signal.SIGKILL)
    """
    ended = brew(tmp_path, forked.replace("os.close(1)", "os.close(1); os.close(2)"))
    helper = int(ended.stdout)
    try:
        os.kill(helper, 0)
        with Journal.open(tmp_path) as journal:
            assert journal.events(1) == (DayBegan(at=0.0),)
    finally:
        os.kill(helper, signal.SIGKILL)


@POSIX
def test_a_disk_that_takes_no_more_is_told_and_every_row_before_is_kept(tmp_path: Path) -> None:
    ended = brew(
        tmp_path,
        """
        import resource
        resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
        for second in range(1, 10_000):
            try:
                journal.append(day_id, NoteTaken(at=float(second), text="steam " * 80), 0.0)
            except RecordError as error:
                print(second)
                print(error)
                os._exit(3)
        """,
    )
    refused, told = ended.stdout.splitlines()
    assert ended.returncode == 3, ended.stderr
    assert "kettleside.db can't be read or written, the disk reports a fault" in told
    with Journal.open(tmp_path) as journal:
        assert [event.at for event in journal.events(1)] == [float(s) for s in range(int(refused))]
