"""What makes loud frames an utterance: long enough, voiced enough, and no beep."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from assistant.hearing.ear.frames import FRAME_S, clipped, frames_in, is_tone, level_db
from assistant.hearing.engine import RATE_HZ, Sound

IsVoice = Callable[[Sound], bool]
"""Whether a frame sounds like a voice."""

VOICED_SHARE = 0.25
"""The least share of the loud frames that the voice activity detector must call a voice."""

TONE_SHARE = 0.6
"""From this share of pure tones on it is something that beeps; synthetic speech has none at all."""

CLIPPED_FRAMES = 2

MARGIN_DB = (4.5, 8.0)
MARGIN_BASE_DB = 3.0
MARGIN_PER_SPREAD = 1.3


@dataclass(frozen=True, kw_only=True, eq=False)
class Utterance:
    """What somebody said in one go.

    ``sound`` has some room noise before and after the speech, which went from ``started_s`` to
    ``ended_s`` on the clock of the stream; the sound begins at ``from_s``. ``level_db`` is the
    level of its loud frames and ``noise_db`` the noise floor before it, both dBFS. It is
    ``suspect`` where samples are missing or peaks were clipped, and ``too_long`` where it is
    longer than anything there is to say.
    """

    sound: Sound
    started_s: float
    ended_s: float
    from_s: float
    level_db: float
    noise_db: float
    suspect: bool = False
    too_long: bool = False

    @property
    def above_noise_db(self) -> float:
        """How far the speech stands out of the noise, in dB."""
        return self.level_db - self.noise_db

    @property
    def length_s(self) -> float:
        """The length of the sound, room noise included."""
        return self.sound.size / RATE_HZ


@dataclass(frozen=True, kw_only=True, eq=False)
class Judged:
    """A frame with what is known of it; ``at`` counts the frames before it in the stream."""

    frame: Sound
    at: int
    level_db: float
    voice: bool
    suspect: bool


def judge(frame: Sound, at: int, is_voice: IsVoice, *, suspect: bool) -> Judged:
    """What there is to know of a frame."""
    return Judged(
        frame=frame, at=at, level_db=level_db(frame), voice=is_voice(frame), suspect=suspect
    )


def margin_db(spread_db: float) -> float:
    """How far over the floor speech must be: the more a noise goes up and down, the further."""
    low_db, high_db = MARGIN_DB
    return min(max(MARGIN_BASE_DB + MARGIN_PER_SPREAD * spread_db, low_db), high_db)


def is_speech(loud: Sequence[Judged], shortest_s: float) -> bool:
    """Whether the frames that were loud are somebody speaking, for ``shortest_s`` at least."""
    voiced = sum(judged.voice for judged in loud)
    tones = sum(is_tone(judged.frame) for judged in loud)
    return (
        len(loud) >= frames_in(shortest_s)
        and voiced >= VOICED_SHARE * len(loud)
        and tones <= TONE_SHARE * len(loud)
    )


def utterance(
    kept: Sequence[Judged], loud: Sequence[Judged], noise_db: float, *, too_long: bool
) -> Utterance:
    """The frames ``kept``, of which some are ``loud``, as what was said. Neither may be empty."""
    powers = 10 ** (np.array([judged.level_db for judged in loud]) / 10)
    return Utterance(
        sound=np.concatenate([judged.frame for judged in kept]),
        started_s=loud[0].at * FRAME_S,
        ended_s=(loud[-1].at + 1) * FRAME_S,
        from_s=kept[0].at * FRAME_S,
        level_db=float(10 * np.log10(np.mean(powers))),
        noise_db=noise_db,
        suspect=any(judged.suspect for judged in kept)
        or sum(clipped(judged.frame) for judged in loud) >= CLIPPED_FRAMES,
        too_long=too_long,
    )
