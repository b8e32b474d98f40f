"""The kettle's temperature from now on as it is believed to go, with how sure that is.

It goes through the temperatures of the schedule at the times of ``ahead``. Low and high hold the
truth in 80 % of days: the course as it would be sooner or later by what its times may be off, and
warmer or colder by what its temperatures may be.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from assistant.advice.actions import Do
from assistant.advice.after_boil import Leg
from assistant.advice.batch import HOTTEST_C, Place, temperature_now_c
from assistant.advice.forecast import EIGHTY_PERCENT, Moment
from assistant.advice.learned import Trait
from assistant.advice.mash_remedies import ACT_ON_K
from assistant.advice.stretch import Stretch, folds_of_heating, folds_of_leg
from assistant.advice.targets import COLD_ENOUGH_K, HOT_FOR_S
from assistant.advice.timeline import Stage, coolant_c
from assistant.advice.warmth import Pot, capacity_j_k
from assistant.day.ahead import Ahead, ahead, is_before
from assistant.day.holding import HELD_K, WARMED_MIN, spread_k
from assistant.day.hot_side import strike_target_c
from assistant.day.marks import Mark as Mark
from assistant.day.marks import marks as marks
from assistant.day.quantities import Quantity
from assistant.day.state import State, TimerKind
from assistant.day.steeping import wort_c
from assistant.day.striking import REACHED_K
from assistant.day.targets import expected_targets as expected_targets
from assistant.day.timing import DRAINED_K, RestAhead, boils_in
from assistant.schedule.model import Rest

UNSURE_DRAINED_K = DRAINED_K / 2
"""Standard deviation of what the wort cools by while the bag drains; an estimate, no source."""


@dataclass(frozen=True, kw_only=True)
class Expected:
    """The kettle's temperature at a moment to come, °C, and the 80 % range it should lie in."""

    at_s: float
    temperature_c: float
    low_c: float
    high_c: float


def believed_c(state: State) -> float | None:
    """What the kettle is believed to be at now, °C, 0 to 105; at first what its water is to be.

    None before the day has begun and once the wort has left the kettle.
    """
    batch = state.batch
    if not state.begun or batch.place is Place.FERMENTER:
        return None
    if batch.boiling:
        return state.plan.boiling_point_c
    if batch.steeping is None:
        warm_c = temperature_now_c(batch, state.schedule.kettle, state.now_s)
    else:
        warm_c = wort_c(state)
    return min(max(warm_c, 0.0), HOTTEST_C)


def expected_course(state: State) -> tuple[Expected, ...]:
    """The kettle's temperature from now until the wort leaves the kettle.

    Times never go back, the first is now; nothing where there is nothing to believe of the kettle.
    """
    now_c = believed_c(state)
    if now_c is None:
        return ()
    way = _Way(state, now_c)
    return _with_ranges(state, now_c, list(way.coming()), cools_s=way.to_come.cools_s)


@dataclass(frozen=True, kw_only=True)
class _Coming:
    """A stretch to come, and the standard deviations of when it ends and of how warm."""

    stretch: Stretch
    spread_s: float
    spread_k: float


class _Way:
    """The way from here on, stage by stage: where it has got to, and what is to come."""

    def __init__(self, state: State, now_c: float) -> None:
        self.state = state
        self.to_come: Ahead = ahead(state)
        self.at_s = state.now_s
        self.warm_c = now_c
        self.spread_s = 0.0
        self.boiling_c = state.plan.boiling_point_c

    def coming(self) -> Iterator[_Coming]:
        """The stretches to come, each beginning where the one before it ends."""
        yield from self._to_the_grain()
        yield from self._mash()
        yield from self._to_the_boil()
        yield from self._cooling()

    def _on_to(
        self, when: Moment, to_c: float, unsure_k: float, *, folds: float = 0.0
    ) -> Iterator[_Coming]:
        until_s = max(when.at_s, self.at_s)
        stretch = Stretch(
            from_s=self.at_s, until_s=until_s, from_c=self.warm_c, to_c=to_c, folds=folds
        )
        self.at_s, self.warm_c = until_s, to_c
        yield _Coming(stretch=stretch, spread_s=when.spread_s, spread_k=unsure_k)

    def _heated(
        self, when: Moment, to_c: float, unsure_k: float, *, grain_kg: float = 0.0
    ) -> Iterator[_Coming]:
        kettle, batch = self.state.schedule.kettle, self.state.batch
        pot = Pot.of(kettle, grain_kg)
        figures = np.array((*batch.belief.traits, *batch.contents))
        folds = folds_of_heating(
            max(when.at_s - self.at_s, 0.0) / 60,
            loss_w_k=kettle.heat_loss_w_k,
            capacity_j_k=float(capacity_j_k(pot, figures)),
        )
        return self._on_to(when, max(to_c, self.warm_c), unsure_k, folds=folds)

    def _begins(self, stage: Stage) -> Moment:
        return self.to_come.begins(stage, self.state.now_s)

    def _to_the_grain(self) -> Iterator[_Coming]:
        state = self.state
        struck = self._begins(Stage.DOUGH_IN)
        if is_before(state, Stage.STRIKE):
            yield from self._on_to(self._begins(Stage.STRIKE), self.warm_c, spread_k(state, 0.0))
            hot = replace(struck, at_s=struck.at_s - HOT_FOR_S)
            yield from self._heated(hot, strike_target_c(state), REACHED_K)
            yield from self._on_to(struck, self.warm_c, REACHED_K)
        elif state.stage is Stage.STRIKE:
            heating = (t.action.to_c for t in state.tasks if t.action.do is Do.HEAT)
            yield from self._heated(struck, next(heating, None) or self.warm_c, REACHED_K)
        if is_before(state, Stage.MASH):
            landed_c = state.schedule.mash[0].temperature_c
            if state.batch.grain_kg > 0:
                landed_c = self.warm_c
            unsure_k = state.batch.belief.spread(Trait.LANDING)
            yield from self._on_to(self._begins(Stage.MASH), landed_c, unsure_k)

    def _mash(self) -> Iterator[_Coming]:
        for place, rest in enumerate(self.to_come.rests):
            wanted_c, begins = (
                rest.rest.temperature_c,
                Moment(at_s=rest.from_s, spread_s=rest.spread_s),
            )
            if place > 0 or self.at_s < rest.from_s:
                grain_kg = self.state.schedule.grain_kg
                yield from self._heated(begins, wanted_c, HELD_K, grain_kg=grain_kg)
            yield from self._rest(rest)

    def _rest(self, rest: RestAhead) -> Iterator[_Coming]:
        """A rest: put right where it is held, else left to cool."""
        over = Moment(at_s=rest.until_s, spread_s=rest.spread_s)
        wanted_c = rest.rest.temperature_c
        if not self._is_held(rest.rest):
            state = self.state
            by_then_c = temperature_now_c(state.batch, state.schedule.kettle, over.at_s)
            yield from self._on_to(over, min(by_then_c, self.warm_c), HELD_K)
            return
        burst = (t.due_s for t in self.state.timers if t.kind is TimerKind.BURST)
        right_s = next(burst, self.at_s + 60 * WARMED_MIN)
        right = Moment(at_s=min(right_s, over.at_s), spread_s=rest.spread_s)
        if self.warm_c != wanted_c:
            yield from self._on_to(right, wanted_c, HELD_K)
        yield from self._on_to(over, wanted_c, HELD_K)

    def _is_held(self, rest: Rest) -> bool:
        """Whether a mash that is off its rest is being put right, or will be without a word."""
        state = self.state
        if any(task.action.do in (Do.HEAT_FOR, Do.ADD_WATER) for task in state.tasks):
            return True
        near = abs(self.warm_c - rest.temperature_c) <= ACT_ON_K
        return near and Quantity.MASH_TEMPERATURE.value not in state.waived

    def _to_the_boil(self) -> Iterator[_Coming]:
        state = self.state
        if is_before(state, Stage.BOIL_UP):
            drained_c = min(self.warm_c, state.schedule.mash[-1].temperature_c - DRAINED_K)
            yield from self._on_to(self._begins(Stage.BOIL_UP), drained_c, UNSURE_DRAINED_K)
        if is_before(state, Stage.BOIL):
            yield from self._heated(self._begins(Stage.BOIL), self.boiling_c, 0.0)
        elif state.stage is Stage.BOIL and not state.batch.boiling:
            back_s = state.now_s + boils_in(state).seconds
            back = Moment(at_s=min(back_s, self._begins(Stage.WHIRLPOOL).at_s))
            yield from self._heated(back, self.boiling_c, 0.0)
        if is_before(state, Stage.WHIRLPOOL):
            yield from self._on_to(self._begins(Stage.WHIRLPOOL), self.boiling_c, 0.0)

    def _cooling(self) -> Iterator[_Coming]:
        cold = self._begins(Stage.TRANSFER)
        chills = self.to_come.stages.get(Stage.CHILL) or cold
        spread_s = self.to_come.begins(Stage.WHIRLPOOL, self.state.now_s).spread_s
        for leg in self.to_come.to_whirlpool:
            yield from self._leg(leg, spread_s)
        for leg in self.to_come.others:
            last = leg is self.to_come.others[-1]
            yield from self._leg(leg, cold.spread_s if last else chills.spread_s)
        if is_before(self.state, Stage.PITCH):
            yield from self._on_to(self._begins(Stage.PITCH), self.warm_c, COLD_ENOUGH_K)

    def _leg(self, leg: Leg, spread_s: float) -> Iterator[_Coming]:
        ends = Moment(at_s=self.at_s + 60 * leg.minutes, spread_s=spread_s)
        to_c = min(leg.to_c, self.warm_c)
        return self._on_to(ends, to_c, COLD_ENOUGH_K, folds=folds_of_leg(leg))


def _with_ranges(
    state: State, now_c: float, coming: list[_Coming], *, cools_s: float
) -> tuple[Expected, ...]:
    """The course as points, each with the lowest and the highest it may be by then.

    From ``cools_s`` on nothing is colder than what cools it.
    """
    unsure_k = 0.0 if state.batch.boiling else spread_k(state, 0.0)
    at, warm = [state.now_s], [now_c]
    knots, late, off = [state.now_s], [0.0], [EIGHTY_PERCENT * unsure_k]
    for part in coming:
        points = part.stretch.points()
        at += [point.at_s for point in points]
        warm += [point.temperature_c for point in points]
        knots.append(part.stretch.until_s)
        late.append(EIGHTY_PERCENT * part.spread_s)
        off.append(EIGHTY_PERCENT * part.spread_k)
    # Where a stretch begins or ends the range turns: so far before and after its time.
    turns = np.concatenate((np.array(knots) - late, np.array(knots) + late))
    turns = turns[(turns > at[0]) & (turns < at[-1])]
    times = np.concatenate((at, turns))
    drawn = np.concatenate((warm, np.interp(turns, at, warm)))
    order = np.argsort(times, kind="stable")
    times, drawn = times[order], drawn[order]
    width_s, width_k = np.interp(times, knots, late), np.interp(times, knots, off)
    first, last = times - width_s, times + width_s
    ends = np.stack((drawn, np.interp(first, times, drawn), np.interp(last, times, drawn)))
    within = (times >= first[:, np.newaxis]) & (times <= last[:, np.newaxis])
    low = np.minimum(ends.min(axis=0), np.where(within, drawn, np.inf).min(axis=1)) - width_k
    high = np.maximum(ends.max(axis=0), np.where(within, drawn, -np.inf).max(axis=1)) + width_k
    coldest = np.where(times >= cools_s, _coldest_c(state), 0.0)
    low = np.maximum(low, np.minimum(drawn, coldest))
    high = np.minimum(high, np.maximum(drawn, state.plan.boiling_point_c))
    rows = np.stack((times, drawn, low, high), axis=1).tolist()
    return tuple(
        Expected(at_s=at_s, temperature_c=warm_c, low_c=low_c, high_c=high_c)
        for at_s, warm_c, low_c, high_c in rows
    )


def _coldest_c(state: State) -> float:
    kettle = state.schedule.kettle
    return max(min(kettle.room_c, coolant_c(kettle, state.schedule.chill.method)), 0.0)
