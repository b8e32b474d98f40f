"""When things should be: the strike water hot, the wort at the boil, the yeast in.

Heat is reckoned from what is believed of the kettle by now; what hands do, from the plan.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from assistant.advice.actions import Do
from assistant.advice.batch import Place, kettle_volume_l, pot_of
from assistant.advice.forecast import Moment
from assistant.advice.happenings import LID_OFF_RISE_SHARE, at_moment
from assistant.advice.timeline import HANDWORK_MINUTES, ORDER, Stage
from assistant.advice.warmth import Pot, Reached, heating_s, reached_in
from assistant.day.boil_clock import boil_end_s
from assistant.day.rests import rest_left_s
from assistant.day.state import State
from assistant.schedule.model import Rest

HANDS_SHARE = 0.35
"""Standard deviation of what hands do in a stage, as a share of the plan's minutes for it."""

STAGE_SHARE: Mapping[Stage, float] = MappingProxyType(
    {Stage.STRIKE: 0.10, Stage.MASH: 0.04, Stage.BOIL_UP: 0.10, Stage.CHILL: 0.20}
)
"""The same of what heater, mash and chiller take, before they have begun; estimates, no source."""

FLAMED_OUT_S = 15.0
"""How long after the end of the boil a brewer turns the heat off."""

HEATING_SHARE = 0.08
"""Standard deviation of a heating still to come, as a share of it."""

STRIKE_SHARE = 0.05
"""The same of the strike water, beyond what is not known of heater and losses; an estimate."""

SEEN_S = 45.0
"""Standard deviation of when something began that a brewer has to see; common practice."""

DRAINED_K = 2.0
"""What the wort cools by while the bag drains; an estimate, no source."""

AT_THE_BOIL_K = 0.1
"""Wort is taken to boil from so far below the boiling point on: the last of it takes for ever."""


def times(state: State) -> dict[str, Moment]:
    """The times of a forecast by their names."""
    ahead = stages_ahead(state)
    return {name: ahead.get(stage) or _began(state, stage) for name, stage in FORETOLD.items()}


FORETOLD: Mapping[str, Stage] = MappingProxyType(
    {
        "strike_at_s": Stage.DOUGH_IN,
        "boil_at_s": Stage.BOIL,
        "pitch_at_s": Stage.CLEAN,
    }
)
"""The stage that begins at each of the times of a forecast."""


def heated_in(state: State, to_c: float) -> Reached:
    """When full power should have brought what is in the kettle to a temperature."""
    kettle = state.schedule.kettle
    now = at_moment(state.batch, kettle, state.now_s)
    return reached_in(pot_of(now, kettle), now.heat, now.belief, now.contents, to_c)


def boils_in(state: State) -> Reached:
    """When full power should have brought the wort to the boil."""
    return heated_in(state, state.plan.boiling_point_c - AT_THE_BOIL_K)


def stage_ends(state: State) -> Moment:
    """When the stage at hand should be over: never in the past."""
    stage, now_s = state.stage, state.now_s
    end_s = boil_end_s(state)
    if stage is Stage.BOIL and end_s is not None:
        return Moment(at_s=max(end_s + FLAMED_OUT_S, now_s), spread_s=FLAMED_OUT_S)
    heating = next((t for t in state.tasks if t.action.do is Do.HEAT and t.action.to_c), None)
    if stage is Stage.BOIL_UP and state.batch.place is not Place.FERMENTER:
        reached = boils_in(state)
        if reached.ever:
            own_s = (LID_OFF_RISE_SHARE * reached.seconds) ** 2 + SEEN_S**2
            spread_s = (reached.spread_s**2 + own_s) ** 0.5
            return Moment(at_s=now_s + reached.seconds, spread_s=spread_s)
    if stage is Stage.STRIKE and heating is not None:
        reached = heated_in(state, heating.action.to_c or 0.0)
        if reached.ever:
            own_s = (STRIKE_SHARE * reached.seconds) ** 2 + SEEN_S**2
            spread_s = (reached.spread_s**2 + own_s) ** 0.5
            return Moment(at_s=now_s + reached.seconds, spread_s=spread_s)
    if stage is Stage.MASH:
        return _mash_ends(state)
    planned_s = state.stage_at_s + state.plan.stage_minutes(stage) * 60
    spread_s = _share(stage) * max(planned_s - now_s, 0.0)
    return Moment(at_s=max(planned_s, now_s), spread_s=spread_s)


def _mash_ends(state: State) -> Moment:
    """What is left of this rest, the later ones, and the heating to each."""
    last = rests_ahead(state, Moment(at_s=state.now_s))[-1]
    return Moment(at_s=last.until_s, spread_s=last.spread_s)


@dataclass(frozen=True, kw_only=True)
class RestAhead:
    """A rest still to come, or what is left of the one at hand: when its temperature should be
    there and when it should be over, in seconds of the day, both give or take ``spread_s``."""

    rest: Rest
    from_s: float
    until_s: float
    spread_s: float


def rests_ahead(state: State, mash: Moment) -> tuple[RestAhead, ...]:
    """The rests still to come of a mash that is landed at ``mash``: now where it is at hand."""
    at_hand = state.stage is Stage.MASH
    rests = state.schedule.mash[state.rest if at_hand else 0 :]
    left_s, wait_s, known_s = rests[0].minutes * 60, 0.0, mash.spread_s
    if at_hand:
        running_s = rest_left_s(state)
        reached = heated_in(state, rests[0].temperature_c) if running_s is None else None
        left_s = left_s if running_s is None else running_s
        if state.rest > 0 and reached is not None and reached.ever:
            wait_s, known_s = reached.seconds, reached.spread_s
    at_s, heated_s, spread_s = mash.at_s + wait_s, 0.0, known_s
    found = [RestAhead(rest=rests[0], from_s=at_s, until_s=at_s + left_s, spread_s=spread_s)]
    for before, after in pairwise(rests):
        heat_s = 60 * _heating_min(state, before.temperature_c, after.temperature_c)
        heated_s += heat_s
        spread_s = (known_s**2 + (HEATING_SHARE * heated_s) ** 2) ** 0.5
        from_s = found[-1].until_s + heat_s
        until_s = from_s + after.minutes * 60
        found.append(RestAhead(rest=after, from_s=from_s, until_s=until_s, spread_s=spread_s))
    return tuple(found)


def _heating_min(state: State, from_c: float, to_c: float, *, wort: bool = False) -> float:
    """Minutes of full power between two temperatures, of the mash or of the wort."""
    batch, schedule = state.batch, state.schedule
    litres = kettle_volume_l(batch, schedule, state.now_s) if wort else batch.volume_l
    figures = np.array((*batch.belief.traits, litres, batch.extract_kg, from_c))
    grain_kg = 0.0 if wort else schedule.grain_kg
    pot = Pot.of(schedule.kettle, grain_kg, lid_off=wort)
    return float(heating_s(pot, figures, 0.0, to_c)) / 60


def _began(state: State, stage: Stage) -> Moment:
    """When the stage at hand, or one before it, began."""
    was = next((r.at for r in reversed(state.reached) if r.stage is stage), state.stage_at_s)
    return Moment(at_s=was, spread_s=SEEN_S if stage is not Stage.CLEAN else 0.0)


def stages_ahead(state: State) -> dict[Stage, Moment]:
    """When each stage after the one at hand should begin: those before it take as long as planned.

    In the order of the day.
    """
    ends, here = stage_ends(state), ORDER.index(state.stage)
    at_s, variance = ends.at_s, ends.spread_s**2
    found: dict[Stage, Moment] = {}
    for stage in ORDER[here + 1 :]:
        found[stage] = Moment(at_s=at_s, spread_s=variance**0.5)
        minutes = _minutes(state, stage)
        at_s += 60 * minutes
        variance += _variance(stage, minutes)
    return found


def _minutes(state: State, stage: Stage) -> float:
    """How long a later stage should take, heating by what is believed of the kettle by now."""
    planned_min = state.plan.stage_minutes(stage)
    rests = state.schedule.mash
    if stage is Stage.BOIL:
        return planned_min + state.boil_change_min
    if stage is Stage.MASH:
        heating_min = sum(
            _heating_min(state, before.temperature_c, after.temperature_c)
            for before, after in pairwise(rests)
        )
        return min(heating_min + sum(rest.minutes for rest in rests), 2 * planned_min)
    if stage is Stage.BOIL_UP:
        to_c = state.plan.boiling_point_c - AT_THE_BOIL_K
        from_c = rests[-1].temperature_c - DRAINED_K
        return min(_heating_min(state, from_c, to_c, wort=True), 2 * planned_min)
    return planned_min


def _variance(stage: Stage, minutes: float) -> float:
    hands_min = min(HANDWORK_MINUTES.get(stage, 0.0), minutes)
    own_s = 60 * STAGE_SHARE.get(stage, 0.0) * (minutes - hands_min)
    return own_s**2 + (60 * HANDS_SHARE * hands_min) ** 2


def _share(stage: Stage) -> float:
    return STAGE_SHARE.get(stage, HANDS_SHARE)
