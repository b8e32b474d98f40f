"""What a speech engine is asked and what it answers, whichever engine it is.

An engine takes several looks at one sound. It never decides: what its looks are worth together is
judged in ``trust``.
"""

from dataclasses import dataclass
from typing import Protocol, runtime_checkable

import numpy as np
import numpy.typing as npt

from assistant.hearing.grammar.tree import Grammar
from assistant.hearing.spoken import Words

RATE_HZ = 16_000

OPEN = "open"
"""The name of a look that knew no grammar: its words tell whether it was for us, not what."""

Sound = npt.NDArray[np.int16]
"""Mono samples at :data:`RATE_HZ`."""


class EngineFailed(Exception):
    """The engine could not be started or did not answer; the text says what to do about it."""


@dataclass(frozen=True, kw_only=True)
class Look:
    """What one look made of a sound.

    ``by`` names the look, ``words`` are empty where it found nothing, and ``score`` is the
    engine's own, comparable between looks of the same ``by`` at the same sound only.
    """

    by: str
    words: Words
    score: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A sentence that a sound could have been.

    ``strangeness`` is how much less likely the sound is with it than with the likeliest phones
    whatever they mean, as a natural logarithm, 0 or more. ``phones`` is how many phones it has, and
    ``votes`` how many looks chose it among the candidates. ``unwritten`` is how much less likely a
    model that writes would put it down than the likeliest text, 0 or more; None where there is no
    such model, or where it was not asked.
    """

    words: Words
    strangeness: float
    phones: int
    votes: int
    unwritten: float | None = None


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """All that an engine found in one sound, ``seconds`` long.

    An engine that can weigh sentences gives ``candidates``, the least strange first, and its looks
    have voted among them; the looks of another stand alone. ``at_a_glance`` tells that it looked
    only as far as costs little; ``written`` is what a model that writes put down of itself, knowing
    no grammar.
    """

    engine: str
    seconds: float
    looks: tuple[Look, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    at_a_glance: bool = False
    written: str = ""


class Engine(Protocol):
    """Something that hears; implementations live in a process of their own."""

    name: str

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        """The looks at a sound, given what can be said now.

        Raises :class:`EngineFailed` where there is no answer.
        """
        ...

    def close(self) -> None:
        """Let go of the process and the model."""
        ...


@runtime_checkable
class Glancing(Protocol):
    """An engine that can look a first time at little cost; most of what is said is clear enough."""

    def glance(self, sound: Sound, grammar: Grammar) -> Evidence | None:
        """What a first look finds, or None where the engine, as it is here, has no such look.

        Raises :class:`EngineFailed` where there is no answer.
        """
        ...
