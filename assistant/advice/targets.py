"""What the kettle's temperature should be while it counts, and how far off still passes."""

from dataclasses import dataclass

from assistant.advice.after_boil import under_lid
from assistant.advice.cold_remedies import FINE_ABOVE_K, FINE_BELOW_K
from assistant.advice.mash_remedies import ACT_ON_K
from assistant.advice.plan import Plan
from assistant.advice.timeline import (
    HANDWORK_MINUTES,
    Stage,
    chill_target_c,
    whirlpool_from_c,
)
from assistant.schedule.model import Rest, Schedule

BOILING_K = 0.7
"""A thermometer this close below the boiling point stands in a boil."""

COLD_ENOUGH_K = 0.5
"""Wort this close above what it is cooled to is there."""

HOT_FOR_S = 60 * HANDWORK_MINUTES[Stage.STRIKE]
"""How long before the grain goes in the strike water's temperature counts."""


@dataclass(frozen=True, kw_only=True)
class Target:
    """What is wanted of the kettle from one moment of the day, in seconds, until another.

    From ``low_c`` to ``high_c``, °C, a reading is taken to be near enough.
    """

    name: str
    from_s: float
    until_s: float
    low_c: float
    high_c: float


def strike_target(strike_c: float, from_s: float, until_s: float) -> Target:
    """The strike water, hot by ``until_s`` at the latest, as the grain goes in."""
    return Target(
        name="strike",
        from_s=max(from_s, until_s - HOT_FOR_S),
        until_s=until_s,
        low_c=strike_c - ACT_ON_K,
        high_c=strike_c + ACT_ON_K,
    )


def rest_target(rest: Rest, from_s: float, until_s: float) -> Target:
    """A rest of the mash while it lasts."""
    return Target(
        name=rest.name,
        from_s=from_s,
        until_s=until_s,
        low_c=rest.temperature_c - ACT_ON_K,
        high_c=rest.temperature_c + ACT_ON_K,
    )


def boil_target(boiling_c: float, from_s: float, until_s: float) -> Target:
    """The boil."""
    return Target(
        name="boil",
        from_s=from_s,
        until_s=until_s,
        low_c=boiling_c - BOILING_K,
        high_c=boiling_c + BOILING_K,
    )


def steep_target(schedule: Schedule, plan: Plan, from_s: float, until_s: float) -> Target:
    """The steep of whirlpool hops, in which the wort may cool as it does under its lid."""
    steep_c = whirlpool_from_c(schedule, plan.boiling_point_c)
    lid = under_lid(schedule.kettle, plan.after_boil.capacity_j_k)
    return Target(
        name="steep",
        from_s=from_s,
        until_s=until_s,
        low_c=lid.after(steep_c, schedule.whirlpool.steep_minutes) - COLD_ENOUGH_K,
        high_c=steep_c + COLD_ENOUGH_K,
    )


def chill_target(schedule: Schedule, from_s: float, until_s: float) -> Target:
    """The wort as it is run into the fermenter: fit for the yeast once top-up water is in."""
    to_c, ferment = chill_target_c(schedule), schedule.ferment
    let_down_k = to_c - schedule.chill.to_c
    return Target(
        name="chill",
        from_s=from_s,
        until_s=until_s,
        low_c=min(ferment.low_c - FINE_BELOW_K + let_down_k, to_c),
        high_c=max(ferment.high_c + FINE_ABOVE_K + let_down_k, to_c),
    )
