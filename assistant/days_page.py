"""The days on record in lines: each with its beer, as planned and as it came to."""

from collections.abc import Iterator

from assistant.advice import figures
from assistant.cellar.assessing import Progress, assess
from assistant.cellar.state import CellarState
from assistant.record.beers import beer_on_record, is_quick
from assistant.record.errors import RecordError
from assistant.record.journal import Day, Journal
from assistant.record.page import Clock
from assistant.schedule.faults import harmless
from assistant.schedule.model import Units
from assistant.schedule.units import convert

PROGRESS_WORDS = {
    Progress.UNREAD: "fermenting",
    Progress.WAKING: "waking",
    Progress.NOT_STARTED: "not started",
    Progress.FERMENTING: "fermenting",
    Progress.STUCK: "stuck",
    Progress.SETTLING: "near its end",
    Progress.FINISHED: "to be packaged",
}


MOST_GONE_THROUGH = 2000
"""So many rows are gone through again for a list, which takes seconds; what is kept costs none."""


class DayLines:
    """A line for each day, the newest first; what became of a beer stands behind its name.

    ``left_out`` counts the days, so far, whose beer would have taken too long to tell.
    """

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self._slow = 0
        self.left_out = 0

    def __iter__(self) -> Iterator[str]:
        days = self._journal.days()
        widest = max((len(harmless(day.beer)) for day in days), default=0)
        for day in days:
            began = Clock(wall_s=day.began_wall, at_s=0.0).moment(0.0)
            head = f"{day.id:>4}  {began:%Y-%m-%d %H:%M}  {day.status.value:<8}  "
            yield f"{head}{harmless(day.beer):<{widest}}  {self._result(day)}".rstrip()

    def _result(self, day: Day) -> str:
        try:
            if not is_quick(self._journal, day):
                rows = len(self._journal.events(day.id))
                if self._slow + rows > MOST_GONE_THROUGH:
                    self.left_out += 1
                    return ""
                self._slow += rows
            state = beer_on_record(self._journal, day).state
        except RecordError:
            return "can't be gone through"
        return "" if state is None else result_words(state)


def result_words(state: CellarState) -> str:
    """``1.049 of 1.050, 19.8 of 20.0 L, 77 %, 5.1 % alcohol, in bottles``: made of planned."""
    beer, units = state.beer, state.schedule.units
    gravity = f"{figures.gravity(beer.original_gravity)} of "
    gravity += figures.gravity(beer.planned_original_gravity)
    made, planned = (_volume(value, units) for value in (beer.volume_l, beer.planned_volume_l))
    parts = [gravity, f"{made} of {planned} {'gal' if units is Units.US else 'L'}"]
    assessed = assess(state)
    if assessed.attenuation is not None:
        parts.append(f"{assessed.attenuation * 100:.0f} % fermented")
    if assessed.abv_percent is not None:
        parts.append(f"{assessed.abv_percent:.1f} % alcohol")
    if state.packaged is not None:
        vessel = "bottles" if state.packaged.into.value == "bottles" else "a keg"
        parts.append(f"in {vessel}")
    else:
        parts.append(PROGRESS_WORDS[assessed.progress])
    return ", ".join(parts)


def _volume(volume_l: float, units: Units) -> str:
    return f"{convert(volume_l, 'L', 'gal') if units is Units.US else volume_l:.1f}"
