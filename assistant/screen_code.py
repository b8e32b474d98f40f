"""The address of a shared board as a code that a phone's camera reads, on the whole screen.

It stands until somebody more looks at the board or a key is pressed, and comes back with ``board``.
"""

from collections.abc import Iterator

import segno
from rich.console import Group, RenderableType
from rich.text import Text

from assistant.day_board import DayBoard

ASKED_BY = "board"
"""Typed, it brings the code back; it is nothing a brewer says to the day."""

QUIET = 4
"""Light modules around the code, as its standard wants (ISO/IEC 18004)."""

HALVES = " ▀▄█"
"""Two modules above one another in a character, by which of them is light."""

PAPER = "white on black"
"""Whatever the terminal's colours are: light blocks on dark are drawn, dark modules left."""


class Code:
    """Whether the code is on the screen now, and what it looks like."""

    def __init__(self, board: DayBoard) -> None:
        self._board = board
        self._shown = board.shared
        self._looked = 0

    def put_away(self) -> None:
        """A key was pressed."""
        self._shown = False

    def asked_for(self, line: str) -> bool:
        """Whether a typed line asks for the code, which then comes back."""
        if not self._board.shared or line.strip().lower() != ASKED_BY:
            return False
        self._shown, self._looked = True, self._board.readers
        return True

    def drawn(self, width: int, height: int) -> RenderableType | None:
        """The code with its address; None where it is not to be seen, or nothing would fit."""
        if not self._shown or not self._board.shared:
            return None
        if self._board.readers > self._looked:
            self._shown = False
            return None
        address = self._board.address
        rows = list(code_rows(address))
        words = [f" {address}", f" Any key puts this away; {ASKED_BY} brings it back."]
        if len(rows) + len(words) > height or len(rows[0]) > width:
            rows = []
        return Group(
            *(Text(row, style=PAPER, no_wrap=True, end="\n") for row in rows),
            *(Text(line, overflow="fold") for line in words),
        )


def code_rows(address: str) -> Iterator[str]:
    """The code of an address, two rows of modules to a line of blocks."""
    light = [
        [not module for module in row]
        for row in segno.make(address, micro=False).matrix_iter(border=QUIET)
    ]
    if len(light) % 2:
        light.append([False] * len(light[0]))
    for upper, lower in zip(light[::2], light[1::2], strict=True):
        yield "".join(HALVES[above + 2 * below] for above, below in zip(upper, lower, strict=True))
