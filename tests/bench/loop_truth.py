"""What a closed-loop day is judged by: how its rests were held, and the bitterness wanted."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.advice.plan import Plan
from assistant.advice.timeline import Stage
from assistant.advice.worts import boil_minutes_planned
from assistant.brewing.hops import WHOLE_AGAINST_PELLETS, utilisation, worth_of_a_minute
from assistant.schedule.model import Addition, HopForm, Moment, Schedule


@dataclass(frozen=True, kw_only=True)
class Rested:
    """A rest: its temperature, when its stage began, when its clock did and when it was over.

    ``landed`` tells the rest the grain went in at, which has its temperature from the start.
    """

    wanted_c: float
    began_s: float
    over_s: float
    landed: bool
    held_s: float | None = None


def rest_error(rests: Iterable[Rested], trace: Sequence[tuple[float, float]]) -> float:
    """Root of the mean square of what the content was off its rests, in kelvin, over the day.

    A rest counts from when its temperature was first reached or its clock began, whichever came
    first, until it was over; the first one from when the grain was stirred in.
    """
    squares = seconds = 0.0
    for rest in rests:
        within = [moment for moment in trace if rest.began_s <= moment[0] <= rest.over_s]
        reached_s = next((at for at, warm_c in within if warm_c >= rest.wanted_c), math.inf)
        held_s = math.inf if rest.held_s is None else rest.held_s
        from_s = rest.began_s if rest.landed else min(reached_s, held_s)
        before_s = from_s
        for at, warm_c in within:
            if at > from_s:
                squares += (at - before_s) * (warm_c - rest.wanted_c) ** 2
                seconds += at - before_s
                before_s = at
    return math.sqrt(squares / seconds) if seconds else 0.0


def plan_ibu(schedule: Schedule, plan: Plan) -> float:
    """Bitterness by the simulated kettle's own sum when everything goes just as planned.

    First-wort hops get the minutes of their way to the boil instead of a factor.
    """
    boiled = (schedule.volume_l - schedule.chill.top_up_l) / schedule.volume_l
    at_boil = worth_of_a_minute(min(plan.boiling_point_c, 100.0))
    total = 0.0
    for addition in schedule.additions:
        minutes = boil_minutes_planned(addition, schedule.boil_minutes)
        if addition.alpha is None or minutes is None:
            continue
        after = plan.after_boil
        at_whirlpool = addition.moment is Moment.WHIRLPOOL
        worth_min = at_boil * minutes + (after.whirlpool_min if at_whirlpool else after.whole_min)
        if addition.moment is Moment.FIRST_WORT:
            worth_min += _on_the_way_up_min(schedule, plan)
        share = utilisation(plan.boil_gravity, worth_min)
        total += share * _alpha_g(addition) * 1000 / plan.postboil_volume_l
    return boiled * total


def _alpha_g(addition: Addition) -> float:
    cones = addition.form is HopForm.WHOLE
    return addition.weight_g * (addition.alpha or 0.0) * (WHOLE_AGAINST_PELLETS if cones else 1.0)


def _on_the_way_up_min(schedule: Schedule, plan: Plan) -> float:
    """What heating to the boil is worth in minutes of boil, its course taken as straight."""
    from_c, to_c = schedule.mash[-1].temperature_c, min(plan.boiling_point_c, 100.0)
    steps = [from_c + (to_c - from_c) * (step + 0.5) / 50 for step in range(50)]
    mean = sum(worth_of_a_minute(warm_c) for warm_c in steps) / len(steps)
    return plan.stage_minutes(Stage.BOIL_UP) * mean
