"""The rests of the mash: heated to, held, checked, and put right."""

from dataclasses import replace

import numpy as np

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.batch import pot_of
from assistant.advice.kettle import Content
from assistant.advice.learned import Trait
from assistant.advice.timeline import Stage
from assistant.advice.warmth import coasts_k
from assistant.day.effects import StageBegan, TimerNews, Why
from assistant.day.holding import WARMED_MIN, WORTH_S, hold, sure_k
from assistant.day.hot_side import about_words, ask_after_remedy, ask_in, struck
from assistant.day.quantities import Quantity
from assistant.day.rests import current_rest, rest_left_s, rest_name
from assistant.day.stages import Trigger
from assistant.day.state import Reached, State, Task, Timer, TimerKind
from assistant.day.timers import heard, move_timer
from assistant.day.timing import heated_in
from assistant.day.turn import Turn
from assistant.day.watching import watch_heating

PH_AFTER_MIN = 10.0
"""By then a mash is mixed and its pH has settled; common practice, no source."""


def enter_mash(turn: Turn) -> None:
    """A rest begins: the first holds what dough-in gave, a later one is heated to."""
    rest = current_rest(turn.state)
    if turn.state.rest == 0:
        begin_rest(turn)
        return
    to_c = rest.temperature_c - coast_k(turn.state)
    turn.open_task(Action(do=Do.HEAT, to_c=to_c, power=1.0))
    minutes = heated_in(turn.state, to_c).seconds / 60
    turn.say(
        f"Heat to {figures.temperature(rest.temperature_c, turn.units)} for {rest.name}, "
        f"stirring, bag off the bottom. {about_words(minutes)}",
        Why.PROMPT,
    )
    watch_heating(turn, Quantity.MASH_TEMPERATURE, to_c)


def coast_k(state: State) -> float:
    """How much the mash warms yet once full power is off, by the heat left in the metal."""
    batch = state.batch
    figures_now = np.array((*batch.belief.traits, *batch.contents))
    return float(coasts_k(pot_of(batch, state.schedule.kettle), figures_now))


def begin_rest(turn: Turn) -> None:
    """The rest's clock starts, with checks of its temperature on the way."""
    heard(turn)
    rest = current_rest(turn.state)
    turn.there(rest.temperature_c)
    turn.open_task(Action(do=Do.HOLD, at_c=rest.temperature_c, minutes=rest.minutes))
    turn.set_timer(
        Timer(name=rest_name(rest), kind=TimerKind.REST, due_s=turn.now_s + rest.minutes * 60)
    )
    length = figures.duration(rest.minutes * 60)
    if turn.state.rest == 0:
        turn.say(f"{figures.sentence(rest_name(rest))}, {length}. Mash temperature?", Why.PROMPT)
        turn.ask(Quantity.MASH_TEMPERATURE, "where the mash landed")
        if turn.state.schedule.water is not None and rest.minutes >= 2 * PH_AFTER_MIN:
            ask_in(turn, Quantity.MASH_PH, PH_AFTER_MIN)
    else:
        turn.say(f"{figures.sentence(rest_name(rest))}, {length}. Lid on.", Why.PROMPT)
        if rest.minutes * 60 >= WORTH_S:
            ask_in(turn, Quantity.MASH_TEMPERATURE, WARMED_MIN)
    if _strength_is_wanted(turn.state):
        ask_in(turn, Quantity.GRAVITY, rest.minutes - SAMPLED_BEFORE_MIN)


SAMPLED_BEFORE_MIN = 8.0
LEAST_SAMPLED_MIN = 20.0
"""A mash is sampled so long before the end of its last rest, if that is as long as this."""

EXTRACT_UNSURE = 0.035
"""Only where the extract of this kettle is known no better than to this share."""

MASH_OUT_C = 75.0


def _strength_is_wanted(state: State) -> bool:
    """Whether this is the rest whose end tells how much the grain has given."""
    later = state.schedule.mash[state.rest + 1 :]
    belief, rest = state.batch.belief, current_rest(state)
    unsure = belief.spread(Trait.EXTRACT) > EXTRACT_UNSURE * belief.value(Trait.EXTRACT)
    last = all(other.temperature_c >= MASH_OUT_C for other in later)
    return unsure and last and rest.minutes >= LEAST_SAMPLED_MIN


def rest_longer(turn: Turn, action: Action) -> None:
    """The rest at hand goes on for longer."""
    timer = turn.state.timer(rest_name(current_rest(turn.state)))
    if timer is None:
        return
    more_s = (action.minutes or 0.0) * 60
    if timer.left_s is not None:
        turn.update_timer(replace(timer, left_s=timer.left_s + more_s), TimerNews.SET)
    else:
        move_timer(turn, timer, timer.due_s + more_s)
    turn.say(f"{figures.duration(more_s)} more. Stir it.", Why.READBACK)
    hold_rest(turn)


def hold_rest(turn: Turn) -> None:
    """Keep the rest at hand where it is to be."""
    hold(turn, current_rest(turn.state), rest_left_s(turn.state) or 0.0)


def rest_over(turn: Turn, timer: Timer) -> None:
    """A rest has lasted long enough."""
    turn.lead(Trigger.COMPLETED)


def next_rest(turn: Turn, rest: int) -> None:
    """Go to another rest within the mash."""
    turn.change(rest=rest)
    name = current_rest(turn.state).name
    turn.effects.append(StageBegan(stage=Stage.MASH, rest=name))
    turn.change(reached=(*turn.state.reached, Reached(at=turn.now_s, stage=Stage.MASH, rest=name)))
    enter_mash(turn)


def rest_heated(turn: Turn, task: Task) -> None:
    """The heat for a rest has done its work."""
    struck(turn, task)
    begin_rest(turn)


def warmed(turn: Turn) -> None:
    """A burst of heat is over: whether it did what it should is read once it is mixed."""
    if turn.state.stage is not Stage.MASH:
        ask_after_remedy(turn)
    elif turn.state.batch.belief.spread(Content.TEMPERATURE_C) > sure_k(turn.state):
        ask_in(turn, Quantity.MASH_TEMPERATURE, WARMED_MIN)
    else:
        hold_rest(turn)
