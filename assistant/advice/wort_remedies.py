"""What to do about a wort that will end too weak, too strong, too little or too much.

Gravity and volume are one matter: every remedy, and every pair that goes together, is carried to
the fermenter (``landing``) and judged by how near it comes there and how little it disturbs.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.batch import Batch, Place, kettle_volume_l
from assistant.advice.ending import Outcome
from assistant.advice.fit import BOIL_FILL_LIMIT
from assistant.advice.forecast import Prospect, end_of, finished_ibu
from assistant.advice.happenings import at_moment, with_extract, with_water
from assistant.advice.kettle import Array
from assistant.advice.landing import (
    DRY_EXTRACT_YIELD,
    FERMENTER_ROOM,
    Ahead,
    Changes,
    likely_top_up_l,
    look_ahead,
    scores,
    stops_at_l,
)
from assistant.advice.plan import Plan
from assistant.advice.timeline import CHILLED_WATER_C
from assistant.advice.worts import Extract
from assistant.brewing.balance import dissolved_volume_l
from assistant.brewing.colour import beer_colour_ebc
from assistant.brewing.water import volume_hot
from assistant.schedule.model import Schedule

GRAVITY, VOLUME = "gravity", "volume"
ABOUT_WORT = (GRAVITY, VOLUME)
"""What a finding for the wort is about."""

TOLD_GRAVITY = 0.0008
TOLD_VOLUME_L = 0.25
"""Nearer than both to the plan, nothing is off."""

WORTH_IT = 0.2
"""By so much a remedy must land nearer than leaving it, beyond what it disturbs."""

LONGEST_BOIL_MIN = 120.0
SHORTEST_BOIL_MIN = 45.0
"""No boil is made longer or shorter than this by advice; common practice, no source."""

LEAST_CHANGE_MIN = 3.0

MOST_LONGER_MIN = 25.0
"""All that advice makes a boil longer by: past that a day gets too long; a matter of taste."""

MOST_ADDED_EXTRACT = 0.15
"""Dry extract beyond this share of the batch's own changes the beer; common practice, no source."""

WATER_BEFORE_END_MIN = 10.0
"""Later in the boil no water is poured in: the fermenter is topped up instead."""

ADD_EXTRACT = "add extract"
DRY_EXTRACT = "dry malt extract"

LEAST_EXTRACT_G = 50.0
LEAST_WATER_L = 0.2
EXTRACT_STEP_KG = 0.01
WATER_STEP_L = 0.1
PAIRED = 3
"""In a pair, each is tried in steps so many times as large."""


def dry_extract(weight_kg: float) -> Extract:
    """What so much dry malt extract brings, its minutes in the boil left open."""
    return Extract(
        mass_kg=weight_kg * DRY_EXTRACT_YIELD,
        swell_l=dissolved_volume_l(weight_kg, DRY_EXTRACT_YIELD),
        boil_minutes=0.0,
    )


@dataclass(frozen=True, kw_only=True)
class Remedy:
    """One way out: minutes more (or less) of boil, dry extract, water, and what it counts."""

    boil_min: float = 0.0
    dry_kg: float = 0.0
    water_l: float = 0.0
    counts: float = 0.0


LEAVING = Remedy()


@dataclass(frozen=True, kw_only=True)
class Room:
    """What each remedy may be at most here; minutes of boil may also be fewer."""

    least_boil_min: float
    most_boil_min: float
    most_dry_kg: float
    most_water_l: float


def wort_finding(
    schedule: Schedule,
    plan: Plan,
    batch: Batch,
    prospect: Prospect,
    *,
    at_s: float,
    boiled_min: float,
    pending_min: float,
) -> Finding | None:
    """The finding for a wort off its plan; None while it will end close enough, or where nothing
    can be done about it.

    ``boiled_min`` is how long it has boiled, ``pending_min`` the earliest addition still to come,
    in minutes before the end: a boil is never cut shorter than that.
    """
    now = at_moment(batch, schedule.kettle, at_s)
    end = end_of(now, schedule, prospect, at_s)
    off = end.original_gravity - plan.original_gravity
    off_l = end.fermenter_volume_l - plan.fermenter_volume_l
    if abs(off) < TOLD_GRAVITY and abs(off_l) < TOLD_VOLUME_L:
        return None
    ahead = look_ahead(now, schedule, plan, prospect)
    leave_counts = float(scores(ahead, Changes.of())[0])
    room = _room(schedule, now, prospect, at_s, boiled_min, pending_min)
    remedies = sorted(_best_of_each(ahead, room), key=lambda remedy: remedy.counts)
    worth = [remedy for remedy in remedies if remedy.counts < leave_counts - WORTH_IT]
    if not worth:
        return None
    carry = _Carrier(schedule, plan, now, prospect, at_s)
    return Finding(
        about=GRAVITY if abs(off) >= TOLD_GRAVITY else VOLUME,
        finding=_finding_text(schedule, off, off_l),
        options=(
            *(carry.option(remedy) for remedy in worth[:3]),
            Option(
                say="leave it",
                phrase=f"leave it: {figures.gravity(end.original_gravity)}",
                action=Action(do=Do.LEAVE_IT),
                effect=carry.effect(LEAVING),
            ),
        ),
        recommended=carry.option(worth[0]).say,
        why=carry.why(worth[0]),
    )


def _in_fermenter(batch: Batch) -> bool:
    return batch.place is Place.FERMENTER


def _room(
    schedule: Schedule,
    batch: Batch,
    prospect: Prospect,
    at_s: float,
    boiled_min: float,
    pending_min: float,
) -> Room:
    left_min, kettle = prospect.boil_minutes_left, schedule.kettle
    in_fermenter = _in_fermenter(batch)
    boils = left_min > 0 and not in_fermenter
    least_min = max(pending_min, SHORTEST_BOIL_MIN - boiled_min, 0.0) - left_min
    most_min = LONGEST_BOIL_MIN - boiled_min - left_min
    most_min = min(most_min, schedule.boil_minutes + MOST_LONGER_MIN - boiled_min - left_min)
    now_l = kettle_volume_l(batch, schedule, at_s)
    room_l = FERMENTER_ROOM * schedule.volume_l - batch.volume_l
    if not in_fermenter:
        room_l = BOIL_FILL_LIMIT * kettle.holds_l - volume_hot(now_l, 95.0)
        if batch.boiling and left_min < WATER_BEFORE_END_MIN:
            room_l = 0.0
    return Room(
        least_boil_min=min(least_min, 0.0) if boils else 0.0,
        most_boil_min=max(most_min, 0.0) if boils else 0.0,
        most_dry_kg=MOST_ADDED_EXTRACT * batch.extract_kg / DRY_EXTRACT_YIELD,
        most_water_l=max(room_l, 0.0),
    )


def _best_of_each(ahead: Ahead, room: Room) -> Iterator[Remedy]:
    """The best size of each remedy and of each pair that goes together."""
    boils = np.arange(np.ceil(room.least_boil_min), np.floor(room.most_boil_min) + 1.0)
    boils = boils[np.abs(boils) >= LEAST_CHANGE_MIN]
    longer, shorter = boils[boils > 0], boils[boils < 0]
    dry = np.arange(LEAST_EXTRACT_G / 1000, room.most_dry_kg, EXTRACT_STEP_KG)
    water = np.arange(LEAST_WATER_L, room.most_water_l + 1e-9, WATER_STEP_L)
    none = np.zeros(1)
    for parts in (
        (longer, none, none),
        (shorter, none, none),
        (none, dry, none),
        (none, none, water),
        (longer[::PAIRED], dry[::PAIRED], none),
        (none, dry[::PAIRED], water[::PAIRED]),
    ):
        if all(len(part) for part in parts):
            yield _best(ahead, *parts)


def _best(ahead: Ahead, boil_min: Array, dry_kg: Array, water_l: Array) -> Remedy:
    grid = np.meshgrid(boil_min, dry_kg, water_l, indexing="ij")
    changes = Changes(boil_min=grid[0].ravel(), dry_kg=grid[1].ravel(), water_l=grid[2].ravel())
    counts = scores(ahead, changes) + _disturbs(ahead, changes)
    place = int(np.argmin(counts))
    return Remedy(
        boil_min=float(changes.boil_min[place]),
        dry_kg=float(changes.dry_kg[place]),
        water_l=round(float(changes.water_l[place]), 1),
        counts=float(counts[place]),
    )


A_MINUTE = 0.01
MANY_MINUTES = 30.0
EXTRACT_ITSELF, A_SHARE_OF_EXTRACT = 0.5, 4.0
EXTRACT_IN_FERMENTER = 0.5
WATER_ITSELF = 0.05
TWO_AT_ONCE = 0.25
"""What a remedy disturbs, in the measure of ``landing.off_by``: each minute of boil, and all of
them squared against so many; extract itself, and as a share of what is there, and more where it has
to be boiled up and cooled for the fermenter; water; and two of them together. A matter of taste, no
source."""


def _disturbs(ahead: Ahead, changes: Changes) -> Array:
    minutes = np.maximum(changes.boil_min, 0.0)
    boil = A_MINUTE * np.abs(changes.boil_min) + (minutes / MANY_MINUTES) ** 2
    share = changes.dry_kg / float(ahead.extract_kg.mean())
    itself = EXTRACT_ITSELF + (EXTRACT_IN_FERMENTER if ahead.in_fermenter else 0.0)
    extract = np.where(changes.dry_kg > 0, itself + A_SHARE_OF_EXTRACT * share, 0.0)
    water = np.where(changes.water_l > 0, WATER_ITSELF, 0.0)
    many = (changes.boil_min != 0) + (changes.dry_kg > 0) + 1.0 * (changes.water_l > 0)
    disturbs: Array = boil + extract + water + TWO_AT_ONCE * (many > 1)
    return disturbs


def _finding_text(schedule: Schedule, off: float, off_l: float) -> str:
    parts = []
    if abs(off) >= TOLD_GRAVITY:
        parts.append(f"{figures.points(off)} {'low' if off < 0 else 'high'}")
    if abs(off_l) >= TOLD_VOLUME_L:
        side = "short" if off_l < 0 else "too much"
        parts.append(f"{figures.volume(abs(off_l), schedule.units)} {side}")
    return ", ".join(parts)


class _Carrier:
    """Carries remedies of one wort to its end and puts them into words."""

    def __init__(
        self, schedule: Schedule, plan: Plan, batch: Batch, prospect: Prospect, at_s: float
    ) -> None:
        self.schedule = schedule
        self.plan = plan
        self.batch = batch
        self.prospect = prospect
        self.at_s = at_s

    def option(self, remedy: Remedy) -> Option:
        """A remedy as it is offered; the second of a pair follows with the first."""
        acts = [act(self, remedy) for size, act in ACTS.items() if getattr(remedy, size)]
        says, phrases, actions = zip(*acts, strict=True)
        return Option(
            say=" and ".join(says),
            phrase=" with ".join(
                (phrases[0], *(words.removeprefix("add ") for words in phrases[1:]))
            ),
            action=actions[0],
            effect=self.effect(remedy),
            then=tuple(actions[1:]),
        )

    def boil(self, remedy: Remedy) -> tuple[str, str, Action]:
        longer, minutes = remedy.boil_min > 0, abs(remedy.boil_min)
        word = "longer" if longer else "shorter"
        return (
            f"boil {word}",
            f"boil {figures.duration(minutes * 60)} {word}",
            Action(do=Do.BOIL_LONGER if longer else Do.BOIL_SHORTER, minutes=minutes),
        )

    def extract(self, remedy: Remedy) -> tuple[str, str, Action]:
        grams = round(remedy.dry_kg * 100) * 10.0
        weight = figures.weight(grams, self.schedule.units)
        boiled = "boiled " if _in_fermenter(self.batch) else ""
        return (
            ADD_EXTRACT,
            f"add {weight} of {boiled}extract",
            Action(do=Do.ADD, item=DRY_EXTRACT, grams=grams),
        )

    def water(self, remedy: Remedy) -> tuple[str, str, Action]:
        litres = figures.volume(remedy.water_l, self.schedule.units)
        if _in_fermenter(self.batch):
            action = Action(do=Do.TOP_UP, litres=remedy.water_l, temperature_c=CHILLED_WATER_C)
            chilled = "boiled, chilled water" if not remedy.dry_kg else "water"
            return "top up", f"add {litres} of {chilled}", action
        water_c = self.schedule.kettle.tap_water_c
        action = Action(do=Do.ADD_WATER, litres=remedy.water_l, temperature_c=water_c)
        return "add water", f"add {litres} of water", action

    def carried(self, remedy: Remedy) -> tuple[Batch, Prospect]:
        """The batch and what is to come with a remedy taken."""
        kettle = self.schedule.kettle
        batch, prospect = self.batch, with_boil(self.prospect, remedy.boil_min)
        if remedy.dry_kg:
            batch = with_extract(batch, kettle, dry_extract(remedy.dry_kg), self.at_s)
        if remedy.water_l:
            batch = with_water(batch, kettle, remedy.water_l, self.at_s)
        return batch, prospect

    def effect(self, remedy: Remedy) -> str:
        """Where a remedy leads: gravity, volume, and what else it changes."""
        end, prospect, water_l = self._end(remedy)
        ibu = finished_ibu(end, prospect.doses, prospect.boiling_c)
        parts = [
            figures.gravity(end.original_gravity),
            figures.volume(end.fermenter_volume_l, self.schedule.units),
        ]
        if abs(ibu - self.plan.ibu) >= 2:
            parts.append(f"{ibu:.0f} IBU")
        colour_ebc = self._colour_ebc(remedy, end.original_gravity)
        if abs(colour_ebc - self.plan.colour_ebc) >= max(0.1 * self.plan.colour_ebc, 2.0):
            parts.append(f"{colour_ebc:.0f} EBC")
        if water_l:
            let_down = figures.volume(water_l, self.schedule.units)
            parts.append(f"let down with {let_down} in the fermenter")
        if remedy.boil_min:
            side = "later" if remedy.boil_min > 0 else "sooner"
            parts.append(f"{figures.duration(abs(remedy.boil_min) * 60)} {side}")
        return ", ".join(parts)

    def _colour_ebc(self, remedy: Remedy, gravity: float) -> float:
        """The beer's colour: the grist's own, in so much wort; pale extract adds next to none."""
        grist_share = self.batch.extract_kg / (
            self.batch.extract_kg + DRY_EXTRACT_YIELD * remedy.dry_kg
        )
        strength = grist_share * (gravity - 1.0) / max(self.plan.original_gravity - 1.0, 0.001)
        volume_l = self.plan.fermenter_volume_l / min(max(strength, 0.2), 5.0)
        return beer_colour_ebc(
            [(malt.weight_kg, malt.colour_ebc) for malt in self.schedule.grist], volume_l
        )

    def _end(self, remedy: Remedy) -> tuple[Outcome, Prospect, float]:
        """The end with a remedy, and the litres it is likely to be let down with."""
        batch, prospect = self.carried(remedy)
        ahead = look_ahead(batch, self.schedule, self.plan, prospect)
        water_l = 0.0 if remedy == LEAVING else likely_top_up_l(ahead)
        if water_l < TOLD_VOLUME_L:
            return end_of(batch, self.schedule, prospect, self.at_s), prospect, 0.0
        prospect = replace(
            prospect,
            top_up_l=prospect.top_up_l + water_l,
            most_l=stops_at_l(ahead, let_down=True),
        )
        return end_of(batch, self.schedule, prospect, self.at_s), prospect, water_l

    def why(self, remedy: Remedy) -> str:
        """The figures behind the best remedy, in one sentence."""
        units = self.schedule.units
        now_l = figures.volume(kettle_volume_l(self.batch, self.schedule, self.at_s), units)
        stands, cured = (self._end(each)[0] for each in (LEAVING, remedy))
        makes, lands = (
            f"{figures.volume(end.fermenter_volume_l, units)} of "
            f"{figures.gravity(end.original_gravity)}"
            for end in (stands, cured)
        )
        return f"As it stands {now_l} make {makes}; that way they make {lands}."


ACTS: Mapping[str, Callable[[_Carrier, Remedy], tuple[str, str, Action]]] = MappingProxyType(
    {"boil_min": _Carrier.boil, "dry_kg": _Carrier.extract, "water_l": _Carrier.water}
)
"""The word, the phrase and the action for each size of a remedy."""


def with_boil(prospect: Prospect, change_min: float) -> Prospect:
    """The prospect with the boil longer or shorter: hops already in the kettle get it too."""
    return replace(
        prospect,
        boil_minutes_left=prospect.boil_minutes_left + change_min,
        doses=tuple(
            replace(dose, minutes=dose.minutes + change_min)
            if dose.in_kettle and dose.minutes is not None
            else dose
            for dose in prospect.doses
        ),
    )
