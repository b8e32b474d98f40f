"""The hot wort after flameout, and what it still makes of the hops in it.

What has been is reckoned from the temperatures that were read or reached; what is to come, from
the stage at hand and what the plan has after it.
"""

import math
from dataclasses import dataclass, replace

from assistant.advice.actions import Do
from assistant.advice.after_boil import (
    Leg,
    Steeping,
    chilling,
    standing,
    still_minutes,
    worth_min,
)
from assistant.advice.batch import Place, gravity_now, kettle_volume_l
from assistant.advice.timeline import Stage, chill_target_c, whirlpool_from_c
from assistant.brewing.heat import wort_heat_capacity_j_k
from assistant.day.state import State, TimerKind
from assistant.day.turn import Turn


@dataclass(frozen=True, kw_only=True)
class Steeped:
    """What the time after flameout is worth, in minutes of boil.

    ``so_far_min`` has been; ``left_min`` is to come for what is in the kettle, ``whirlpool_min``
    for what goes in when the whirlpool begins.
    """

    so_far_min: float
    left_min: float
    whirlpool_min: float


def wort_j_k(state: State) -> float:
    """Heat capacity of wort and kettle, J/K."""
    return wort_heat_capacity_j_k(
        kettle_volume_l(state.batch, state.schedule, state.now_s),
        gravity_now(state.batch, state.schedule, state.now_s),
        state.schedule.kettle.heat_capacity_j_k,
    )


def begin_steeping(turn: Turn) -> None:
    """The heat is off: from here on the wort only cools."""
    state = turn.state
    before = state.batch.steeping
    steeping = Steeping(
        worth_min=0.0 if before is None else before.worth_min,
        temperature_c=state.plan.boiling_point_c,
        at_s=turn.now_s,
        toward_c=state.schedule.kettle.room_c,
    )
    turn.change(batch=replace(state.batch, steeping=steeping))


def turn_steeping(turn: Turn, toward_c: float) -> None:
    """The wort begins to cool towards something else: the tap water, or the room again."""
    steeping = steeping_now(turn.state)
    if steeping is not None:
        changed = replace(steeping, toward_c=toward_c)
        turn.change(batch=replace(turn.state.batch, steeping=changed))


def steeping_now(state: State) -> Steeping | None:
    """The steeping up to now, the wort's temperature reckoned since it was last known."""
    steeping = state.batch.steeping
    if steeping is None or state.batch.boiling or state.batch.place is not Place.KETTLE:
        return steeping
    minutes = (state.now_s - steeping.at_s) / 60
    if minutes <= 0:
        return steeping
    return steeping.reached(_reckoned_c(state, steeping, minutes), state.now_s)


def wort_c(state: State) -> float:
    """The wort's temperature: as last known, or after flameout as it should be by now."""
    steeping = steeping_now(state)
    in_kettle = state.batch.place is Place.KETTLE and not state.batch.boiling
    return steeping.temperature_c if steeping and in_kettle else state.batch.temperature_c


def _reckoned_c(state: State, steeping: Steeping, minutes: float) -> float:
    if not _on_the_chiller(state):
        return _standing(state, steeping.temperature_c, minutes).to_c
    way = _chilling(state, steeping.temperature_c)
    if minutes >= way.minutes:
        return way.to_c
    ratio = (way.to_c - way.toward_c) / (way.from_c - way.toward_c)
    return way.toward_c + (way.from_c - way.toward_c) * math.pow(ratio, minutes / way.minutes)


def steeped(state: State) -> Steeped:
    """What has been and what is to come."""
    steeping = steeping_now(state)
    plan = state.plan.after_boil
    if steeping is None or state.stage in (Stage.BOIL_UP, Stage.BOIL):
        so_far_min = 0.0 if steeping is None else steeping.worth_min
        return Steeped(
            so_far_min=so_far_min, left_min=plan.whole_min, whirlpool_min=plan.whirlpool_min
        )
    before, after = _legs_left(state, steeping)
    after_min = worth_min(after)
    return Steeped(
        so_far_min=steeping.worth_min,
        left_min=worth_min(before) + after_min,
        whirlpool_min=after_min,
    )


def _legs_left(state: State, steeping: Steeping) -> tuple[list[Leg], list[Leg]]:
    """The way still to go, before the whirlpool begins and after."""
    if state.batch.place is not Place.KETTLE:
        return [], []
    warm_c = steeping.temperature_c
    if state.stage is Stage.CHILL:
        return [], [_chilling(state, warm_c)]
    if state.stage is not Stage.WHIRLPOOL:
        return [], []
    before = []
    if _on_the_chiller(state):
        before.append(_chilling(state, warm_c))
        warm_c = before[-1].to_c
        still_min = still_minutes(state.schedule)
    else:
        still_min = _still_min(state)
    still = _standing(state, warm_c, still_min)
    return before, [still, _to_the_end(state, still.to_c)]


def _still_min(state: State) -> float:
    """Minutes the wort is still to steep and settle."""
    settle_min = state.schedule.whirlpool.settle_minutes
    for timer in state.timers:
        if timer.kind in (TimerKind.STEEP, TimerKind.SETTLE):
            left_s = timer.due_s - state.now_s if timer.left_s is None else timer.left_s
            left_min = max(left_s, 0.0) / 60
            return left_min + (settle_min if timer.kind is TimerKind.STEEP else 0.0)
    return still_minutes(state.schedule) if _turning(state) else settle_min


def _turning(state: State) -> bool:
    return any(task.action.do is Do.WHIRLPOOL for task in state.tasks)


def _on_the_chiller(state: State) -> bool:
    return any(task.action.do is Do.CHILL for task in state.tasks)


def _standing(state: State, from_c: float, minutes: float) -> Leg:
    return standing(
        state.schedule.kettle, capacity_j_k=wort_j_k(state), from_c=from_c, minutes=minutes
    )


def _chilling(state: State, from_c: float) -> Leg:
    if state.stage is Stage.WHIRLPOOL:
        to_c = whirlpool_from_c(state.schedule, state.plan.boiling_point_c)
        return chilling(state.schedule, capacity_j_k=wort_j_k(state), from_c=from_c, to_c=to_c)
    return _to_the_end(state, from_c)


def _to_the_end(state: State, from_c: float) -> Leg:
    return chilling(
        state.schedule,
        capacity_j_k=wort_j_k(state),
        from_c=from_c,
        to_c=chill_target_c(state.schedule, state.plan.postboil_volume_l),
    )
