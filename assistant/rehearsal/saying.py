"""A sentence of the simulated brewer said by sound, as often as it takes, and what came of it.

What is not caught is said again, slower and after the wake word, and at last typed. What the day
asks about is answered. What the day reads back otherwise than it was meant is taken back and said
again. All of it happens at one moment of the day.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum
from typing import Protocol

from assistant.day.advance import advance
from assistant.day.commands import COMMANDS, Command
from assistant.day.doubts import answer_wanted, settle
from assistant.day.effects import Effect, Refused, Say
from assistant.day.events import (
    CommandGiven,
    EarTroubled,
    Event,
    HeardUnsurely,
    Trouble,
)
from assistant.day.listening import listening
from assistant.day.state import Doubt, State
from assistant.hearing.recogniser import Heard
from assistant.hearing.words import NotUnderstood, understand

TRIES = 3
"""How often a sentence is said before it is typed."""

ANSWERS_TRIED = 2
"""How often the answer to a question about it is said before it is typed."""

TAKEN_BACK = 1
"""How often a wrong reading is taken back by sound; after the next the sentence is typed."""

UNDONE_AT_MOST = 3
UNDO = COMMANDS[Command.UNDO].words[0]

PLACES = (Command.FIRST, Command.SECOND, Command.THIRD)
_spelt = re.compile(r"Say (.+), or (.+)\.$")


class Ear(Protocol):
    """What hears the brewer."""

    def hear(self, words: str, state: State, at: float, attempt: int) -> Heard | None:
        """What is heard of words said at this moment for the ``attempt``-th time, from 0.

        None where there was no speech in the sound.
        """
        ...


class First(Enum):
    """What became of a sentence when it was said for the first time."""

    RIGHT = "right at once"
    ASKED = "asked about"
    NOT_CAUGHT = "not caught"
    WRONG = "heard wrong"


@dataclass(frozen=True, kw_only=True)
class Sentence:
    """A sentence and its hearing.

    ``typed`` tells that it was typed in the end, ``kept_wrong`` that the day acted on another
    meaning and nobody noticed, since what it said sounded right.
    """

    words: str
    first: First
    typed: bool = False
    kept_wrong: bool = False


@dataclass(frozen=True, kw_only=True)
class Noted:
    """How much has been noted of a day: lines, answers and rests, and the rest that runs."""

    lines: int
    answers: int
    rests: int
    resting: tuple[str, float, float] | None


class Talk(Protocol):
    """The day that is talked to."""

    state: State

    def said(self, words: str, at: float, note: str = "") -> None:
        """The brewer said this; ``note`` tells what came of it, where it is not plain."""
        ...

    def happen(self, event: Event, words: str = "") -> None:
        """The day takes an event in; ``words`` are what it was truly meant by."""
        ...

    def type(self, words: str, at: float) -> None:
        """The brewer types words."""
        ...

    def noted(self) -> Noted:
        """What has been noted by now."""
        ...

    def forget(self, since: Noted) -> None:
        """All that was done since then has been taken back."""
        ...


@dataclass(frozen=True, kw_only=True)
class _Step:
    """A sentence that can be taken back: the history before it, and what was noted then."""

    words: str
    depth: int
    noted: Noted


class Saying:
    """Says the brewer's sentences to a day through an ear."""

    def __init__(self, talk: Talk, ear: Ear) -> None:
        self.talk = talk
        self.ear = ear
        self.steps: list[_Step] = []

    def say(self, words: str, meant: Event, at: float) -> Sentence:
        """Say a sentence until the day has it; ``meant`` is what it means now."""
        step = _Step(words=words, depth=self._depth, noted=self.talk.noted())
        sentence = self._say(step, meant, at)
        if self._depth > step.depth:
            self.steps.append(step)
        return sentence

    @property
    def _depth(self) -> int:
        return len(self.talk.state.history)

    def _say(self, step: _Step, meant: Event, at: float) -> Sentence:
        before, words = self.talk.state, step.words
        first: First | None = None
        wrong = 0
        for attempt in range(TRIES):
            now, taken = self._said(words, meant, at, attempt)
            first = first or now
            if taken is None:
                continue
            if alike(before, taken, meant):
                return Sentence(words=words, first=first)
            if _spoken(before, taken) == _spoken(before, meant):
                return Sentence(words=words, first=first, kept_wrong=True)
            self._take_back(step, at)
            self._say_what_is_lost(step, at)
            wrong += 1
            if wrong > TAKEN_BACK:
                break
        self.talk.type(words, at)
        return Sentence(words=words, first=first or First.NOT_CAUGHT, typed=True)

    def _said(
        self, words: str, meant: Event, at: float, attempt: int
    ) -> tuple[First, Event | None]:
        """Say it once: what came of it, and what the day acted on, if on anything."""
        before = self.talk.state
        event = self._heard(words, at, attempt)
        if event is None:
            return First.NOT_CAUGHT, None
        if isinstance(event, HeardUnsurely):
            self.talk.said(words, at)
            self.talk.happen(event)
            doubt = self.talk.state.open_doubt()
            return First.ASKED, None if doubt is None else self._answered(doubt, meant, before, at)
        right = alike(before, event, meant)
        self.talk.said(words, at, "" if right else "heard otherwise")
        self.talk.happen(event, words if right else "")
        return First.RIGHT if right else First.WRONG, event

    def _heard(self, words: str, at: float, attempt: int) -> Event | None:
        heard = self.ear.hear(words, self.talk.state, at, attempt)
        if heard is not None and heard.event is not None:
            return heard.event
        self.talk.said(words, at, "not caught")
        self.talk.happen(EarTroubled(at=at, trouble=Trouble.NOT_CAUGHT))
        return None

    def _answered(self, doubt: Doubt, meant: Event, before: State, at: float) -> Event | None:
        """Answer what is asked; what the day acts on then, None where it drops all it heard."""
        for attempt in range(ANSWERS_TRIED):
            reply = answer(doubt, meant, before)
            event = self._heard(reply, at, attempt)
            if event is None:
                continue
            taken = self._settled(event)
            self.talk.said(reply, at)
            self.talk.happen(event)
            still = self.talk.state.open_doubt()
            if still is None:
                return None if isinstance(taken, HeardUnsurely) else taken
            doubt = still
        reply = answer(doubt, meant, before)
        try:
            typed = understand(reply, listening(self.talk.state), at)
        except NotUnderstood:
            return None
        taken = self._settled(typed)
        self.talk.type(reply, at)
        return taken

    def _settled(self, event: Event) -> Event | None:
        state = self.talk.state
        return settle(state, event, wanted=answer_wanted(state)).event

    def _take_back(self, step: _Step, at: float) -> None:
        """Say "undo" once, then type it, until nothing is left of what was done wrongly."""
        if self._depth <= step.depth:
            return
        self._said(UNDO, CommandGiven(at=at, command=Command.UNDO), at, attempt=1)
        for _ in range(UNDONE_AT_MOST):
            if self._depth > step.depth:
                self.talk.type(UNDO, at)
        self.talk.forget(step.noted)

    def _say_what_is_lost(self, step: _Step, at: float) -> None:
        """Type again what was taken back, where "no" or "undo" was heard that was not said."""
        lost = [one for one in self.steps if self._depth <= one.depth < step.depth]
        if not lost:
            return
        self.talk.forget(lost[0].noted)
        del self.steps[-len(lost) :]
        for one in lost:
            again = replace(one, depth=self._depth, noted=self.talk.noted())
            self.talk.type(one.words, at)
            if self._depth > again.depth:
                self.steps.append(again)


def answer(doubt: Doubt, meant: Event, before: State) -> str:
    """What a brewer answers who meant ``meant`` in ``before``, and is asked about a doubt.

    A figure is said as the question proposes.
    """
    fitting = [
        place for place, meaning in enumerate(doubt.meanings) if alike(before, meaning, meant)
    ]
    if not fitting:
        return COMMANDS[Command.NO].words[0]
    if len(doubt.meanings) == 1:
        return COMMANDS[Command.YES].words[0]
    proposed = _spelt.search(doubt.text)
    if proposed is not None:
        return proposed[fitting[0] + 1]
    return COMMANDS[PLACES[fitting[0]]].words[0]


def alike(state: State, one: Event, other: Event) -> bool:
    """Whether both come to the same in a state: the brewer need not have said it in full."""
    one = replace(one, at=other.at)
    return one == other or advance(state, one)[1] == advance(state, other)[1]


def _spoken(state: State, event: Event) -> list[str]:
    return _texts(advance(state, event)[1])


def _texts(effects: Iterable[Effect]) -> list[str]:
    return [effect.text for effect in effects if isinstance(effect, Say | Refused)]
