"""What a live voice has to tell the loop of the day, and how its troubles reach the core."""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.day import events
from assistant.day.events import EarTroubled, Event
from assistant.hearing.ear.trouble import Trouble


@dataclass(frozen=True, kw_only=True)
class News:
    """An ``event`` for the core, a ``line`` for the screen, or both; ``words`` are those heard.

    The event's ``at`` is when its words ended, in seconds of the day; by now more may have passed.
    """

    event: Event | None = None
    words: str = ""
    line: str = ""


@dataclass(frozen=True, kw_only=True)
class EarStatus:
    """What the ear does now: ``deaf`` without a microphone, ``muted`` while something sounds,
    ``awaiting`` an answer without the wake word; ``level_db`` and ``floor_db`` are dBFS.
    """

    deaf: bool
    muted: bool
    awaiting: bool
    speaking: bool
    level_db: float
    floor_db: float


NO_EAR = frozenset(
    {
        Trouble.NO_SOUNDDEVICE,
        Trouble.NO_PORTAUDIO,
        Trouble.NO_MICROPHONE,
        Trouble.NO_SUCH_MICROPHONE,
        Trouble.MICROPHONE_REFUSED,
        Trouble.RATE_REFUSED,
        Trouble.MICROPHONE_GONE,
        Trouble.MICROPHONE_STUCK,
        Trouble.EAR_FAILED,
    }
)

EAR_AGAIN = frozenset({Trouble.MICROPHONE_BACK, Trouble.EAR_BACK})

OF_THE_EAR = frozenset({Trouble.EAR_FAILED, Trouble.EAR_BACK})
"""The others in :data:`NO_EAR` and :data:`EAR_AGAIN` are the microphone's."""

CORE_TROUBLES: Mapping[Trouble, events.Trouble] = {
    **dict.fromkeys(NO_EAR, events.Trouble.MICROPHONE_GONE),
    **dict.fromkeys(EAR_AGAIN, events.Trouble.MICROPHONE_BACK),
    Trouble.TOO_LOUD: events.Trouble.TOO_LOUD,
    Trouble.QUIET_AGAIN: events.Trouble.QUIET_AGAIN,
}
"""What the core has words for; the others are only a line on the screen."""

SAID_BY_CORE = frozenset({Trouble.TOO_LOUD, Trouble.QUIET_AGAIN})
"""The core says them in full, so that a line would tell them twice."""


class EarNews:
    """What to tell of the troubles of an ear: nobody is heard while it, or its microphone, is lost.

    A microphone that was never there is told in a line, with what to do, and not as a loss.
    """

    def __init__(self) -> None:
        self._ear_lost = self._microphone_lost = False

    def of(self, trouble: Trouble, at: float, *, ever_worked: bool) -> News:
        """The news of one more trouble."""
        was_lost = self._lost
        self._note(trouble)
        told = CORE_TROUBLES.get(trouble)
        if trouble in NO_EAR | EAR_AGAIN and self._lost == was_lost:
            told = None
        if trouble in NO_EAR and not ever_worked:
            told = None
        return News(
            event=None if told is None else EarTroubled(at=at, trouble=told),
            line="" if trouble in SAID_BY_CORE else trouble.line,
        )

    @property
    def _lost(self) -> bool:
        return self._ear_lost or self._microphone_lost

    def _note(self, trouble: Trouble) -> None:
        if trouble in NO_EAR | EAR_AGAIN:
            lost = trouble in NO_EAR
            if trouble in OF_THE_EAR:
                self._ear_lost = lost
            else:
                self._microphone_lost = lost
