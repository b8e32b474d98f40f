"""``advance(state, event) -> (state, effects)``: the whole of the assistant's judgement.

Pure: no clock, no I/O, no randomness; the same day folded again gives the same words. Every event
first lets time pass to its own moment, so whatever fell due before it has been said before it is
judged. Where words were heard unsurely before, ``doubts`` then says what the event means. An event
that cannot be used is answered with ``Refused`` and changes nothing.
"""

import math
from contextlib import suppress
from dataclasses import replace

from assistant.advice.batch import fresh_batch
from assistant.advice.learned_words import card_sentence, learned_sentence
from assistant.advice.timeline import Stage
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.day.choices import choose
from assistant.day.commands import Command
from assistant.day.doubts import answer_wanted, ask_which, by_the_brewer, settle
from assistant.day.effects import Effect, ReadingJudged, Refused, Say, Why
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    DayBegan,
    DayResumed,
    EarTroubled,
    Event,
    HeardUnsurely,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    RecordMended,
    RecordTroubled,
    SensorsTroubled,
    Source,
    TaskDone,
    TimePassed,
    TimerRequested,
)
from assistant.day.flow import enter, follow, timer_due
from assistant.day.heating import turn_heat
from assistant.day.hop_holding import hold_before_due, hold_bitterness
from assistant.day.incidents import befallen
from assistant.day.notes import take_note
from assistant.day.outlook import tell_forecast
from assistant.day.plausible import likely
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.readings import take_reading
from assistant.day.replies import command, task_reported
from assistant.day.resuming import resumed
from assistant.day.speech import troubled
from assistant.day.state import State, Timer, TimerKind
from assistant.day.timers import heard, pass_time
from assistant.day.turn import Turn
from assistant.day.undo import differences, newly_due, remember, taken_back
from assistant.schedule.units import convert

LONGEST_TIMER_S = 24 * 3600.0


def advance(state: State, event: Event) -> tuple[State, tuple[Effect, ...]]:
    """The day after one more event, and what it asks of the world.

    ``event.at`` must be finite and not before ``state.now_s``. Raises nothing: what cannot be used
    comes back as a :class:`~assistant.day.effects.Refused` with the state as time has left it.
    """
    if not math.isfinite(event.at) or event.at < state.now_s:
        text = f"Time can't go back: {event.at:g} s comes before {state.now_s:g} s."
        return state, (Refused(text=text),)
    turn = Turn(state, event.at)
    if state.begun:
        hold_before_due(turn)
        pass_time(turn, timer_due)
    passed, told = turn.state, list(turn.effects)
    if told:
        passed = remember(state, passed, TimePassed(at=event.at))
        turn.state = passed
    if isinstance(event, TimePassed):
        return _forecast(state, turn)
    settled = settle(passed, event, wanted=answer_wanted(passed))
    turn.change(doubt=settled.doubt)
    if by_the_brewer(event):
        turn.change(ear=replace(passed.ear, not_caught=0))
    if settled.event is None:
        turn.say(settled.words, settled.why)
        turn.change(doubt=settled.doubt)
        return _forecast(state, turn)
    event, turn.confirmed = settled.event, settled.confirmed
    goes_back = _goes_back(passed, event)
    if goes_back:
        _take_back(turn)
    else:
        _happen(turn, event)
    news = turn.effects[len(told) :]
    if any(isinstance(effect, Refused) for effect in news):
        turn.state = passed
        turn.effects = told + [e for e in news if isinstance(e, Refused | ReadingJudged)]
        return _forecast(state, turn)
    if not goes_back:
        said = any(isinstance(effect, Say) for effect in news)
        turn.state = remember(passed, turn.state, event, said=said)
    return _forecast(state, turn)


def _happen(turn: Turn, event: Event) -> None:
    """Judge an event and follow it; a figure past what any sum holds for refuses it as a whole."""
    before = turn.state
    try:
        _handle(turn, event)
        if not any(isinstance(effect, Refused) for effect in turn.effects):
            follow(turn)
            hold_bitterness(turn, before)
            pass_time(turn, timer_due)
    except (OutOfRange, NeverReaches) as error:
        turn.refuse(f"{BEYOND_THE_SUMS} {error}.")


BEYOND_THE_SUMS = "That can't be reckoned with:"
"""How a refusal begins that no rule foresaw: the day goes on, but it is a fault of ours."""


def _forecast(before: State, turn: Turn) -> tuple[State, tuple[Effect, ...]]:
    if turn.state.begun:
        turn_heat(turn)
    after = turn.state
    if after.begun and any(
        getattr(before, name) != getattr(after, name) for name in FORECAST_HANGS_ON
    ):
        # Of a boil that was left for weeks no figure makes sense; the last one told still stands.
        with suppress(OutOfRange, NeverReaches):
            tell_forecast(turn)
    return turn.state, tuple(turn.effects)


FORECAST_HANGS_ON = (
    "begun",
    "schedule",
    "stage",
    "batch",
    "additions",
    "boil",
    "boil_change_min",
    "topped_up",
    "timers",
)
"""The forecast is looked at again when one of these fields of the state has changed."""


def _handle(turn: Turn, event: Event) -> None:
    state = turn.state
    if not state.begun and not isinstance(event, DayBegan | TimePassed):
        turn.refuse("The day has not begun. Say start.")
        return
    if state.stage is Stage.FINISHED and isinstance(
        event, ReadingTaken | NumberSaid | OptionChosen | TaskDone | TimerRequested
    ):
        turn.refuse("The day is finished.")
        return
    match event:
        case DayBegan():
            _began(turn, event)
        case DayResumed():
            resumed(turn, event)
        case ReadingTaken():
            take_reading(turn, event)
            if event.source is Source.WORDS:
                heard(turn)
        case NumberSaid():
            _number(turn, event)
        case CommandGiven():
            command(turn, event.command, event.subject)
        case OptionChosen():
            choose(turn, event.say)
        case TaskDone():
            _task(turn, event)
        case TimerRequested():
            _timer(turn, event)
        case NoteTaken():
            take_note(turn, event)
        case HeardUnsurely():
            ask_which(turn, event, lambda meaning: _refusal(turn.state, meaning))
        case EarTroubled():
            troubled(turn, event.trouble)
        case RecordTroubled() | RecordMended() | ClockJumped() | SensorsTroubled():
            befallen(turn, event)


def _refusal(state: State, event: Event) -> str | None:
    """Why an event could not be used now, or None where it can."""
    _, effects = advance(replace(state, doubt=None), event)
    return next((effect.text for effect in effects if isinstance(effect, Refused)), None)


def _began(turn: Turn, event: DayBegan) -> None:
    if turn.state.begun:
        turn.refuse("The day has begun already.")
        return
    state = turn.state
    batch = fresh_batch(state.schedule, state.plan, turn.now_s, event.learned)
    turn.change(begun=True, learned=event.learned, batch=batch)
    for warning in turn.state.plan.warnings:
        turn.say(warning, Why.WARNING)
    if event.learned is not None:
        turn.say(learned_sentence(event.learned, turn.units), Why.PROMPT)
        changed = card_sentence(event.learned)
        if changed:
            turn.say(changed, Why.PROMPT)
    enter(turn, Stage.GATHER)


def _number(turn: Turn, event: NumberSaid) -> None:
    quantity = _meant(turn.state, event)
    if quantity is None:
        turn.refuse(f"{event.value:g} of what? Say for example: mash temperature {event.value:g}.")
        return
    unit = event.unit or QUANTITIES[quantity].asked_unit(turn.units)
    reading = ReadingTaken(at=event.at, quantity=quantity, value=event.value, unit=unit)
    take_reading(turn, reading)


def _meant(state: State, event: NumberSaid) -> Quantity | None:
    """Which of the quantities asked for a bare number answers: the one it is likely for."""
    asked = [ask.quantity for ask in state.asks]
    if state.question is not None:
        asked.insert(0, state.question.reading.quantity)
    if event.unit is not None:
        asked = [quantity for quantity in asked if event.unit in QUANTITIES[quantity].units]
    for quantity in asked:
        spec = QUANTITIES[quantity]
        unit = event.unit or spec.asked_unit(state.schedule.units)
        value = event.value
        if unit != spec.unit and unit != "degP":
            value = convert(value, unit, spec.unit)
        expected = likely(state, quantity)
        if expected is None or expected.holds(value):
            return quantity
    return asked[0] if asked else None


def _task(turn: Turn, event: TaskDone) -> None:
    task = next((task for task in turn.state.tasks if task.id == event.task_id), None)
    if task is None:
        turn.refuse(f"There is no open task {event.task_id}.")
        return
    task_reported(turn, task)


def _timer(turn: Turn, event: TimerRequested) -> None:
    if not 1 <= event.seconds <= LONGEST_TIMER_S:
        turn.refuse("A timer runs from one second to 24 hours.")
        return
    name = event.name.strip()[:40] or "timer"
    plain, count = name, 1
    while turn.state.timer(name) is not None:
        count += 1
        name = f"{plain} {count}"
    turn.set_timer(Timer(name=name, kind=TimerKind.OWN, due_s=turn.now_s + event.seconds))
    command(turn, Command.HOW_LONG, name)


def _take_back(turn: Turn) -> None:
    state = turn.state
    if not state.history:
        turn.refuse("There is nothing to take back.")
        return
    what, restored = taken_back(state, lambda old, event: advance(old, event)[0])
    silent = Turn(restored, turn.now_s)
    pass_time(silent, timer_due)
    turn.effects.extend(differences(state, silent.state))
    turn.state = replace(silent.state, forecast=state.forecast)
    turn.say(f"Taken back: {what}.{newly_due(state, silent.state)}", Why.READBACK)


def _goes_back(state: State, event: Event) -> bool:
    """Whether an event is an undo: the word itself, or "no" where nothing was asked."""
    if not isinstance(event, CommandGiven) or not state.begun:
        return False
    if event.command is Command.NO:
        asked = any(ask.quantity is Quantity.BOILING for ask in state.asks)
        return state.question is None and not asked
    return event.command is Command.UNDO
