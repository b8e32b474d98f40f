"""What a brewer says on a brew day, each thing at a moment it is said in, with what it means.

Two halves, drawn from seeds of their own: the figures, the words around them and the moments
differ. What each means is what typing it would mean at that moment.
"""

import random
from dataclasses import dataclass
from enum import Enum
from functools import cache

from assistant.day.events import Event, NumberSaid, ReadingTaken
from assistant.day.listening import Listening
from assistant.day.state import State
from assistant.hearing.vocabulary import WAKE_WORD
from assistant.hearing.words import NotUnderstood, understand
from speech.moments import Moment, context_for
from speech.voices import Half

__all__ = ["Kind", "Utterance", "context_for", "utterances"]

SEEDS = {Half.TUNE: 20_26, Half.HELD: 7_919}
WOKEN = 0.25
"""Share of the utterances that begin with the wake word."""


class Kind(Enum):
    """What sort of thing is said."""

    COMMAND = "command"
    OPTION = "option"
    TIMER = "timer"
    ADDITION = "addition"
    READING = "reading"
    NUMBER = "number"


FIGURES = frozenset({Kind.READING, Kind.NUMBER})


@dataclass(frozen=True, kw_only=True)
class Utterance:
    """Words, the moment they are said in, and the event they are there.

    ``state`` is the day at that moment, ``listening`` what it listens for. ``form`` names the form
    of the figure, where there is one. ``unlikely`` tells a figure that the plan does not make
    likely, which a brewer may have read all the same.
    """

    words: str
    kind: Kind
    state: State
    listening: Listening
    event: Event
    form: str = ""
    unlikely: bool = False


@cache
def utterances(half: Half) -> tuple[Utterance, ...]:
    """All the utterances of a half, in an order without meaning; the same every time."""
    from speech.figures_said import figures_said
    from speech.orders_said import orders_said

    seed = SEEDS[half]
    # Each has its own chance, so that a new command leaves the figures as they were.
    said = [
        *orders_said(half, random.Random(f"{seed} orders")),
        *figures_said(random.Random(f"{seed} figures")),
    ]
    random.Random(seed).shuffle(said)
    return tuple(said)


def utterance(
    words: str,
    kind: Kind,
    moment: Moment,
    source: random.Random,
    *,
    form: str = "",
    unlikely: bool = False,
) -> Utterance:
    """The utterance of these words at a moment, with the wake word now and then.

    Raises ValueError where they mean nothing there, or not the kind of thing they should.
    """
    try:
        event = understand(words, moment.listening, 0.0)
    except NotUnderstood as error:
        raise ValueError(f'"{words}" in {moment.listening.stage.value}: {error}') from error
    if (kind in FIGURES) is not isinstance(event, ReadingTaken | NumberSaid):
        raise ValueError(f'"{words}" should be a {kind.value} and is {event}')
    woken = f"{WAKE_WORD} {words}"
    if source.random() < WOKEN and _event(woken, moment.listening) == event:
        words = woken
    return Utterance(
        words=words,
        kind=kind,
        state=moment.state,
        listening=moment.listening,
        event=event,
        form=form,
        unlikely=unlikely,
    )


def means_something(words: str, listening: Listening) -> bool:
    """Whether words mean anything at a moment."""
    return _event(words, listening) is not None


def _event(words: str, listening: Listening) -> Event | None:
    try:
        return understand(words, listening, 0.0)
    except NotUnderstood:
        return None
