"""The simulated brewer heard by sound: a voice, the noise of the stage, the ear, the recogniser."""

import random
from dataclasses import dataclass

import numpy as np

from assistant.advice.timeline import Stage
from assistant.day.listening import Listening
from assistant.hearing.contract import Hearing
from assistant.hearing.ear.recording import whole
from assistant.hearing.ear.resampling import Resampler
from assistant.hearing.engine import RATE_HZ
from assistant.hearing.recogniser import Heard
from assistant.hearing.vocabulary import WAKE_WORD
from assistant.rehearsal.noise import mixed
from assistant.speaking.figures import said
from assistant.speaking.spoken import Sound
from assistant.speaking.voice import Voice
from assistant.speaking.voice_settings import VoiceSettings, english

RATES_WPM = (140, 155, 170)
"""How fast the brewer may speak at first, in words a minute; all are a calm person's."""

SLOWER_WPM = 20
SLOWEST_WPM = 100


@dataclass(frozen=True, kw_only=True)
class Manner:
    """How a brewer speaks: the voice's id and words a minute."""

    voice: str
    rate_wpm: int


def manner_of(voice: Voice, seed: int) -> Manner:
    """A voice other than the program's usual one, and a speed, by a seed.

    Raises :class:`~assistant.speaking.voice.VoiceFailed` where there is no synthesiser. With a
    single English voice the brewer speaks with that one.
    """
    ids = [one.id for one in english(voice.voices())]
    source = random.Random(seed)
    # Where none was chosen the program speaks with a voice like the first.
    return Manner(voice=source.choice(ids[1:] or ids), rate_wpm=source.choice(RATES_WPM))


class SpokenBrewer:
    """Speaks sentences and has them heard. ``voice`` is for this brewer alone."""

    def __init__(self, voice: Voice, recogniser: Hearing, seed: int) -> None:
        self.voice = voice
        self.recogniser = recogniser
        self.seed = seed
        self.manner = manner_of(voice, seed)
        self.spoken = 0

    def heard(
        self, words: str, context: Listening, stage: Stage, at: float, attempt: int = 0
    ) -> Heard | None:
        """What is heard of a sentence; None where the ear finds no speech in the sound.

        It begins with the wake word, but for the first answer to a doubt, which follows at once.
        Each further ``attempt`` is slower. Raises
        :class:`~assistant.speaking.voice.VoiceFailed` and
        :class:`~assistant.hearing.engine.EngineFailed`.
        """
        rate_wpm = max(self.manner.rate_wpm - attempt * SLOWER_WPM, SLOWEST_WPM)
        self.voice.set(VoiceSettings(rate_wpm=rate_wpm, voice=self.manner.voice))
        bare = bool(context.doubt) and not attempt
        sentence = said(words if bare else f"{WAKE_WORD}, {words}")
        spoken = self.voice.render(sentence)
        self.spoken += 1
        utterance = whole(
            *_in_the_room(spoken.sound, spoken.rate_hz, stage, self.seed * 10_000 + self.spoken)
        )
        if utterance is None:
            return None
        return self.recogniser.recognise(utterance.sound, context, at, suspect=utterance.suspect)


ROOM_S = 0.7
"""Noise before and after the words, as the ear keeps it."""


def _in_the_room(sound: Sound, rate_hz: int, stage: Stage, seed: int) -> tuple[Sound, int]:
    resampler = Resampler(rate_hz)
    room = np.zeros(round(ROOM_S * RATE_HZ), np.int16)
    voice = np.concatenate((room, resampler.feed(sound), resampler.flush(), room))
    return mixed(voice, stage, seed), RATE_HZ
