"""Where a wort lands for every remedy at once, with what is not known of it and of the kettle.

A remedy is judged by where it leads in ten worlds that stand for what is believed: in each the
volume, the extract, the boil-off, the grain's share and the trub's are otherwise, as they hang
together. In each of them the fermenter is still topped up as that world wants it: so a wort that
may come out strong and short is better than one that may come out weak, for water can be added and
not taken out. The sums are those of ``ending``, written for many worlds at a time.
"""

from dataclasses import dataclass, replace

import numpy as np

from assistant.advice.batch import Batch, Place
from assistant.advice.forecast import Prospect
from assistant.advice.kettle import AT, Array, Content
from assistant.advice.learned import Trait
from assistant.advice.plan import Plan
from assistant.advice.worts import believed_gravity
from assistant.brewing.balance import dissolved_volume_l
from assistant.schedule.model import Schedule

POINTS_OFF = 1.5
LITRES_OFF = 0.4
"""As far off as this counts one, and twice as far four: hardly to be tasted, and as near as a
hydrometer and a dipstick tell; common practice, no source."""

TOO_MUCH = 5.0
TOO_MUCH_SLOPE = 0.2
"""More wort than wanted counts no more than this, and so much for each further ``LITRES_OFF``:
what is too much can be left in the kettle."""

FERMENTER_ROOM = 1.10
"""The fermenter is taken to hold a tenth more than the volume wanted; it is not on the card."""

DRY_EXTRACT_YIELD = 0.96
"""Extract in dry malt extract, as a share; from memory, unchecked (published 0.95 to 0.97)."""

TOP_UPS = 25
"""How many amounts of water the fermenter may be topped up with are tried."""

TOPPING_UP = 0.4
TOP_UP_FREE = 0.015
"""What topping up counts for each ``LITRES_OFF`` of boiled and chilled water past so small a share
of the beer: water in the kettle is simpler. A matter of taste, no source."""

LEAST_L = 0.2

UNKNOWN = (
    Content.VOLUME_L,
    Content.EXTRACT_KG,
    Trait.BOIL_OFF,
    Trait.LEFT_BEHIND,
    Trait.ABSORPTION,
)


@dataclass(frozen=True, kw_only=True)
class Ahead:
    """The worlds, and what is still to come in each of them alike.

    The arrays hold a figure for each world: litres and extract of the wort, litres boiled off an
    hour, litres left behind. ``points_l_kg`` is what a kilogram of extract makes in a litre.
    """

    litres: Array
    extract_kg: Array
    boil_off_l_h: Array
    left_behind_l: Array
    boil_min: float
    to_come_kg: float
    to_come_l: float
    top_up_l: float
    in_fermenter: bool
    points_l_kg: float
    wanted_points: float
    wanted_l: float


@dataclass(frozen=True, kw_only=True)
class Changes:
    """Remedies side by side: minutes more of boil, kilograms of dry extract, litres of water."""

    boil_min: Array
    dry_kg: Array
    water_l: Array

    @classmethod
    def of(cls, boil_min: float = 0.0, dry_kg: float = 0.0, water_l: float = 0.0) -> "Changes":
        """One remedy alone."""
        return cls(
            boil_min=np.array([boil_min]), dry_kg=np.array([dry_kg]), water_l=np.array([water_l])
        )


def look_ahead(batch: Batch, schedule: Schedule, plan: Plan, prospect: Prospect) -> Ahead:
    """The worlds that stand for what is believed of ``batch``, which must be up to date."""
    worlds = _worlds(batch)
    litres = worlds[0]
    if batch.place is Place.MASH:
        litres = litres - worlds[4] * schedule.grain_kg
    points = 1000 * (plan.original_gravity - 1)
    kilograms = _fermenter_kg(plan)
    return Ahead(
        litres=np.maximum(litres, LEAST_L),
        extract_kg=np.maximum(worlds[1], 0.001),
        boil_off_l_h=np.maximum(worlds[2], 0.0),
        left_behind_l=np.maximum(worlds[3], 0.0),
        boil_min=prospect.boil_minutes_left,
        to_come_kg=sum(extract.mass_kg for extract in prospect.extracts_to_come),
        to_come_l=sum(extract.swell_l for extract in prospect.extracts_to_come),
        top_up_l=prospect.top_up_l,
        in_fermenter=batch.place is Place.FERMENTER,
        points_l_kg=points * plan.fermenter_volume_l / max(kilograms, 0.001),
        wanted_points=points,
        wanted_l=plan.fermenter_volume_l,
    )


def _fermenter_kg(plan: Plan) -> float:
    """The extract that makes the plan's gravity of the plan's volume, by halving."""
    low, high = 0.0, 0.6 * plan.fermenter_volume_l
    for _ in range(50):
        middle = (low + high) / 2
        if believed_gravity(middle, plan.fermenter_volume_l) < plan.original_gravity:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _worlds(batch: Batch) -> Array:
    """What is believed as points to either side, in the directions in which it hangs together.

    They have the mean and the covariance of what is believed (the unscented transform of
    S. J. Julier and J. K. Uhlmann, Proc. IEEE 92 (2004) 401-422).
    """
    places = [AT[row] for row in UNKNOWN]
    figures = np.array((*batch.belief.traits, *batch.contents))[places]
    covariance = np.array(batch.belief.covariance)[np.ix_(places, places)]
    size = len(UNKNOWN)
    values, vectors = np.linalg.eigh(covariance)
    apart = vectors * np.sqrt(np.maximum(values, 0.0) * size)
    around = figures[:, np.newaxis]
    worlds: Array = np.hstack([around + apart, around - apart])
    return worlds


def ends(ahead: Ahead, changes: Changes) -> tuple[Array, Array]:
    """Points of gravity and litres in the fermenter: a row for each remedy, a column a world."""
    boil_min, dry_kg, water_l = (
        part[:, np.newaxis] for part in (changes.boil_min, changes.dry_kg, changes.water_l)
    )
    swell_l = dry_kg * dissolved_volume_l(1.0, DRY_EXTRACT_YIELD)
    extract_kg = ahead.extract_kg + ahead.to_come_kg + DRY_EXTRACT_YIELD * dry_kg
    litres = ahead.litres + ahead.to_come_l + swell_l + water_l
    if ahead.in_fermenter:
        return ahead.points_l_kg * extract_kg / (litres + ahead.top_up_l), litres + ahead.top_up_l
    after_l = litres - ahead.boil_off_l_h * (ahead.boil_min + boil_min) / 60
    after_l = np.maximum(after_l, LEAST_L)
    moved_l = np.maximum(after_l - ahead.left_behind_l, LEAST_L)
    end_l = moved_l + ahead.top_up_l
    return ahead.points_l_kg * extract_kg * moved_l / after_l / end_l, end_l


def off_by(points: Array, litres: Array, *, in_fermenter: bool) -> Array:
    """How much it counts to be so far off: the sum of squares, each in its own measure.

    Too much wort counts in full once it is in the fermenter.
    """
    volume = (litres / LITRES_OFF) ** 2
    if not in_fermenter:
        most = TOO_MUCH + TOO_MUCH_SLOPE * np.maximum(litres, 0.0) / LITRES_OFF
        volume = np.where(litres > 0, np.minimum(volume, most), volume)
    counted: Array = (points / POINTS_OFF) ** 2 + volume
    return counted


def scores(ahead: Ahead, changes: Changes) -> Array:
    """What each remedy counts on average over the worlds, the fermenter topped up in the end."""
    points, litres = ends(ahead, changes)
    if ahead.in_fermenter:
        as_it_is: Array = off_by(
            points - ahead.wanted_points,
            litres - ahead.wanted_l,
            in_fermenter=ahead.in_fermenter,
        )
        return np.asarray(as_it_is.mean(axis=1))
    _, counted = _topped_up(ahead, points, litres)
    best: Array = counted.min(axis=2).mean(axis=1)
    return best


def _topped_up(ahead: Ahead, points: Array, litres: Array) -> tuple[Array, Array]:
    """Amounts of water for the fermenter, and what each counts in every world."""
    most_l = FERMENTER_ROOM * ahead.wanted_l
    water_l = np.linspace(0.0, 0.1 * ahead.wanted_l, TOP_UPS)
    topped_l = litres[..., np.newaxis] + water_l
    thinned = (points * litres)[..., np.newaxis] / topped_l
    counted = off_by(thinned - ahead.wanted_points, topped_l - ahead.wanted_l, in_fermenter=False)
    much_l = np.maximum(water_l - TOP_UP_FREE * ahead.wanted_l, 0.0)
    counted = counted + TOPPING_UP * much_l / LITRES_OFF
    return water_l, np.where((topped_l <= most_l) | (water_l == 0.0), counted, np.inf)


def likely_top_up_l(ahead: Ahead) -> float:
    """Litres the fermenter is to be topped up with in the end, if all comes as is believed."""
    if ahead.in_fermenter:
        return 0.0
    points, litres = (figure.mean(axis=1, keepdims=True) for figure in ends(ahead, Changes.of()))
    stops_l = stops_at_l(ahead, let_down=True) + ahead.top_up_l
    water_l, counted = _topped_up(ahead, points, np.minimum(litres, stops_l))
    return float(water_l[int(np.argmin(counted))])


def stops_at_l(ahead: Ahead, *, let_down: bool) -> float:
    """Litres after which to stop running wort into the fermenter.

    Strong wort stops the sooner by the water it is to be ``let_down`` with, if it is.
    """
    none = replace(ahead, top_up_l=0.0)
    points = ends(none, Changes.of())[0].mean()
    wanted_l = ahead.wanted_l - (0.0 if let_down else ahead.top_up_l)
    if let_down:
        wanted_l *= min(ahead.wanted_points / max(float(points), 0.1), 1.0)
    return round(wanted_l, 1)


def best_top_up_l(ahead: Ahead, most_l: float) -> float:
    """The water that brings the fermenter nearest to what was wanted, to a tenth of a litre."""
    water_l = np.arange(0.0, max(most_l, 0.0) + 0.05, 0.1)
    changes = Changes(
        boil_min=np.zeros_like(water_l), dry_kg=np.zeros_like(water_l), water_l=water_l
    )
    points, litres = ends(ahead, changes)
    counted = off_by(
        points - ahead.wanted_points,
        litres - ahead.wanted_l,
        in_fermenter=ahead.in_fermenter,
    ).mean(axis=1)
    return float(round(water_l[int(np.argmin(counted))], 1))
