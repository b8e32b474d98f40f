"""What the kettle has still before it: when each stage, rest and leg of cooling should begin.

The times are those of ``timing``; wort that cools is there no sooner than ``steeping`` has it, and
what comes after waits for it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from assistant.advice.after_boil import Leg
from assistant.advice.forecast import Moment
from assistant.advice.timeline import ORDER, Stage
from assistant.day.state import Phase, State, TimerKind
from assistant.day.steeping import legs_ahead
from assistant.day.timing import RestAhead, rests_ahead, stages_ahead

AFTER_COLD = (Stage.TRANSFER, Stage.PITCH, Stage.CLEAN, Stage.FINISHED)


@dataclass(frozen=True, kw_only=True)
class Ahead:
    """All that is to come, in seconds of the day.

    ``stages`` holds the stages after the one at hand, ``rests`` the rests that are not over. The
    ``to_whirlpool`` legs of cooling begin at ``cools_s``, the ``others`` at ``whirlpool_s``; there
    are none once the wort is cold.
    """

    stages: Mapping[Stage, Moment]
    rests: tuple[RestAhead, ...]
    cools_s: float
    to_whirlpool: tuple[Leg, ...]
    whirlpool_s: float
    others: tuple[Leg, ...]
    cold_s: float

    def begins(self, stage: Stage, now_s: float) -> Moment:
        """When a stage should begin; now where it has begun."""
        return self.stages.get(stage) or Moment(at_s=now_s)


def is_before(state: State, stage: Stage) -> bool:
    """Whether a stage is still to come."""
    return ORDER.index(state.stage) < ORDER.index(stage)


def ahead(state: State) -> Ahead:
    """What is to come from the moment at hand."""
    stages, now_s = stages_ahead(state), state.now_s
    rests: tuple[RestAhead, ...] = ()
    if is_before(state, Stage.LIFT):
        found = rests_ahead(state, stages.get(Stage.MASH) or Moment(at_s=now_s))
        rests = tuple(_over_by(rest, stages[Stage.LIFT].at_s) for rest in found)
    to_whirlpool: tuple[Leg, ...] = ()
    others: tuple[Leg, ...] = ()
    if is_before(state, Stage.TRANSFER):
        to_whirlpool, others = legs_ahead(state)
    cools = stages.get(Stage.WHIRLPOOL) or Moment(at_s=now_s)
    whirlpool_s = cools.at_s + _seconds(to_whirlpool)
    cold_s = whirlpool_s + _seconds(others)
    if Stage.CHILL in stages:
        chills_s = cold_s - _seconds(others[-1:])
        stages[Stage.CHILL] = replace(stages[Stage.CHILL], at_s=chills_s)
    if Stage.TRANSFER in stages:
        late_s = max(cold_s - stages[Stage.TRANSFER].at_s, 0.0)
        for stage in AFTER_COLD:
            stages[stage] = replace(stages[stage], at_s=stages[stage].at_s + late_s)
    return Ahead(
        stages=stages,
        rests=rests,
        cools_s=cools.at_s,
        to_whirlpool=to_whirlpool,
        whirlpool_s=whirlpool_s,
        others=others,
        cold_s=cold_s,
    )


def _over_by(rest: RestAhead, mash_ends_s: float) -> RestAhead:
    """A rest that a mash of such a heater can't get to is over with the mash."""
    from_s, until_s = min(rest.from_s, mash_ends_s), min(rest.until_s, mash_ends_s)
    return replace(rest, from_s=from_s, until_s=until_s)


def _seconds(legs: tuple[Leg, ...]) -> float:
    return 60 * sum(leg.minutes for leg in legs)


def steep_span_s(state: State, to_come: Ahead) -> tuple[float, float]:
    """From when until when the steep is, or should be: as its timer has it while that runs."""
    steep_s = 60 * state.schedule.whirlpool.steep_minutes
    here = state.reached[-1] if state.reached else None
    if state.stage is not Stage.WHIRLPOOL or here is None or here.there_s is None:
        return to_come.whirlpool_s, to_come.whirlpool_s + steep_s
    until_s = min(here.there_s + steep_s, state.now_s)
    for timer in state.timers:
        if timer.kind is TimerKind.STEEP and timer.phase is not Phase.DUE:
            until_s = timer.due_s if timer.left_s is None else state.now_s + timer.left_s
    return here.there_s, max(until_s, here.there_s)
