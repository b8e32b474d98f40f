"""What weighed candidates for a sound are worth: act, ask, or leave it.

Each candidate has a cost in natural logarithms: how strange the sound would be for it, less what
the looks' votes are worth, more where it is not what is likely now. Candidates that mean the same
stand together. What is far from the sound is not for us; what has a rival nearby is asked about. A
wrong number on the record is worse than none.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.day.commands import Command
from assistant.day.events import CommandGiven, Event, NumberSaid, ReadingTaken, TimerRequested
from assistant.day.listening import Listening
from assistant.hearing.engine import Candidate
from assistant.hearing.likely import is_likely
from assistant.hearing.spoken import Words
from assistant.hearing.trust import Judgement, is_harmless, swapped

VOTE_WORTH = 5.0
UNLIKELY_COST = 3.0
"""Calibrated, as the limits below, on 80 sentences in eight noises by the voices for tuning."""

STRANGEST, STRANGEST_FIGURE = 2.2, 1.6
"""The strangeness for each phone up to which a sound is for us at all, and up to which a figure is
acted on. Half of what was meant for us was below 1 over a boil 10 dB below the voice and nearly all
below 2, other people's talk above 2.6; of the figures that were wrong half were above 1.6."""

NOT_EXPECTED = "it does not sound like anything expected now"

SURE, SURE_OF_A_FIGURE = 3.0, 5.0
"""How far the next meaning must be behind to act: for what costs little, and for figures."""

SURE_OF_A_TEEN = SURE_OF_THE_UNLIKELY = SURE_TO_TAKE_BACK = 9.0
"""The same for figures that differ only by a teen for a ty, for a reading that is not likely now
(which the day asks about of itself), and for what takes back the step before: "that's done" and
"that's wrong" sound much alike."""


@dataclass(frozen=True, kw_only=True)
class Meant:
    """A candidate with its meaning: an event, or None where its words mean nothing now."""

    candidate: Candidate
    event: Event | None


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """A meaning, the wording that fits the sound best, and what the meaning costs.

    ``cost`` counts the ``votes`` for it, ``unvoted`` does not.
    """

    event: Event | None
    candidate: Candidate
    unvoted: float
    votes: int

    @property
    def cost(self) -> float:
        """What the meaning costs, less what its votes are worth."""
        return self.unvoted - VOTE_WORTH * self.votes


def weigh(meant: Sequence[Meant], context: Listening, *, suspect: bool = False) -> Judgement:
    """Judge the candidates for one sound.

    Of a ``suspect`` sound, which has lost some of its middle, no figure is acted on unasked.
    """
    ranked = by_meaning(meant, context)
    if not ranked:
        return _nothing((), "no words were found")
    first = ranked[0]
    words = first.candidate.words
    if first.candidate.strangeness > STRANGEST * first.candidate.phones:
        return _nothing(words, NOT_EXPECTED)
    if first.event is None:
        return _nothing(words, "the words mean nothing now")
    near = [one for one in ranked[1:] if one.cost - first.cost < _needed(first, one, context)]
    strange = first.candidate.strangeness > STRANGEST_FIGURE * first.candidate.phones
    # A figure is believed where both models have it: the one by its phones, the other by a vote.
    by_phones = min(ranked, key=lambda one: one.unvoted)
    agreed = first.votes > 0 and first.unvoted <= by_phones.unvoted
    unsafe = (_has_figure(first.event) and (suspect or strange or not agreed)) or (
        _takes_back(first.event, context) and strange
    )
    margin = ranked[1].cost - first.cost if len(ranked) > 1 else math.inf
    others = [*near, by_phones] if _has_figure(first.event) else near
    other = next((one.event for one in others if one.event not in (None, first.event)), None)
    return Judgement(
        words=words,
        meanings=(first.event,) if other is None else (first.event, other),
        sure=not near and not unsafe,
        confidence=1 / (1 + math.exp(-margin / 2)),
    )


def by_meaning(meant: Iterable[Meant], context: Listening) -> list[Weighed]:
    """The meanings, the cheapest first; a vote for one wording counts for all of its meaning."""
    groups: list[list[Meant]] = []
    for one in meant:
        for group in groups:
            if group[0].event == one.event:
                group.append(one)
                break
        else:
            groups.append([one])
    weighed = []
    for group in groups:
        best = min(group, key=lambda one: one.candidate.strangeness)
        votes = sum(one.candidate.votes for one in group)
        unvoted = best.candidate.strangeness
        if best.event is not None and is_likely(best.event, context) is False:
            unvoted += UNLIKELY_COST
        weighed.append(
            Weighed(event=best.event, candidate=best.candidate, unvoted=unvoted, votes=votes)
        )
    return sorted(weighed, key=lambda one: one.cost)


def _needed(first: Weighed, other: Weighed, context: Listening) -> float:
    """How far behind a meaning must be for the first to be acted on."""
    if first.event is None or is_harmless(first.event):
        return 0.0
    if _takes_back(first.event, context):
        return SURE_TO_TAKE_BACK
    if not _has_figure(first.event):
        return SURE
    if is_likely(first.event, context) is False:
        return SURE_OF_THE_UNLIKELY
    return SURE_OF_A_TEEN if _differ_by_a_teen(first, other) else SURE_OF_A_FIGURE


def _differ_by_a_teen(first: Weighed, other: Weighed) -> bool:
    return swapped(first.candidate.words) == other.candidate.words


def _takes_back(event: Event | None, context: Listening) -> bool:
    """Whether this undoes what was said before; a no to a question does not."""
    if not isinstance(event, CommandGiven):
        return False
    asked = bool(context.question or context.doubt or context.options)
    return event.command is Command.UNDO or (event.command is Command.NO and not asked)


def _has_figure(event: Event | None) -> bool:
    return isinstance(event, ReadingTaken | NumberSaid | TimerRequested)


def _nothing(words: Words, why: str) -> Judgement:
    return Judgement(words=words, meanings=(), sure=False, confidence=0.0, why=why)
