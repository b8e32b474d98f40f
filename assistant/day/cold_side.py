"""The day after the whirlpool: chill, transfer, pitch and clean."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.batch import Batch, Place, gravity_now
from assistant.advice.batch_readings import with_temperature
from assistant.advice.cold_remedies import HOTTEST_PITCH_C, ICE
from assistant.advice.happenings import transferred, with_water
from assistant.advice.landing import best_top_up_l, look_ahead, stops_at_l
from assistant.advice.supplies import with_yeast_for, yeast_words
from assistant.advice.timeline import CHILLED_WATER_C, Stage, chill_target_c
from assistant.brewing.cooling import ICE_MELTS_J_KG
from assistant.brewing.heat import WATER_HEAT_J_KG_K, mixed_temperature_c
from assistant.brewing.water import WATER_KG_L
from assistant.day.boil_side import chill_minutes, judge_wort, start_chiller
from assistant.day.choices import let_be
from assistant.day.effects import Why
from assistant.day.hot_side import ASK_AT, ask_in
from assistant.day.outlook import takes_advice, unlimited
from assistant.day.quantities import Quantity
from assistant.day.stages import Trigger
from assistant.day.state import State, Task, Timer, TimerKind
from assistant.day.steeping import cold_at_last, cool_by_itself, wort_c
from assistant.day.turn import Turn
from assistant.schedule.model import Moment, YeastForm

PATIENCE_S = 900.0
"""How long the day waits for a reading it would like before it goes on without."""

TEMPERATURE = Quantity.FERMENTER_TEMPERATURE.value

CLEANING_S = 1800.0
"""After this a day whose brewer says nothing more is finished."""


def chill_to_c(state: State) -> float:
    """What the kettle is to be cooled to, allowing for the chilled water still to be added."""
    return chill_target_c(state.schedule)


def enter_chill(turn: Turn) -> None:
    """Cooling begins; the temperature is asked shortly before it should be there."""
    state = turn.state
    target_c = chill_to_c(state)
    start_chiller(turn, target_c)
    minutes = chill_minutes(turn.state, wort_c(turn.state), target_c)
    turn.say(
        f"Chill to {figures.temperature(target_c, turn.units)}, "
        f"about {figures.duration(max(minutes, 1) * 60)}.",
        Why.PROMPT,
    )
    ask_in(turn, Quantity.KETTLE_TEMPERATURE, minutes * ASK_AT)


def chilled(turn: Turn, task: Task) -> None:
    """The kettle, or a fermenter that was too warm, is cold."""
    state = turn.state
    to_c = task.action.to_c or state.schedule.chill.to_c
    if state.batch.place is Place.KETTLE and state.batch.temperature_at_s < turn.now_s:
        cold_at_last(turn, to_c)
    elif state.batch.temperature_at_s < turn.now_s:
        cold_c = min(state.batch.temperature_c, to_c)
        turn.change(batch=with_temperature(state.batch, state.schedule, cold_c, turn.now_s))
    if state.stage is Stage.PITCH:
        turn.ask(Quantity.FERMENTER_TEMPERATURE, "whether the wort is cold enough now", needed=True)
        turn.say("Fermenter temperature?", Why.QUESTION)


def enter_transfer(turn: Turn) -> None:
    """The wort goes into the fermenter, or is there already and wants to be read."""
    if turn.state.batch.place is Place.FERMENTER:
        ask_what_came_over(turn)
        return
    state = turn.state
    ahead = look_ahead(state.batch, state.schedule, state.plan, unlimited(state))
    most_l = stops_at_l(ahead, let_down=takes_advice(state))
    turn.open_task(Action(do=Do.TRANSFER, litres=most_l))
    most = figures.volume(most_l, turn.units)
    turn.say(
        f"Run it into the clean fermenter, trub left behind, {most} at most. Say done.", Why.PROMPT
    )


def in_fermenter(turn: Turn, task: Task | None = None) -> None:
    """The wort has left the kettle: what came over is asked for, once."""
    cool_by_itself(turn)
    state = turn.state
    most_l = None if task is None else task.action.litres
    turn.change(batch=transferred(state.batch, state.schedule, turn.now_s, most_l))
    if state.stage is Stage.TRANSFER:
        ask_what_came_over(turn)


def ask_what_came_over(turn: Turn) -> None:
    """Volume and gravity in the fermenter, while they can still be put right."""
    turn.ask(Quantity.FERMENTER_VOLUME, "how much beer this makes", needed=True)
    turn.ask(Quantity.GRAVITY, "the original gravity", needed=True)
    turn.say("Fermenter volume, and gravity?", Why.QUESTION)
    be_patient(turn)


def be_patient(turn: Turn) -> None:
    """Wait for readings and choices, but not for ever."""
    turn.set_timer(Timer(name="patience", kind=TimerKind.PATIENCE, due_s=turn.now_s + PATIENCE_S))


def offer_top_up(turn: Turn) -> bool:
    """The planned top-up, as much as is really missing; tells whether there was any to add."""
    state = turn.state
    planned_l = state.schedule.chill.top_up_l
    if state.topped_up or planned_l == 0:
        return False
    without = replace(unlimited(state), top_up_l=0.0)
    ahead = look_ahead(state.batch, state.schedule, state.plan, without)
    litres = best_top_up_l(ahead, most_l=2 * planned_l)
    if litres < 0.1:
        turn.change(topped_up=True)
        judge_wort(turn)
        return turn.state.advice is not None
    turn.open_task(Action(do=Do.TOP_UP, litres=litres, temperature_c=CHILLED_WATER_C))
    turn.say(
        f"Top up with {figures.volume(litres, turn.units)} of boiled, chilled water.", Why.PROMPT
    )
    return True


def water_in(turn: Turn, task: Task) -> None:
    """Water has gone into the fermenter or the kettle."""
    state = turn.state
    action = task.action
    turn.change(
        batch=with_water(
            state.batch,
            state.schedule.kettle,
            action.litres or 0.0,
            turn.now_s,
            water_c=action.temperature_c,
        )
    )


def mixed_c(batch: Batch, water_l: float, water_c: float) -> float:
    """What wort and water come to, the wort taken to hold as much heat as water does."""
    return mixed_temperature_c(
        (litres * WATER_HEAT_J_KG_K, temperature_c)
        for litres, temperature_c in (
            (batch.volume_l, batch.temperature_c),
            (water_l, water_c),
        )
    )


def iced_c(batch: Batch, water_l: float) -> float:
    """What wort comes to in which so much ice has melted.

    Source: conservation of heat with the heat of melting (``brewing.cooling``).
    """
    wort_j_k = batch.volume_l * WATER_KG_L * WATER_HEAT_J_KG_K
    ice_j_k = water_l * WATER_KG_L * WATER_HEAT_J_KG_K
    melting_j = water_l * WATER_KG_L * ICE_MELTS_J_KG
    return max((wort_j_k * batch.temperature_c - melting_j) / (wort_j_k + ice_j_k), 0.0)


def topped_up(turn: Turn, task: Task) -> None:
    """The fermenter is topped up; what that made of the beer is looked at once."""
    batch, water_l = turn.state.batch, task.action.litres or 0.0
    water_c = task.action.temperature_c or CHILLED_WATER_C
    ice = task.action.item == ICE
    warm_c = iced_c(batch, water_l) if ice else mixed_c(batch, water_l, water_c)
    turn.change(batch=with_temperature(batch, turn.state.schedule, warm_c, turn.now_s))
    water_in(turn, task)
    if not turn.state.topped_up:
        turn.change(topped_up=True)
        judge_wort(turn)
    if ice and turn.state.stage is Stage.PITCH:
        turn.ask(Quantity.FERMENTER_TEMPERATURE, "whether the wort is cold enough now", needed=True)
        turn.say("Stir till it has melted. Fermenter temperature?", Why.QUESTION)


def enter_pitch(turn: Turn) -> None:
    """Air for the yeast, and a temperature it can live with, before it goes in."""
    in_fermenter(turn)
    turn.change(topped_up=True)
    turn.open_task(Action(do=Do.AERATE))
    turn.ask(Quantity.FERMENTER_TEMPERATURE, "whether the yeast can go in", needed=True)
    turn.say("Aerate: splash or shake 5 minutes. Fermenter temperature?", Why.PROMPT)
    be_patient(turn)


def offer_yeast(turn: Turn) -> None:
    """Once the wort is aerated, its temperature known and no choice open, the yeast may go in."""
    state = turn.state
    waiting = any(ask.needed for ask in state.asks) or state.advice or state.question
    if waiting or turn.has_task(Do.AERATE, Do.CHILL, Do.PITCH) or state.stage is not Stage.PITCH:
        return
    if state.batch.temperature_c > HOTTEST_PITCH_C and TEMPERATURE not in state.waived:
        turn.ask(Quantity.FERMENTER_TEMPERATURE, "whether the wort is cold enough", needed=True)
        turn.say("The wort was too hot for yeast. Fermenter temperature?", Why.QUESTION)
        be_patient(turn)
        return
    yeast = state.schedule.yeast
    gravity = gravity_now(state.batch, state.schedule, turn.now_s)
    plan = with_yeast_for(state.schedule, state.plan, state.batch.volume_l, gravity)
    dry_g = plan.yeast_dry_g if yeast.form is YeastForm.DRY else None
    cells = None if dry_g is not None else round(plan.yeast_cells_billion)
    grams = None if dry_g is None else round(dry_g, 1)
    turn.open_task(Action(do=Do.PITCH, grams=grams, cells_billion=cells))
    instead = ""
    if plan.yeast_cells_billion != state.plan.yeast_cells_billion:
        instead = f", not {yeast_words(state.schedule, state.plan).partition(' of ')[0]}"
    amount = yeast_words(state.schedule, plan)
    turn.say(f"Pitch {amount}{instead}. Close it and let it vent.", Why.PROMPT)


def enter_clean(turn: Turn) -> None:
    """The beer is under way; the rest is washing up."""
    in_fermenter(turn)
    state = turn.state
    ferment, units = state.schedule.ferment, turn.units
    low = figures.temperature(ferment.low_c, units).removesuffix(" degrees")
    turn.say(
        f"Keep it at {low} to {figures.temperature(ferment.high_c, units)}. "
        "Clean up now, then say all clean.",
        Why.PROMPT,
    )
    later = [
        f"{addition.name} on day {addition.day}"
        for addition in state.schedule.additions
        if addition.moment is Moment.DAY
    ]
    if later:
        turn.say(f"Still to come: {figures.listed(later)}.", Why.ANSWER)
    turn.set_timer(Timer(name="cleaning", kind=TimerKind.CLEANING, due_s=turn.now_s + CLEANING_S))


def cleaning_over(turn: Turn, timer: Timer) -> None:
    """Nothing more was said: the day closes."""
    turn.lead(Trigger.COMPLETED)


def enter_finished(turn: Turn) -> None:
    """The day is over and on record."""
    batch = turn.state.batch
    parts = [figures.volume(batch.volume_l, turn.units)]
    if turn.state.forecast is not None:
        parts.insert(0, figures.gravity(turn.state.forecast.original_gravity))
        parts.append(f"{turn.state.forecast.ibu:.0f} IBU")
    turn.say(f"Well brewed: {', '.join(parts)}. The day is on record.", Why.ANSWER)


def out_of_patience(turn: Turn, timer: Timer) -> None:
    """Readings that did not come are done without; a choice nobody made is to leave it."""
    advice = turn.state.advice
    turn.change(asks=tuple(ask for ask in turn.state.asks if not ask.needed))
    if advice is not None and any(o.action.do is Do.LEAVE_IT for o in advice.finding.options):
        let_be(turn)
