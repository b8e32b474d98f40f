"""What the loop of a day needs of a voice, and the voice that never says anything."""

from typing import Protocol

from assistant.day.effects import Effect
from assistant.day.events import Event
from assistant.talk import Talk
from assistant.voice_news import EarStatus, News


class DayVoice(Protocol):
    """What the loop needs of a voice; see :class:`~assistant.live_voice.LiveVoice`."""

    @property
    def status(self) -> EarStatus | None:
        """What the ear does now; None where there is no voice at all."""
        ...

    def start(self, talk: Talk) -> None:
        """Begin to listen and to speak."""
        ...

    def follow(
        self, event: Event | None, effects: tuple[Effect, ...], talk: Talk, *, heard: bool
    ) -> None:
        """Speak what an event came to."""
        ...

    def news(self) -> list[News]:
        """What was heard and what went wrong since the last time."""
        ...

    def finish(self, timeout_s: float) -> bool:
        """Wait until all is said."""
        ...


class Silence:
    """A day without a voice: nothing is spoken, and nothing is ever heard."""

    status = None

    def start(self, talk: Talk) -> None:
        """Nothing begins."""

    def follow(
        self, event: Event | None, effects: tuple[Effect, ...], talk: Talk, *, heard: bool
    ) -> None:
        """Nothing is spoken."""

    def news(self) -> list[News]:
        """Never anything."""
        return []

    def finish(self, timeout_s: float) -> bool:
        """All is said."""
        return True
