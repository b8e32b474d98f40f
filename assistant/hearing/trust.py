"""What looks that stand alone are worth together: act, ask, or leave it.

They have no confidence that tells right from wrong, so trust comes from agreement: looks that come
to the same meaning by different ways are believed; two meanings are offered as a question; less
than that is not for us. A wrong number on the record is worse than none.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assistant.day.events import (
    CommandGiven,
    Event,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    TimerRequested,
)
from assistant.day.listening import Listening
from assistant.day.undo import QUERIES
from assistant.hearing.likely import is_likely
from assistant.hearing.numbers import TEENS, TENS
from assistant.hearing.spoken import Words

MEANINGS = (ReadingTaken, NumberSaid, CommandGiven, OptionChosen, TimerRequested)
"""Events that a question can be about."""

TEEN_OR_TY: Mapping[str, str] = {
    teen: ty
    for teen, number in TEENS.items()
    for ty, tens in TENS.items()
    if teen.endswith("teen") and tens == (number - 10) * 10
}
"""``fifteen`` to ``fifty``: what no ear tells apart for certain."""

SWAPPED: Mapping[str, str] = {**TEEN_OR_TY, **{ty: teen for teen, ty in TEEN_OR_TY.items()}}


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A look with its meaning: an event, or None where its words mean nothing now."""

    words: Words
    event: Event | None


@dataclass(frozen=True, kw_only=True)
class Judgement:
    """The meanings worth having, likeliest first, and how sure they are together (0 to 1).

    One meaning that is ``sure`` is acted on, others are asked about; none is nothing for us, and
    ``why`` says why.
    """

    words: Words
    meanings: tuple[Event, ...]
    sure: bool
    confidence: float
    why: str | None = None


def judge(looks: Sequence[Reading], other: Reading | None, context: Listening) -> Judgement:
    """Judge the looks at one sound.

    ``other`` is the best look with its teen or ty swapped, where it has one and that means
    something too: it is asked about unless only one of the two is likely. A reading that is not
    likely is asked about too, however well it was heard.
    """
    heard = [look for look in looks if look.event is not None]
    if not heard:
        words = looks[0].words if looks else ()
        why = "the words mean nothing now" if words else "no words were found"
        return Judgement(words=words, meanings=(), sure=False, confidence=0.0, why=why)
    groups = _by_meaning(heard)
    first = groups[0]
    share = len(first) / len(looks)
    event = first[0].event
    assert event is not None
    if share == 1.0 or (share > 0.5 and is_harmless(event)):
        doubted = _equallyis_likely(event, other, context)
        meanings = tuple(one for one in (event, doubted) if one is not None)
        return Judgement(
            words=first[0].words,
            meanings=meanings,
            sure=doubted is None and is_likely(event, context) is not False,
            confidence=share,
        )
    if share > 0.5:
        meanings = tuple(group[0].event for group in groups[:2] if group[0].event)
        return Judgement(words=first[0].words, meanings=meanings, sure=False, confidence=share)
    return Judgement(
        words=first[0].words,
        meanings=(),
        sure=False,
        confidence=share / 2,
        why="it was heard in more ways than one",
    )


def _by_meaning(looks: Sequence[Reading]) -> list[list[Reading]]:
    groups: list[list[Reading]] = []
    for look in looks:
        for group in groups:
            if group[0].event == look.event:
                group.append(look)
                break
        else:
            groups.append([look])
    return sorted(groups, key=len, reverse=True)


def is_harmless(event: Event) -> bool:
    """Whether a mistake would cost no more than a sentence."""
    return isinstance(event, CommandGiven) and event.command in QUERIES


def _equallyis_likely(event: Event, other: Reading | None, context: Listening) -> Event | None:
    if other is None or other.event is None or other.event == event:
        return None
    if is_likely(other.event, context) is False and is_likely(event, context) is not False:
        return None
    return other.event


def swapped(words: Words) -> Words | None:
    """The words with the last teen or ty that stands alone swapped for its likeness, or None."""
    for place in range(len(words) - 1, -1, -1):
        word = words[place]
        followed = place + 1 < len(words) and words[place + 1] in _units
        if word in SWAPPED and not (word in TENS and followed):
            return (*words[:place], SWAPPED[word], *words[place + 1 :])
    return None


_units = frozenset({"one", "two", "three", "four", "five", "six", "seven", "eight", "nine"})
