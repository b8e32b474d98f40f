"""The one place where events of a live day happen, whether typed, heard or due.

Nothing else makes the day go on. Whatever hears or speaks does so in threads of its own; what was
heard comes in here like a typed line.
"""

import time
from dataclasses import replace
from typing import Generic, Protocol, TypeVar

from assistant.day.effects import Effect, Refused
from assistant.day.events import Event, ReadingTaken, SensorsTroubled, Source, TimePassed
from assistant.day_clock import DayClock
from assistant.day_voice import DayVoice
from assistant.hearing.words import NotUnderstood, understand
from assistant.sensor_heard import SensorNews, SensorReading
from assistant.talk import Talk
from assistant.voice_news import News

LINE_STANDS_S = 120.0
"""Real seconds that troubles of the voice stay on the screen; what the ear does stays there."""

LINES_SHOWN = 2
"""The microphone's and the loudspeaker's, where neither is there."""


class Happens(Protocol):
    """What events happen to: a :class:`~assistant.session.Session` of a brew day, or a visit."""

    @property
    def talk(self) -> Talk:
        """What holds now between brewer and program."""
        ...

    @property
    def now_s(self) -> float:
        """The moment it has come to, in seconds of the day."""
        ...

    def happen(self, event: Event, wall_s: float) -> tuple[Effect, ...]:
        """Let an event happen."""
        ...


Session = TypeVar("Session", bound=Happens)


class Happening(Generic[Session]):
    """Has events happen to a session, and has what they come to spoken."""

    def __init__(self, session: Session, clock: DayClock, voice: DayVoice) -> None:
        self.session = session
        self._clock, self._voice = clock, voice
        self.heard: list[str] = []
        self.lines: list[str] = []
        self._line_at_s = time.monotonic()

    def begin(self, effects: tuple[Effect, ...]) -> None:
        """Start the voice and have it speak what the day begins with."""
        self._voice.start(self.session.talk)
        self._voice.follow(None, effects, self.session.talk, heard=False)

    def typed(self, line: str) -> tuple[Effect, ...]:
        """What typed words come to; those that mean nothing are answered and change nothing."""
        self.heard.append(line)
        try:
            event = understand(line, self.session.talk.context, self._clock.at())
        except NotUnderstood as error:
            return (Refused(text=str(error)),)
        return self._happen(event)

    def told(self, news: News) -> tuple[Effect, ...]:
        """What something heard comes to, or a trouble of the ear."""
        if news.words:
            self.heard.append(news.words)
        self._add_line(news.line)
        return () if news.event is None else self._happen(news.event, heard=True)

    def sensed(self, reading: SensorReading) -> tuple[Effect, ...]:
        """What a reading of a sensor comes to."""
        return self._happen(
            ReadingTaken(
                at=self._clock.at(),
                quantity=reading.quantity,
                value=reading.value,
                unit=reading.unit,
                source=Source.STREAM,
            )
        )

    def told_of_sensors(self, news: SensorNews) -> tuple[Effect, ...]:
        """What a trouble of the sensors comes to, or its end."""
        self._add_line(news.line)
        if news.trouble is None:
            return ()
        at = self._clock.at()
        return self._happen(SensorsTroubled(at=at, trouble=news.trouble, quantity=news.quantity))

    def troubles(self) -> tuple[str, ...]:
        """The last things that went wrong or right again, for as long as they are news."""
        fresh = time.monotonic() - self._line_at_s < LINE_STANDS_S
        return tuple(self.lines[-LINES_SHOWN:] if fresh else ())

    def pass_time(self) -> tuple[Effect, ...]:
        """What the time that has passed comes to, and what became of the computer's clock in it."""
        effects: tuple[Effect, ...] = ()
        for jump in self._clock.jumps():
            effects += self._happen(jump)
        return effects + self._happen(TimePassed(at=self._clock.at()))

    def _add_line(self, line: str) -> None:
        if line and line not in self.lines[-1:]:
            self.lines.append(line)
            self._line_at_s = time.monotonic()

    def _happen(self, event: Event, *, heard: bool = False) -> tuple[Effect, ...]:
        # By the time words are recognised the clock has gone past the moment they were said.
        event = replace(event, at=max(event.at, self.session.now_s))
        effects = self.session.happen(event, self._clock.wall_s())
        self._voice.follow(event, effects, self.session.talk, heard=heard)
        return effects
