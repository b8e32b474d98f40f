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

CORE_TROUBLES: Mapping[Trouble, events.Trouble] = {
    **dict.fromkeys(NO_EAR, events.Trouble.MICROPHONE_GONE),
    Trouble.MICROPHONE_BACK: events.Trouble.MICROPHONE_BACK,
    Trouble.TOO_LOUD: events.Trouble.TOO_LOUD,
    Trouble.QUIET_AGAIN: events.Trouble.QUIET_AGAIN,
}
"""What the core has words for; the others are only a line on the screen."""

SAID_BY_CORE = frozenset({Trouble.TOO_LOUD, Trouble.QUIET_AGAIN})
"""The core says them in full, so that a line would tell them twice."""


def trouble_news(trouble: Trouble, at: float, *, ever_worked: bool) -> News:
    """What to tell of a trouble of the ear.

    A microphone that was never there is told in a line, with what to do, and not as a loss.
    """
    told = CORE_TROUBLES.get(trouble)
    lost = trouble in NO_EAR and not ever_worked
    return News(
        event=None if told is None or lost else EarTroubled(at=at, trouble=told),
        line="" if trouble in SAID_BY_CORE else trouble.line,
    )
