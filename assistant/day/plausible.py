"""What a reading is likely to be at this moment, from the plan and the readings before it.

Outside these bounds a reading is asked about before it goes on the record. They are wide on
purpose: a beer may well be off its plan, and only a slip of the tongue, the ear or the eye should
be asked about. The widths are common practice, no source.
"""

from collections.abc import Callable, Mapping

from assistant.advice.batch import Place, gravity_now, kettle_volume_l
from assistant.advice.timeline import Stage
from assistant.day.quantities import Quantity
from assistant.day.state import State

Bounds = tuple[float, float]

HEATING_K_S = 4.0 / 60
"""No home kettle heats faster than this, give or take."""


def likely(state: State, quantity: Quantity) -> Bounds | None:
    """The likely bounds of a quantity in the unit it is kept in; None where anything may be."""
    rule = LIKELY.get(quantity)
    return rule(state) if rule else None


def _kettle_content(state: State) -> Bounds:
    batch, kettle = state.batch, state.schedule.kettle
    elapsed_s = max(state.now_s - batch.temperature_at_s, 0.0)
    low = batch.temperature_c - 8 - elapsed_s * 10 / 3600
    high = batch.temperature_c + 8 + elapsed_s * HEATING_K_S
    if state.stage in (Stage.WHIRLPOOL, Stage.CHILL, Stage.TRANSFER, Stage.PITCH):
        low = min(low, kettle.tap_water_c, 2.0)
        high = batch.temperature_c + 5
    boiling_c = state.plan.boiling_point_c
    return max(low, 0.0), min(high, boiling_c + 2)


def _mash(state: State) -> Bounds:
    low, high = _kettle_content(state)
    rest_c = state.schedule.mash[state.rest].temperature_c
    return min(low, rest_c - 10), min(max(high, rest_c + 8), 90.0)


def _gravity(state: State) -> Bounds:
    expected = gravity_now(state.batch, state.schedule, state.now_s)
    slack = 0.010 if state.batch.gravity_read else 0.016
    return expected - slack, expected + slack


def _brix(state: State) -> Bounds:
    low, high = _gravity(state)
    return max((low - 1) * 250, 0.0), (high - 1) * 270


def _kettle_volume(state: State) -> Bounds:
    expected_l = state.batch.volume_l
    if state.batch.place is Place.KETTLE:
        expected_l = kettle_volume_l(state.batch, state.schedule, state.now_s)
    slack_l = max(0.18 * expected_l, 1.5)
    return max(expected_l - slack_l, 0.1), min(expected_l + slack_l, state.schedule.kettle.holds_l)


def _fermenter_volume(state: State) -> Bounds:
    expected_l = state.batch.volume_l
    if state.batch.place is not Place.FERMENTER:
        expected_l = state.schedule.volume_l
    slack_l = max(0.2 * expected_l, 1.5)
    return max(expected_l - slack_l, 0.1), expected_l + slack_l


LIKELY: Mapping[Quantity, Callable[[State], Bounds]] = {
    Quantity.WATER_TEMPERATURE: _kettle_content,
    Quantity.MASH_TEMPERATURE: _mash,
    Quantity.KETTLE_TEMPERATURE: _kettle_content,
    Quantity.ROOM_TEMPERATURE: lambda state: (0.0, 42.0),
    Quantity.TOP_UP_TEMPERATURE: lambda state: (0.0, 30.0),
    Quantity.FERMENTER_TEMPERATURE: lambda state: (2.0, 45.0),
    Quantity.KETTLE_VOLUME: _kettle_volume,
    Quantity.FERMENTER_VOLUME: _fermenter_volume,
    Quantity.GRAVITY: _gravity,
    Quantity.BRIX: _brix,
    Quantity.MASH_PH: lambda state: (4.6, 6.4),
}
