"""A day in a room without hardware, and a voice and a recogniser that do as they are told."""

import importlib
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from faults.audio import SoundRoom

from assistant.day.effects import Effect, Say
from assistant.day.events import Event, TimePassed
from assistant.day.listening import Listening
from assistant.hearing.contract import Hearing
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.engine import EngineFailed, Sound
from assistant.hearing.recogniser import Heard, Verdict
from assistant.hearing.words import NotUnderstood, understand
from assistant.live_voice import LiveVoice
from assistant.speaking.spoken import Spoken
from assistant.talk import talk_of
from assistant.voice_news import News

sys.path.append(str(Path(__file__).parent.parent / "hearing"))
room_sounds = importlib.import_module("room_sounds")
"""Of another room's tests, which are not on the path of these."""

FAILED = EngineFailed("The recogniser told hangs. Say it again, or type it.")

PATIENCE_S = 20.0
"""A safety net only: no test waits for it unless it fails."""


class Quick:
    """A voice whose words are short tones, so that no test waits for a synthesiser."""

    def __init__(self) -> None:
        from assistant.speaking.voice_settings import VoiceSettings

        self.settings = VoiceSettings()
        self.engine = "tones"
        self.gave_up = False
        self.asked: list[str] = []
        self.warmed: list[str] = []

    def set(self, settings: Any) -> None:
        self.settings = settings

    def render(self, text: str) -> Spoken:
        self.asked.append(text)
        wave = np.sin(np.arange(2_000) * 0.1) * 9_000
        return Spoken(sound=wave.astype(np.int16), rate_hz=22_050)

    def warm(self, texts: Any) -> None:
        self.warmed += texts

    def voices(self) -> tuple[Any, ...]:
        from assistant.speaking.voice_settings import VoiceName

        return tuple(VoiceName(id=f"v{n}", name=f"v{n}", language="en-gb") for n in range(3))

    def close(self) -> None:
        pass


def heard_as(words: str, event: Event | None = None, *, woken: bool = False) -> Heard:
    """What a recogniser makes of words: ACT where they mean something, else IGNORE."""
    return Heard(
        words=tuple(words.split()),
        verdict=Verdict.IGNORE if event is None else Verdict.ACT,
        event=event,
        choices=(),
        woken=woken,
        confidence=0.9,
        engine="told",
        seconds=1.0,
    )


class ToldHearing:
    """A recogniser that hears the words that stand in its list, as the strict reading has them."""

    def __init__(self) -> None:
        self.says: list[str | Exception] = []
        self.contexts: list[Listening] = []
        self.asked = 0
        self.suspected: list[bool] = []
        self.hold = threading.Event()
        self.hold.set()
        self.gone = False

    def recognise(
        self, sound: Sound, context: Listening, at: float = 0.0, *, suspect: bool = False
    ) -> Heard:
        if self.gone:
            raise FAILED
        if not sound.any():
            return heard_as("")
        self.asked += 1
        self.suspected.append(suspect)
        self.hold.wait(PATIENCE_S)
        self.contexts.append(context)
        words = self.says.pop(0)
        if isinstance(words, Exception):
            raise words
        woken = words.split()[:1] == ["kettle"]
        try:
            return heard_as(words, understand(words, context, at), woken=woken)
        except NotUnderstood:
            return heard_as(words, woken=woken)


def utterance(length_s: float = 1.0, *, suspect: bool = False) -> Utterance:
    """Somebody said something that took so long."""
    return Utterance(
        sound=np.ones(round(length_s * 16_000), np.int16),
        started_s=1.0,
        ended_s=1.0 + length_s,
        from_s=0.7,
        level_db=-20.0,
        noise_db=-50.0,
        suspect=suspect,
    )


class LiveDay:
    """A day with a live voice in a room, driven as the loop of ``brew`` drives it."""

    def __init__(
        self,
        room: SoundRoom,
        state: Any,
        hearing: Hearing | None,
        voice: Any = None,
        **times: Any,
    ) -> None:
        self.room, self.hearing, self.state = room, hearing, state
        self.voice = voice or Quick()
        self.live = LiveVoice(
            at=lambda: self.state.now_s,
            hearing=hearing,
            voice=self.voice,
            **{"pauses_s": (0.01,), **times},
        )
        self.lines: list[str] = []
        self.events: list[Event] = []
        self.words: list[str] = []
        self.said: list[str] = []
        self.live.start(talk_of(state))

    def happen(self, event: Event, *, heard: bool = False) -> tuple[Effect, ...]:
        from assistant.day.advance import advance

        event = replace(event, at=max(event.at, self.state.now_s))
        self.state, effects = advance(self.state, event)
        self.said += [effect.text for effect in effects if isinstance(effect, Say)]
        self.live.follow(event, effects, talk_of(self.state), heard=heard)
        return effects

    def pass_time(self, seconds: float) -> None:
        self.happen(TimePassed(at=self.state.now_s + seconds))

    def say(self, words: str | Exception, length_s: float = 1.0) -> None:
        """Somebody says this, and the ear has cut it out."""
        assert isinstance(self.hearing, ToldHearing)
        self.hearing.says.append(words)
        self.hear(length_s)

    def hear(self, length_s: float = 1.0, *, suspect: bool = False) -> None:
        """The ear has cut out something that somebody said."""
        self.live._ear._hand_over(utterance(length_s, suspect=suspect))

    def turn(self) -> list[News]:
        """One turn of the loop."""
        found = self.live.news()
        for news in found:
            if news.line:
                self.lines.append(news.line)
            if news.words:
                self.words.append(news.words)
            if news.event is not None:
                self.events.append(news.event)
                self.happen(news.event, heard=True)
        return found

    def until(self, true: Callable[[], bool]) -> None:
        """Let the devices and the loop run until this is true."""
        end = time.monotonic() + PATIENCE_S
        while not true():
            assert time.monotonic() < end, f"it never happened: {self.lines} {self.events}"
            self.run()

    def run(self) -> None:
        """Let the devices and the loop run for a moment."""
        self.room.ask()
        self.room.record()
        self.turn()
        time.sleep(0.001)

    def until_quiet(self) -> None:
        """Until all is said and the ear is open."""
        self.until(lambda: not self.live._announcer.busy and not self.live.status.muted)
