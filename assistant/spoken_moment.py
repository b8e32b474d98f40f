"""What could be said when: an utterance is judged by what held as it began, not as it is heard."""

from collections import deque
from dataclasses import dataclass

from assistant.day.listening import Listening
from assistant.hearing.ear.speech import Utterance

LISTENINGS_KEPT = 64
"""Changes of what can be said; an utterance and its wait last seconds, not dozens of changes."""


@dataclass(frozen=True, kw_only=True, eq=False)
class SpokenMoment:
    """An utterance, the moment ``at`` which it ended, in seconds of the day, and what held as it
    began: what could be said, and whether an answer ``was_open`` that needs no wake word.

    It is ``early`` where it may yet go on.
    """

    utterance: Utterance
    at: float
    context: Listening
    was_open: bool
    early: bool = False

    def is_the_same(self, other: "SpokenMoment") -> bool:
        """Whether these are the same words, one perhaps early."""
        mine, theirs = self.utterance, other.utterance
        return (mine.started_s, mine.ended_s, mine.suspect, self.context) == (
            theirs.started_s,
            theirs.ended_s,
            theirs.suspect,
            other.context,
        )


class Contexts:
    """What could be said at each moment; every moment is in seconds of one clock."""

    def __init__(self) -> None:
        self._since: deque[tuple[float, Listening]] = deque(maxlen=LISTENINGS_KEPT)

    def hold(self, context: Listening, at_s: float) -> None:
        """From now on this can be said."""
        if not self._since or self._since[-1][1] != context:
            self._since.append((at_s, context))

    @property
    def now(self) -> Listening:
        """What can be said now; raises IndexError before the first."""
        return self._since[-1][1]

    def at(self, at_s: float) -> Listening:
        """What could be said then, or first; raises IndexError before the first."""
        return next(
            (one for since_s, one in reversed(self._since) if since_s <= at_s), self._since[0][1]
        )
