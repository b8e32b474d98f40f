"""``advance(state, event) -> (state, effects)`` for a beer: all that is judged after its brew day.

Pure, like the brew day's: no clock, no I/O, no randomness. Every event first lets time pass to its
own moment, so whatever fell due before it has been said before it is judged. An event that cannot
be used is answered with ``Refused`` and changes nothing.
"""

import math
from dataclasses import replace

from assistant.advice.actions import Action, Do
from assistant.brewing.errors import OutOfRange
from assistant.cellar.coming import Kind
from assistant.cellar.consequences import follow_up
from assistant.cellar.dates import REST_C, REST_DAYS, due
from assistant.cellar.events import BeerEvent, VisitBegan
from assistant.cellar.history import can_be_undone, remembered, taken_back
from assistant.cellar.readings import READ, take_reading
from assistant.cellar.replies import answers_wanted, command, done_task, yeast_is_asked
from assistant.cellar.state import CellarState
from assistant.cellar.turn import Turn
from assistant.cellar.visiting import visit_began
from assistant.day.commands import Command
from assistant.day.doubts import ask_which, by_the_brewer, settle
from assistant.day.effects import Effect, ReadingJudged, Refused, Why
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    EarTroubled,
    HeardUnsurely,
    NoteTaken,
    NumberSaid,
    ReadingTaken,
    RecordMended,
    RecordTroubled,
    SensorsTroubled,
    TaskDone,
    TimePassed,
)
from assistant.day.incidents import befallen
from assistant.day.notes import take_note
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.speech import after_trouble
from assistant.schedule.units import convert


def advance(
    state: CellarState, event: BeerEvent, *, quiet: bool = False
) -> tuple[CellarState, tuple[Effect, ...]]:
    """The beer after one more event, and what it asks of the world.

    ``event.at`` must be finite and not before ``state.now_s``. Raises nothing: what cannot be used
    comes back as a :class:`~assistant.day.effects.Refused` with the state as time has left it.
    ``quiet`` leaves out words that take long to find, for a beer that is only gone through again.
    """
    if not math.isfinite(event.at) or event.at < state.now_s:
        text = f"Time can't go back: {event.at:g} s comes before {state.now_s:g} s."
        return state, (Refused(text=text),)
    turn = Turn(state, event.at, quiet=quiet)
    if state.visited:
        _open_what_is_due(turn)
    passed, told = turn.state, list(turn.effects)
    if isinstance(event, TimePassed):
        return turn.state, tuple(turn.effects)
    if not state.visited and not isinstance(event, VisitBegan):
        return passed, (*told, Refused(text="No visit has begun."))
    if not isinstance(event, VisitBegan):
        settled = settle(passed, event, wanted=answers_wanted(passed))
        turn.change(doubt=settled.doubt)
        if by_the_brewer(event):
            turn.change(ear=replace(passed.ear, not_caught=0))
        if settled.event is None:
            turn.say(settled.words, settled.why)
            turn.change(doubt=settled.doubt)
            return turn.state, tuple(turn.effects)
        event, turn.confirmed = settled.event, settled.confirmed
    try:
        _happen(turn, event)
    except OutOfRange as error:
        turn.refuse(f"That can't be reckoned with: {error}.")
    news = turn.effects[len(told) :]
    if any(isinstance(effect, Refused) for effect in news):
        kept = [effect for effect in news if isinstance(effect, Refused | ReadingJudged)]
        return passed, (*told, *kept)
    if can_be_undone(event) and not _goes_back(passed, event):
        turn.state = remembered(passed, turn.state, event)
    return turn.state, tuple(turn.effects)


def _happen(turn: Turn, event: BeerEvent) -> None:
    if _goes_back(turn.state, event):
        taken_back(turn)
        if not turn.refused:
            _open_what_is_due(turn)
        return
    match event:
        case VisitBegan():
            visit_began(turn, event)
            _open_what_is_due(turn)
        case ReadingTaken():
            _read(turn, event)
        case NumberSaid():
            _number(turn, event)
        case CommandGiven():
            command(turn, event.command, event.subject)
        case TaskDone():
            done_task(turn, event.task_id)
        case NoteTaken():
            take_note(turn, event)
        case HeardUnsurely():
            ask_which(turn, event, lambda meaning: _refusal(turn.state, meaning))
        case EarTroubled():
            waiting = bool(turn.state.asks) or answers_wanted(turn.state)
            ear, said = after_trouble(turn.state.ear, event.trouble, turn.now_s, waiting=waiting)
            turn.change(ear=ear)
            turn.effects.extend(said)
        case RecordTroubled() | RecordMended() | ClockJumped() | SensorsTroubled():
            befallen(turn, event)
        case _:
            turn.refuse("That belongs to a brew day.")


def _open_what_is_due(turn: Turn) -> None:
    """What has fallen due is told and opened, each thing once a visit."""
    for each in due(turn.state):
        if any(opened.key == each.key for opened in turn.state.opened):
            continue
        if each.kind is Kind.REST:
            action = Action(do=Do.HOLD, at_c=REST_C, minutes=REST_DAYS * 24 * 60)
            turn.open(each.key, action)
        else:
            index = int(each.key.rsplit(" ", 1)[1])
            addition = turn.state.schedule.additions[index]
            action = Action(do=Do.ADD, item=addition.name, grams=addition.weight_g)
            turn.open(each.key, action, index)
        turn.say(f"Due: {each.what[0].lower()}{each.what[1:]}.", Why.REMINDER)


def _read(turn: Turn, event: ReadingTaken) -> None:
    before = turn.state
    reading = take_reading(turn, event)
    if reading is not None:
        follow_up(turn, reading, before)
        _open_what_is_due(turn)


def _number(turn: Turn, event: NumberSaid) -> None:
    quantity = _meant(turn.state, event)
    if quantity is None:
        turn.refuse(f"{event.value:g} of what? Say for example: gravity 1.012.")
        return
    unit = event.unit or QUANTITIES[quantity].asked_unit(turn.units)
    _read(turn, ReadingTaken(at=event.at, quantity=quantity, value=event.value, unit=unit))


def _meant(state: CellarState, event: NumberSaid) -> Quantity | None:
    """Which of the quantities asked for a bare number answers: the one it is possible for.

    One with a unit tells by itself what it is of a beer, where nothing asked for is read in that.
    """
    asked = [ask.quantity for ask in state.asks]
    if state.question is not None:
        asked.insert(0, state.question.reading.quantity)
    if event.unit is not None:
        read_in = [each for each in (*asked, *READ) if event.unit in QUANTITIES[each].units]
        asked = [each for each in asked if each in read_in] or read_in
    for quantity in asked:
        spec = QUANTITIES[quantity]
        unit = event.unit or spec.asked_unit(state.schedule.units)
        value = event.value
        if unit not in (spec.unit, "degP"):
            value = convert(value, unit, spec.unit)
        if spec.possible[0] <= value <= spec.possible[1]:
            return quantity
    return asked[0] if asked else None


def _refusal(state: CellarState, event: BeerEvent) -> str | None:
    _, effects = advance(replace(state, doubt=None), event)
    return next((effect.text for effect in effects if isinstance(effect, Refused)), None)


def _goes_back(state: CellarState, event: BeerEvent) -> bool:
    """Whether an event is an undo: the word itself, or "no" where nothing was asked."""
    if not isinstance(event, CommandGiven):
        return False
    if event.command is Command.NO:
        return state.question is None and not state.unwise and not yeast_is_asked(state)
    return event.command is Command.UNDO
