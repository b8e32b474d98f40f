"""Cuts mains hum and the rumble of a boil from a stream of frames.

A sixth-order Butterworth high-pass at 110 Hz: 41 dB down at 50 Hz, 32 dB at 60 Hz, a tenth of a
decibel at 150 Hz. Speech loses nothing that a telephone would carry (300 Hz and up), and a loud
hum no longer passes for a voice.
"""

import math
from functools import cache

import numpy as np
import numpy.typing as npt

from assistant.hearing.ear.frames import FRAME_SAMPLES, to_sound
from assistant.hearing.engine import RATE_HZ, Sound

CUT_HZ = 110.0
ORDER = 6

Matrix = npt.NDArray[np.float64]


class HumCut:
    """The filter with its memory; feed it one frame after another.

    A recursive filter goes sample by sample, which is slow in Python. Within a frame of fixed
    length it is the same as one matrix on the frame and on what the filter remembers of the past.
    """

    def __init__(self) -> None:
        self._remembered = np.zeros(ORDER)

    def filter(self, frame: Sound) -> Sound:
        """The frame without what lies below the cut.

        Raises ValueError unless it is one frame long.
        """
        if frame.shape != (FRAME_SAMPLES,):
            raise ValueError(f"a frame has {FRAME_SAMPLES} samples, this one {frame.shape}")
        through, out_of_memory, into_memory, memory_kept = _frame_matrices()
        samples = frame.astype(np.float64)
        filtered = through @ samples + out_of_memory @ self._remembered
        self._remembered = memory_kept @ self._remembered + into_memory @ samples
        return to_sound(filtered)


def response_db(frequency_hz: float) -> float:
    """What the filter does to a steady tone between 0 and 8000 Hz, both excluded, in dB."""
    z = np.exp(2j * math.pi * frequency_hz / RATE_HZ)
    gain = complex(1)
    for b, a in _sections():
        gain *= complex(np.polyval(b, z) / np.polyval(a, z))
    return 20 * math.log10(abs(gain))


def _sections() -> list[tuple[Matrix, Matrix]]:
    """The high-pass as second-order sections, by the bilinear transform with the cut pre-warped."""
    warped = math.tan(math.pi * CUT_HZ / RATE_HZ)
    sections = []
    for k in range(ORDER // 2):
        damping = 2 * math.sin(math.pi * (2 * k + 1) / (2 * ORDER))
        a0 = 1 + damping * warped + warped**2
        b = np.array([1.0, -2.0, 1.0]) / a0
        a = np.array([a0, 2 * (warped**2 - 1), 1 - damping * warped + warped**2]) / a0
        sections.append((b, a))
    return sections


def _one_sample() -> tuple[Matrix, Matrix, Matrix, float]:
    """The cascade as a state-space system ``s' = A s + B x``, ``y = C s + d x``."""
    state, into, out, direct = np.zeros((0, 0)), np.zeros(0), np.zeros(0), 1.0
    for b, a in _sections():
        own_state = np.array([[-a[1], 1.0], [-a[2], 0.0]])
        own_into = np.array([b[1] - a[1] * b[0], b[2] - a[2] * b[0]])
        state = np.block([[state, np.zeros((len(into), 2))], [np.outer(own_into, out), own_state]])
        into = np.concatenate((into, own_into * direct))
        out = np.concatenate((b[0] * out, [1.0, 0.0]))
        direct *= b[0]
    return state, into, out, direct


@cache
def _frame_matrices() -> tuple[Matrix, Matrix, Matrix, Matrix]:
    """The same system over a whole frame: what goes through, out of and into the memory."""
    state, into, out, direct = _one_sample()
    out_of_memory = np.zeros((FRAME_SAMPLES, ORDER))
    into_memory = np.zeros((ORDER, FRAME_SAMPLES))
    response = np.zeros(FRAME_SAMPLES)
    response[0] = direct
    power = np.eye(ORDER)
    for n in range(FRAME_SAMPLES):
        out_of_memory[n] = out @ power
        into_memory[:, FRAME_SAMPLES - 1 - n] = power @ into
        if n + 1 < FRAME_SAMPLES:
            response[n + 1] = out @ power @ into
        power = state @ power
    at = np.arange(FRAME_SAMPLES)
    lag = at[:, None] - at[None, :]
    through = np.where(lag >= 0, response[np.abs(lag)], 0.0)
    return through, out_of_memory, into_memory, power
