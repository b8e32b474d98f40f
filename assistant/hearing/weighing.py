"""What weighed candidates for a sound are worth: act, ask, or leave it.

Each candidate has a cost: how strange the sound would be for it, how unlikely it would be written,
less what the looks' votes are worth, more where it is not what is likely now. Candidates that mean
the same stand together. What is far from the sound is not for us; what has a rival nearby, or what
too few of the models have, is asked about. A wrong number on the record is worse than none.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from assistant.day.commands import Command
from assistant.day.events import CommandGiven, Event, NumberSaid, ReadingTaken, TimerRequested
from assistant.day.listening import Listening
from assistant.hearing.engine import Candidate
from assistant.hearing.likely import is_likely
from assistant.hearing.scales import Scale
from assistant.hearing.spoken import Words
from assistant.hearing.trust import Judgement, is_harmless, swapped

NOT_EXPECTED = "it does not sound like anything expected now"


@dataclass(frozen=True, kw_only=True)
class Meant:
    """A candidate with its meaning: an event, or None where its words mean nothing now."""

    candidate: Candidate
    event: Event | None


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """A meaning and what its wordings come to together.

    ``candidate`` is the wording that fits the sound best; ``strangeness`` counts what is unlikely
    now, ``unwritten`` is 0 where no model writes, and ``cost`` is what all of it comes to.
    """

    event: Event | None
    candidate: Candidate
    strangeness: float
    unwritten: float
    votes: int
    cost: float


def weigh(
    meant: Sequence[Meant], context: Listening, scale: Scale, *, suspect: bool = False
) -> Judgement:
    """Judge the candidates for one sound.

    Of a ``suspect`` sound, which has lost some of its middle, no figure is acted on unasked.
    """
    ranked = by_meaning(meant, context, scale)
    if not ranked:
        return _nothing((), "no words were found")
    first = ranked[0]
    words = first.candidate.words
    odd = _oddness(first, scale)
    if odd > scale.oddest:
        return _nothing(words, NOT_EXPECTED)
    if first.event is None:
        return _nothing(words, "the words mean nothing now")
    near = [
        one for one in ranked[1:] if one.cost - first.cost < _needed(first, one, context, scale)
    ]
    firsts = _firsts(ranked, scale)
    margin = ranked[1].cost - first.cost if len(ranked) > 1 else math.inf
    others = [*near, *firsts] if _has_figure(first.event) else near
    other = next((one.event for one in others if one.event not in (None, first.event)), None)
    return Judgement(
        words=words,
        meanings=(first.event,) if other is None else (first.event, other),
        sure=not near and _believed(first, firsts, odd, context, scale, suspect=suspect),
        confidence=1 / (1 + math.exp(-margin / 2)),
    )


def by_meaning(meant: Iterable[Meant], context: Listening, scale: Scale) -> list[Weighed]:
    """The meanings, the cheapest first; a vote for one wording counts for all of its meaning."""
    groups: list[list[Meant]] = []
    for one in meant:
        for group in groups:
            if group[0].event == one.event:
                group.append(one)
                break
        else:
            groups.append([one])
    written = [_unwritten(group) for group in groups]
    lowest = min((one for one in written if one is not None), default=0.0)
    weighed = (
        _weighed(group, _bounded(unwritten, lowest, scale), context, scale)
        for group, unwritten in zip(groups, written, strict=True)
    )
    return sorted(weighed, key=lambda one: one.cost)


def _bounded(unwritten: float | None, lowest: float, scale: Scale) -> float:
    if unwritten is None:
        return lowest + scale.unwritten_unasked
    return min(unwritten, lowest + scale.unwritten_most)


def _weighed(group: Sequence[Meant], unwritten: float, context: Listening, scale: Scale) -> Weighed:
    best = min(group, key=lambda one: one.candidate.strangeness)
    votes = sum(one.candidate.votes for one in group)
    strangeness = best.candidate.strangeness
    if best.event is not None and is_likely(best.event, context) is False:
        unlikely_cost = scale.unlikely_cost
    else:
        unlikely_cost = 0.0
    return Weighed(
        event=best.event,
        candidate=best.candidate,
        strangeness=strangeness + unlikely_cost,
        unwritten=unwritten,
        votes=votes,
        cost=strangeness + unwritten + unlikely_cost - scale.vote_worth * votes,
    )


def _unwritten(group: Sequence[Meant]) -> float | None:
    """How unwritten a meaning is: its wordings are ways of writing it, their likelihoods add up."""
    known = [one.candidate.unwritten for one in group if one.candidate.unwritten is not None]
    if not known:
        return None
    lowest = min(known)
    return lowest - math.log(sum(math.exp(lowest - one) for one in known))


def _oddness(one: Weighed, scale: Scale) -> float:
    by_phones = one.candidate.strangeness / max(one.candidate.phones, 1)
    return by_phones + scale.unwritten_share * one.unwritten


def _firsts(ranked: Sequence[Weighed], scale: Scale) -> list[Weighed]:
    """What each model alone would have, the phones first; looks that voted for none have none."""
    keys: list[Callable[[Weighed], float]] = [lambda one: one.strangeness]
    if scale.unwritten_most:
        keys.append(lambda one: one.unwritten)
    if any(one.votes for one in ranked):
        keys.append(lambda one: -one.votes)
    return [min(ranked, key=key) for key in keys]


def _believed(
    first: Weighed,
    firsts: Sequence[Weighed],
    odd: float,
    context: Listening,
    scale: Scale,
    *,
    suspect: bool,
) -> bool:
    """Whether enough of the models have a meaning that has no rival nearby."""
    if first.event is None or is_harmless(first.event):
        return True
    agreeing = sum(one is first for one in firsts)
    needed = scale.agreeing_on_a_figure if _has_figure(first.event) else scale.agreeing_on_a_step
    if agreeing < (scale.models if odd > scale.oddest_unless_all else needed):
        return False
    if not _has_figure(first.event):
        takes_back = _takes_back(first.event, context)
        return odd <= (scale.oddest_figure if takes_back else scale.oddest_step)
    by_phones = firsts[0]
    return (
        not suspect
        and odd <= scale.oddest_figure
        and first.strangeness - by_phones.strangeness <= scale.strangest_figure
    )


def _needed(first: Weighed, other: Weighed, context: Listening, scale: Scale) -> float:
    """How far behind a meaning must be for the first to be acted on."""
    if first.event is None or is_harmless(first.event):
        return 0.0
    if _takes_back(first.event, context):
        return scale.sure_to_take_back
    if not _has_figure(first.event):
        return scale.sure
    needed = scale.sure_of_a_figure
    if is_likely(first.event, context) is False:
        needed = max(needed, scale.sure_of_the_unlikely)
    if swapped(first.candidate.words) == other.candidate.words:
        needed = max(needed, scale.sure_of_a_teen)
    if _part_of(first.candidate.words, other.candidate.words):
        needed = max(needed, scale.sure_of_a_part)
    return needed


def _part_of(one: Words, other: Words) -> bool:
    """Whether one sentence is the other with words left out."""
    short, long = sorted((one, other), key=len)
    rest = iter(long)
    return len(short) < len(long) and all(word in rest for word in short)


def _takes_back(event: Event | None, context: Listening) -> bool:
    """Whether this undoes what was said before; a no to a question does not."""
    if not isinstance(event, CommandGiven):
        return False
    asked = bool(context.question or context.doubt or context.options)
    return event.command is Command.UNDO or (event.command is Command.NO and not asked)


def _has_figure(event: Event | None) -> bool:
    """Whether an event carries a number that goes on the record."""
    return isinstance(event, ReadingTaken | NumberSaid | TimerRequested)


def _nothing(words: Words, why: str) -> Judgement:
    return Judgement(words=words, meanings=(), sure=False, confidence=0.0, why=why)
