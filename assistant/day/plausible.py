"""What a reading is likely to be at this moment, from the plan and the readings before it.

Outside these bounds a reading is asked about before it goes on the record. They are wide on
purpose: a beer may well be off its plan, and only a slip of the tongue, the ear or the eye should
be asked about. The widths are common practice, no source.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.advice.batch import Place, gravity_now, kettle_volume_l, temperature_now_c
from assistant.advice.timeline import Stage
from assistant.day.outlook import displaced_at_20_l, grain_is_in
from assistant.day.quantities import Quantity
from assistant.day.state import State


@dataclass(frozen=True, kw_only=True)
class Likely:
    """The bounds a reading is likely to fall in, and what is expected where that can be said."""

    low: float
    high: float
    expected: float | None = None

    def holds(self, value: float) -> bool:
        """Whether a value is within the bounds."""
        return self.low <= value <= self.high


HEATING_K_S = 4.0 / 60
"""No home kettle heats faster than this, give or take."""

COOLING_K_S = 10.0 / 3600
"""Nor does a covered one lose heat faster than this by itself."""

COLD_STAGES = (Stage.WHIRLPOOL, Stage.CHILL, Stage.TRANSFER, Stage.PITCH)


def likely(state: State, quantity: Quantity) -> Likely | None:
    """What a quantity is likely to be, in the unit it is kept in; None where anything may be."""
    rule = LIKELY.get(quantity)
    return rule(state) if rule else None


def _between(low: float, high: float) -> Callable[[State], Likely]:
    return lambda state: Likely(low=low, high=high)


def _kettle_content(state: State) -> Likely:
    batch, kettle = state.batch, state.schedule.kettle
    elapsed_s = max(state.now_s - batch.temperature_at_s, 0.0)
    warm_c = min(temperature_now_c(batch, kettle, state.now_s), state.plan.boiling_point_c)
    low = min(batch.temperature_c, warm_c) - 8 - elapsed_s * COOLING_K_S
    high = max(batch.temperature_c, warm_c) + 8 + elapsed_s * HEATING_K_S
    if state.stage in COLD_STAGES:
        low = min(low, kettle.tap_water_c, 2.0)
        high = batch.temperature_c + 5
    on_its_way = any(task.action.to_c is not None for task in state.tasks)
    return Likely(
        low=max(low, 0.0),
        high=min(high, state.plan.boiling_point_c + 2),
        expected=None if on_its_way else warm_c,
    )


def _mash(state: State) -> Likely:
    around = _kettle_content(state)
    rest_c = state.schedule.mash[state.rest].temperature_c
    return Likely(
        low=min(around.low, rest_c - 10),
        high=min(max(around.high, rest_c + 8), 90.0),
        expected=rest_c,
    )


def _gravity(state: State) -> Likely:
    expected = gravity_now(state.batch, state.schedule, state.now_s)
    slack = 0.010 if state.batch.gravity_read else 0.016
    return Likely(low=expected - slack, high=expected + slack, expected=expected)


def _brix(state: State) -> Likely:
    gravity, factor = _gravity(state), state.schedule.kettle.wort_correction / 1.04
    low, high = (gravity.low - 1) * 250 * factor, (gravity.high - 1) * 270 * factor
    return Likely(low=max(low, 0.0), high=high)


def _kettle_volume(state: State) -> Likely:
    expected_l = state.batch.volume_l
    if state.batch.place is Place.KETTLE:
        expected_l = kettle_volume_l(state.batch, state.schedule, state.now_s)
    elif grain_is_in(state):
        expected_l += displaced_at_20_l(state)
    slack_l = max(0.18 * expected_l, 1.5)
    return Likely(
        low=max(expected_l - slack_l, 0.1),
        high=min(expected_l + slack_l, state.schedule.kettle.holds_l),
        expected=expected_l,
    )


def _fermenter_volume(state: State) -> Likely:
    expected_l = state.batch.volume_l
    if state.batch.place is not Place.FERMENTER:
        expected_l = state.schedule.volume_l
    slack_l = max(0.2 * expected_l, 1.5)
    return Likely(
        low=max(expected_l - slack_l, 0.1), high=expected_l + slack_l, expected=expected_l
    )


LIKELY: Mapping[Quantity, Callable[[State], Likely]] = {
    Quantity.WATER_TEMPERATURE: _kettle_content,
    Quantity.MASH_TEMPERATURE: _mash,
    Quantity.KETTLE_TEMPERATURE: _kettle_content,
    Quantity.ROOM_TEMPERATURE: _between(0.0, 42.0),
    Quantity.TOP_UP_TEMPERATURE: _between(0.0, 30.0),
    Quantity.FERMENTER_TEMPERATURE: _between(2.0, 45.0),
    Quantity.KETTLE_VOLUME: _kettle_volume,
    Quantity.FERMENTER_VOLUME: _fermenter_volume,
    Quantity.GRAVITY: _gravity,
    Quantity.BRIX: _brix,
    Quantity.MASH_PH: _between(4.6, 6.4),
}
