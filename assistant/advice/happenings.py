"""What is done to a batch, and where that leaves what is believed of it."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from assistant.advice.batch import (
    Batch,
    Place,
    boiled_s,
    gravity_now,
    pot_of,
    volume_now_l,
)
from assistant.advice.ending import outcome
from assistant.advice.kettle import AT, Array, Change, Content, Row, carried, doubted_together
from assistant.advice.learned import Trait
from assistant.advice.warmth import Heat, heat_after, temperature_c
from assistant.advice.worts import Extract
from assistant.brewing.capacity import GRAIN_HEAT_J_KG_K, WATER_HEAT_J_KG_K
from assistant.brewing.gravity import extract_kg
from assistant.brewing.water import WATER_KG_L
from assistant.schedule.model import Kettle, Schedule

BOIL_WAVERS = 0.04
"""Standard deviation of what boils off in a spell against the kettle's rate, as a share of it."""

COMES_TO_BOIL_L = 0.1
"""Standard deviation of what steams off before the boil, in litres."""

MEASURED_SHARE = 0.03
"""Standard deviation of water or extract that is measured out, as a share of it."""

MARK_SHARE, RUN_ON_SHARE = 0.01, 0.5
"""Standard deviation of where a brewer stops running wort off: a share of the mark, and of what
would go on running."""

RISE_SHARE = 0.02
LID_OFF_RISE_SHARE = 0.06
DRIFT_K = 0.1
DRIFT_S = 900.0
"""Standard deviation of a temperature that nobody reads: a share of its rise, more with the lid
off, and beside that so much in a quarter of an hour, growing as the square root of the time."""

TURNED_S = 7.0
"""Standard deviation of the moment a brewer turns the heat up or down; common practice, no source.
All three: estimates for a home kettle, no source."""

GRAIN_K = 2.5
"""Standard deviation of the grain's temperature about the room's; common practice, no source."""


def at_moment(batch: Batch, kettle: Kettle, at_s: float) -> Batch:
    """The batch later on, with nothing done to it: it has boiled, or warmed, or cooled."""
    return _warmed(_boiled_down(batch, at_s), kettle, at_s)


def _boiled_down(batch: Batch, at_s: float) -> Batch:
    hours = (at_s - batch.volume_at_s) / 3600
    if not batch.boiling or hours <= 0:
        return batch

    def boil(figures: Array) -> Array:
        less = figures.copy()
        less[AT[Content.VOLUME_L]] -= hours * figures[AT[Trait.BOIL_OFF]]
        return less

    wavers_l = BOIL_WAVERS * hours * batch.belief.value(Trait.BOIL_OFF)
    return replace(_after(batch, boil, {Content.VOLUME_L: wavers_l}), volume_at_s=at_s)


def _warmed(batch: Batch, kettle: Kettle, at_s: float) -> Batch:
    seconds = at_s - batch.temperature_at_s
    if not batch.warms_and_cools or seconds <= 0:
        return batch
    pot, heat = pot_of(batch, kettle), batch.heat

    def warm(figures: Array) -> Array:
        warmer = figures.copy()
        warmer[AT[Content.TEMPERATURE_C]] = temperature_c(pot, heat, figures, seconds)
        return warmer

    rise_k = abs(float(warm(np.array((*batch.belief.traits, *batch.contents)))[-1]))
    rise_k = abs(rise_k - batch.temperature_c)
    drift_k = DRIFT_K * (seconds / DRIFT_S) ** 0.5
    share = LID_OFF_RISE_SHARE if batch.place is Place.KETTLE else RISE_SHARE
    spread_k = ((share * rise_k) ** 2 + drift_k**2) ** 0.5
    warmed = _after(batch, warm, {Content.TEMPERATURE_C: spread_k})
    coast_s = batch.belief.value(Trait.COAST)
    return replace(warmed, temperature_at_s=at_s, heat=heat_after(heat, coast_s, seconds))


def heat_turned(batch: Batch, kettle: Kettle, share: float, at_s: float) -> Batch:
    """After the heat was turned to a share of full power, 0 to 1."""
    if share == batch.heat.share:
        return batch
    now = at_moment(batch, kettle, at_s)
    if not now.warms_and_cools:
        return replace(now, heat=Heat(share=share, flowing=share))
    capacity = now.volume_l * WATER_KG_L * WATER_HEAT_J_KG_K + kettle.heat_capacity_j_k
    per_s = abs(share - now.heat.share) * kettle.heater.reaches_w / max(capacity, 100.0)
    turned = _after(now, lambda figures: figures, {Content.TEMPERATURE_C: TURNED_S * per_s})
    return replace(turned, heat=Heat(share=share, flowing=now.heat.flowing))


def doughed_in(batch: Batch, schedule: Schedule, at_s: float) -> Batch:
    """After the grain is in: the mash lands where the heat balance and earlier mashes say.

    Source: heat balance of water, kettle and grain (``brewing.heat``).
    """
    if batch.grain_kg > 0 or batch.place is not Place.MASH:
        return batch
    now = at_moment(batch, schedule.kettle, at_s)
    grain_j_k, room_c = schedule.grain_kg * GRAIN_HEAT_J_KG_K, schedule.kettle.room_c

    def mix(figures: Array) -> Array:
        mixed = figures.copy()
        hot = figures[AT[Content.VOLUME_L]] * WATER_KG_L * WATER_HEAT_J_KG_K
        hot = np.maximum(hot + figures[AT[Trait.HEAT_CAPACITY]], 1.0)
        warm = hot * figures[AT[Content.TEMPERATURE_C]] + grain_j_k * room_c
        mixed[AT[Content.TEMPERATURE_C]] = warm / (hot + grain_j_k) + figures[AT[Trait.LANDING]]
        return mixed

    hot_j_k = now.volume_l * WATER_KG_L * WATER_HEAT_J_KG_K + schedule.kettle.heat_capacity_j_k
    grain_k = GRAIN_K * grain_j_k / (grain_j_k + hot_j_k)
    landed = _after(now, mix, {Content.TEMPERATURE_C: grain_k})
    return replace(landed, grain_kg=schedule.grain_kg)


def with_water(
    batch: Batch, kettle: Kettle, litres: float, at_s: float, water_c: float | None = None
) -> Batch:
    """After adding water; in the kettle it warms or cools what is there."""
    now = at_moment(batch, kettle, at_s)
    share = litres / max(now.volume_l + litres, 0.1)
    mixes = water_c is not None and now.warms_and_cools

    def pour(figures: Array) -> Array:
        fuller = figures.copy()
        fuller[AT[Content.VOLUME_L]] += litres
        if mixes:
            own_j_k = now.grain_kg * GRAIN_HEAT_J_KG_K + kettle.heat_capacity_j_k
            own_j_k += now.volume_l * WATER_KG_L * WATER_HEAT_J_KG_K
            added_j_k = litres * WATER_KG_L * WATER_HEAT_J_KG_K
            part = added_j_k / (added_j_k + own_j_k)
            warm_c = figures[AT[Content.TEMPERATURE_C]]
            fuller[AT[Content.TEMPERATURE_C]] = warm_c + part * ((water_c or 0.0) - warm_c)
        return fuller

    poured = _after(now, pour, {Content.VOLUME_L: MEASURED_SHARE * litres})
    in_fermenter = batch.place is Place.FERMENTER
    return replace(
        poured,
        volume_at_s=at_s,
        undiluted=batch.undiluted * (1.0 - share if in_fermenter else 1.0),
    )


def with_extract(
    batch: Batch, kettle: Kettle, added: Extract, at_s: float, *, advised: bool = False
) -> Batch:
    """After dissolving extract, which swells the wort; ``advised`` is what no schedule has."""
    now = at_moment(batch, kettle, at_s)

    def dissolve(figures: Array) -> Array:
        richer = figures.copy()
        richer[AT[Content.VOLUME_L]] += added.swell_l
        richer[AT[Content.EXTRACT_KG]] += added.mass_kg
        return richer

    noise: dict[Row, float] = {Content.EXTRACT_KG: MEASURED_SHARE * added.mass_kg}
    sweetened = batch.sweetened
    if batch.boil_start_gravity is not None:
        sweetened = (*sweetened, (added, boiled_s(batch, at_s)))
    advised_kg = batch.advised_kg + (added.mass_kg if advised else 0.0)
    return replace(_after(now, dissolve, noise), sweetened=sweetened, advised_kg=advised_kg)


def lifted(batch: Batch, schedule: Schedule, at_s: float) -> Batch:
    """After the bag is out: what the grain holds is gone with it."""
    if batch.place is not Place.MASH:
        return batch
    grain_kg = schedule.grain_kg

    def lift(figures: Array) -> Array:
        drained = figures.copy()
        drained[AT[Content.VOLUME_L]] -= figures[AT[Trait.ABSORPTION]] * grain_kg
        return drained

    now = at_moment(batch, schedule.kettle, at_s)
    return replace(
        _after(now, lift, {}),
        place=Place.KETTLE,
        volume_at_s=at_s,
        grain_kg=0.0,
        volume_read=False,
    )


def boiling(batch: Batch, schedule: Schedule, at_s: float, *, on: bool) -> Batch:
    """After the boil begins or ends."""
    if batch.boiling == on:
        return batch
    now = at_moment(batch, schedule.kettle, at_s)
    if on and batch.boil_start_gravity is None:
        now = _after(now, lambda figures: figures, {Content.VOLUME_L: COMES_TO_BOIL_L})
    return replace(
        now,
        volume_at_s=at_s,
        boiled_s=boiled_s(batch, at_s),
        boil_on_s=at_s if on else None,
        boil_start_gravity=batch.boil_start_gravity or gravity_now(now, schedule, at_s),
    )


def unboiled(batch: Batch, kettle: Kettle, at_s: float, *, boiled_s: float) -> Batch:
    """After a boil that was none: nothing has boiled off, and ``boiled_s`` is what really boiled.

    A volume read in the meantime stands.
    """
    untouched = batch.volume_at_s == batch.boil_on_s
    before = replace(
        batch,
        volume_l=batch.volume_l if untouched else volume_now_l(batch, kettle, at_s),
        volume_at_s=at_s,
        temperature_at_s=at_s,
        boil_on_s=None,
        boiled_s=boiled_s,
    )
    return before if boiled_s else replace(before, boil_start_gravity=None, sweetened=())


def transferred(
    batch: Batch, schedule: Schedule, at_s: float, most_l: float | None = None
) -> Batch:
    """After running into the fermenter: trub and its wort stay behind, and what is too much.

    ``most_l`` is where the brewer was to stop.
    """
    if batch.place is Place.FERMENTER:
        return batch
    now = at_moment(batch, schedule.kettle, at_s)
    end = outcome(
        now,
        schedule,
        at_s=at_s,
        boil_minutes_left=0.0,
        extracts_to_come=(),
        top_up_l=0.0,
        most_l=most_l,
    )

    def run_off(figures: Array) -> Array:
        over = figures.copy()
        whole_l = np.maximum(figures[AT[Content.VOLUME_L]], 0.2)
        moved_l = np.maximum(whole_l - figures[AT[Trait.LEFT_BEHIND]], 0.1)
        moved_l = moved_l if most_l is None else np.minimum(moved_l, most_l)
        over[AT[Content.VOLUME_L]] = moved_l
        over[AT[Content.EXTRACT_KG]] *= moved_l / whole_l
        return over

    moved = _after(now, run_off, {})
    if most_l is not None:
        free_l = now.volume_l - now.belief.value(Trait.LEFT_BEHIND)
        unsure_l = MARK_SHARE * most_l + RUN_ON_SHARE * max(free_l - most_l, 0.0)
        unsure_kg = unsure_l * moved.extract_kg / moved.volume_l
        together: dict[Row, float] = {Content.VOLUME_L: unsure_l, Content.EXTRACT_KG: unsure_kg}
        moved = replace(moved, belief=doubted_together(moved.belief, together))
    in_it_kg = extract_kg(end.fermenter_volume_l, end.original_gravity)
    return replace(
        moved,
        place=Place.FERMENTER,
        volume_l=end.fermenter_volume_l,
        volume_at_s=at_s,
        boil_on_s=None,
        extract_kg=in_it_kg,
        advised_kg=now.advised_kg * min(in_it_kg / max(now.extract_kg, 0.001), 1.0),
        boiled=end.boiled,
        volume_read=False,
    )


def _after(batch: Batch, change: Change, noise: Mapping[Row, float]) -> Batch:
    belief, (volume_l, in_it_kg, warm_c) = carried(batch.belief, batch.contents, change, noise)
    return replace(
        batch, belief=belief, volume_l=volume_l, extract_kg=in_it_kg, temperature_c=warm_c
    )
