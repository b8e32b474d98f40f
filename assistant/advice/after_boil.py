"""The wort's way down from flameout, and what it still makes of the hops.

Wort goes on turning alpha acid into bitterness while it is hot: on its way to the steep, under the
lid while it steeps and settles, and until the chiller has it below 70 °C. Each leg of that way is
worth so many minutes of boil, to the hops that are in by then.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from assistant.advice.timeline import (
    HANDWORK_MINUTES,
    Stage,
    chill_target_c,
    chiller_w_k,
    coolant_c,
    has_whirlpool_hops,
    reachable_c,
    whirlpool_from_c,
)
from assistant.brewing.cooling import cooling_seconds
from assistant.brewing.heat import temperature_after
from assistant.brewing.hops import cooling_equivalent_minutes
from assistant.schedule.model import Kettle, Schedule

LONGEST_LEG_MIN = 600.0
"""By then any wort is cold."""

NO_COOLING_W_K = 0.01
"""A kettle that loses less than this keeps its heat for as long as anybody waits."""


@dataclass(frozen=True, kw_only=True)
class Cooling:
    """What takes the heat out of the wort, by Newton's law of cooling.

    ``taken_w_k`` goes to ``toward_c`` for each degree the wort, of ``capacity_j_k``, is above it,
    and it is left alone once it is down to ``stops_c``. ``chilled`` tells the chiller's work from
    the room's.
    """

    capacity_j_k: float
    taken_w_k: float
    toward_c: float
    stops_c: float
    chilled: bool

    def after(self, from_c: float, minutes: float) -> float:
        """The wort's temperature after a while; it never warms."""
        if from_c <= max(self.toward_c, self.stops_c):
            return from_c
        cooled_c = temperature_after(
            capacity_j_k=self.capacity_j_k,
            from_c=from_c,
            seconds=min(max(minutes, 0.0), LONGEST_LEG_MIN) * 60,
            power_w=0.0,
            loss_w_k=self.taken_w_k,
            room_c=self.toward_c,
        )
        return max(cooled_c, self.stops_c)

    def minutes_to(self, from_c: float, to_c: float) -> float:
        """Minutes down to a temperature; none where it is there, no end where it never gets."""
        if to_c >= from_c:
            return 0.0
        if to_c <= self.toward_c or self.taken_w_k < NO_COOLING_W_K:
            return math.inf
        seconds = cooling_seconds(
            capacity_j_k=self.capacity_j_k,
            from_c=from_c,
            to_c=to_c,
            toward_c=self.toward_c,
            taken_w_k=self.taken_w_k,
        )
        return seconds / 60


def under_lid(kettle: Kettle, capacity_j_k: float) -> Cooling:
    """The wort under its lid, losing heat to the room."""
    return Cooling(
        toward_c=kettle.room_c,
        capacity_j_k=capacity_j_k,
        taken_w_k=kettle.heat_loss_w_k,
        stops_c=max(kettle.room_c, 0.0),
        chilled=False,
    )


def on_chiller(schedule: Schedule, capacity_j_k: float, to_c: float) -> Cooling:
    """The wort on the schedule's chiller, on its way to ``to_c`` or as near as that gets."""
    kettle, method = schedule.kettle, schedule.chill.method
    return Cooling(
        toward_c=coolant_c(kettle, method),
        capacity_j_k=capacity_j_k,
        taken_w_k=chiller_w_k(method, capacity_j_k),
        stops_c=reachable_c(kettle, method, to_c),
        chilled=True,
    )


@dataclass(frozen=True, kw_only=True)
class Leg:
    """A stretch of cooling from one temperature to another, towards what would end it."""

    minutes: float
    from_c: float
    to_c: float
    toward_c: float
    chilled: bool = False


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
        if leg.minutes > 0
    )


def standing(cooling: Cooling, from_c: float, minutes: float) -> Leg:
    """The wort cooling for so long."""
    return Leg(
        minutes=minutes,
        from_c=from_c,
        to_c=cooling.after(from_c, minutes),
        toward_c=cooling.toward_c,
        chilled=cooling.chilled,
    )


def to_the_stop(cooling: Cooling, from_c: float) -> Leg:
    """The wort cooling until it is where the chiller leaves it."""
    minutes = cooling.minutes_to(from_c, cooling.stops_c)
    return standing(cooling, from_c, min(minutes, LONGEST_LEG_MIN))


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


def still_minutes(schedule: Schedule) -> float:
    """Minutes the wort stands from the start of the whirlpool: stirred, or steeped, and settled."""
    whirlpool = schedule.whirlpool
    turned_min = whirlpool.steep_minutes or HANDWORK_MINUTES[Stage.WHIRLPOOL]
    return turned_min + whirlpool.settle_minutes


def planned_after_boil(schedule: Schedule, *, boiling_c: float, capacity_j_k: float) -> AfterBoil:
    """The way from flameout to the end of chilling as the schedule has it."""
    legs: list[Leg] = []
    warm_c = boiling_c
    if has_whirlpool_hops(schedule):
        steep_c = whirlpool_from_c(schedule, boiling_c)
        legs.append(to_the_stop(on_chiller(schedule, capacity_j_k, steep_c), warm_c))
        warm_c = legs[-1].to_c
    begins = len(legs)
    lid = under_lid(schedule.kettle, capacity_j_k)
    legs.append(standing(lid, warm_c, still_minutes(schedule)))
    chiller = on_chiller(schedule, capacity_j_k, chill_target_c(schedule))
    legs.append(to_the_stop(chiller, legs[-1].to_c))
    return AfterBoil(
        legs=tuple(legs),
        capacity_j_k=capacity_j_k,
        whole_min=worth_min(legs),
        whirlpool_min=worth_min(legs[begins:]),
    )


@dataclass(frozen=True, kw_only=True)
class Steeping:
    """What the wort has done to its hops since flameout, up to a moment.

    ``worth_min`` is minutes of boil; ``temperature_c`` was the wort's at ``at_s``, and ``cooling``
    is what has been taking its heat since.
    """

    worth_min: float
    temperature_c: float
    at_s: float
    cooling: Cooling

    def believed_c(self, at_s: float) -> float:
        """The wort's temperature later on, as far as nobody has read it."""
        return self.cooling.after(self.temperature_c, (at_s - self.at_s) / 60)

    def reached(self, temperature_c: float, at_s: float) -> "Steeping":
        """After the wort was found at a temperature later on.

        It went there at its cooling's pace and waited, or faster if there was no time for that.
        """
        minutes = max(at_s - self.at_s, 0.0) / 60
        cooling = self.cooling
        way_min = minutes
        if temperature_c < self.temperature_c:
            way_min = min(cooling.minutes_to(self.temperature_c, temperature_c), minutes)
        way = Leg(
            minutes=way_min,
            from_c=self.temperature_c,
            to_c=temperature_c,
            toward_c=cooling.toward_c,
        )
        waiting = replace(way, minutes=minutes - way_min, from_c=temperature_c)
        return replace(
            self,
            worth_min=self.worth_min + worth_min([way, waiting]),
            temperature_c=temperature_c,
            at_s=at_s,
        )
