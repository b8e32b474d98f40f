"""The sound files that speech synthesisers write: WAV and AIFF, told apart by their header.

Some synthesisers write AIFF whatever the name of the file says. Layouts: Microsoft and IBM,
"Multimedia Programming Interface and Data Specifications 1.0" (WAV); Apple, "Audio Interchange
File Format AIFF-C", draft of 26 August 1991 (AIFF, AIFF-C).
"""

import math
import struct
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from assistant.speaking.spoken import Sound, Spoken

PCM, EXTENSIBLE = 1, 0xFFFE
NOT_COMPRESSED = {b"NONE": ">", b"twos": ">", b"sowt": "<"}
"""AIFF-C kinds of plain samples and the order of their bytes."""

UNSIGNED_BYTES, WIDE = 8, 16
"""Bits of a sample: a WAV's byte is unsigned, and most synthesisers write 16 bits."""


class NotASound(Exception):
    """A file holds no sound that can be played; the text says what it holds instead."""


def read_sound(path: Path) -> Spoken:
    """The sound in a WAV or AIFF file of 8 or 16 bits, several channels mixed to one.

    Raises :class:`NotASound` where the file is missing, empty, cut off at its head or of another
    kind.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise NotASound(f"there is no sound file: {error.strerror}") from error
    form, kind = data[:4], data[8:12]
    try:
        if (form, kind) == (b"RIFF", b"WAVE"):
            return _wav(data)
        if form == b"FORM" and kind in (b"AIFF", b"AIFC"):
            return _aiff(data)
    except (struct.error, KeyError, ValueError, OverflowError) as error:
        raise NotASound(f"the sound file is damaged: {len(data)} bytes") from error
    raise NotASound(f"the sound file is neither WAV nor AIFF; it begins with {data[:12]!r}")


def _chunks(data: bytes, order: str) -> Iterator[tuple[bytes, bytes]]:
    at = 12
    while at + 8 <= len(data):
        name, size = struct.unpack_from(f"{order}4sI", data, at)
        yield name, data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2


def _wav(data: bytes) -> Spoken:
    parts = dict(_chunks(data, "<"))
    kind, channels, rate_hz, _, _, bits = struct.unpack_from("<HHIIHH", parts[b"fmt "])
    if kind not in (PCM, EXTENSIBLE):
        raise NotASound(f"the sound file is compressed (WAV kind {kind}); plain PCM is wanted")
    return _spoken(parts[b"data"], "<", channels, bits, rate_hz, unsigned_bytes=True)


def _aiff(data: bytes) -> Spoken:
    parts = dict(_chunks(data, ">"))
    channels, _, bits = struct.unpack_from(">hIh", parts[b"COMM"])
    order = ">"
    if data[8:12] == b"AIFC":
        kind = parts[b"COMM"][18:22]
        if kind not in NOT_COMPRESSED:
            raise NotASound(f"the sound file is compressed (AIFF-C kind {kind!r})")
        order = NOT_COMPRESSED[kind]
    offset = struct.unpack_from(">I", parts[b"SSND"])[0]
    samples = parts[b"SSND"][8 + offset :]
    return _spoken(samples, order, channels, bits, _rate_hz(parts[b"COMM"][8:18]))


def _rate_hz(extended: bytes) -> int:
    """A rate from the 80-bit float of AIFF: sign and exponent in 16 bits, mantissa in 64."""
    exponent, mantissa = struct.unpack(">HQ", extended)
    return round(math.ldexp(mantissa, exponent - 16383 - 63))


def _spoken(
    samples: bytes,
    order: str,
    channels: int,
    bits: int,
    rate_hz: int,
    *,
    unsigned_bytes: bool = False,
) -> Spoken:
    if bits not in (UNSIGNED_BYTES, WIDE) or channels < 1 or rate_hz <= 0:
        raise NotASound(
            f"the sound file has {channels} channels of {bits} bits at {rate_hz} hertz;"
            " 8 or 16 bits are wanted"
        )
    frame = channels * bits // 8
    whole = samples[: len(samples) // frame * frame]
    if bits == WIDE:
        table = np.frombuffer(whole, dtype=f"{order}i2").astype(np.int32)
    else:
        kind = np.uint8 if unsigned_bytes else np.int8
        table = (np.frombuffer(whole, dtype=kind).astype(np.int32) - 128 * unsigned_bytes) * 256
    mono = table.reshape(-1, channels).mean(axis=1) if channels > 1 else table
    sound: Sound = np.asarray(mono).astype(np.int16)
    return Spoken(sound=sound, rate_hz=rate_hz)
