"""How late is a reminder? `python tests/bench/lateness.py`, with both cores loaded and without.

A day of the true command, in lines and on a screen in a terminal, gets timers of the brewer's own
at random moments, and now and then a "done" that ends one. The clock runs `--speed` times as fast,
so that hundreds of moments fall due in minutes; lateness is in real milliseconds, from due until
the effects have left the core with their row on disk. The load is a busy process for each core.
Nothing is asserted: it prints. The goal is a p99 under 50 ms.
"""

import argparse
import os
import pty
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from assistant.samples import rehearsed_sample

LAUNCHER = Path(__file__).parent.parent / "faults" / "timed_brew.py"
BUSY = "while True: pass"
STARTS_WITHIN_S = 30.0
BETWEEN_S = (0.1, 0.5)
RUNS_FOR_S = (16, 240)
SHARE_OF_DONE = 0.4


def command(kept_in: Path, folder: Path, speed: float) -> list[str]:
    """The program without a voice, its watch beginning a file at its first due moment."""
    options = ["--no-voice", "--speed", f"{speed:g}", "--data", str(folder)]
    sample = str(rehearsed_sample())
    return [sys.executable, str(LAUNCHER), str(kept_in), f"{speed:g}", "brew", sample, *options]


@contextmanager
def in_lines(told: Sequence[str]) -> Iterator[Callable[[str], None]]:
    """The day by standard input and output; gives what types a line."""
    with subprocess.Popen(
        told, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as process:
        assert process.stdin is not None
        keys = process.stdin

        def type_line(line: str) -> None:
            keys.write(f"{line}\n".encode())
            keys.flush()

        try:
            yield type_line
        finally:
            process.kill()


@contextmanager
def on_screen(told: Sequence[str]) -> Iterator[Callable[[str], None]]:
    """The day in a terminal, which somebody looks at; gives what types a line."""
    ours, theirs = pty.openpty()
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "100", "LINES": "30"}
    process = subprocess.Popen(told, stdin=theirs, stdout=theirs, stderr=theirs, env=environment)
    os.close(theirs)
    looking = threading.Thread(target=_look, args=(ours,), daemon=True)
    looking.start()
    try:
        yield lambda line: _write_all(ours, f"{line}\r".encode())
    finally:
        process.kill()
        process.wait()
        looking.join()
        os.close(ours)


def _look(terminal: int) -> None:
    try:
        while os.read(terminal, 65536):
            pass
    except OSError:
        # So Linux tells that the program has ended.
        return


def _write_all(terminal: int, raw: bytes) -> None:
    while raw:
        raw = raw[os.write(terminal, raw) :]


@contextmanager
def busy(count: int) -> Iterator[None]:
    """So many processes that never rest."""
    there = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(count)]
    try:
        yield
    finally:
        for process in there:
            process.kill()
            process.wait()


WAYS = {"in lines": in_lines, "on a screen": on_screen}


def lateness_ms(way: str, seconds: float, speed: float, seed: int) -> list[float]:
    """What each moment of a day was late by, in real milliseconds, in order."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        kept_in = Path(folder) / "late"
        with WAYS[way](command(kept_in, Path(folder), speed)) as type_line:
            _until_it_runs(type_line, kept_in)
            kept_in.write_text("")
            until_s = time.monotonic() + seconds
            while time.monotonic() < until_s:
                time.sleep(chance.uniform(*BETWEEN_S))
                done = chance.random() < SHARE_OF_DONE
                runs_s = chance.randint(*RUNS_FOR_S)
                type_line("done" if done else f"{runs_s} second timer")
        return sorted(float(line) for line in kept_in.read_text().splitlines())


def _until_it_runs(type_line: Callable[[str], None], kept_in: Path) -> None:
    """Until a first timer has fallen due."""
    until_s = time.monotonic() + STARTS_WITHIN_S
    while not kept_in.exists():
        if time.monotonic() > until_s:
            raise SystemExit("the program did not start")
        type_line("20 second timer")
        time.sleep(0.5)


def main(arguments: Sequence[str] | None = None) -> None:
    """Time and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=75.0, help="real seconds of each day")
    parser.add_argument("--speed", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    cores = os.cpu_count() or 1
    sys.stdout.write(f"{cores} cores, load average before {os.getloadavg()[0]:.2f}\n")
    for processes in (0, cores):
        for way in WAYS:
            with busy(processes):
                late = lateness_ms(way, asked.seconds, asked.speed, asked.seed)
            sys.stdout.write(
                f"{way:12} {processes} busy processes: {len(late):4} moments, "
                f"p50 {late[len(late) // 2]:.1f} ms, p99 {late[int(0.99 * len(late))]:.1f} ms, "
                f"most {late[-1]:.1f} ms\n"
            )
            sys.stdout.flush()


if __name__ == "__main__":
    main()
