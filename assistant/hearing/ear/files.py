"""Recordings: WAV files of any usual kind, as mono sound at their own rate.

The chunks are read here and not by the standard library's ``wave``, which knows no floating-point
samples and no extensible headers, and trusts the lengths that a program writing to a pipe makes up.
Layout: "Multimedia Programming Interface and Data Specifications 1.0" (IBM and Microsoft, 1991),
and WAVEFORMATEXTENSIBLE as Microsoft documents it.
"""

import struct
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from assistant.hearing.ear.frames import FULL_SCALE, to_sound
from assistant.hearing.ear.resampling import HIGHEST_RATE_HZ, LOWEST_RATE_HZ
from assistant.hearing.engine import Sound

PCM = 1
FLOAT = 3
EXTENSIBLE = 0xFFFE

MOST_CHANNELS = 16
LONGEST_S = 600
LARGEST_BYTES = 512 * 1024 * 1024

Samples = npt.NDArray[np.float64]


class RecordingFault(ValueError):
    """A file that can't be heard; the text names it, what was found and what is wanted."""

    def __init__(self, path: Path, found: str) -> None:
        self.path = path
        super().__init__(f"{path}: {found}")


@dataclass(frozen=True, kw_only=True, eq=False)
class Recording:
    """The mono sound of a file, at the rate it was recorded with, in Hz."""

    sound: Sound
    rate_hz: int

    @property
    def length_s(self) -> float:
        """How long it is, in seconds."""
        return self.sound.size / self.rate_hz


@dataclass(frozen=True, kw_only=True)
class _Format:
    code: int
    channels: int
    rate_hz: int
    bits: int


def read_wav(path: Path) -> Recording:
    """The recording in a WAV file: 8, 16, 24 or 32-bit integers, or 32 or 64-bit floats.

    All channels are mixed to one; 4000 to 384 000 Hz, at most ten minutes. Raises
    :class:`RecordingFault` for a file that is missing, is none of these, or holds no sound.
    """
    content = _content(path)
    if len(content) < 12 or content[:4] != b"RIFF" or content[8:12] != b"WAVE":
        raise RecordingFault(path, "this is no WAV file. A recording in WAV format is wanted.")
    chunks = _chunks(content)
    if b"fmt " not in chunks or len(chunks[b"fmt "]) < 16:
        raise RecordingFault(path, "the WAV file does not say how it was recorded (no format).")
    form = _format(chunks[b"fmt "])
    _check(path, form)
    frame_bytes = form.channels * form.bits // 8
    data = chunks.get(b"data", b"")
    count = len(data) // frame_bytes
    if count == 0:
        raise RecordingFault(path, "there is no sound in the file.")
    if count > LONGEST_S * form.rate_hz:
        raise RecordingFault(
            path, f"it is {count / form.rate_hz:.0f} s long. At most {LONGEST_S} s are wanted."
        )
    samples = _READERS[form.code, form.bits](data[: count * frame_bytes])
    mono = samples.reshape(count, form.channels).mean(axis=1)
    return Recording(sound=to_sound(mono * FULL_SCALE), rate_hz=form.rate_hz)


def _content(path: Path) -> bytes:
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise RecordingFault(path, "the file is too large to be a short recording.")
        content = path.read_bytes()
    except FileNotFoundError:
        raise RecordingFault(path, "there is no such file.") from None
    except OSError as error:
        raise RecordingFault(path, f"it can't be read: {error.strerror}.") from None
    if not content:
        raise RecordingFault(path, "the file is empty.")
    return content


def _chunks(content: bytes) -> dict[bytes, bytes]:
    """The chunks by name; the first of a name counts, and one cut short is as long as it is."""
    chunks: dict[bytes, bytes] = {}
    at = 12
    while at + 8 <= len(content):
        name, length = struct.unpack_from("<4sI", content, at)
        chunks.setdefault(name, content[at + 8 : at + 8 + length])
        at += 8 + length + length % 2
    return chunks


def _format(chunk: bytes) -> _Format:
    code, channels, rate_hz, _, _, bits = struct.unpack_from("<HHIIHH", chunk)
    if code == EXTENSIBLE and len(chunk) >= 26:
        (code,) = struct.unpack_from("<H", chunk, 24)
    return _Format(code=code, channels=channels, rate_hz=rate_hz, bits=bits)


def _check(path: Path, form: _Format) -> None:
    if (form.code, form.bits) not in _READERS:
        raise RecordingFault(
            path,
            f"it holds {form.bits}-bit samples of WAV format {form.code}. Plain PCM of 8, 16, 24 "
            "or 32 bits, or floats of 32 or 64 bits are wanted.",
        )
    if not 1 <= form.channels <= MOST_CHANNELS:
        raise RecordingFault(path, f"it has {form.channels} channels. 1 to {MOST_CHANNELS} wanted.")
    if not LOWEST_RATE_HZ <= form.rate_hz <= HIGHEST_RATE_HZ:
        raise RecordingFault(
            path,
            f"its sampling rate is {form.rate_hz} Hz. {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ} Hz "
            "are wanted.",
        )


def _unsigned_8(data: bytes) -> Samples:
    return (np.frombuffer(data, np.uint8).astype(np.float64) - 128) / 128


def _signed_16(data: bytes) -> Samples:
    return np.frombuffer(data, "<i2").astype(np.float64) / 2**15


def _signed_24(data: bytes) -> Samples:
    low, middle, high = np.frombuffer(data, np.uint8).reshape(-1, 3).T.astype(np.int32)
    # Shifted to the top of 32 bits, the sign is where it belongs.
    return ((low << 8) | (middle << 16) | (high << 24)).astype(np.float64) / 2**31


def _signed_32(data: bytes) -> Samples:
    return np.frombuffer(data, "<i4").astype(np.float64) / 2**31


def _float_32(data: bytes) -> Samples:
    return _within_one(np.frombuffer(data, "<f4").astype(np.float64))


def _float_64(data: bytes) -> Samples:
    return _within_one(np.frombuffer(data, "<f8").astype(np.float64))


def _within_one(samples: Samples) -> Samples:
    limited: Samples = np.clip(np.nan_to_num(samples, nan=0.0), -1, 1)
    return limited


_READERS: dict[tuple[int, int], Callable[[bytes], Samples]] = {
    (PCM, 8): _unsigned_8,
    (PCM, 16): _signed_16,
    (PCM, 24): _signed_24,
    (PCM, 32): _signed_32,
    (FLOAT, 32): _float_32,
    (FLOAT, 64): _float_64,
}
