"""Holding a rest: looked at when the mash could have drifted, warmed up with the fewest bursts.

A mash that cools is let fall a little below its rest and lifted a little above it, so that it is
looked at and stirred as seldom as half a degree to either side allows.
"""

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.batch import temperature_now_c
from assistant.advice.kettle import Content
from assistant.advice.learned import Trait
from assistant.advice.mash_remedies import mash_j_k
from assistant.day.effects import Why
from assistant.day.heating import turn_heat
from assistant.day.hot_side import ask_in
from assistant.day.quantities import Quantity
from assistant.day.state import State, Timer, TimerKind
from assistant.day.turn import Turn
from assistant.day.watching import HEAT_OFF
from assistant.schedule.model import Rest

HELD_K = 0.5
"""A rest is held to half a degree."""

LET_FALL_K = 0.3
"""A mash that is read nearer below its rest than this is left until it is looked at again."""

LIFT_K = 0.3
"""A burst lifts it so far above, to be spent by the next look."""

SOONEST_MIN = 5.0
"""So long a mash is left alone after it was read or warmed."""

WARMED_MIN = 3.0
"""After a heating it is read once it is mixed."""

WORTH_S = 300.0
"""With less of a rest left than this it is not warmed or looked at any more."""

SHORTEST_BURST_S, LEAST_POWER = 20.0, 0.25
"""A burst is made longer than this by turning it down, but not further than that share."""

TURNING_S = 5.0
"""How much longer it takes to turn heat on than to turn it off."""

SURE_K, SURE_ENOUGH_K = 0.3, 0.7
"""A mash known to this is warmed without being read first; to the second once enough was asked."""

ENOUGH_READ = 10
"""So many readings up to the end of the mash leave a day with fewer than thirty in all."""

MASH = Quantity.MASH_TEMPERATURE


def hold(turn: Turn, rest: Rest, left_s: float) -> None:
    """Warm the mash if it has fallen, and set when it is looked at next."""
    turn_heat(turn)
    state = turn.state
    busy = turn.has_task(Do.HEAT, Do.HEAT_FOR, Do.ADD_WATER) or state.advice is not None
    if busy or left_s < WORTH_S or MASH.value in state.waived:
        return
    off_k = believed_c(state) - rest.temperature_c
    if off_k <= -LET_FALL_K:
        _burst(turn, rest, off_k)
    else:
        _look_later(turn, rest, left_s)


def look(turn: Turn, rest: Rest, left_s: float) -> bool:
    """It is time for a look: tells whether the mash is known well enough to do without."""
    state = turn.state
    if left_s < WORTH_S or turn.has_task(Do.HEAT) or state.advice is not None:
        return False
    off_k = believed_c(state) - rest.temperature_c
    if spread_k(state, 0.0) > sure_k(state) or off_k > -LET_FALL_K:
        return False
    hold(turn, rest, left_s)
    return turn.has_task(Do.HEAT_FOR)


def sure_k(state: State) -> float:
    """How well a mash must be known to be warmed without being read first."""
    return SURE_K if len(state.readings) < ENOUGH_READ else SURE_ENOUGH_K


def believed_c(state: State) -> float:
    """The temperature of what is in the kettle, as believed by now."""
    return temperature_now_c(state.batch, state.schedule.kettle, state.now_s)


def spread_k(state: State, seconds: float) -> float:
    """The standard deviation of the mash's temperature so much later, nobody having read it."""
    batch, kettle = state.batch, state.schedule.kettle
    elapsed_s = max(state.now_s - batch.temperature_at_s, 0.0) + seconds
    fallen_k = abs(temperature_now_c(batch, kettle, state.now_s + seconds) - batch.temperature_c)
    loss = batch.belief.spread(Trait.HEAT_LOSS) / max(batch.belief.value(Trait.HEAT_LOSS), 0.01)
    drift_k = DRIFT_K_PER_ROOT_S * elapsed_s**0.5
    known_k = batch.belief.spread(Content.TEMPERATURE_C)
    return float((known_k**2 + (loss * fallen_k) ** 2 + drift_k**2) ** 0.5)


DRIFT_K_PER_ROOT_S = 0.1 / 30.0
"""What a mash does that no sum tells: a tenth of a degree in a quarter of an hour."""


def _look_later(turn: Turn, rest: Rest, left_s: float) -> None:
    """Look when the mash could have drifted by half a degree: as soon as one time in six.

    Once enough was asked, when it is to be warmed.
    """
    state, kettle = turn.state, turn.state.schedule.kettle
    minutes = SOONEST_MIN
    while minutes * 60 < left_s - WORTH_S:
        later_c = temperature_now_c(state.batch, kettle, state.now_s + minutes * 60)
        off_k, unsure_k = later_c - rest.temperature_c, spread_k(state, minutes * 60)
        drifted = abs(off_k) + unsure_k > HELD_K
        if len(state.readings) >= ENOUGH_READ:
            drifted = off_k <= -LET_FALL_K or unsure_k > SURE_ENOUGH_K
        if drifted:
            ask_in(turn, MASH, minutes)
            return
        minutes += 1.0


def _burst(turn: Turn, rest: Rest, off_k: float) -> None:
    state, kettle = turn.state, turn.state.schedule.kettle
    capacity = mash_j_k(state.schedule, state.batch, state.now_s)
    loss_w = kettle.heat_loss_w_k * max(rest.temperature_c - kettle.room_c, 0.0)
    joules = capacity * (LIFT_K - off_k)
    power = 1.0
    seconds = joules / max(kettle.heater.reaches_w - loss_w, 1.0)
    if seconds < SHORTEST_BURST_S:
        power = max(round(seconds / SHORTEST_BURST_S * 20) / 20, LEAST_POWER)
        seconds = joules / max(power * kettle.heater.reaches_w - loss_w, 1.0)
    if seconds > LONGEST_S:
        ask_in(turn, MASH, LONGEST_S / 60)
        return
    seconds = max(round(seconds / 5) * 5, 5)
    turn.open_task(Action(do=Do.HEAT_FOR, seconds=seconds, power=power))
    due_s = turn.now_s + TURNING_S + seconds
    turn.set_timer(Timer(name=HEAT_OFF, kind=TimerKind.BURST, due_s=due_s))
    units = turn.units
    held = figures.degrees(rest.temperature_c, units)
    how = "full power" if power == 1.0 else f"{round(power * 100)} percent power"
    turn.say(f"To hold {held}: {how} for {figures.duration(seconds)}, stirring.", Why.PROMPT)
    fall_k_h = 3600 * loss_w / capacity
    falls = figures.temperature_difference(fall_k_h, units)
    turn.explain(
        f"The mash was {figures.temperature_difference(off_k, units)} low and loses {falls} an "
        f"hour; {figures.duration(seconds)} of {figures.power(kettle.heater.reaches_w * power)} "
        "puts it right."
    )


LONGEST_S = 900.0
"""A mash that would have to be heated for longer is looked at again after so long instead."""
