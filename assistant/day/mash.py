"""The rests of the mash: heated to, held, checked, and put right."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.batch import temperature_now_c
from assistant.advice.mash_remedies import mash_j_k
from assistant.advice.timeline import Stage
from assistant.day.effects import StageBegan, Why
from assistant.day.hot_side import (
    ASK_AT,
    about_words,
    ask_after_remedy,
    ask_in,
    minutes_to,
    struck,
)
from assistant.day.quantities import Quantity
from assistant.day.stages import Trigger
from assistant.day.state import Reached, State, Task, Timer, TimerKind
from assistant.day.timers import heard
from assistant.day.turn import Turn
from assistant.schedule.model import Rest

CHECK_EVERY_MIN = 15.0
"""Between the temperature checks of a rest; common practice, no source."""

PH_AFTER_MIN = 10.0
"""By then a mash is mixed and its pH has settled; common practice, no source."""

LAST_CHECK_MIN = 6.0
"""No check is set nearer to the end of a rest than this."""


def current_rest(state: State) -> Rest:
    """The rest of the mash at hand."""
    return state.schedule.mash[state.rest]


def enter_mash(turn: Turn) -> None:
    """A rest begins: the first holds what dough-in gave, a later one is heated to."""
    rest = current_rest(turn.state)
    if turn.state.rest == 0:
        begin_rest(turn)
        return
    turn.open_task(Action(do=Do.HEAT, to_c=rest.temperature_c, power=1.0))
    state = turn.state
    warm_c = temperature_now_c(state.batch, state.schedule.kettle, turn.now_s)
    minutes = rest_heating_minutes(state, warm_c)
    turn.say(
        f"Heat to {figures.temperature(rest.temperature_c, turn.units)} for {rest.name}, "
        f"stirring, bag off the bottom. {about_words(minutes)}",
        Why.PROMPT,
    )
    ask_in(turn, Quantity.MASH_TEMPERATURE, minutes * ASK_AT)


def rest_heating_minutes(state: State, from_c: float) -> float:
    """Minutes of full power from a mash temperature to the rest at hand."""
    capacity = mash_j_k(state.schedule, state.batch, state.now_s)
    return minutes_to(state, capacity, from_c, current_rest(state).temperature_c)


def begin_rest(turn: Turn) -> None:
    """The rest's clock starts, with checks of its temperature on the way."""
    heard(turn)
    rest = current_rest(turn.state)
    turn.open_task(Action(do=Do.HOLD, at_c=rest.temperature_c, minutes=rest.minutes))
    turn.set_timer(
        Timer(name=rest_name(rest), kind=TimerKind.REST, due_s=turn.now_s + rest.minutes * 60)
    )
    set_next_check(turn)
    length = figures.duration(rest.minutes * 60)
    if turn.state.rest == 0:
        turn.say(f"{figures.sentence(rest_name(rest))}, {length}. Mash temperature?", Why.PROMPT)
        turn.ask(Quantity.MASH_TEMPERATURE, "where the mash landed")
        if turn.state.schedule.water is not None and rest.minutes >= 2 * PH_AFTER_MIN:
            ask_in(turn, Quantity.MASH_PH, PH_AFTER_MIN)
    else:
        turn.say(f"{figures.sentence(rest_name(rest))}, {length}. Lid on.", Why.PROMPT)


def rest_name(rest: Rest) -> str:
    """``beta rest``, ``mash-out``: the rest's name as it is spoken and its timer's name."""
    plain = rest.name.lower()
    return rest.name if "rest" in plain or plain.startswith("mash") else f"{rest.name} rest"


def set_next_check(turn: Turn) -> None:
    """Set the next temperature check of the rest at hand, if there is time for one."""
    timer = turn.state.timer(rest_name(current_rest(turn.state)))
    if timer is None:
        return
    left_min = (timer.due_s - turn.now_s) / 60
    if left_min - CHECK_EVERY_MIN >= LAST_CHECK_MIN:
        ask_in(turn, Quantity.MASH_TEMPERATURE, CHECK_EVERY_MIN)


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
    """A burst of heat is over: whether it did what it should is read."""
    ask_after_remedy(turn)
