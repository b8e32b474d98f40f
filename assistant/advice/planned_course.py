"""The kettle's temperature through the day by plan, and what it should be when.

Heating and cooling follow the curves whose minutes the plan has. The strike water is heated at once
and waits hot for what hands do beside it; what a mash loses in a rest or while the bag drains is
left out.
"""

from collections.abc import Iterator

from assistant.advice.plan import Plan
from assistant.advice.stretch import (
    Point as Point,
)
from assistant.advice.stretch import Stretch, folds_of_heating, folds_of_leg, points_along
from assistant.advice.targets import (
    HOT_FOR_S,
    boil_target,
    chill_target,
    rest_target,
    steep_target,
    strike_target,
)
from assistant.advice.targets import (
    Target as Target,
)
from assistant.advice.timeline import (
    Stage,
    has_whirlpool_hops,
    rest_starts_min,
)
from assistant.brewing.heat import mash_heat_capacity_j_k, wort_heat_capacity_j_k
from assistant.schedule.model import Schedule


def planned_course(schedule: Schedule, plan: Plan) -> tuple[Point, ...]:
    """The kettle's temperature from the start of the day until the wort has left the kettle."""
    return points_along(_stretches(schedule, plan))


def planned_targets(schedule: Schedule, plan: Plan) -> tuple[Target, ...]:
    """What the temperature should be when: strike, rests, boil, steep and chill, in that order."""
    rests, starts_s = schedule.mash, _rest_starts_s(schedule, plan)
    struck_s = _begins_s(plan, Stage.DOUGH_IN)
    found = [
        strike_target(plan.strike_temperature_c, _begins_s(plan, Stage.STRIKE), struck_s),
        *(
            rest_target(rest, at_s, at_s + 60 * rest.minutes)
            for rest, at_s in zip(rests, starts_s, strict=True)
        ),
        boil_target(
            plan.boiling_point_c, _begins_s(plan, Stage.BOIL), _begins_s(plan, Stage.WHIRLPOOL)
        ),
    ]
    steep_s = 60 * schedule.whirlpool.steep_minutes
    if has_whirlpool_hops(schedule) and steep_s > 0:
        from_s = _begins_s(plan, Stage.WHIRLPOOL) + 60 * plan.after_boil.legs[0].minutes
        found.append(steep_target(schedule, plan, from_s, from_s + steep_s))
    cold_s, gone_s = _begins_s(plan, Stage.TRANSFER), _begins_s(plan, Stage.PITCH)
    return (*found, chill_target(schedule, cold_s, gone_s))


def _begins_s(plan: Plan, stage: Stage) -> float:
    return 60 * next(planned.starts_min for planned in plan.stages if planned.stage == stage.value)


def _rest_starts_s(schedule: Schedule, plan: Plan) -> tuple[float, ...]:
    mash_s = _begins_s(plan, Stage.MASH)
    starts_min = rest_starts_min(schedule, plan.strike_volume_l)
    return tuple(mash_s + 60 * minutes for minutes in starts_min)


def _stretches(schedule: Schedule, plan: Plan) -> Iterator[Stretch]:
    kettle, boiling_c = schedule.kettle, plan.boiling_point_c
    at_s, warm_c = 0.0, kettle.tap_water_c

    def on_to(until_s: float, to_c: float, folds: float = 0.0) -> Stretch:
        nonlocal at_s, warm_c
        stretch = Stretch(from_s=at_s, until_s=until_s, from_c=warm_c, to_c=to_c, folds=folds)
        at_s, warm_c = until_s, to_c
        return stretch

    def heated(until_s: float, to_c: float, capacity_j_k: float) -> Stretch:
        folds = folds_of_heating(
            (until_s - at_s) / 60, loss_w_k=kettle.heat_loss_w_k, capacity_j_k=capacity_j_k
        )
        return on_to(until_s, to_c, folds)

    yield on_to(_begins_s(plan, Stage.STRIKE), warm_c)
    water_j_k = mash_heat_capacity_j_k(plan.strike_volume_l, 0.0, kettle.heat_capacity_j_k)
    struck_s = _begins_s(plan, Stage.DOUGH_IN)
    yield heated(struck_s - HOT_FOR_S, plan.strike_temperature_c, water_j_k)
    yield on_to(struck_s, warm_c)
    mash_j_k = mash_heat_capacity_j_k(
        plan.strike_volume_l, schedule.grain_kg, kettle.heat_capacity_j_k
    )
    landed_s, *heated_s = _rest_starts_s(schedule, plan)
    landed, *later = schedule.mash
    yield on_to(landed_s, landed.temperature_c)
    yield on_to(landed_s + 60 * landed.minutes, landed.temperature_c)
    for rest, starts_s in zip(later, heated_s, strict=True):
        yield heated(starts_s, rest.temperature_c, mash_j_k)
        yield on_to(starts_s + 60 * rest.minutes, rest.temperature_c)
    yield on_to(_begins_s(plan, Stage.BOIL_UP), warm_c)
    wort_j_k = wort_heat_capacity_j_k(
        plan.preboil_volume_l, plan.preboil_gravity, kettle.heat_capacity_j_k
    )
    yield heated(_begins_s(plan, Stage.BOIL), boiling_c, wort_j_k)
    yield on_to(_begins_s(plan, Stage.WHIRLPOOL), boiling_c)
    for leg in plan.after_boil.legs:
        yield on_to(at_s + 60 * leg.minutes, leg.to_c, folds_of_leg(leg))
    yield on_to(max(_begins_s(plan, Stage.PITCH), at_s), warm_c)
