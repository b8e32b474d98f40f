"""The noise of a brewhouse, made up: a fan's rush and the rumble and bubbling of a boil.

Levels and spectra are common practice, no source: a fan is even noise falling with frequency over
a hum of its blades; a boil is low rumble, swelling and fading as it rolls.
"""

from collections.abc import Mapping

import numpy as np

from assistant.advice.timeline import Stage
from assistant.hearing.engine import RATE_HZ, Sound

QUIET_DB, FAN_DB, BOIL_DB = 30.0, 20.0, 15.0
"""How far speech stands over the noise at its side, in dB."""

NEAREST_SNR_DB: Mapping[Stage, float] = {
    Stage.BOIL_UP: FAN_DB,
    Stage.BOIL: BOIL_DB,
    Stage.WHIRLPOOL: FAN_DB,
    Stage.CHILL: FAN_DB,
}
"""The stages that are not quiet."""

FULL_SCALE = 32767
FAN_CORNER_HZ, BOIL_CORNER_HZ = 500.0, 250.0
BLADES_HZ, BLADES_SHARE = 110.0, 0.3
ROLLING_HZ, ROLLING_DEPTH = 3.0, 0.5


def snr_db(stage: Stage) -> float:
    """How far speech stands over the noise in a stage, in dB."""
    return NEAREST_SNR_DB.get(stage, QUIET_DB)


def mixed(speech: Sound, stage: Stage, seed: int) -> Sound:
    """Speech at 16 000 Hz with the noise of a stage; the same for the same seed.

    Where both together would be too loud for the sound they are made quieter alike. Silence
    stays as it is, since no level stands over it.
    """
    voice = speech.astype(np.float64)
    power = float(np.mean(voice**2)) if len(voice) else 0.0
    if power == 0.0:
        return speech
    wanted = np.sqrt(power / 10 ** (snr_db(stage) / 10))
    both = voice + wanted * noise(len(voice), stage, seed)
    loudest = float(np.max(np.abs(both)))
    return np.asarray(np.round(both * min(1.0, FULL_SCALE / loudest)), dtype=np.int16)


def noise(samples: int, stage: Stage, seed: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """So many samples of a stage's noise, with a mean square of 1."""
    source = np.random.default_rng(seed)
    times_s = np.arange(samples) / RATE_HZ
    if stage is Stage.BOIL:
        swell = _falling(source, samples, ROLLING_HZ)
        rolling = 1 + ROLLING_DEPTH * np.tanh(swell / _size(swell))
        made = _falling(source, samples, BOIL_CORNER_HZ) * rolling
    else:
        rush = _falling(source, samples, FAN_CORNER_HZ)
        made = rush / _size(rush) + BLADES_SHARE * np.sin(2 * np.pi * BLADES_HZ * times_s)
    return np.asarray(made / _size(made), dtype=np.float64)


def _falling(
    source: np.random.Generator, samples: int, corner_hz: float
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Noise that falls with 6 dB an octave above its corner."""
    spectrum = np.fft.rfft(source.standard_normal(samples))
    hz = np.fft.rfftfreq(samples, 1 / RATE_HZ)
    return np.fft.irfft(spectrum / np.sqrt(1 + (hz / corner_hz) ** 2), samples)


def _size(made: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    return float(np.sqrt(np.mean(made**2)))
