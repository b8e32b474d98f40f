"""Sounds for the ear's tests: espeak-ng speech, and the noises of a brewery from fixed seeds."""

import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
import soxr

from assistant.hearing.ear.chain import Chain
from assistant.hearing.ear.files import read_wav
from assistant.hearing.ear.segmenter import SEGMENTING, Segmenting
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.engine import RATE_HZ, Sound

Samples = npt.NDArray[np.float64]

SPEECH_RMS = 1500.0
NEEDS_ESPEAK = pytest.mark.skipif(
    shutil.which("espeak-ng") is None,
    reason="espeak-ng is not installed; it speaks for the brewer in these tests",
)


TALK = (
    "did you see the rain this morning it came down in sheets",
    "the train was late again so we walked along the river",
    "he said he would call but nobody has heard from him since",
    "put the kettle on and tell me all about your garden",
)


@cache
def spoken(words: str) -> Samples:
    """Words by espeak-ng at 16 kHz without silence around them; loud frames at rms 1500."""
    wav = subprocess.run(
        ["espeak-ng", "-v", "en-gb", "-s", "150", "--stdout", words],
        stdout=subprocess.PIPE,
        check=True,
    ).stdout
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        path.write_bytes(wav)
        recording = read_wav(path)
    samples = soxr.resample(recording.sound.astype(np.float64), recording.rate_hz, RATE_HZ)
    rms = np.sqrt(np.mean(samples[: samples.size // 160 * 160].reshape(-1, 160) ** 2, axis=1))
    there = np.nonzero(rms > rms.max() / 50)[0]
    loud_rms = np.sqrt(np.mean(rms[rms > rms.max() / 10] ** 2))
    speech: Samples = samples[there[0] * 160 : (there[-1] + 1) * 160] / loud_rms * SPEECH_RMS
    return speech


def room(length_s: float, seed: int = 1) -> Samples:
    """A quiet room: the noise of a microphone and hardly more."""
    return 4 * np.random.default_rng(seed).standard_normal(round(length_s * RATE_HZ))


def boil(length_s: float, rms: float, seed: int = 2) -> Samples:
    """A rolling boil: mostly low, bubbling up and down by some decibels."""
    chance = np.random.default_rng(seed)
    count = round(length_s * RATE_HZ)
    white = chance.standard_normal(count)
    low = np.convolve(white, 0.88 ** np.arange(60), "same")
    noise = low / low.std() + 0.25 * white
    bubbles = np.convolve(chance.standard_normal(count), 0.996 ** np.arange(1500), "same")
    noise *= 10 ** (2.5 * bubbles / bubbles.std() / 20)
    return noise / noise.std() * rms


def fan(length_s: float, rms: float, seed: int = 3) -> Samples:
    """A fan: pink noise, and the harmonics of 100 Hz."""
    count = round(length_s * RATE_HZ)
    spectrum = np.fft.rfft(np.random.default_rng(seed).standard_normal(count))
    pink = np.fft.irfft(spectrum / np.sqrt(np.maximum(np.arange(spectrum.size), 20)), count)
    hum = sum(tone(length_s, 100.0 * k, 0.5 / k) for k in range(1, 7))
    noise = pink / pink.std() + hum
    return noise / noise.std() * rms


def babble(length_s: float, rms: float, seed: int = 4) -> Samples:
    """Six people talking in the next room without a pause worth the name."""
    chance = np.random.default_rng(seed)
    noise = np.zeros(round(length_s * RATE_HZ))
    for _ in range(6):
        at = int(chance.integers(8000))
        while at < noise.size:
            speech = spoken(TALK[chance.integers(len(TALK))])
            faster = np.arange(0, speech.size - 1, chance.uniform(0.85, 1.2))
            voice = np.interp(faster, np.arange(speech.size), speech)[: noise.size - at]
            noise[at : at + voice.size] += voice
            at += voice.size + int(chance.integers(5000))
    return noise / noise.std() * rms


def tone(length_s: float, frequency_hz: float, amplitude: float) -> Samples:
    """A pure tone."""
    at_s = np.arange(round(length_s * RATE_HZ)) / RATE_HZ
    return amplitude * np.sin(2 * np.pi * frequency_hz * at_s)


def placed(length_s: float, *said: tuple[float, str]) -> Samples:
    """Words spoken at those seconds, in perfect silence."""
    samples = np.zeros(round(length_s * RATE_HZ))
    for at_s, words in said:
        speech = spoken(words)
        start = round(at_s * RATE_HZ)
        samples[start : start + speech.size] += speech
    return samples


def sound(samples: Samples) -> Sound:
    """Samples as a microphone would give them."""
    return np.clip(np.rint(samples), -32768, 32767).astype(np.int16)


def heard(
    samples: Samples, segmenting: Segmenting = SEGMENTING, rate_hz: int = RATE_HZ
) -> list[Utterance]:
    """What the chain makes of a whole stream, fed in blocks of 20 ms."""
    chain = Chain(rate_hz, segmenting)
    block = rate_hz // 50
    whole = sound(samples)
    spoken_there: list[Utterance] = []
    for at in range(0, whole.size, block):
        spoken_there += chain.feed(whole[at : at + block])
    return spoken_there + chain.flush()


def spans(utterances: Sequence[Utterance]) -> list[tuple[float, float]]:
    """When each began and ended."""
    return [(utterance.started_s, utterance.ended_s) for utterance in utterances]
