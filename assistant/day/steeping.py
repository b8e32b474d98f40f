"""The hot wort after flameout, and what it still makes of the hops in it.

What has been is reckoned from the temperatures that were read or reached; what is to come, from
the stage at hand and what the plan has after it.
"""

from dataclasses import dataclass, replace

from assistant.advice.actions import Do
from assistant.advice.after_boil import (
    AfterBoil,
    Cooling,
    Leg,
    Steeping,
    on_chiller,
    planned_after_boil,
    standing,
    still_minutes,
    to_the_stop,
    under_lid,
    worth_min,
)
from assistant.advice.batch import Place, gravity_now, kettle_volume_l
from assistant.advice.batch_readings import with_temperature
from assistant.advice.timeline import (
    HANDWORK_MINUTES,
    ORDER,
    Stage,
    chill_target_c,
    has_whirlpool_hops,
)
from assistant.brewing.heat import wort_heat_capacity_j_k
from assistant.day.state import Phase, State, TimerKind
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


def begin_steeping(turn: Turn, *, from_boil: bool) -> None:
    """The heat is off: from here on the wort only cools."""
    state = turn.state
    before = state.batch.steeping
    boiling_c = state.plan.boiling_point_c
    steeping = Steeping(
        worth_min=0.0 if before is None else before.worth_min,
        temperature_c=boiling_c if from_boil else min(state.batch.temperature_c, boiling_c),
        at_s=turn.now_s,
        cooling=under_lid(state.schedule.kettle, wort_j_k(state)),
    )
    turn.change(batch=replace(state.batch, steeping=steeping))


def cool_by_itself(turn: Turn) -> None:
    """The chiller is out of work: the wort is left to the room."""
    _cool_by(turn, under_lid(turn.state.schedule.kettle, wort_j_k(turn.state)))


def cool_by_chiller(turn: Turn, to_c: float) -> None:
    """The chiller begins its work."""
    _cool_by(turn, on_chiller(turn.state.schedule, wort_j_k(turn.state), to_c))


def _cool_by(turn: Turn, cooling: Cooling) -> None:
    steeping = steeping_now(turn.state)
    if steeping is not None:
        changed = replace(steeping, cooling=cooling)
        turn.change(batch=replace(turn.state.batch, steeping=changed))


def cold_at_last(turn: Turn, to_c: float) -> None:
    """The wort is said to be cold: as cold as was wanted and can be, and never warmer than it was.

    Without a reading it is taken to have cooled at the chiller's pace.
    """
    state = turn.state
    end = on_chiller(state.schedule, wort_j_k(state), to_c)
    steeping = steeping_now(state)
    if steeping is not None and not steeping.cooling.chilled:
        cool_by_chiller(turn, to_c)
    cold_c = min(wort_c(turn.state), end.stops_c)
    now = turn.state
    turn.change(batch=with_temperature(now.batch, now.schedule, cold_c, turn.now_s))


def steeping_now(state: State) -> Steeping | None:
    """The steeping up to now, the wort's temperature reckoned since it was last known."""
    steeping = state.batch.steeping
    if steeping is None or state.batch.boiling or state.batch.place is not Place.KETTLE:
        return steeping
    if state.now_s <= steeping.at_s:
        return steeping
    return steeping.reached(steeping.believed_c(state.now_s), state.now_s)


def wort_c(state: State) -> float:
    """The wort's temperature: as last known, or after flameout as it should be by now."""
    steeping = steeping_now(state)
    in_kettle = state.batch.place is Place.KETTLE and not state.batch.boiling
    return steeping.temperature_c if steeping and in_kettle else state.batch.temperature_c


def steeped(state: State) -> Steeped:
    """What has been and what is to come."""
    steeping = steeping_now(state)
    so_far_min = 0.0 if steeping is None else steeping.worth_min
    if steeping is None or ORDER.index(state.stage) < ORDER.index(Stage.WHIRLPOOL):
        way = _way_as_believed(state)
        return Steeped(
            so_far_min=so_far_min, left_min=way.whole_min, whirlpool_min=way.whirlpool_min
        )
    before, after = _legs_left(state, steeping)
    after_min = worth_min(after)
    return Steeped(
        so_far_min=so_far_min, left_min=worth_min(before) + after_min, whirlpool_min=after_min
    )


def legs_ahead(state: State) -> tuple[tuple[Leg, ...], tuple[Leg, ...]]:
    """The way down still to come, before the whirlpool begins and after; at first from flameout."""
    steeping = steeping_now(state)
    if steeping is None or ORDER.index(state.stage) < ORDER.index(Stage.WHIRLPOOL):
        legs = _way_as_believed(state).legs
        begins = 1 if has_whirlpool_hops(state.schedule) else 0
        return legs[:begins], legs[begins:]
    before, after = _legs_left(state, steeping)
    return tuple(before), tuple(after)


def _way_as_believed(state: State) -> AfterBoil:
    """The planned way down from flameout, in the kettle as it is believed to be by now."""
    planned = state.plan.after_boil
    if state.schedule.kettle == state.card:
        return planned
    return planned_after_boil(
        state.schedule,
        boiling_c=state.plan.boiling_point_c,
        capacity_j_k=planned.capacity_j_k,
    )


def _legs_left(state: State, steeping: Steeping) -> tuple[list[Leg], list[Leg]]:
    """The way still to go, before the whirlpool begins and after."""
    if state.batch.place is not Place.KETTLE:
        return [], []
    warm_c = steeping.temperature_c
    capacity_j_k = wort_j_k(state)
    to_the_end = on_chiller(state.schedule, capacity_j_k, chill_target_c(state.schedule))
    if state.stage is Stage.CHILL:
        return [], [to_the_stop(to_the_end, warm_c)]
    if state.stage is not Stage.WHIRLPOOL:
        return [], []
    before = []
    if steeping.cooling.chilled:
        before.append(to_the_stop(steeping.cooling, warm_c))
        warm_c = before[-1].to_c
        still_min = still_minutes(state.schedule)
    else:
        still_min = _still_min(state)
    still = standing(under_lid(state.schedule.kettle, capacity_j_k), warm_c, still_min)
    return before, [still, to_the_stop(to_the_end, still.to_c)]


def _still_min(state: State) -> float:
    """Minutes the wort is still to steep and settle."""
    settle_min = state.schedule.whirlpool.settle_minutes
    for timer in state.timers:
        if timer.kind in (TimerKind.STEEP, TimerKind.SETTLE) and timer.phase is not Phase.DUE:
            left_s = timer.due_s - state.now_s if timer.left_s is None else timer.left_s
            left_min = max(left_s, 0.0) / 60
            return left_min + (settle_min if timer.kind is TimerKind.STEEP else 0.0)
    if any(task.action.do is Do.WHIRLPOOL for task in state.tasks):
        return max(still_minutes(state.schedule) - _stirred_min(state), settle_min)
    if any(task.action.do is Do.SETTLE for task in state.tasks):
        return 0.0
    return settle_min


def _stirred_min(state: State) -> float:
    """Minutes the wort has been turning: a whirlpool without hops begins with its stage."""
    if has_whirlpool_hops(state.schedule):
        return 0.0
    return min((state.now_s - state.stage_at_s) / 60, HANDWORK_MINUTES[Stage.WHIRLPOOL])
