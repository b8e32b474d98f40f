"""The wort's way down from flameout, and what it still makes of the hops.

Wort goes on turning alpha acid into bitterness while it is hot: on its way to the steep, under the
lid while it steeps and settles, and until the chiller has it below 70 °C. Each leg of that way is
worth so many minutes of boil, to the hops that are in by then.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from assistant.advice.timeline import (
    HANDWORK_MINUTES,
    Stage,
    chill_target_c,
    coolant_c,
    cooling_minutes,
    has_whirlpool_hops,
    reachable_c,
    whirlpool_from_c,
)
from assistant.brewing.heat import temperature_after
from assistant.brewing.hops import cooling_equivalent_minutes
from assistant.schedule.model import Kettle, Schedule

LONGEST_LEG_MIN = 600.0
"""By then any wort is cold."""


@dataclass(frozen=True, kw_only=True)
class Leg:
    """A stretch of cooling: from one temperature to another, towards what would end it.

    ``chilled`` tells the chiller's work from the room's.
    """

    minutes: float
    from_c: float
    to_c: float
    toward_c: float
    chilled: bool = False


@dataclass(frozen=True, kw_only=True)
class AfterBoil:
    """The way down from flameout, and what it is worth in minutes of boil.

    ``whole_min`` counts for what was in by flameout, ``whirlpool_min`` for what goes in when the
    whirlpool begins. The last of ``legs`` is the chilling, those before it are the whirlpool;
    ``capacity_j_k`` is that of wort and kettle on the way.
    """

    legs: tuple[Leg, ...]
    capacity_j_k: float
    whole_min: float
    whirlpool_min: float


def worth_min(legs: Iterable[Leg]) -> float:
    """Minutes of boil that legs are worth to hops in the kettle all that time.

    Source: isomerisation rates of Malowicki and Shellhammer (2005) over Newton cooling.
    """
    return sum(
        cooling_equivalent_minutes(
            from_c=leg.from_c,
            to_c=leg.to_c,
            minutes=min(leg.minutes, LONGEST_LEG_MIN),
            toward_c=leg.toward_c,
        )
        for leg in legs
    )


def standing(kettle: Kettle, *, capacity_j_k: float, from_c: float, minutes: float) -> Leg:
    """The wort under its lid, losing heat to the room."""
    to_c = temperature_after(
        capacity_j_k=capacity_j_k,
        from_c=from_c,
        seconds=minutes * 60,
        power_w=0.0,
        loss_w_k=kettle.heat_loss_w_k,
        room_c=kettle.room_c,
    )
    return Leg(minutes=minutes, from_c=from_c, to_c=max(to_c, 0.0), toward_c=kettle.room_c)


def chilling(schedule: Schedule, *, capacity_j_k: float, from_c: float, to_c: float) -> Leg:
    """The wort on the schedule's chiller, as near to ``to_c`` as that can bring it."""
    kettle, method = schedule.kettle, schedule.chill.method
    return Leg(
        minutes=cooling_minutes(
            kettle, method, capacity_j_k=capacity_j_k, from_c=from_c, to_c=to_c
        ),
        from_c=from_c,
        to_c=min(reachable_c(kettle, method, to_c), from_c),
        toward_c=coolant_c(kettle, method),
        chilled=True,
    )


def still_minutes(schedule: Schedule) -> float:
    """Minutes the wort stands from the start of the whirlpool: what is stirred also steeps."""
    whirlpool = schedule.whirlpool
    stirred_min = max(HANDWORK_MINUTES[Stage.WHIRLPOOL], whirlpool.steep_minutes)
    return stirred_min + whirlpool.settle_minutes


def planned_after_boil(
    schedule: Schedule, *, boiling_c: float, postboil_volume_l: float, capacity_j_k: float
) -> AfterBoil:
    """The way from flameout to the end of chilling as the schedule has it."""
    legs: list[Leg] = []
    warm_c = boiling_c
    if has_whirlpool_hops(schedule):
        steep_c = whirlpool_from_c(schedule, boiling_c)
        legs.append(chilling(schedule, capacity_j_k=capacity_j_k, from_c=warm_c, to_c=steep_c))
        warm_c = legs[-1].to_c
    begins = len(legs)
    legs.append(
        standing(
            schedule.kettle,
            capacity_j_k=capacity_j_k,
            from_c=warm_c,
            minutes=still_minutes(schedule),
        )
    )
    legs.append(
        chilling(
            schedule,
            capacity_j_k=capacity_j_k,
            from_c=legs[-1].to_c,
            to_c=chill_target_c(schedule, postboil_volume_l),
        )
    )
    return AfterBoil(
        legs=tuple(legs),
        capacity_j_k=capacity_j_k,
        whole_min=worth_min(legs),
        whirlpool_min=worth_min(legs[begins:]),
    )


@dataclass(frozen=True, kw_only=True)
class Steeping:
    """What the wort has done to its hops since flameout, up to a moment.

    ``worth_min`` is minutes of boil; ``temperature_c`` was the wort's at ``at_s``, and ``toward_c``
    is what it has been cooling towards since.
    """

    worth_min: float
    temperature_c: float
    at_s: float
    toward_c: float

    def reached(self, temperature_c: float, at_s: float) -> "Steeping":
        """After the wort was found at a temperature later on."""
        leg = Leg(
            minutes=max(at_s - self.at_s, 0.0) / 60,
            from_c=self.temperature_c,
            to_c=temperature_c,
            toward_c=self.toward_c,
        )
        return replace(
            self,
            worth_min=self.worth_min + worth_min([leg]),
            temperature_c=temperature_c,
            at_s=at_s,
        )
