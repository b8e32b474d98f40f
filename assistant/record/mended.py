"""What was found of a record that was not whole, in one sentence for the brewer."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum, auto
from pathlib import Path

from assistant.schedule.faults import harmless


class Fault(Enum):
    """What was the matter with the record; BEHIND is one whose copies held more than it."""

    DAMAGED = auto()
    MISSING = auto()
    BEHIND = auto()


IS: Mapping[Fault, str] = {
    Fault.DAMAGED: "is damaged",
    Fault.MISSING: "is missing",
    Fault.BEHIND: "lacks rows that the copies of its days hold",
}
WAS: Mapping[Fault, str] = {
    Fault.DAMAGED: "was damaged and is mended",
    Fault.MISSING: "was missing and is there again, from the copies of its days",
    Fault.BEHIND: "lacked rows that the copies of its days hold, and has them again",
}


@dataclass(frozen=True, kw_only=True)
class Mended:
    """What was found of the record at ``path``.

    ``days`` and ``rows`` are how many the record has now. ``gaps`` holds the number of each day
    of which rows are known to be lost, and how many; ``without_schedule`` the days whose schedule
    is lost, which can be listed and no more. ``kept`` is where the damaged file is, None where
    there was none. Where ``written`` is false it was only looked at, and is as bad as before.
    """

    path: Path
    fault: Fault
    days: int
    rows: int
    gaps: tuple[tuple[int, int], ...] = ()
    without_schedule: tuple[int, ...] = ()
    kept: Path | None = None
    written: bool = True

    @property
    def sentence(self) -> str:
        """All of it in one line for the brewer."""
        return "; ".join(self._parts())

    def _parts(self) -> Iterator[str]:
        shown = harmless(str(self.path), 300)
        what = f"{_count(self.days, 'day')} with {_count(self.rows, 'row')}"
        if self.written:
            yield f"the record {shown} {WAS[self.fault]}: it has {what}"
        else:
            yield f"the record {shown} {IS[self.fault]}: {what} can be read"
        for day, lost in self.gaps:
            yield f"{_count(lost, 'row')} of day {day} could not be found"
        for day in self.without_schedule:
            yield f"the schedule of day {day} could not be found"
        if self.kept is not None:
            yield f"the damaged file is kept as {harmless(self.kept.name)}"
        if not self.written:
            yield "the next `kettleside brew` or `kettleside mend` mends it"


def _count(number: int, what: str) -> str:
    return f"1 {what}" if number == 1 else f"{number} {what}s"
