"""Text to sound, with a worker process that is started again whenever it fails.

What was said before is kept, so that a fixed prompt costs nothing; what will be said can be warmed
beforehand.
"""

import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import TypeVar

import numpy as np

from assistant.backing_off import PAUSES_S, BackingOff, Pauses
from assistant.speaking.kept_sounds import KeptSounds
from assistant.speaking.spoken import Spoken, at_peak, at_volume
from assistant.speaking.voice_process import (
    SAYING_S,
    STARTING_S,
    WORKER,
    VoiceProcess,
    WorkerFailed,
)
from assistant.speaking.voice_settings import VoiceName, VoiceSettings
from assistant.speaking.voice_worker import NO_SUCH_VOICE
from assistant.speaking.warming import Warming

ATTEMPTS = 3
"""How often an item is tried before it is left to the screen, each time with a new worker."""

TRIAL = "ready"
"""A word said to nobody, to learn whether a voice that was given up can speak again."""

KEPT_BYTES = 24_000_000
"""Some 150 sentences of 3.6 s at 22 050 samples a second: more than a day's different prompts."""

PEAK = 0.7
"""Loudest sample of full volume, of full scale, so that a chime fits on top of it unclipped."""

INSTALL = {
    "espeak-ng": "the package espeak-ng, or python -m pip install espeakng-loader",
    "pyttsx3": "python -m pip install pyttsx3",
}
PACKAGE_OF_PLATFORM = "espeak-ng" if sys.platform.startswith("linux") else "pyttsx3"

Result = TypeVar("Result")


class VoiceFailed(Exception):
    """Nothing can be spoken; the text says why and which package to install."""


class Voice:
    """The one voice of a day. Every method can be called from any thread.

    ``worker`` is the command that starts a worker, ``attempts`` how often an item is tried,
    ``saying_s`` how many seconds it may take, ``kept_bytes`` how much sound is kept. A voice that
    failed as often is given up, and left alone for each of ``pauses_s``: or each sentence of the
    day would wait for it.
    """

    def __init__(
        self,
        settings: VoiceSettings | None = None,
        *,
        worker: Sequence[str] = WORKER,
        attempts: int = ATTEMPTS,
        starting_s: float = STARTING_S,
        saying_s: float = SAYING_S,
        pauses_s: Pauses = PAUSES_S,
        kept_bytes: int = KEPT_BYTES,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._settings = settings or VoiceSettings()
        self._worker = tuple(worker)
        self._attempts = attempts
        self._backing_off = BackingOff(pauses_s, now_s=clock)
        self._starting_s, self._saying_s = starting_s, saying_s
        self._one_at_a_time = threading.RLock()
        self._process: VoiceProcess | None = None
        self._process_settings: VoiceSettings | None = None
        self._closed = False
        self._callers, self._callers_lock = 0, threading.Lock()
        self._nobody_asks = threading.Event()
        self._nobody_asks.set()
        self._gave_up: str | None = None
        self._kept = KeptSounds(kept_bytes)
        self._warming = Warming(self._when_nobody_asks)

    @property
    def settings(self) -> VoiceSettings:
        """How it speaks now."""
        return self._settings

    @property
    def engine(self) -> str | None:
        """The synthesiser's name, such as ``espeak-ng 1.51``; None before it was needed."""
        process = self._process
        return process.engine if process else None

    @property
    def worker_pid(self) -> int | None:
        """The id of the worker process; None while there is none."""
        process = self._process
        return process.pid if process else None

    def set(self, settings: VoiceSettings) -> None:
        """Speak so from the next item on; what was to be warm is warmed in the new manner."""
        changed = _manner(settings) != _manner(self._settings)
        self._settings = settings
        if changed:
            self._warming.again()

    def render(self, text: str) -> Spoken:
        """The sound of a text, at the volume set.

        Text without a word is silence. Raises :class:`VoiceFailed`.
        """
        settings = self._settings
        with self._asking():
            spoken = self._at_full_volume(text, settings)
        return at_volume(spoken, settings.volume)

    def warm(self, texts: Iterable[str]) -> None:
        """Render these in the background, so that they are there when they are to be said."""
        self._warming.take(texts)

    def is_warm(self, text: str) -> bool:
        """Whether a text can be said at once in the present manner."""
        return (text, *_manner(self._settings)) in self._kept

    def voices(self) -> tuple[VoiceName, ...]:
        """The voices there are; raises :class:`VoiceFailed`."""
        return self._tried(self._settings, lambda process: process.voices())

    @property
    def gave_up(self) -> bool:
        """Whether it was given up, and has said nothing new since."""
        return self._gave_up is not None

    def try_again(self) -> None:
        """Have a voice that was given up speak to nobody, unless it rests from the last trial.

        Raises :class:`VoiceFailed` while it fails.
        """
        if self._gave_up is not None:
            self._tried(self._settings, lambda process: process.say(TRIAL), attempts=1)

    def close(self) -> None:
        """End the worker, whatever it does; the voice can't be used any more."""
        self._closed = True
        process = self._process
        if process is not None:
            process.abort()
        self._warming.stop()
        with self._one_at_a_time:
            self._drop_process()

    @contextmanager
    def _asking(self) -> Iterator[None]:
        with self._callers_lock:
            self._callers += 1
            self._nobody_asks.clear()
        try:
            yield
        finally:
            with self._callers_lock:
                self._callers -= 1
                if not self._callers:
                    self._nobody_asks.set()

    def _when_nobody_asks(self, text: str) -> bool:
        """Make a text warm once nothing is waited for; whether that could be done."""
        self._nobody_asks.wait()
        try:
            self._at_full_volume(text, self._settings)
        except Exception:
            # Whoever says something is told; here only time would be lost.
            return False
        return True

    def _at_full_volume(self, text: str, settings: VoiceSettings) -> Spoken:
        key = (text, *_manner(settings))
        kept = self._kept.get(key)
        if kept is not None:
            return kept
        if not any(letter.isalnum() for letter in text):
            return Spoken(sound=np.zeros(0, dtype=np.int16), rate_hz=22_050)
        with self._one_at_a_time:
            # Whoever had the worker before may have wanted the same text.
            kept = self._kept.get(key)
            if kept is None:
                kept = at_peak(self._tried(settings, lambda process: process.say(text)), PEAK)
                self._kept.put(key, kept)
        return kept

    def _tried(
        self,
        settings: VoiceSettings,
        order: Callable[[VoiceProcess], Result],
        attempts: int | None = None,
    ) -> Result:
        with self._one_at_a_time:
            if self._gave_up is not None and self._backing_off.due_in_s:
                raise VoiceFailed(self._gave_up)
            left = attempts or self._attempts
            while not self._closed:
                try:
                    result = order(self._process_for(settings))
                except WorkerFailed as error:
                    self._drop_process()
                    if error.missing == NO_SUCH_VOICE and settings.voice is not None:
                        settings = self._without_voice(settings)
                        continue
                    left -= 1
                    # A missing package is missing the next time too.
                    if error.missing or not left:
                        raise self._given_up(error) from error
                else:
                    self._gave_up = None
                    self._backing_off.works()
                    return result
            raise VoiceFailed("No voice: it is closed.")

    def _without_voice(self, settings: VoiceSettings) -> VoiceSettings:
        """A voice that is not there is let go: any voice is better than none."""
        if self._settings.voice == settings.voice:
            self._settings = replace(self._settings, voice=None)
        return replace(settings, voice=None)

    def _given_up(self, error: WorkerFailed) -> VoiceFailed:
        lead = "To install it:" if error.missing else "If it goes on, install it again:"
        text = f"No voice: {error}. {lead} {INSTALL[error.missing or PACKAGE_OF_PLATFORM]}."
        self._gave_up = text
        self._backing_off.failed()
        return VoiceFailed(text)

    def _process_for(self, settings: VoiceSettings) -> VoiceProcess:
        if self._process and _manner(settings) != _manner(self._process_settings or settings):
            self._drop_process()
        if self._process is None:
            self._process = VoiceProcess(settings, worker=self._worker, saying_s=self._saying_s)
            self._process_settings = settings
        if self._closed:
            raise WorkerFailed("the voice was closed")
        # Who closes the voice ends a worker that is only starting too.
        self._process.await_ready(self._starting_s)
        return self._process

    def _drop_process(self) -> None:
        if self._process is not None:
            self._process.close()
            self._process = None


def _manner(settings: VoiceSettings) -> tuple[int, str | None]:
    """What a sound depends on before its volume is set."""
    return settings.rate_wpm, settings.voice
