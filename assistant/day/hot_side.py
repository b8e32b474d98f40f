"""The day up to the lifted bag: gather, strike, dough in and lift; the rests are in ``mash``."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.batch import Place, temperature_now_c, volume_now_l
from assistant.advice.batch_readings import TOLD_K, with_temperature
from assistant.advice.happenings import doughed_in as with_grain
from assistant.advice.happenings import lifted
from assistant.advice.kettle import Content
from assistant.advice.mash_minerals import amount_of, strike_minerals
from assistant.advice.supplies import yeast_words
from assistant.advice.timeline import Stage, heating_minutes
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.heat import (
    mash_heat_capacity_j_k,
    strike_temperature_c,
)
from assistant.day.effects import TimerNews, Why
from assistant.day.quantities import Quantity
from assistant.day.stages import Trigger
from assistant.day.state import State, Task, Timer, TimerKind
from assistant.day.turn import Turn
from assistant.day.wording import ASK_WORDS, addition_words

STIR_MIN = 3.0
"""How long the grain is stirred in; common practice, no source."""

ASK_AT = 0.88
"""Heating is asked after at this share of the time it should take, so the target is not missed."""


ASK_AGAIN_MIN = 3.0
"""A temperature nobody answers for is asked again after this, so that no target is overshot."""

THERMOMETER = (
    Quantity.WATER_TEMPERATURE,
    Quantity.MASH_TEMPERATURE,
    Quantity.KETTLE_TEMPERATURE,
)

AFTER_REMEDY = {
    Stage.STRIKE: Quantity.WATER_TEMPERATURE,
    Stage.MASH: Quantity.MASH_TEMPERATURE,
}


def checklist(state: State) -> tuple[str, ...]:
    """What is gathered, an item at a time, in the order it is asked for."""
    schedule, units = state.schedule, state.schedule.units
    malts = [f"{figures.weight(m.weight_kg * 1000, units)} of {m.name}" for m in schedule.grist]
    kettle = [
        addition_words(addition, addition.weight_g, units)
        for addition in schedule.additions
        if addition.day is None
    ]
    items = ["Kettle, bag, paddle, thermometer, hydrometer, chiller and clean fermenter, all here?"]
    items += [f"Weigh {figures.listed(malts[i : i + 2])}." for i in range(0, len(malts), 2)]
    items += [f"Set out {figures.listed(kettle[i : i + 2])}." for i in range(0, len(kettle), 2)]
    wanted = strike_minerals(schedule, state.plan.strike_volume_l)
    minerals = [amount_of(mineral.action) for mineral in wanted]
    items += [f"Set out {figures.listed(minerals[i : i + 2])}." for i in range(0, len(minerals), 2)]
    items.append(f"Yeast: {figures.sentence(yeast_words(schedule, state.plan))}.")
    return tuple(items)


def enter_gather(turn: Turn) -> None:
    """The checklist, with the kettle's filling open from the start for whoever is quicker."""
    turn.open_task(Action(do=Do.FILL, litres=turn.state.plan.strike_volume_l))
    turn.say(checklist(turn.state)[turn.state.gathered], Why.PROMPT)


def gathered(turn: Turn) -> None:
    """One item of the checklist is there: on to the next, or to the water."""
    turn.change(gathered=turn.state.gathered + 1)
    items = checklist(turn.state)
    if turn.state.gathered < len(items):
        turn.say(items[turn.state.gathered], Why.PROMPT)
    else:
        litres = turn.state.plan.strike_volume_l
        turn.say(f"Now fill {figures.volume(litres, turn.units)} of water.", Why.PROMPT)


def gathering(state: State) -> bool:
    """Whether the checklist still has items to answer."""
    return state.stage is Stage.GATHER and state.gathered < len(checklist(state))


def filled(turn: Turn, task: Task) -> None:
    """The kettle is filled: with what was asked for, unless its volume was read."""
    state = turn.state
    if not state.batch.volume_read:
        litres = task.action.litres or 0.0
        turn.change(batch=replace(state.batch, volume_l=litres, volume_at_s=turn.now_s))
    if state.stage is Stage.GATHER:
        turn.lead(Trigger.COMPLETED)


def enter_strike(turn: Turn) -> None:
    """Heat the water; its temperature is asked shortly before it should be there."""
    state = turn.state
    strike_c = strike_target_c(state)
    turn.open_task(Action(do=Do.HEAT, to_c=strike_c, power=1.0))
    minutes = strike_minutes(
        state, temperature_now_c(state.batch, state.schedule.kettle, turn.now_s)
    )
    turn.say(
        f"Full power, heat to {figures.temperature(strike_c, turn.units)}. {about_words(minutes)}",
        Why.PROMPT,
    )


def ask_how_cold(turn: Turn) -> None:
    """Ask where the heating begins, if the tap's water is not known well enough to time it."""
    if turn.state.batch.belief.spread(Content.TEMPERATURE_C) > COLD_UNKNOWN_K:
        turn.ask(Quantity.WATER_TEMPERATURE, "where the heating begins")
        turn.say("Water temperature now?", Why.QUESTION)


COLD_UNKNOWN_K = 1.0


def strike_target_c(state: State) -> float:
    """The strike temperature for the water and the room as they are; else the plan's."""
    kettle = state.schedule.kettle
    try:
        return strike_temperature_c(
            mash_c=state.schedule.mash[0].temperature_c,
            grain_c=kettle.room_c,
            grain_kg=state.schedule.grain_kg,
            water_l=volume_now_l(state.batch, kettle, state.now_s),
            kettle_j_k=kettle.heat_capacity_j_k,
        )
    except OutOfRange:
        return state.plan.strike_temperature_c


def strike_minutes(state: State, from_c: float) -> float:
    """Minutes of full power from a water temperature to strike."""
    kettle = state.schedule.kettle
    capacity = mash_heat_capacity_j_k(
        volume_now_l(state.batch, kettle, state.now_s), 0.0, kettle.heat_capacity_j_k
    )
    return minutes_to(state, capacity, from_c, strike_target_c(state))


def minutes_to(state: State, capacity_j_k: float, from_c: float, to_c: float) -> float:
    """Minutes of full power between two temperatures; an hour where the heater cannot do it."""
    try:
        return heating_minutes(
            state.schedule.kettle, capacity_j_k=capacity_j_k, from_c=from_c, to_c=to_c
        )
    except (NeverReaches, OutOfRange):
        return 60.0


def about_words(minutes: float) -> str:
    """``About 12 minutes.``"""
    return f"About {figures.duration(max(round(minutes), 1) * 60)}."


def ask_in(turn: Turn, quantity: Quantity, minutes: float) -> None:
    """Ask for a reading in a while, never within the next half minute."""
    turn.set_timer(
        Timer(
            name=f"{quantity.value} check",
            kind=TimerKind.ASK,
            due_s=turn.now_s + max(minutes * 60, 30.0),
            quantity=quantity,
        )
    )


def still_heating(turn: Turn, quantity: Quantity, minutes: float) -> None:
    """Say how much longer and ask again then."""
    if minutes >= 1:
        turn.say(f"{about_words(minutes)[:-1]} more.", Why.ANSWER)
    ask_in(turn, quantity, minutes * (ASK_AT if minutes > 3 else 1.0))


def struck(turn: Turn, task: Task) -> None:
    """The strike water is hot, whether its thermometer was read just now or not."""
    turn.there(task.action.to_c or 0.0)
    state = turn.state
    if not any(r.quantity in THERMOMETER and r.at == turn.now_s for r in state.readings[-1:]):
        told_c = task.action.to_c or 0.0
        turn.learn(
            with_temperature(state.batch, state.schedule, told_c, turn.now_s, spread_k=TOLD_K)
        )
    over = (TimerKind.ASK, TimerKind.BURST)
    turn.end_timers(lambda timer: timer.kind in over, TimerNews.DONE)


def ask_after_remedy(turn: Turn) -> None:
    """Heat or water was used to put a temperature right: see whether it did."""
    quantity = AFTER_REMEDY.get(turn.state.stage)
    if quantity is not None:
        turn.ask(quantity, "whether that put it right")
        turn.say(ASK_WORDS[quantity], Why.QUESTION)


def enter_dough_in(turn: Turn) -> None:
    """The grain goes in."""
    grain_kg = turn.state.schedule.grain_kg
    turn.open_task(Action(do=Do.DOUGH_IN, kg=grain_kg))
    weight = figures.weight(grain_kg * 1000, turn.units)
    turn.say(f"Heat off. Bag in, then stir in {weight} of grain slowly.", Why.PROMPT)


def doughed_in(turn: Turn, task: Task) -> None:
    """The grain is in the water: the mash's temperature can be expected, stirring follows."""
    expect_mash(turn)
    turn.open_task(Action(do=Do.STIR, minutes=STIR_MIN))
    turn.set_timer(Timer(name="stirring", kind=TimerKind.STIR, due_s=turn.now_s + STIR_MIN * 60))
    turn.say(f"Stir {figures.duration(STIR_MIN * 60)}, no dry lumps.", Why.PROMPT)


def expect_mash(turn: Turn) -> None:
    """Without a reading, the mash is believed to have landed where the heat balance says."""
    turn.change(batch=with_grain(turn.state.batch, turn.state.schedule, turn.now_s))


def stirred(turn: Turn, task: Task) -> None:
    """Stirring is over, early or in time."""
    turn.end_timers(lambda timer: timer.kind is TimerKind.STIR, TimerNews.DONE)


def stir_due(turn: Turn, timer: Timer) -> None:
    """Stirring has taken long enough: its task closes by itself."""
    turn.close(Do.STIR)


def enter_lift(turn: Turn) -> None:
    """The bag comes out."""
    turn.open_task(Action(do=Do.LIFT))
    turn.say("Lift the bag, let it drain, squeeze gently. Say done.", Why.PROMPT)


def bag_lifted(turn: Turn, task: Task | None = None) -> None:
    """The bag is out, and what the grain holds is gone with it."""
    state = turn.state
    if state.batch.place is Place.MASH:
        turn.change(batch=lifted(state.batch, state.schedule, turn.now_s))
