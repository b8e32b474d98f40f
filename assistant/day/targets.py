"""What the kettle's temperature should be when, as the day really went and is expected to go on."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType

from assistant.advice.actions import Do
from assistant.advice.batch import Place
from assistant.advice.targets import (
    Target,
    boil_target,
    chill_target,
    rest_target,
    steep_target,
    strike_target,
)
from assistant.advice.timeline import Stage, has_whirlpool_hops
from assistant.day.ahead import Ahead, ahead, is_before, steep_span_s
from assistant.day.hot_side import strike_target_c
from assistant.day.rests import current_rest
from assistant.day.state import Reached, State
from assistant.schedule.model import Rest


def expected_targets(state: State) -> tuple[Target, ...]:
    """The targets of the day in the order of their times: what has been as it was, then the rest.

    Water, rest or steep whose temperature was never reached had none, nor has what was over at
    once. Where the brewer went back there are more than the plan has.
    """
    if not state.begun:
        return ()
    found = [_was(state, here, after.at) for here, after in pairwise(state.reached)]
    if state.batch.place is Place.FERMENTER:
        found.append(_was(state, state.reached[-1], state.now_s))
    else:
        to_come = ahead(state)
        found.append(_at_hand(state, state.reached[-1], to_come))
        found += _will_be(state, to_come)
    return tuple(target for target in found if target and target.from_s < target.until_s)


def _was(state: State, here: Reached, until_s: float) -> Target | None:
    """What was wanted in a stage or rest that was over at ``until_s``."""
    make = WAS.get(here.stage)
    return None if make is None else make(state, here, until_s)


def _struck(state: State, here: Reached, until_s: float) -> Target | None:
    return None if here.wanted_c is None else strike_target(here.wanted_c, here.at, until_s)


def _rested(state: State, here: Reached, until_s: float) -> Target | None:
    if here.there_s is None or here.wanted_c is None:
        return None
    rest = Rest(name=here.rest or "", temperature_c=here.wanted_c, minutes=0.0)
    return rest_target(rest, here.there_s, until_s)


def _boiled(state: State, here: Reached, until_s: float) -> Target | None:
    return boil_target(state.plan.boiling_point_c, here.at, until_s)


def _steeped(state: State, here: Reached, until_s: float) -> Target | None:
    if here.there_s is None:
        return None
    steep_s = 60 * state.schedule.whirlpool.steep_minutes
    return _steep(state, here.there_s, min(here.there_s + steep_s, until_s))


def _steep(state: State, from_s: float, until_s: float) -> Target:
    # By the card, so that it does not move once the kettle is known better.
    by_the_card = replace(state.schedule, kettle=state.card)
    return steep_target(by_the_card, state.plan, from_s, until_s)


def _cold(state: State, here: Reached, until_s: float) -> Target | None:
    return chill_target(state.schedule, here.at, until_s)


WAS: Mapping[Stage, Callable[[State, Reached, float], Target | None]] = MappingProxyType(
    {
        Stage.STRIKE: _struck,
        Stage.MASH: _rested,
        Stage.BOIL: _boiled,
        Stage.WHIRLPOOL: _steeped,
        Stage.TRANSFER: _cold,
    }
)
"""What each stage wanted of the temperature; the others want nothing of it."""


def _at_hand(state: State, here: Reached, to_come: Ahead) -> Target | None:
    """What is wanted in the stage or rest at hand, until it should be over."""
    match state.stage:
        case Stage.STRIKE:
            heating = (task.action.to_c for task in state.tasks if task.action.do is Do.HEAT)
            wanted_c = next(heating, here.wanted_c)
            over_s = to_come.stages[Stage.DOUGH_IN].at_s
            return None if wanted_c is None else strike_target(wanted_c, here.at, over_s)
        case Stage.MASH:
            rest = to_come.rests[0]
            from_s = rest.from_s if here.there_s is None else here.there_s
            return rest_target(current_rest(state), from_s, rest.until_s)
        case Stage.WHIRLPOOL if has_whirlpool_hops(state.schedule):
            return _steep(state, *steep_span_s(state, to_come))
        case Stage.BOIL:
            return _boiled(state, here, to_come.stages[Stage.WHIRLPOOL].at_s)
        case Stage.TRANSFER:
            return _cold(state, here, to_come.stages[Stage.PITCH].at_s)
    return None


def _will_be(state: State, to_come: Ahead) -> Iterator[Target]:
    schedule, stages = state.schedule, to_come.stages
    if is_before(state, Stage.STRIKE):
        from_s, until_s = stages[Stage.STRIKE].at_s, stages[Stage.DOUGH_IN].at_s
        yield strike_target(strike_target_c(state), from_s, until_s)
    for rest in to_come.rests[1 if state.stage is Stage.MASH else 0 :]:
        yield rest_target(rest.rest, rest.from_s, rest.until_s)
    if is_before(state, Stage.BOIL):
        from_s, until_s = stages[Stage.BOIL].at_s, stages[Stage.WHIRLPOOL].at_s
        yield boil_target(state.plan.boiling_point_c, from_s, until_s)
    if is_before(state, Stage.WHIRLPOOL) and has_whirlpool_hops(schedule):
        yield _steep(state, *steep_span_s(state, to_come))
    if is_before(state, Stage.TRANSFER):
        yield chill_target(schedule, stages[Stage.TRANSFER].at_s, stages[Stage.PITCH].at_s)
