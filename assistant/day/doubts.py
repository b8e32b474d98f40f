"""Words heard unsurely: asked about in the shortest way, and what the next words make of them.

While a doubt stands, "yes" takes its only meaning, saying one of the meanings again or "the second"
takes that one, and "no" drops them all. A question, a change of the voice, a sensor leave it open;
whatever else is said takes its place. Nothing of a doubt is on the record before it is taken, and
what is taken is taken back in one step, the doubt with it.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from assistant.day.commands import Command
from assistant.day.doubt_words import Asking, doubt_words, figure_of, labels_of
from assistant.day.effects import Why
from assistant.day.events import (
    CommandGiven,
    DayResumed,
    EarTroubled,
    Event,
    HeardUnsurely,
    Incident,
    Meaning,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    Source,
    TimerRequested,
)
from assistant.day.hot_side import gathering
from assistant.day.manner import CHANGES
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import Doubt, State
from assistant.day.turn import MOST_WORDS
from assistant.day.undo import QUERIES

MOST_MEANINGS = 3

PLACES = {Command.FIRST: 0, Command.SECOND: 1, Command.THIRD: 2}
ANSWERS = frozenset({Command.YES, Command.NO, *PLACES})
"""What answers a question; heard unsurely, the question is asked again."""

ASIDES = QUERIES | frozenset(CHANGES) | {Command.STOP}
"""Commands that leave a doubt open."""

ONLY_DROPS = frozenset({Command.UNDO, Command.SKIP})
"""With a doubt open these mean the doubt, and nothing that was before it."""


@dataclass(frozen=True, kw_only=True)
class Settled:
    """What an event comes to: the ``event`` that happens, or only ``words`` about the doubt.

    ``doubt`` is the one open from here on; ``confirmed`` tells that the brewer chose this meaning.
    """

    event: Event | None = None
    confirmed: bool = False
    doubt: Doubt | None = None
    words: str = ""
    why: Why = Why.QUESTION


class Unsure(Asking, Protocol):
    """What a doubt hangs on: the doubt that is open, and what was said so far."""

    @property
    def history(self) -> Sequence[object]:
        """What can be taken back, oldest first."""
        ...

    def open_doubt(self) -> Doubt | None:
        """The doubt that waits for an answer."""
        ...


class Asker(Protocol):
    """Who asks about a doubt: the state it is of, and what can be said and changed."""

    @property
    def state(self) -> Unsure:
        """The state as it is now."""
        ...

    @property
    def now_s(self) -> float:
        """The moment, in seconds of the day."""
        ...

    def say(self, text: str, why: Why) -> None:
        """Say something."""
        ...

    def refuse(self, text: str) -> None:
        """Say why an event could not be used."""
        ...

    def change(self, **fields: Any) -> None:
        """Replace fields of the state."""
        ...


def settle(state: Unsure, event: Event, *, wanted: bool) -> Settled:
    """What an event means with the doubt that is open, if one is; ``state`` is at its moment.

    ``wanted`` tells whether something was asked that "yes" or "no" answers.
    """
    doubt = state.open_doubt()
    if isinstance(event, HeardUnsurely):
        return _settle_unsure(event, doubt, wanted=wanted)
    if doubt is None:
        return Settled(event=event)
    if isinstance(event, CommandGiven):
        if event.command is Command.NO:
            return Settled(words="Say it again, please.")
        if event.command is Command.YES:
            place = 0 if len(doubt.meanings) == 1 else MOST_MEANINGS
            return _chosen(doubt, place, event.at)
        if event.command in PLACES:
            return _chosen(doubt, PLACES[event.command], event.at)
    fitting = [place for place, meaning in enumerate(doubt.meanings) if _means(event, meaning)]
    fitting = [p for p in fitting if type(doubt.meanings[p]) is type(event)] or fitting
    if fitting and isinstance(event, ReadingTaken):
        taken = doubt.meanings[fitting[0]]
        # A reading said in full tells more than the bare number it was heard as.
        full = replace(taken, at=event.at) if isinstance(taken, ReadingTaken) else event
        return Settled(event=full, confirmed=True)
    if fitting:
        return _chosen(doubt, fitting[0] if len(fitting) == 1 else MOST_MEANINGS, event.at)
    if _is_aside(event):
        return Settled(event=event, doubt=doubt)
    later = len(state.history) > doubt.depth
    if isinstance(event, CommandGiven) and event.command in ONLY_DROPS and not later:
        return Settled(words="Dropped.", why=Why.READBACK)
    return Settled(event=_same_quantity(doubt, event))


def ask_which(turn: Asker, heard: HeardUnsurely, refusal: Callable[[Meaning], str | None]) -> None:
    """Ask which of the meanings was meant; ``refusal`` tells why one could not be used now.

    What could not be used anyway is not asked about; where that is all of them, the likeliest's
    refusal is the answer.
    """
    meanings = [replace(meaning, at=heard.at) for meaning in heard.meanings[:MOST_MEANINGS]]
    meanings = [m for place, m in enumerate(meanings) if place == 0 or not _is_answer(m)]
    refusals = [refusal(meaning) for meaning in meanings]
    usable = [m for m, why_not in zip(meanings, refusals, strict=True) if why_not is None]
    if not usable:
        turn.refuse(next((text for text in refusals if text), "I could make nothing of that."))
        return
    asked = _told_apart(turn.state, usable)
    text = doubt_words(turn.state, asked)
    while len(text.split()) > MOST_WORDS and len(asked) > 1:
        asked = asked[:-1]
        text = doubt_words(turn.state, asked)
    turn.say(text, Why.QUESTION)
    depth = len(turn.state.history)
    turn.change(doubt=Doubt(at_s=turn.now_s, depth=depth, meanings=tuple(asked), text=text))


def by_the_brewer(event: object) -> bool:
    """Whether an event is words that were caught."""
    if isinstance(event, ReadingTaken):
        return event.source is Source.WORDS
    return isinstance(event, HeardUnsurely | NoteTaken | Meaning)


def answer_wanted(state: State) -> bool:
    """Whether something was asked that "yes" or "no" answers."""
    return state.begun and (
        state.open_doubt() is not None
        or state.question is not None
        or state.advice is not None
        or gathering(state)
        or any(ask.quantity is Quantity.BOILING for ask in state.asks)
    )


def _settle_unsure(event: HeardUnsurely, doubt: Doubt | None, *, wanted: bool) -> Settled:
    likeliest = event.meanings[0] if event.meanings else None
    if likeliest is not None and _is_answer(likeliest) and wanted:
        again = replace(doubt, at_s=event.at) if doubt else None
        several = doubt is not None and len(doubt.meanings) > 1
        return Settled(doubt=again, words=doubt.text if doubt and several else "Yes or no?")
    if len(event.meanings) == 1 and isinstance(likeliest, CommandGiven):
        if likeliest.command in QUERIES:
            return Settled(event=replace(likeliest, at=event.at), doubt=doubt)
        if likeliest.command is Command.NO:
            # Where nothing was asked, "no" takes back the last thing: that is what to ask about.
            undo = replace(likeliest, command=Command.UNDO)
            return Settled(event=replace(event, meanings=(undo,)))
    return Settled(event=event)


def _chosen(doubt: Doubt, place: int, at: float) -> Settled:
    if place < len(doubt.meanings):
        return Settled(event=replace(doubt.meanings[place], at=at), confirmed=True)
    return Settled(doubt=replace(doubt, at_s=at), words=doubt.text)


def _is_answer(meaning: Meaning) -> bool:
    return isinstance(meaning, CommandGiven) and meaning.command in ANSWERS


def _is_aside(event: Event) -> bool:
    if isinstance(event, CommandGiven):
        return event.command in ASIDES
    if isinstance(event, ReadingTaken):
        return event.source is not Source.WORDS
    return isinstance(event, DayResumed | EarTroubled | Incident)


def _means(event: Event, meaning: Meaning) -> bool:
    """Whether what is said now is one of the meanings, said again."""
    match event, meaning:
        case NumberSaid(), ReadingTaken() | NumberSaid():
            same_unit = event.unit is None or event.unit == meaning.unit
            return same_unit and _same(event.value, meaning.value)
        case NumberSaid(), TimerRequested():
            figure = figure_of(meaning)
            return event.unit is None and figure is not None and _same(event.value, figure)
        case ReadingTaken(source=Source.WORDS), ReadingTaken():
            return (
                (event.quantity, event.unit) == (meaning.quantity, meaning.unit)
                and _same(event.value, meaning.value)
                and event.sample_c in (None, meaning.sample_c)
            )
        case ReadingTaken(source=Source.WORDS), NumberSaid():
            return meaning.unit in (None, event.unit) and _same(event.value, meaning.value)
        case CommandGiven(), CommandGiven():
            return event.command is meaning.command and event.subject in (None, meaning.subject)
        case OptionChosen(), OptionChosen():
            return event.say == meaning.say
        case TimerRequested(), TimerRequested():
            return event.seconds == meaning.seconds and event.name in ("timer", meaning.name)
    return False


def _same(one: float, other: float) -> bool:
    return math.isclose(one, other, abs_tol=1e-9)


def _same_quantity(doubt: Doubt, event: Event) -> Event:
    """Another number in answer to readings of one quantity is a reading of that quantity."""
    if not isinstance(event, NumberSaid):
        return event
    readings = [m for m in doubt.meanings if isinstance(m, ReadingTaken)]
    kinds = {(meaning.quantity, meaning.unit) for meaning in readings}
    if len(readings) < len(doubt.meanings) or len(kinds) != 1:
        return event
    quantity, unit = kinds.pop()
    if event.unit is not None and event.unit not in QUANTITIES[quantity].units:
        return event
    return ReadingTaken(at=event.at, quantity=quantity, value=event.value, unit=event.unit or unit)


def _told_apart(state: Asking, meanings: list[Meaning]) -> list[Meaning]:
    """The meanings without those that would be asked about in the same words as one before."""
    labels = labels_of(state, meanings)
    return [m for place, m in enumerate(meanings) if labels[place] not in labels[:place]]
