"""The program with a fuse: ``python killed_brew.py MOMENT ANSWER brew SCHEDULE --pipe ...``.

It ends as by a power cut while it answers its ``ANSWER``-th line: before or after it writes the
row of that answer, or with half of the first line of the answer written. Where the answer has no
row, it ends before any of it is written. The program itself knows nothing of it: only
``Journal.append_row`` and standard output are wrapped.
"""

import os
import signal
import sys
from typing import Any

from assistant.cli import main
from assistant.record.journal import Journal

IDLE = '"kind": "idle"'
"""What the last line of each answer holds."""


def power_cut() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


class Fuse:
    """Counts answers until the moment has come."""

    def __init__(self, moment: str, answer: int) -> None:
        self.moment, self.answer = moment, answer
        self.answered = 0

    @property
    def burns(self) -> bool:
        return self.answered + 1 == self.answer

    def around(self, append: Any) -> Any:
        def appended(*arguments: Any, **named: Any) -> Any:
            if self.burns and self.moment == "before-row":
                power_cut()
            result = append(*arguments, **named)
            if self.burns and self.moment == "after-row":
                power_cut()
            return result

        return appended


class FusedOutput:
    """Standard output, as far as the program uses it."""

    def __init__(self, output: Any, fuse: Fuse) -> None:
        self._output, self._fuse = output, fuse

    def write(self, text: str) -> int:
        if self._fuse.burns:
            if self._fuse.moment == "half-answer":
                self._output.write(text[: len(text) // 2])
                self._output.flush()
            power_cut()
        self._fuse.answered += text.count(IDLE)
        return int(self._output.write(text))

    def __getattr__(self, name: str) -> Any:
        return getattr(self._output, name)


if __name__ == "__main__":
    fuse = Fuse(sys.argv[1], int(sys.argv[2]))
    Journal.append_row = fuse.around(Journal.append_row)  # type: ignore[method-assign]
    sys.stdout = FusedOutput(sys.stdout, fuse)
    del sys.argv[1:3]
    main()
