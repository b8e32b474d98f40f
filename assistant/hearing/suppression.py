"""Steady noise taken out of a sound: a boil, a fan, a hiss.

Each short-time spectrum is weighed by the Wiener gain of an a priori signal-to-noise ratio that is
followed from frame to frame. Sources: Y. Ephraim and D. Malah, "Speech enhancement using a minimum
mean-square error short-time spectral amplitude estimator", IEEE Trans. ASSP 32 (1984), for the
decision-directed ratio; P. Scalart and J. V. Filho, "Speech enhancement based on a priori signal to
noise estimation", ICASSP 1996, for its use with the Wiener gain.
"""

import numpy as np
import numpy.typing as npt

from assistant.hearing.engine import Sound

FRAME = 512
STEP = 128
"""Samples at 16 kHz: 32 ms every 8 ms."""

SMOOTHING = 0.98
LEAST_PRIOR = 10**-2.5
LARGEST_RATIO = 1000.0
QUIETEST_SHARE = 0.2
"""Share of the frames, the quietest, that the noise is measured in."""

LOUDEST_SHARE = 0.8
"""A frame louder than this share of all frames is taken for speech at its usual level."""

FULL_SCALE = 32767.0

Spectra = npt.NDArray[np.float64]
_window = np.sqrt(np.hanning(FRAME + 1)[:-1])


def suppressed(sound: Sound, left_db: float) -> Sound:
    """The sound with its steady noise lowered until it is ``left_db`` below the speech.

    A recogniser hears worse without any noise than with some, so what is quieter than that comes
    back as it is; so does what is shorter than a frame.
    """
    if len(sound) < FRAME:
        return sound
    padded = np.pad(sound.astype(np.float64), (FRAME, FRAME))
    frames = np.lib.stride_tricks.sliding_window_view(padded, FRAME)[::STEP] * _window
    spectra = np.fft.rfft(frames, axis=1)
    power = np.abs(spectra) ** 2
    noise = _noise(power)
    lower_db = max(left_db - _above_db(power, noise), 0.0)
    if not lower_db:
        return sound
    gains = np.maximum(_gains(power, noise), 10 ** (-lower_db / 20))
    weighed = np.fft.irfft(spectra * gains, axis=1) * _window
    whole = np.zeros(len(padded))
    norm = np.full(len(padded), 1e-9)
    for place, frame in enumerate(weighed):
        start = place * STEP
        whole[start : start + FRAME] += frame
        norm[start : start + FRAME] += _window**2
    clean = (whole / norm)[FRAME : FRAME + len(sound)]
    quieter: Sound = np.clip(clean, -FULL_SCALE, FULL_SCALE).astype(np.int16)
    return quieter


def _noise(power: Spectra) -> Spectra:
    """The mean spectrum of the quietest frames that lie within the sound."""
    inside = power[FRAME // STEP : -(FRAME // STEP)]
    inside = inside if len(inside) else power
    loudness = inside.sum(axis=1)
    count = max(int(len(inside) * QUIETEST_SHARE), 1)
    quietest = inside[np.argsort(loudness)[:count]]
    noise: Spectra = quietest.mean(axis=0) + 1e-6
    return noise


def _above_db(power: Spectra, noise: Spectra) -> float:
    """How far the louder frames are above the noise: the speech, where there is some."""
    loudest = float(np.quantile(power.sum(axis=1), LOUDEST_SHARE))
    return float(10 * np.log10(max(loudest / noise.sum(), 1.0)))


def _gains(power: Spectra, noise: Spectra) -> Spectra:
    ratios = np.minimum(power / noise, LARGEST_RATIO)
    gains = np.empty_like(ratios)
    before = np.zeros(ratios.shape[1])
    for place, ratio in enumerate(ratios):
        prior = SMOOTHING * before + (1 - SMOOTHING) * np.maximum(ratio - 1, 0)
        prior = np.maximum(prior, LEAST_PRIOR)
        gains[place] = prior / (1 + prior)
        before = gains[place] ** 2 * ratio
    return gains
