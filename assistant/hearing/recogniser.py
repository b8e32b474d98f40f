"""A sound to what it means now: the grammar of the moment, an engine's looks, and their worth."""

from dataclasses import dataclass, replace
from enum import Enum

from assistant.day.events import Event, HeardUnsurely, Meaning, NoteTaken
from assistant.day.listening import Listening
from assistant.hearing.engine import OPEN, Engine, EngineFailed, Evidence, Glancing, Sound
from assistant.hearing.grammar.sentences import grammar_of
from assistant.hearing.scales import scale_for
from assistant.hearing.spoken import Words, spoken
from assistant.hearing.trust import MEANINGS, Judgement, Reading, judge, swapped
from assistant.hearing.vocabulary import WAKE_WORD
from assistant.hearing.weighing import NOT_EXPECTED, Meant, weigh
from assistant.hearing.words import NotUnderstood, note_taken, understand

BACKED_SHARE = 0.75
"""The share of a grammar's words that must be heard without it too. Chosen, not measured: there is
no English model with such a look here."""


WAKE_WORD_AS_WRITTEN = (WAKE_WORD, "cattle", "kettel", "ketel", "kettles")
"""What a model that writes puts for the wake word, which it does not know as such."""

NOTE_CONFIDENCE = 0.5
"""Of a dictated note: nothing checks its words but the brewer who hears them read back."""


class Verdict(Enum):
    """What to do about a sound."""

    ACT = "act"
    ASK = "ask"
    IGNORE = "ignore"


@dataclass(frozen=True, kw_only=True)
class Heard:
    """What became of a sound.

    ``event`` is what to hand to the core: the meaning itself (ACT), or a doubt about ``choices``
    (ASK); None where it is nothing for us. ``woken`` tells that the wake word came first; with no
    other word after it there is neither event nor choice, and the verdict is IGNORE.
    ``confidence`` is between 0 and 1; ``seconds`` is the length of the sound.
    """

    words: Words
    verdict: Verdict
    event: Event | None
    choices: tuple[Meaning, ...]
    woken: bool
    confidence: float
    engine: str
    seconds: float
    rejected_because: str | None = None


class Recogniser:
    """Hears with one engine. The words are read as those of the keyboard are."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    def recognise(
        self, sound: Sound, context: Listening, at: float = 0.0, *, suspect: bool = False
    ) -> Heard:
        """What a sound means at this moment, ``at`` seconds into the day.

        A ``suspect`` sound has lost some of its middle. Raises
        :class:`~assistant.hearing.engine.EngineFailed` where the engine has no answer.
        """
        evidence, judged = self._judge(sound, context, at, suspect=suspect)
        woken = judged.words[:1] == (WAKE_WORD,)
        if woken and not suspect:
            judged = _with_note(judged, evidence.written, at)
        if judged.words == (WAKE_WORD,):
            judged = replace(judged, meanings=(), sure=False, why="only the wake word")
        choices = tuple(event for event in judged.meanings if isinstance(event, MEANINGS))
        verdict, event = Verdict.IGNORE, None
        if judged.sure:
            verdict, event = Verdict.ACT, judged.meanings[0]
            choices = ()
        elif choices:
            verdict, event = Verdict.ASK, HeardUnsurely(at=at, meanings=choices)
        return Heard(
            words=judged.words,
            verdict=verdict,
            event=event,
            choices=choices,
            woken=woken,
            confidence=judged.confidence,
            engine=evidence.engine,
            seconds=evidence.seconds,
            rejected_because=judged.why if verdict is Verdict.IGNORE else None,
        )

    def _judge(
        self, sound: Sound, context: Listening, at: float, *, suspect: bool
    ) -> tuple[Evidence, Judgement]:
        """What a first look is worth where that is sure, else what all of them are."""
        grammar = grammar_of(context)
        if isinstance(self.engine, Glancing):
            try:
                glanced = self.engine.glance(sound, grammar)
            except EngineFailed:
                glanced = None
            if glanced is not None:
                judged = _weighed(glanced, context, at, suspect=suspect)
                if judged.sure:
                    return glanced, judged
        evidence = self.engine.hear(sound, grammar)
        judge_by = _weighed if evidence.candidates else _agreed
        return evidence, judge_by(evidence, context, at, suspect=suspect)


def _weighed(evidence: Evidence, context: Listening, at: float, *, suspect: bool) -> Judgement:
    meant = [
        Meant(candidate=one, event=_read(one.words, context, at).event)
        for one in evidence.candidates
    ]
    return weigh(meant, context, scale_for(evidence), suspect=suspect)


def _agreed(evidence: Evidence, context: Listening, at: float, *, suspect: bool) -> Judgement:
    looks = [_read(look.words, context, at) for look in evidence.looks if look.by != OPEN]
    best = max(
        looks or [Reading(words=(), event=None)],
        key=lambda look: sum(look.event == other.event for other in looks),
    )
    other = swapped(best.words)
    judged = judge(looks, None if other is None else _read(other, context, at), context)
    if best.words == (WAKE_WORD,):
        return replace(judged, words=best.words, confidence=1.0)
    for look in evidence.looks:
        if look.by == OPEN:
            judged = _backed(judged, look.words)
    return replace(judged, sure=False) if suspect else judged


def _backed(judged: Judgement, free: Words) -> Judgement:
    """What is left of a judgement beside the words of a look that knew no grammar.

    A grammar finds one of its sentences in any talk: where not one of its words was heard without
    it, it was not for us, and where few were, it is asked about.
    """
    share = sum(word in free for word in judged.words) / max(len(judged.words), 1)
    if not share:
        return replace(judged, meanings=(), sure=False, confidence=0.0, why=NOT_EXPECTED)
    return judged if share >= BACKED_SHARE else replace(judged, sure=False)


def _with_note(judged: Judgement, written: str, at: float) -> Judgement:
    """The note that was dictated, if one was: both models have to have the wake word first.

    What else the words could mean does not count: "kettle, note sixty six" is a note.
    """
    called, _, rest = written.partition(" ")
    if called.strip(",.-!").casefold() not in WAKE_WORD_AS_WRITTEN:
        return judged
    note = note_taken(rest, at)
    if not isinstance(note, NoteTaken):
        return judged
    words = (WAKE_WORD, "note", *spoken(note.text))
    meanings = (replace(note, dictated=True),)
    return replace(judged, words=words, meanings=meanings, sure=True, confidence=NOTE_CONFIDENCE)


def _read(words: Words, context: Listening, at: float) -> Reading:
    if not words:
        return Reading(words=(), event=None)
    try:
        event = understand(" ".join(words), context, at)
    except NotUnderstood:
        event = None
    return Reading(words=words, event=event)
