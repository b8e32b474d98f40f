"""Plain text for a page: aligned columns and wrapped paragraphs, harmless whatever was dictated."""

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from assistant.record.errors import RecordError
from assistant.schedule.faults import harmless

WIDTH = 88
INDENT = "  "
LONGEST_CELL = 120
LONGEST_PARAGRAPH = 5000


@dataclass(frozen=True, kw_only=True)
class Clock:
    """The wall clock of a day: ``wall_s`` (Unix seconds) is when its second ``at_s`` was.

    ``zone`` None is the zone of this machine.
    """

    wall_s: float
    at_s: float
    zone: tzinfo | None = None

    def moment(self, at_s: float) -> datetime:
        """The date and time of a second of the day.

        Raises :class:`~assistant.record.errors.RecordError` for one that is on no calendar.
        """
        wall_s = self.wall_s + at_s - self.at_s
        try:
            return datetime.fromtimestamp(wall_s, self.zone)
        except (OverflowError, OSError, ValueError) as error:
            raise RecordError(f"a moment on record is on no calendar: {wall_s:g} s") from error

    def date(self, at_s: float) -> str:
        """``2024-06-18``: for what came so much later that the time of day tells nothing."""
        return f"{self.moment(at_s):%Y-%m-%d}"

    def date_and_time(self, at_s: float) -> str:
        """``2024-06-18 14:05``."""
        return f"{self.moment(at_s):%Y-%m-%d %H:%M}"

    def time(self, at_s: float) -> str:
        """``14:05``, or ``00:05 (+1 day)`` past midnight."""
        moment = self.moment(at_s)
        days = (moment.date() - self.moment(self.at_s).date()) // timedelta(days=1)
        if days == 0:
            return f"{moment:%H:%M}"
        return f"{moment:%H:%M} (+{days} day{'' if days == 1 else 's'})"


def columns(rows: Iterable[Sequence[str]]) -> list[str]:
    """One line a row, each column as wide as its widest cell. Rows must be of one length."""
    cells = [[harmless(cell, LONGEST_CELL) for cell in row] for row in rows]
    widths = [max(len(cell) for cell in column) for column in zip(*cells, strict=True)]
    return [
        (INDENT + INDENT.join(c.ljust(w) for c, w in zip(row, widths, strict=True))).rstrip()
        for row in cells
    ]


def paragraph(first: str, text: str) -> list[str]:
    """Wrapped text that begins with ``first`` and hangs beneath what follows it."""
    head = f"{INDENT}{harmless(first)}{INDENT}"
    return textwrap.wrap(
        harmless(text, LONGEST_PARAGRAPH),
        width=WIDTH,
        initial_indent=head,
        subsequent_indent=" " * len(head),
        break_on_hyphens=False,
    )


def section(title: str, lines: Sequence[str]) -> list[str]:
    """A title over its lines, after a blank line; nothing where there are no lines."""
    return ["", title, *lines] if lines else []
