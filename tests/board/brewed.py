"""A true brew day in a process of its own, with its board, for a true browser to look at."""

import os
import re
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from sample_files import SAMPLES

AMBER = SAMPLES / "breakwater-amber.yaml"
ENDS_S = 20.0
STARTS_S = 60.0


class Brewed:
    """``kettleside brew`` with a board; ``address`` is where that is."""

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        self.process = process
        self.told: list[str] = []
        self.followers: list[threading.Thread] = []
        self._found = threading.Event()
        self.address = ""
        assert process.stderr is not None
        assert process.stdout is not None
        for stream in (process.stdout, process.stderr):
            follower = threading.Thread(target=self._follow, args=(stream,), daemon=True)
            follower.start()
            self.followers.append(follower)
        assert self._found.wait(STARTS_S), self.told
        assert self.address, self.told

    @property
    def origin(self) -> str:
        return "/".join(self.address.split("/")[:3])

    def types(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()

    def dies(self) -> None:
        """As in a power cut."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait(ENDS_S)

    def _follow(self, stream: IO[str]) -> None:
        for line in iter(stream.readline, ""):
            self.told.append(line.rstrip())
            found = re.search(r"The board: (http://\S+)", line)
            if found:
                self.address = found[1]
                self._found.set()
        self._found.set()


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


@contextmanager
def brewed(
    data: Path,
    *options: str,
    schedule: Path = AMBER,
    port: int | None = None,
    first_lines: Sequence[str] = (),
) -> Iterator[Brewed]:
    """A day under way for as long as the context lasts, driven by the lines typed to it."""
    command = [sys.executable, "-m", "assistant", "brew", str(schedule), "--data", str(data)]
    command += ["--port", str(free_port() if port is None else port), *options]
    if "--pipe" not in options:
        command.append("--no-voice")
    process = subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    followers: list[threading.Thread] = []
    try:
        assert process.stdin is not None
        for line in first_lines:
            process.stdin.write(f"{line}\n")
        process.stdin.flush()
        day = Brewed(process)
        followers = day.followers
        yield day
    finally:
        process.kill()
        process.wait(ENDS_S)
        for follower in followers:
            follower.join(ENDS_S)
        for stream in (process.stdin, process.stdout, process.stderr):
            with suppress(OSError):
                stream.close()
