"""The water and the room as read before the grain is in, and the strike they call for."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Do
from assistant.advice.fit import most_mash_l
from assistant.brewing.water import mash_volume_l
from assistant.day.effects import Why
from assistant.day.flow import task_done
from assistant.day.hot_side import strike_target_c
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.day.turn import Turn
from assistant.day.watching import watch_heating

FILL_FINE_L = 0.3
FILL_FINE_SHARE = 0.02
"""Nearer than this to the plan, or than this share of it, no kettle mark can be read; common
practice, no source."""

TOLD_L = 0.25
"""A volume that moves by less since it was last read is not told again."""

REACHED_K = 0.3
"""A heating is over this close below its target."""

FRESH_S = 300.0
"""A temperature read within this is still the water's."""


def judge_fill(turn: Turn, litres: float, before_l: float | None) -> None:
    """The water was read before the grain is in: say what is off, and strike for what is there."""
    state, units = turn.state, turn.units
    planned_l = state.plan.strike_volume_l
    off_l = litres - planned_l
    news = before_l is None or abs(litres - before_l) >= TOLD_L
    if news and abs(off_l) >= min(FILL_FINE_L, FILL_FINE_SHARE * planned_l):
        side = "short of" if off_l < 0 else "more than"
        off, planned = figures.volume(abs(off_l), units), figures.volume(planned_l, units)
        turn.say(f"{off} {side} the {planned} planned.", Why.ANSWER)
    mash_c = max(rest.temperature_c for rest in state.schedule.mash)
    mash_l = mash_volume_l(litres, state.schedule.grain_kg, mash_c)
    holds_l = state.schedule.kettle.holds_l
    if news and off_l > 0 and mash_l > most_mash_l(holds_l):
        with_grain, brim = figures.volume(mash_l, units), figures.volume(holds_l, units)
        turn.say(f"With the grain that is {with_grain} of {brim}: take some out.", Why.WARNING)
    strike_again(turn)


def strike_again(turn: Turn) -> None:
    """The room or the water was read: the strike temperature follows, and is told if it moves."""
    strike_c = strike_target_c(turn.state)
    heating = next((task for task in turn.state.tasks if task.action.do is Do.HEAT), None)
    if heating is None:
        return
    told = figures.temperature(heating.action.to_c or 0.0, turn.units)
    wanted = figures.temperature(strike_c, turn.units)
    if wanted == told:
        return
    turn.change_task(heating, replace(heating.action, to_c=strike_c))
    if _hot_already(turn.state, strike_c):
        task_done(turn, replace(heating, action=replace(heating.action, to_c=strike_c)))
    else:
        turn.say(f"Then heat to {wanted}.", Why.ANSWER)
        watch_heating(turn, Quantity.WATER_TEMPERATURE, strike_c)


def _hot_already(state: State, strike_c: float) -> bool:
    read = [r for r in state.readings if r.quantity is Quantity.WATER_TEMPERATURE]
    return bool(read) and (
        read[-1].value >= strike_c - REACHED_K and state.now_s - read[-1].at <= FRESH_S
    )
