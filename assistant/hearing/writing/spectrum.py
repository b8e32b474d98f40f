"""A sound as the model that writes takes it: how loud each band is, a hundred times a second.

After Radford et al., "Robust Speech Recognition via Large-Scale Weak Supervision" (2022),
https://arxiv.org/abs/2212.04356, section 2.2; the bands are those of Slaney's Auditory Toolbox
(1998): even in pitch, as ears have it, linear below 1 kHz and logarithmic above.
"""

from functools import cache

import numpy as np
import numpy.typing as npt

from assistant.hearing.engine import RATE_HZ, Sound

BANDS = 80
WINDOW, STEP = RATE_HZ // 40, RATE_HZ // 100
"""Samples in a frame, and from one frame to the next."""

LOUDEST_TO_SOFTEST = 8.0
"""What is further below the loudest, as a decimal logarithm of power, is silence."""

LINEAR_TO_HZ = 1000.0
BANDS_BELOW = 15.0
"""How many of Slaney's bands lie below where they cease to be linear."""

GROWTH = np.log(6.4) / 27
"""How much a band is above the one before, as a logarithm, beyond that."""

FULL_SCALE = 32768.0

Spectrum = npt.NDArray[np.float32]


def spectrum(sound: Sound, length_s: float) -> Spectrum:
    """The bands of a sound with silence after it, or cut, to last ``length_s``: a row each."""
    samples = np.zeros(round(length_s * RATE_HZ), np.float32)
    kept = sound[: len(samples)]
    samples[: len(kept)] = kept / FULL_SCALE
    around = np.pad(samples, WINDOW // 2, mode="reflect")
    frames = np.lib.stride_tricks.sliding_window_view(around, WINDOW)[::STEP]
    frames = frames[: len(samples) // STEP] * _window()
    power = np.abs(np.fft.rfft(frames, axis=1)).astype(np.float32) ** 2
    loudness = np.log10(np.maximum(_bands() @ power.T, 1e-10))
    loudness = np.maximum(loudness, loudness.max() - LOUDEST_TO_SOFTEST)
    scaled: Spectrum = ((loudness + 4.0) / 4.0).astype(np.float32)
    return scaled


@cache
def _window() -> Spectrum:
    hann: Spectrum = np.hanning(WINDOW + 1)[:-1].astype(np.float32)
    return hann


@cache
def _bands() -> Spectrum:
    """Each band's share of each frequency: triangles of equal area from centre to centre."""
    frequency_hz = np.linspace(0, RATE_HZ / 2, WINDOW // 2 + 1)
    edge_hz = _in_hz(np.linspace(0, _in_bands(RATE_HZ / 2), BANDS + 2))
    width_hz = np.diff(edge_hz)[:, None]
    rising = (frequency_hz - edge_hz[:-2, None]) / width_hz[:-1]
    falling = (edge_hz[2:, None] - frequency_hz) / width_hz[1:]
    share = np.maximum(0.0, np.minimum(rising, falling))
    even: Spectrum = (share * 2 / (edge_hz[2:] - edge_hz[:-2])[:, None]).astype(np.float32)
    return even


def _in_bands(frequency_hz: float) -> float:
    """Above the linear part only."""
    return float(BANDS_BELOW + np.log(frequency_hz / LINEAR_TO_HZ) / GROWTH)


def _in_hz(bands: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    linear = bands * LINEAR_TO_HZ / BANDS_BELOW
    above = LINEAR_TO_HZ * np.exp(GROWTH * (bands - BANDS_BELOW))
    return np.where(bands < BANDS_BELOW, linear, above)
