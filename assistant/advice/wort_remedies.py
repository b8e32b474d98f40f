"""What to do about a wort that will end too weak, too strong, too little or too much.

Gravity and volume are one matter: every remedy, and every pair that goes together, is carried to
the fermenter (``landing``) and judged by how near it comes there and how little it disturbs.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.batch import Batch, kettle_volume_l
from assistant.advice.fit import BOIL_FILL_LIMIT
from assistant.advice.forecast import Prospect, end_of
from assistant.advice.happenings import at_moment
from assistant.advice.kettle import Array
from assistant.advice.landing import (
    DRY_EXTRACT_YIELD,
    FERMENTER_ROOM,
    Ahead,
    Changes,
    look_ahead,
    scores,
)
from assistant.advice.plan import Plan
from assistant.advice.wort_options import (
    LEAVING,
    TOLD_GRAVITY,
    TOLD_VOLUME_L,
    Carrier,
    Remedy,
    in_fermenter,
)
from assistant.brewing.water import volume_hot
from assistant.schedule.model import Schedule

GRAVITY, VOLUME = "gravity", "volume"
ABOUT_WORT = (GRAVITY, VOLUME)
"""What a finding for the wort is about."""

WORTH_IT = 0.2
"""By so much a remedy must land nearer than leaving it, beyond what it disturbs."""

LONGEST_BOIL_MIN = 120.0
SHORTEST_BOIL_MIN = 45.0
"""No boil is made longer or shorter than this by advice; common practice, no source."""

LEAST_CHANGE_MIN = 3.0

MOST_LONGER_MIN = 25.0
"""All that advice makes a boil longer by: past that a day gets too long; a matter of taste."""

MOST_ADDED_EXTRACT = 0.15
"""More dry extract in all than this share of the batch's own changes the beer; common practice, no
source."""

WATER_BEFORE_END_MIN = 10.0
"""Later in the boil no water is poured in: the fermenter is topped up instead."""

LEAST_EXTRACT_G = 50.0
LEAST_WATER_L = 0.2
EXTRACT_STEP_KG = 0.01
WATER_STEP_L = 0.1
PAIRED = 3
"""In a pair, each is tried in steps so many times as large."""


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
    carry = Carrier(schedule, plan, now, prospect, at_s)
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


def _room(
    schedule: Schedule,
    batch: Batch,
    prospect: Prospect,
    at_s: float,
    boiled_min: float,
    pending_min: float,
) -> Room:
    left_min, kettle = prospect.boil_minutes_left, schedule.kettle
    fermenting = in_fermenter(batch)
    boils = left_min > 0 and not fermenting
    least_min = max(pending_min, SHORTEST_BOIL_MIN - boiled_min, 0.0) - left_min
    most_min = LONGEST_BOIL_MIN - boiled_min - left_min
    most_min = min(most_min, schedule.boil_minutes + MOST_LONGER_MIN - boiled_min - left_min)
    now_l = kettle_volume_l(batch, schedule, at_s)
    room_l = FERMENTER_ROOM * schedule.volume_l - batch.volume_l
    if not fermenting:
        room_l = BOIL_FILL_LIMIT * kettle.holds_l - volume_hot(now_l, 95.0)
        if batch.boiling and left_min < WATER_BEFORE_END_MIN:
            room_l = 0.0
    most_kg = MOST_ADDED_EXTRACT * (batch.extract_kg - batch.advised_kg)
    return Room(
        least_boil_min=min(least_min, 0.0) if boils else 0.0,
        most_boil_min=max(most_min, 0.0) if boils else 0.0,
        most_dry_kg=max(most_kg - batch.advised_kg, 0.0) / DRY_EXTRACT_YIELD,
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
