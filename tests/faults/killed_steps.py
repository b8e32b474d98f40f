"""A command killed at one step after another: ``python killed_steps.py PREPARED WORK WORDS...``.

The folder PREPARED is copied to WORK/1 and so on, and the command of WORDS runs on that copy (``@``
in them stands for it) and is killed, as by a power cut, just before the step of that number; the
last copy is that of the command which came to its end. A step is what touches a file in the folder
and, once one was, any statement of a database; one in thirteen is tried. The program knows nothing
of it: Python tells of such steps.
"""

import os
import shutil
import signal
import sys
from pathlib import Path
from types import FrameType
from typing import Any

# What a command imports as it runs is imported once, and not by each child.
from assistant.cli import main

TOUCHES = ("open", "os.rename", "os.remove", "os.mkdir", "sqlite3.connect")
STATEMENTS = ("execute", "executemany", "backup", "fsync")
MOST_STEPS = 2000
EVERY = 13
"""A prime, so that the steps that come round in a loop are all met; 1 tries each."""


class Fuse:
    """Counts the steps in a folder, and cuts the power before the ``last``-th."""

    def __init__(self, folder: str, last: int) -> None:
        self.folder, self.left = folder, last
        self.touched = False

    def audit(self, event: str, arguments: tuple[Any, ...]) -> None:
        if event in TOUCHES and self._inside(arguments[0]):
            self.touched = True
            self._step()

    def called(self, frame: FrameType, event: str, argument: Any) -> None:
        if self.touched and event == "c_call" and argument.__name__ in STATEMENTS:
            self._step()

    def _inside(self, path: Any) -> bool:
        return isinstance(path, str | os.PathLike) and os.fspath(path).startswith(self.folder)

    def _step(self) -> None:
        self.left -= 1
        if self.left == 0:
            os.kill(os.getpid(), signal.SIGKILL)


def run(folder: Path, last: int, words: list[str]) -> None:
    """Run the command in this process, which ends."""
    fuse = Fuse(f"{folder}{os.sep}", last)
    sys.addaudithook(fuse.audit)
    sys.setprofile(fuse.called)
    main([word.replace("@", str(folder)) for word in words])


if __name__ == "__main__":
    prepared, work = Path(sys.argv[1]), Path(sys.argv[2])
    for step in range(1, MOST_STEPS, EVERY):
        here = work / str(step)
        shutil.copytree(prepared, here)
        child = os.fork()
        if child == 0:
            run(here, step, sys.argv[3:])
            os._exit(70)
        status = os.waitpid(child, 0)[1]
        if not os.WIFSIGNALED(status):
            sys.exit(os.waitstatus_to_exitcode(status))
    sys.exit(71)
