"""The days on record in lines: each with its beer, as planned and as it came to."""

from collections.abc import Iterator

from assistant.advice import figures
from assistant.cellar.assessing import Progress, assess
from assistant.cellar.state import CellarState
from assistant.record.beers import beer_on_record
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


def day_lines(journal: Journal) -> Iterator[str]:
    """A line for each day, the newest first; what became of a beer stands behind its name."""
    days = journal.days()
    widest = max((len(harmless(day.beer)) for day in days), default=0)
    for day in days:
        began = Clock(wall_s=day.began_wall, at_s=0.0).moment(0.0)
        head = f"{day.id:>4}  {began:%Y-%m-%d %H:%M}  {day.status.value:<8}  "
        yield f"{head}{harmless(day.beer):<{widest}}  {_result(journal, day)}".rstrip()


def _result(journal: Journal, day: Day) -> str:
    try:
        state = beer_on_record(journal, day).state
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
