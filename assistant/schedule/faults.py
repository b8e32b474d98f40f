"""What is wrong with a schedule, told so that the brewer can mend the file.

A file may hold anything, so whatever is quoted from it is made harmless first: a fault is one
short line of printable characters, whatever the file held.
"""

from dataclasses import dataclass, field

LONGEST_FOUND = 80


def harmless(text: str, longest: int = LONGEST_FOUND) -> str:
    """``text`` with control characters and direction marks spelt out, cut to ``longest``."""
    spelt = "".join(
        character
        if character.isprintable()
        else character.encode("unicode_escape", "surrogatepass").decode("ascii")
        for character in text[: longest + 1]
    )
    return spelt if len(spelt) <= longest else spelt[: longest - 3] + "..."


@dataclass(frozen=True)
class Fault:
    """One thing wrong: where it is, what was found there and what is wanted.

    ``line`` counts from 1; it and ``key`` are None where the file as a whole is at fault.
    """

    file: str
    line: int | None
    key: str | None
    found: str
    wanted: str

    def __str__(self) -> str:
        place = harmless(self.file, 300) + (f":{self.line}" if self.line else "")
        key = f"{harmless(self.key)}: " if self.key else ""
        return f"{place}: {key}found {harmless(self.found)}; wanted {harmless(self.wanted, 400)}"


class ScheduleError(Exception):
    """A schedule that no brew day can start from; ``faults`` holds all that is wrong with it."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__(faults)
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


@dataclass(frozen=True, kw_only=True)
class Report:
    """The faults of one file, gathered while it is read."""

    file: str
    faults: list[Fault] = field(default_factory=list)

    def add(self, line: int | None, key: str | None, found: str, wanted: str) -> None:
        """Note one fault of this file."""
        self.faults.append(Fault(self.file, line, key, found, wanted))

    def top(self) -> "Place":
        """The file as a whole, before any key."""
        return Place(key="", report=self)

    def in_order(self) -> list[Fault]:
        """The faults from the top of the file to its end, each once."""
        # A key that stands three times on one line is noted twice, in the same words.
        return sorted(dict.fromkeys(self.faults), key=lambda fault: fault.line or 0)


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where in a file the reading has come to: ``additions 2.weight``."""

    key: str
    report: Report

    def under(self, name: str) -> "Place":
        """The key ``name`` of the group that stands here."""
        return Place(key=f"{self.key}.{name}" if self.key else name, report=self.report)

    def item(self, number: int) -> "Place":
        """One of the list that stands here, counted from 1."""
        return Place(key=f"{self.key} {number}", report=self.report)

    def fault(self, line: int, found: str, wanted: str) -> None:
        """Note a fault here."""
        self.report.add(line, self.key or None, found, wanted)
