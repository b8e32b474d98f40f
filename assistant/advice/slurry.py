"""Yeast kept from one brew for the next: which is meant, how much of it lives, is it enough.

Slurry is known by its yeast's name, as a kettle is by its own. Its generation counts the beers it
has fermented: none for a fresh packet, one for what settled under the first beer.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from assistant.advice import figures
from assistant.brewing.errors import OutOfRange
from assistant.brewing.yeast import slurry_ml, slurry_viability
from assistant.schedule.model import Schedule, YeastForm

MOST_GENERATIONS = 8
"""After so many beers yeast is begun anew from a packet; common practice, no source (5 to 10)."""

ENOUGH = 0.9
"""A tenth less slurry than wanted is enough: its count is not known so well."""


@dataclass(frozen=True, kw_only=True)
class KeptSlurry:
    """Yeast kept of a beer: ``volume_ml`` of it, cropped at ``cropped_wall_s`` (Unix seconds)."""

    day: int
    beer: str
    yeast: str
    cropped_wall_s: float
    volume_ml: float
    generation: int


@dataclass(frozen=True, kw_only=True)
class SlurryAtHand:
    """Kept slurry at its age on the day of a brew; ``viability`` is the share of it that lives."""

    kept: KeptSlurry
    age_days: float
    viability: float


def may_have_kept(schedule: Schedule) -> bool:
    """Whether a beer is to be pitched with slurry whose age the schedule leaves open."""
    return schedule.yeast.form is YeastForm.SLURRY and schedule.yeast.age_days is None


def slurry_for(
    schedule: Schedule, slurries: Iterable[KeptSlurry], wall_s: float
) -> SlurryAtHand | None:
    """The newest slurry of the schedule's yeast at ``wall_s``, where it is to be pitched with one.

    None where the schedule tells the slurry's age itself: then the brewer has another in mind.
    """
    if not may_have_kept(schedule):
        return None
    name = schedule.yeast.name.casefold()
    fitting = [
        kept for kept in slurries if kept.yeast.casefold() == name and kept.cropped_wall_s <= wall_s
    ]
    if not fitting:
        return None
    newest = max(fitting, key=lambda kept: kept.cropped_wall_s)
    age_days = (wall_s - newest.cropped_wall_s) / 86400.0
    try:
        viability = float(slurry_viability(age_days))
    except OutOfRange:
        return None
    return SlurryAtHand(kept=newest, age_days=age_days, viability=viability)


def with_slurry(schedule: Schedule, at_hand: SlurryAtHand | None) -> Schedule:
    """The schedule with the age and the generation of the slurry that is pitched."""
    if at_hand is None:
        return schedule
    yeast = replace(
        schedule.yeast,
        age_days=round(at_hand.age_days, 2),
        generation=at_hand.kept.generation,
    )
    return replace(schedule, yeast=yeast)


def slurry_line(schedule: Schedule, cells_billion: float, at_hand: SlurryAtHand) -> str:
    """What is known of the slurry at hand, and whether it is enough, for the page."""
    kept, units = at_hand.kept, schedule.units
    days = figures.counted(figures.number(at_hand.age_days, 0), "day")
    volume = figures.small_volume(kept.volume_ml, units)
    alive = figures.number(at_hand.viability * 100, 0)
    wanted_ml = slurry_ml(cells_billion, at_hand.age_days)
    wanted = figures.small_volume(wanted_ml, units)
    told = (
        f"Slurry of {kept.beer} (day {kept.day}), generation {kept.generation}, {days} old: "
        f"{volume}, about {alive} percent alive. {figures.sentence(wanted)} wanted"
    )
    if kept.volume_ml < ENOUGH * wanted_ml:
        told += ", which is more than there is: grow a starter of it, or add fresh yeast"
    told += "."
    if kept.generation >= MOST_GENERATIONS:
        told += f" After {MOST_GENERATIONS} generations take fresh yeast."
    return told
