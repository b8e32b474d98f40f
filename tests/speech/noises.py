"""What else a microphone in a brewhouse hears: a boil, a fan, people talking, the room itself.

Each noise is made from a seed, as samples whose level is of no account: :func:`mix` sets it. The
shapes are the writer's own, after how such noises look on a spectrum: no recording, no source.
"""

import math
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt

from speech.voices import RATE_HZ, Sound, is_speech

Samples = npt.NDArray[np.float64]

QUIET_SNR_DB = 30.0
"""How far a quiet room lies below the speech; a cleaner sound is no room's, and harder to hear."""

HEADROOM = 0.98

BUBBLES_HZ = 400.0
"""Bubbles bursting each second all over a kettle at a rolling boil; a guess."""


def room(seconds: float, seed: int) -> Samples:
    """A quiet room: pink noise with a little mains hum at 50 and 100 Hz."""
    source = np.random.default_rng(seed)
    hum = _tones(seconds, {50.0: 0.3, 100.0: 0.15}, source)
    return _one(_coloured(seconds, source, slope_db_octave=-3.0)) + hum


def fan(seconds: float, seed: int) -> Samples:
    """An extractor fan: a rush of air, and the tone of its blades near 95 Hz with its overtones."""
    source = np.random.default_rng(seed)
    blade_hz = source.uniform(90.0, 100.0)
    tones = {blade_hz * count: 0.7 / count for count in range(1, 9)}
    rush = _one(_coloured(seconds, source, slope_db_octave=-3.0, low_hz=60.0))
    whoosh = _one(_coloured(seconds, source, slope_db_octave=-1.5, low_hz=300.0, high_hz=5000.0))
    return (
        rush
        + 0.8 * _one(_tones(seconds, tones, source))
        + 0.6 * whoosh * _swelling(seconds, source, period_s=3.0, depth=0.25)
    )


def boil(seconds: float, seed: int) -> Samples:
    """A rolling boil: rumble, bubbles bursting at 200 to 1500 Hz, hiss of steam and burner."""
    source = np.random.default_rng(seed)
    rumble = _one(_coloured(seconds, source, slope_db_octave=-6.0, low_hz=40.0, high_hz=400.0))
    hiss = _one(_coloured(seconds, source, slope_db_octave=0.0, low_hz=1500.0))
    bubbles = _one(_bubbles(seconds, source))
    swell = _swelling(seconds, source, period_s=0.7, depth=0.3)
    return (rumble + 1.1 * bubbles) * swell + 0.35 * hiss


def babble(seconds: float, seed: int) -> Samples:
    """Six people talking at once: prose read by voices of both halves, each from its own place."""
    from speech.bystanders import read_aloud

    return sum(
        (read_aloud(voice_place, seconds, seed) for voice_place in range(6)),
        start=np.zeros(_count(seconds)),
    )


NOISES: Mapping[str, Callable[[float, int], Samples]] = {
    "room": room,
    "boil": boil,
    "fan": fan,
    "babble": babble,
}


def mix(
    speech: Sound, noise: npt.NDArray[np.generic], snr_db: float, floor_seed: int | None = 0
) -> Sound:
    """Speech in a noise, ``snr_db`` being the speech's level over the noise's.

    Pauses do not count for the speech's level. It stays as it is unless the sum would be too loud
    for 16 bits. A noise that is too short is repeated. The noise of a quiet room is added too,
    30 dB down, since none of the other noises is all there is; not where ``floor_seed`` is None.
    """
    voice = np.asarray(speech, dtype=np.float64) / 32768
    level = _level(voice[is_speech(voice)])
    mixed = voice + level * 10 ** (-snr_db / 20) * _one(_fitted(noise, len(voice)))
    if floor_seed is not None:
        floor = _one(room(len(voice) / RATE_HZ + 0.01, floor_seed)[: len(voice)])
        mixed = mixed + level * 10 ** (-QUIET_SNR_DB / 20) * floor
    peak = float(np.max(np.abs(mixed), initial=0.0))
    mixed = mixed * min(1.0, HEADROOM / peak) if peak else mixed
    sound: Sound = np.round(mixed * 32767).astype(np.int16)
    return sound


def in_quiet(speech: Sound, seed: int) -> Sound:
    """Speech in a quiet room, 30 dB above what the room itself makes."""
    seconds = len(speech) / RATE_HZ + 0.01
    return mix(speech, room(seconds, seed), QUIET_SNR_DB, floor_seed=None)


def reverberant(speech: Sound, seed: int, decay_s: float = 0.35) -> Sound:
    """Speech as a hard room gives it back, dying away by 60 dB in ``decay_s``; same length."""
    source = np.random.default_rng(seed)
    count = int(decay_s * RATE_HZ)
    tail = source.standard_normal(count) * 10 ** (-3.0 * np.arange(count) / count)
    tail *= 0.5 / math.sqrt(float(np.sum(tail**2)))
    tail[: RATE_HZ // 250] = 0.0
    tail[0] = 1.0
    size = _next_power(len(speech) + count)
    wet = np.fft.irfft(np.fft.rfft(speech / 32768, size) * np.fft.rfft(tail, size), size)
    wet = wet[: len(speech)]
    gain = min(1.0, HEADROOM / max(float(np.max(np.abs(wet), initial=0.0)), 1e-9))
    sound: Sound = np.round(wet * gain * 32767).astype(np.int16)
    return sound


def _count(seconds: float) -> int:
    return max(1, round(seconds * RATE_HZ))


def _next_power(count: int) -> int:
    return 1 << max(count - 1, 1).bit_length()


def _level(samples: Samples) -> float:
    return float(np.sqrt(np.mean(samples**2))) if len(samples) else 0.0


def _one(samples: npt.NDArray[np.generic]) -> Samples:
    """At a level of one."""
    whole = np.asarray(samples, dtype=np.float64)
    level = _level(whole)
    return whole / level if level else whole


def _fitted(noise: npt.NDArray[np.generic], count: int) -> Samples:
    whole = np.asarray(noise, dtype=np.float64)
    return whole[:count] if len(whole) >= count else np.resize(whole, count)


def _coloured(
    seconds: float,
    source: np.random.Generator,
    *,
    slope_db_octave: float,
    low_hz: float = 30.0,
    high_hz: float = RATE_HZ / 2,
) -> Samples:
    """Noise whose power falls with frequency, with nothing outside the band."""
    count = _count(seconds)
    size = _next_power(count)
    frequency_hz = np.fft.rfftfreq(size, 1 / RATE_HZ)
    shape = np.zeros_like(frequency_hz)
    band = (frequency_hz >= low_hz) & (frequency_hz <= high_hz)
    shape[band] = (frequency_hz[band] / 1000.0) ** (slope_db_octave / (20 * math.log10(2)))
    spectrum = np.fft.rfft(source.standard_normal(size)) * shape
    return np.fft.irfft(spectrum, size)[:count]


def _tones(
    seconds: float, size_at_hz: Mapping[float, float], source: np.random.Generator
) -> Samples:
    time_s = np.arange(_count(seconds)) / RATE_HZ
    return sum(
        (
            size * np.sin(2 * math.pi * (hz * time_s + source.uniform()))
            for hz, size in size_at_hz.items()
        ),
        start=np.zeros(len(time_s)),
    )


def _swelling(
    seconds: float, source: np.random.Generator, *, period_s: float, depth: float
) -> Samples:
    """A loudness that comes and goes around one, never the same way twice."""
    points = max(int(seconds / period_s) + 2, 2)
    heights = 1 + depth * source.uniform(-1, 1, points)
    at = np.arange(_count(seconds)) / RATE_HZ
    return np.interp(at, np.arange(points) * period_s, heights)


def _bubbles(seconds: float, source: np.random.Generator) -> Samples:
    """Bursts that ring and die away, each with its own pitch, size and length."""
    count = _count(seconds)
    samples = np.zeros(count)
    for start in source.integers(0, count, source.poisson(BUBBLES_HZ * seconds)):
        pitch_hz = math.exp(source.uniform(math.log(200.0), math.log(1500.0)))
        ring_s = source.uniform(2.0, 8.0) / pitch_hz
        length = min(int(5 * ring_s * RATE_HZ), count - int(start))
        time_s = np.arange(length) / RATE_HZ
        rising_hz = pitch_hz * (1 + 0.3 * time_s / ring_s)
        burst = np.exp(-time_s / ring_s) * np.sin(2 * math.pi * rising_hz * time_s)
        samples[start : start + length] += source.exponential() * burst
    return samples
