"""Frames: the 30 ms pieces in which sound is judged, and how loud one is.

Levels are dBFS: decibels of the root mean square below the largest 16-bit sample.
"""

import math
from functools import cache

import numpy as np
import numpy.typing as npt

from assistant.hearing.engine import RATE_HZ, Sound

FRAME_SAMPLES = RATE_HZ * 30 // 1000
FRAME_S = FRAME_SAMPLES / RATE_HZ
FULL_SCALE = 32768.0
SILENCE_DB = -100.0
"""The level given to digital silence, just below that of a last bit that flickers."""

CLIPPED_SAMPLE = 32_700
CLIPPED_IN_A_FRAME = 4
"""So many samples at the rail in 30 ms are a flattened peak; one or two may be a mere peak."""


TONE_POWER_SHARE = 0.9
LOWEST_TONE_HZ = 650.0


def frames_in(length_s: float) -> int:
    """How many frames, to the nearest and at least one, last ``length_s`` seconds."""
    return max(round(length_s / FRAME_S), 1)


def level_db(sound: Sound) -> float:
    """The level of a sound in dBFS, from 0 down to :data:`SILENCE_DB`; that too for no samples."""
    if sound.size == 0:
        return SILENCE_DB
    samples = sound.astype(np.float32)
    power = float(np.dot(samples, samples)) / sound.size / FULL_SCALE**2
    return max(10 * math.log10(power), SILENCE_DB) if power > 0 else SILENCE_DB


def clipped(frame: Sound) -> bool:
    """Whether the loudest peaks of a frame were cut off flat by the microphone."""
    return int(np.count_nonzero(np.abs(frame.astype(np.int32)) >= CLIPPED_SAMPLE)) >= (
        CLIPPED_IN_A_FRAME
    )


def is_tone(frame: Sound) -> bool:
    """Whether nine tenths of a frame are one pure tone, as of something that beeps.

    Below 650 Hz a tone may well be a vowel in a high voice. A Hann window spreads a tone over four
    bins of its spectrum, rounded up here to five.
    """
    power = np.abs(np.fft.rfft(frame.astype(np.float32) * _window())) ** 2
    peak = int(np.argmax(power))
    around = power[max(peak - 2, 0) : peak + 3].sum()
    high = peak * RATE_HZ / FRAME_SAMPLES >= LOWEST_TONE_HZ
    return high and bool(around > TONE_POWER_SHARE * power.sum())


@cache
def _window() -> npt.NDArray[np.float64]:
    return np.hanning(FRAME_SAMPLES)


def to_sound(samples: npt.NDArray[np.floating]) -> Sound:
    """Samples on the scale of 16-bit integers as such integers, cut off at the largest."""
    sound: Sound = np.clip(np.rint(samples), -FULL_SCALE, FULL_SCALE - 1).astype(np.int16)
    return sound


class Framer:
    """Cuts blocks of any length into frames; what is left over waits for the next block."""

    def __init__(self) -> None:
        self._left: Sound = np.zeros(0, np.int16)

    def feed(self, block: Sound) -> list[Sound]:
        """The frames that are complete with this block."""
        joined = np.concatenate((self._left, block)) if self._left.size else block
        whole = joined.size // FRAME_SAMPLES * FRAME_SAMPLES
        self._left = joined[whole:].copy()
        return [joined[at : at + FRAME_SAMPLES] for at in range(0, whole, FRAME_SAMPLES)]

    def flush(self) -> list[Sound]:
        """The last, short frame, filled up with its own last sample; nothing where none waits."""
        left, self._left = self._left, np.zeros(0, np.int16)
        if left.size == 0:
            return []
        return [np.pad(left, (0, FRAME_SAMPLES - left.size), mode="edge")]
