"""The stages of a brew day in order, and how long each should take with this kettle.

The figures for what a person does (weighing, lifting, cleaning) are common practice, no source;
those for heating and cooling come from the kettle card and the sums in ``brewing``.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from assistant.brewing.cooling import bath_cooling_seconds, coil_w_k
from assistant.brewing.heat import (
    boil_off_power_w,
    boiling_point_c,
    heating_seconds,
    mash_heat_capacity_j_k,
    wort_heat_capacity_j_k,
)
from assistant.schedule.model import ChillMethod, Kettle, Moment, Schedule


class Stage(Enum):
    """A stage of the day; the value is its name outside the program."""

    GATHER = "gather"
    STRIKE = "strike"
    DOUGH_IN = "dough_in"
    MASH = "mash"
    LIFT = "lift"
    BOIL_UP = "boil_up"
    BOIL = "boil"
    WHIRLPOOL = "whirlpool"
    CHILL = "chill"
    TRANSFER = "transfer"
    PITCH = "pitch"
    CLEAN = "clean"
    FINISHED = "finished"


ORDER = tuple(Stage)
"""The stages from first to last."""

HANDWORK_MINUTES: Mapping[Stage, float] = {
    Stage.GATHER: 15,
    Stage.STRIKE: 5,
    Stage.DOUGH_IN: 8,
    Stage.LIFT: 10,
    Stage.WHIRLPOOL: 3,
    Stage.TRANSFER: 15,
    Stage.PITCH: 10,
    Stage.CLEAN: 30,
}
"""Minutes of handwork in each stage besides heating, resting and cooling."""

CHILLED_WATER_C = 4.0
"""Top-up water out of a refrigerator; common practice, no source."""

CLOSEST_TO_COOLANT_K = 3.0
"""Wort is not brought nearer to the cooling water than this in a useful time; common practice."""

ICE_BATH_C = 3.0
"""An ice bath that is stirred and kept in ice; common practice, no source."""

LEAST_BOIL_POWER = 0.3
"""A boil is never turned lower than this share of full power; common practice, no source."""

COIL_FLOW_L_MIN, COIL_W_K = 6.0, 400.0
"""Water through an immersion coil, and what it passes per kelvin, stirred; estimates, no source."""

STIRRED_BATH_W_K, STILL_BATH_W_K = 60.0, 30.0
"""Heat passed per kelvin by the wall of a pot with 20 litres; from memory, unchecked."""

TWENTY_LITRES_J_K = 88_000.0
"""Heat capacity of such a pot: 20 litres of wort and 8 kg of steel."""

WARMEST_TOPPED_UP_C = 60.0
"""Wort hotter than this is not run into a fermenter, whatever water awaits it."""


@dataclass(frozen=True, kw_only=True)
class PlannedStage:
    """When a stage begins, in minutes from the start of the day, and how long it takes."""

    stage: str
    starts_min: float
    minutes: float


def heating_minutes(
    kettle: Kettle, *, capacity_j_k: float, from_c: float, to_c: float, power: float = 1.0
) -> float:
    """Minutes to heat the kettle's content at a share ``power`` of full power, 0 to 1.

    Raises :class:`~assistant.brewing.errors.NeverReaches` where the heater cannot get there.
    Source: energy balance with Newton's law for the loss (``brewing.heat``).
    """
    return (
        heating_seconds(
            capacity_j_k=capacity_j_k,
            from_c=from_c,
            to_c=to_c,
            power_w=kettle.heater.reaches_w * power,
            loss_w_k=kettle.heat_loss_w_k,
            room_c=kettle.room_c,
        )
        / 60
    )


def boil_power_share(kettle: Kettle, boiling_c: float) -> float:
    """The share of full power that boils off what the card says, 0.3 to 1.

    Source: heat of evaporation plus Newton's loss to the room (``brewing.heat``).
    """
    loss_w = kettle.heat_loss_w_k * max(boiling_c - kettle.room_c, 0.0)
    full_w = kettle.heater.reaches_w
    share = boil_off_power_w(kettle.boil_off_l_h, loss_w) / full_w
    return min(max(round(share, 2), LEAST_BOIL_POWER), 1.0)


def coolant_c(kettle: Kettle, method: ChillMethod) -> float:
    """The temperature of what takes the heat away: ice water, or the tap's."""
    return ICE_BATH_C if method is ChillMethod.ICE_BATH else kettle.tap_water_c


def reachable_c(kettle: Kettle, method: ChillMethod, to_c: float) -> float:
    """The wanted temperature, or the lowest that is practical with this cooling water."""
    return max(to_c, coolant_c(kettle, method) + CLOSEST_TO_COOLANT_K)


def chiller_w_k(method: ChillMethod, capacity_j_k: float) -> float:
    """Watts a method takes out of the wort for each degree it is above the cooling water.

    A bath works through the pot's wall, which grows as the two thirds power of what is in it.
    Source: ``brewing.cooling``, whose figures for baths are estimates for 20 litres.
    """
    if method is ChillMethod.COIL:
        return coil_w_k(COIL_FLOW_L_MIN, COIL_W_K)
    wall = math.pow(capacity_j_k / TWENTY_LITRES_J_K, 2 / 3)
    return wall * (STIRRED_BATH_W_K if method is ChillMethod.ICE_BATH else STILL_BATH_W_K)


def cooling_minutes(
    kettle: Kettle, method: ChillMethod, *, capacity_j_k: float, from_c: float, to_c: float
) -> float:
    """Minutes to cool the wort by a method, never closer to the cooling water than is practical.

    Source: Newton's law of cooling (``brewing.cooling``).
    """
    end_c = reachable_c(kettle, method, to_c)
    if end_c >= from_c:
        return 0.0
    seconds = bath_cooling_seconds(
        capacity_j_k=capacity_j_k,
        from_c=from_c,
        to_c=end_c,
        bath_c=coolant_c(kettle, method),
        ua_w_k=chiller_w_k(method, capacity_j_k),
    )
    return seconds / 60


def chill_target_c(schedule: Schedule) -> float:
    """What the kettle is cooled to, so that wort and chilled top-up water meet at ``chill.to``.

    Without top-up water it is ``chill.to`` itself, and never above 60 °C. Source: heat balance of
    mixing, wort taken as water (their specific heats differ by less than 8 %).
    """
    to_c, top_up_l = schedule.chill.to_c, schedule.chill.top_up_l
    if top_up_l == 0 or to_c <= CHILLED_WATER_C:
        return to_c
    moved_l = schedule.volume_l - top_up_l
    return min(to_c + top_up_l / moved_l * (to_c - CHILLED_WATER_C), WARMEST_TOPPED_UP_C)


def timeline(
    schedule: Schedule,
    *,
    strike_volume_l: float,
    strike_temperature_c: float,
    preboil_volume_l: float,
    preboil_gravity: float,
    whirlpool_minutes: float,
    chill_minutes: float,
) -> tuple[PlannedStage, ...]:
    """Every stage of the day with its start and length in minutes.

    Raises :class:`~assistant.brewing.errors.NeverReaches` where the heater cannot boil the wort.
    """
    kettle = schedule.kettle
    boiling_c = boiling_point_c(kettle.altitude_m)
    water_j_k = mash_heat_capacity_j_k(strike_volume_l, 0.0, kettle.heat_capacity_j_k)
    preboil_j_k = wort_heat_capacity_j_k(
        preboil_volume_l, preboil_gravity, kettle.heat_capacity_j_k
    )

    def heat(capacity_j_k: float, from_c: float, to_c: float) -> float:
        return heating_minutes(kettle, capacity_j_k=capacity_j_k, from_c=from_c, to_c=to_c)

    rests = schedule.mash
    minutes = dict(HANDWORK_MINUTES)
    minutes[Stage.STRIKE] += heat(water_j_k, kettle.tap_water_c, strike_temperature_c)
    minutes[Stage.MASH] = rest_starts_min(schedule, strike_volume_l)[-1] + rests[-1].minutes
    minutes[Stage.BOIL_UP] = heat(preboil_j_k, rests[-1].temperature_c, boiling_c - 0.1)
    minutes[Stage.BOIL] = schedule.boil_minutes
    minutes[Stage.WHIRLPOOL] = whirlpool_minutes
    minutes[Stage.CHILL] = chill_minutes

    planned, starts_min = [], 0.0
    for stage in Stage:
        length = minutes.get(stage, 0.0)
        planned.append(PlannedStage(stage=stage.value, starts_min=starts_min, minutes=length))
        starts_min += length
    return tuple(planned)


def rest_starts_min(schedule: Schedule, strike_volume_l: float) -> tuple[float, ...]:
    """When each rest begins, in minutes from the start of the mash, heating between them."""
    kettle, starts, at_min = schedule.kettle, [0.0], 0.0
    capacity_j_k = mash_heat_capacity_j_k(
        strike_volume_l, schedule.grain_kg, kettle.heat_capacity_j_k
    )
    for before, after in pairwise(schedule.mash):
        at_min += before.minutes + heating_minutes(
            kettle,
            capacity_j_k=capacity_j_k,
            from_c=before.temperature_c,
            to_c=after.temperature_c,
        )
        starts.append(at_min)
    return tuple(starts)


def has_whirlpool_hops(schedule: Schedule) -> bool:
    """Whether anything goes in at the whirlpool, so that it is cooled to and steeped there."""
    return any(addition.moment is Moment.WHIRLPOOL for addition in schedule.additions)


def whirlpool_from_c(schedule: Schedule, boiling_c: float) -> float:
    """The temperature chilling starts from: the steep's with whirlpool hops, else the boil's."""
    if not has_whirlpool_hops(schedule):
        return boiling_c
    return min(schedule.whirlpool.temperature_c, boiling_c)
