"""A command of the program run in lines, as a test types to it and reads what it prints."""

import os
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from threading import Thread

from brokers import until


class Running:
    """A command in lines: what is typed goes in, what is printed is kept as it comes."""

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        self.process = process
        self.lines: list[str] = []
        self._readers = [
            Thread(target=self._read, args=(s,)) for s in (process.stdout, process.stderr)
        ]
        for reader in self._readers:
            reader.start()

    def _read(self, stream) -> None:
        with stream:
            self.lines += (line for line in stream)

    def type(self, *words: str) -> None:
        assert self.process.stdin is not None
        for line in words:
            self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()

    def until(self, words: str) -> None:
        until(lambda: any(words in line for line in self.lines), f"{words!r} in {self.lines}")

    def count(self, words: str) -> int:
        return sum(words in line for line in self.lines)

    def close(self) -> None:
        self.process.kill()
        self.process.wait()
        for reader in self._readers:
            reader.join()


@contextmanager
def running(command: Sequence[str]) -> Iterator[Running]:
    process = subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    ran = Running(process)
    try:
        yield ran
    finally:
        if process.stdin is not None:
            process.stdin.close()
        ran.close()
