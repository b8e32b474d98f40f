"""What the wort should read at this stage, and the reading that last told how near it is."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage, chill_target_c
from assistant.advice.worts import worts
from assistant.day.quantities import Quantity
from assistant.day.rests import current_rest
from assistant.day.state import Reading, State

IN_THE_KETTLE = frozenset(
    {Quantity.WATER_TEMPERATURE, Quantity.MASH_TEMPERATURE, Quantity.KETTLE_TEMPERATURE}
)
"""One thermometer in one kettle, whatever is in it."""


@dataclass(frozen=True, kw_only=True)
class Aim:
    """What is wanted: a quantity and its value, in the unit the quantity is kept in.

    ``when`` tells of what is wanted at another moment than now.
    """

    quantity: Quantity
    value: float
    when: str = ""


def _strike_c(state: State) -> float:
    heating = (task.action.to_c for task in state.tasks if task.action.do is Do.HEAT)
    return next((to_c for to_c in heating if to_c), state.plan.strike_temperature_c)


def _rest_c(state: State) -> float:
    return current_rest(state).temperature_c


def _postboil_gravity(state: State) -> float:
    # The plan's own stands for what is in the fermenter, top-up water included.
    return worts(replace(state.schedule, kettle=state.card)).postboil_gravity


def _steep_c(state: State) -> float:
    return min(state.schedule.whirlpool.temperature_c, state.plan.boiling_point_c)


AIMS: Mapping[Stage, Mapping[Quantity, Callable[[State], float]]] = {
    Stage.STRIKE: {Quantity.WATER_TEMPERATURE: _strike_c},
    Stage.DOUGH_IN: {Quantity.MASH_TEMPERATURE: _rest_c},
    Stage.MASH: {Quantity.MASH_TEMPERATURE: _rest_c},
    Stage.LIFT: {Quantity.KETTLE_VOLUME: lambda state: state.plan.preboil_volume_l},
    Stage.BOIL_UP: {
        Quantity.KETTLE_TEMPERATURE: lambda state: state.plan.boiling_point_c,
        Quantity.KETTLE_VOLUME: lambda state: state.plan.preboil_volume_l,
        Quantity.GRAVITY: lambda state: state.plan.preboil_gravity,
    },
    Stage.BOIL: {
        Quantity.KETTLE_VOLUME: lambda state: state.plan.postboil_volume_l,
        Quantity.GRAVITY: _postboil_gravity,
    },
    Stage.WHIRLPOOL: {Quantity.KETTLE_TEMPERATURE: _steep_c},
    Stage.CHILL: {Quantity.KETTLE_TEMPERATURE: lambda state: chill_target_c(state.schedule)},
    Stage.TRANSFER: {
        Quantity.FERMENTER_VOLUME: lambda state: state.plan.fermenter_volume_l,
        Quantity.GRAVITY: lambda state: state.plan.original_gravity,
    },
    Stage.PITCH: {Quantity.FERMENTER_TEMPERATURE: lambda state: state.schedule.chill.to_c},
}
"""What each stage aims at by its plan, the first of them where nothing else is asked."""


WHEN: Mapping[tuple[Stage, Quantity], str] = {
    (Stage.LIFT, Quantity.KETTLE_VOLUME): "before the boil",
    (Stage.BOIL_UP, Quantity.KETTLE_VOLUME): "before the boil",
    (Stage.BOIL_UP, Quantity.GRAVITY): "before the boil",
    (Stage.BOIL, Quantity.KETTLE_VOLUME): "at the end of the boil",
    (Stage.BOIL, Quantity.GRAVITY): "at the end of the boil",
}
"""When what a stage aims at is to be there, where that is not now."""


def aim(state: State) -> Aim | None:
    """What is wanted now: of what is asked, else the stage's own; None where it has none."""
    aims = AIMS.get(state.stage)
    if aims is None:
        return None
    asked = (ask.quantity for ask in state.asks if ask.quantity in aims)
    quantity = next(asked, next(iter(aims)))
    when = WHEN.get((state.stage, quantity), "")
    return Aim(quantity=quantity, value=aims[quantity](state), when=when)


def told_by(state: State, wanted: Aim | None) -> Reading | None:
    """The last reading of what is wanted, or of anything where nothing is."""
    for reading in reversed(state.readings):
        if wanted is None or reading.quantity in _telling(wanted.quantity):
            return reading
    return None


def _telling(quantity: Quantity) -> frozenset[Quantity]:
    return IN_THE_KETTLE if quantity in IN_THE_KETTLE else frozenset({quantity})
