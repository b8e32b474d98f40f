"""What a report is laid out in: sections of tables and paragraphs, in words already."""

from dataclasses import dataclass
from enum import Enum


class Chart(Enum):
    """A picture that a page draws in its section; a text does without."""

    TEMPERATURE = "temperature"
    WORT = "wort"
    BITTERNESS = "bitterness"
    FERMENTATION = "fermentation"
    BOTH_TEMPERATURES = "temperatures of both days"


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of as many cells as ``header`` has; ``caption`` says of what."""

    caption: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Paragraph:
    """A sentence or more; ``head`` is the time, or whatever it is about."""

    head: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Section:
    """A part of a report; ``key`` is its name within a page."""

    key: str
    title: str
    tables: tuple[Table, ...] = ()
    paragraphs: tuple[Paragraph, ...] = ()
    charts: tuple[Chart, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether there is nothing in it to show."""
        return not (any(table.rows for table in self.tables) or self.paragraphs)


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A report laid out: its title, the lines beneath it, and its sections."""

    title: str
    lines: tuple[str, ...]
    sections: tuple[Section, ...]
