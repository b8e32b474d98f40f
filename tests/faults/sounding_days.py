"""Long days with the true synthesiser and the true recogniser, sound going through memory.

The microphone gives sound in real time, as the ear needs it. The loudspeaker plays ``PLAYS_FASTER``
times as fast as a true one: on a clock that is sped up a program would else speak all the time.
"""

import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from audio import SoundRoom
from long_days import LongDays
from room_sounds import Samples, room, sound, spoken

from assistant.engines import POCKETSPHINX, open_engine
from assistant.hearing.engine import RATE_HZ
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.recogniser import Recogniser
from assistant.live_voice import LiveVoice
from assistant.record.journal import Journal
from assistant.samples import rehearsed_sample
from assistant.schedule import load
from assistant.speaking.voice import Voice

BLOCK_S = 0.02
PLAYS_FASTER = 10
FALLEN_BEHIND_S = 1.0
"""Where the machine is too busy for so long, the microphone goes on from now."""


class Air:
    """Microphone and loudspeaker in a thread of their own, and a mouth that speaks into one."""

    def __init__(self, devices: SoundRoom, live: LiveVoice) -> None:
        self._devices, self._live = devices, live
        self._noise, self._at = room(20.0), 0
        self._speech: Samples = np.zeros(0)
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._run, name="air", daemon=True)
        self.sounded_s = 0.0

    def start(self) -> None:
        self._thread.start()

    def close(self) -> None:
        self._closing.set()
        self._thread.join()

    def free(self) -> bool:
        """See :class:`~long_days.Mouth`."""
        status = self._live.status
        return not (self._speech.size or status.muted or status.deaf or status.speaking)

    def say(self, words: str) -> None:
        """See :class:`~long_days.Mouth`."""
        self._speech = spoken(f"kettle, {words}")
        # Kept for other tests it would be memory that grows.
        spoken.cache_clear()

    def _run(self) -> None:
        due_s = time.monotonic()
        while not self._closing.is_set():
            self._record(round(BLOCK_S * RATE_HZ))
            self._play()
            due_s = max(due_s + BLOCK_S, time.monotonic() - FALLEN_BEHIND_S)
            time.sleep(max(due_s - time.monotonic(), 0.0))

    def _record(self, count: int) -> None:
        block = self._noise.take(range(self._at, self._at + count), mode="wrap")
        self._at += count
        said, self._speech = self._speech[:count], self._speech[count:]
        block[: said.size] += said
        for stream in self._devices.inputs.streams[-1:]:
            stream.deliver(sound(block))

    def _play(self) -> None:
        self._devices.played.clear()
        for stream in self._devices.streams[-1:]:
            for _ in range(PLAYS_FASTER if stream.active else 0):
                if stream.ask(round(BLOCK_S * stream.samplerate)).any():
                    self.sounded_s += BLOCK_S


@dataclass(frozen=True, kw_only=True)
class Sounding:
    """Long days, and what has processes of its own in them."""

    days: LongDays
    engine: EngineProcess
    voice: Voice
    air: Air


@contextmanager
def sounding_days(
    devices: SoundRoom, folder: Path, *, speed: float, aloud: float, seed: int
) -> Iterator[Sounding]:
    """Days of the rehearsed sample; ``devices`` must be what ``import sounddevice`` gives."""
    with ExitStack() as stack:
        journal = stack.enter_context(Journal.open(folder))
        engine = open_engine(POCKETSPHINX)
        stack.callback(engine.close)
        voice = Voice()
        live = LiveVoice(
            at=lambda: days.day_clock.at(),
            hearing=Recogniser(engine),
            prepare=engine.warm,
            voice=voice,
        )
        stack.callback(live.close)
        air = Air(devices, live)
        stack.callback(air.close)
        days = LongDays(
            load(rehearsed_sample()),
            speed=speed,
            voice=live,
            journal=journal,
            mouth=air,
            aloud=aloud,
            seed=seed,
        )
        stack.callback(days.close)
        air.start()
        days.begin()
        yield Sounding(days=days, engine=engine, voice=voice, air=air)
