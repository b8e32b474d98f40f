"""A reading is due: it is asked for, unless it is known well enough without."""

from collections.abc import Mapping
from types import MappingProxyType

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.boil_side import boil_check
from assistant.day.effects import Why
from assistant.day.holding import look
from assistant.day.hot_side import ASK_AGAIN_MIN, ask_in
from assistant.day.quantities import Quantity
from assistant.day.rests import current_rest, rest_left_s
from assistant.day.state import Timer
from assistant.day.turn import Turn
from assistant.day.wording import ASK_WORDS

IN_MASH: Mapping[Quantity, str] = MappingProxyType(
    {
        Quantity.MASH_TEMPERATURE: "Stir. Mash temperature?",
        Quantity.GRAVITY: "Stir. Mash gravity, of a cooled sample?",
    }
)
"""What is asked of a mash, which is stirred before it is read."""


def reading_due(turn: Turn, timer: Timer) -> None:
    """Ask; while something heats or cools towards a target, ask again until there is an answer."""
    if timer.quantity is None:
        boil_check(turn)
        return
    rests = turn.state.stage is Stage.MASH and timer.quantity is Quantity.MASH_TEMPERATURE
    if rests and look(turn, current_rest(turn.state), rest_left_s(turn.state) or 0.0):
        return
    turn.ask_again(timer.quantity, "in time to act on it")
    words = IN_MASH.get(timer.quantity) if turn.state.stage is Stage.MASH else None
    turn.say(words or ASK_WORDS[timer.quantity], Why.QUESTION)
    if turn.has_task(Do.HEAT, Do.CHILL) and turn.state.stage is not Stage.BOIL_UP:
        ask_in(turn, timer.quantity, ASK_AGAIN_MIN)
