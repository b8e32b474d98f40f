"""The way up to the boil: what is asked on it, when it should come, and what its coming tells."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.batch import temperature_now_c
from assistant.advice.batch_readings import with_temperature
from assistant.day.additions import due_now
from assistant.day.effects import Why
from assistant.day.hot_side import ask_in, bag_lifted
from assistant.day.quantities import Quantity
from assistant.day.state import Timer, TimerKind
from assistant.day.timing import boils_in
from assistant.day.turn import Turn
from assistant.schedule.model import Moment

BOIL_OVER_AT = 0.92
"""The watch over the boil begins at this share of the time it should take to come."""


def enter_boil_up(turn: Turn) -> None:
    """Full power; volume and gravity are asked while there is time to act on them."""
    bag_lifted(turn)
    state = turn.state
    boiling_c = state.plan.boiling_point_c
    turn.open_task(Action(do=Do.HEAT, to_c=boiling_c, power=1.0))
    minutes = min(boils_in(state).seconds / 60, LONGEST_BOIL_UP_MIN)
    turn.say(
        f"Full power to the boil, about {figures.duration(max(minutes, 1) * 60)}. "
        "Kettle volume, and gravity?",
        Why.PROMPT,
    )
    turn.ask(Quantity.KETTLE_VOLUME, "how much wort goes into the boil")
    turn.ask(Quantity.GRAVITY, "how strong the wort goes into the boil")
    due_now(turn, Moment.FIRST_WORT)
    turn.set_timer(
        Timer(
            name="boil-over watch",
            kind=TimerKind.BOIL_OVER,
            due_s=turn.now_s + max(minutes * BOIL_OVER_AT * 60, 60.0),
        )
    )
    ask_in(turn, Quantity.BOILING, minutes)
    if minutes >= LOOKED_AT_MIN:
        ask_in(turn, Quantity.KETTLE_TEMPERATURE, LOOKED_AT * minutes)


LONGEST_BOIL_UP_MIN = 120.0
"""No boil is waited for any longer without a look."""

LOOKED_AT, LOOKED_AT_MIN = 0.55, 8.0
"""A boil that takes so many minutes to come is looked at once on its way."""


def watch_for_boil(turn: Turn) -> float:
    """Ask again when the boil should be there by now; gives the minutes until then."""
    minutes = min(max(boils_in(turn.state).seconds / 60, 1.0), LONGEST_BOIL_UP_MIN)
    ask_in(turn, Quantity.BOILING, minutes)
    return minutes


SHORT_OF_BOIL_K = 1.0
"""Wort that ought to boil and does not is taken to be so far short of it, give or take as much."""


def not_boiling_yet(turn: Turn) -> None:
    """The boil is not there: if it ought to be, the heater is weaker than was believed."""
    state = turn.state
    short_c = state.plan.boiling_point_c - SHORT_OF_BOIL_K
    if temperature_now_c(state.batch, state.schedule.kettle, turn.now_s) > short_c:
        turn.learn(
            with_temperature(
                state.batch, state.schedule, short_c, turn.now_s, spread_k=SHORT_OF_BOIL_K
            )
        )
    minutes = watch_for_boil(turn)
    turn.say(f"I'll ask again in {figures.duration(minutes * 60)}.", Why.ANSWER)


BOIL_SEEN_K = 1.2
"""Standard deviation of the temperature at which a boil that is just seen began: it was so many
kelvin of heating ago."""


def learn_of_the_boil(turn: Turn) -> None:
    """The wort is at the boil: a heating that came late tells of the heater.

    One that was expected before may have been seen late, and tells nothing.
    """
    state, boiling_c = turn.state, turn.state.plan.boiling_point_c
    kettle = state.schedule.kettle
    if temperature_now_c(state.batch, kettle, turn.now_s) < boiling_c:
        turn.learn(
            with_temperature(
                state.batch, state.schedule, boiling_c, turn.now_s, spread_k=BOIL_SEEN_K
            )
        )
    at_boil = replace(turn.state.batch, temperature_c=boiling_c, temperature_at_s=turn.now_s)
    turn.change(batch=at_boil)
