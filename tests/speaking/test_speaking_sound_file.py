"""WAV and AIFF files of synthesisers, whatever they are called; and files that are neither."""

import struct
import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.speaking.sound_file import NotASound, read_sound

SAMPLES = np.array([0, 1000, -1000, 32767, -32768, 5], dtype=np.int16)
RATE_22050 = bytes.fromhex("400dac44000000000000")
"""22 050 as the 80-bit float of AIFF, as written in many a file."""


def chunk(name: bytes, body: bytes, order: str = ">") -> bytes:
    return struct.pack(f"{order}4sI", name, len(body)) + body + b"\0" * (len(body) % 2)


def aiff(samples: bytes, *, channels: int = 1, bits: int = 16, kind: bytes = b"") -> bytes:
    count = len(samples) // (channels * bits // 8)
    common = struct.pack(">hIh", channels, count, bits) + RATE_22050
    if kind:
        common += kind + b"\x00\x00"
    body = (b"AIFC" if kind else b"AIFF") + chunk(b"COMM", common) + chunk(b"FLLR", b"odd")
    body += chunk(b"SSND", struct.pack(">II", 0, 0) + samples)
    return chunk(b"FORM", body)


def wav(path: Path, samples: bytes, *, channels: int = 1, width: int = 2) -> bytes:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(width)
        file.setframerate(22_050)
        file.writeframes(samples)
    return path.read_bytes()


def test_a_wav_is_read_as_it_was_written(tmp_path: Path) -> None:
    wav(tmp_path / "a.wav", SAMPLES.tobytes())
    spoken = read_sound(tmp_path / "a.wav")
    assert spoken.rate_hz == 22_050
    assert spoken.sound.tolist() == SAMPLES.tolist()


@pytest.mark.parametrize(
    ("kind", "order"), [(b"", ">"), (b"NONE", ">"), (b"twos", ">"), (b"sowt", "<")]
)
def test_an_aiff_that_is_called_wav_is_read_all_the_same(
    tmp_path: Path, kind: bytes, order: str
) -> None:
    path = tmp_path / "a.wav"
    path.write_bytes(aiff(SAMPLES.astype(f"{order}i2").tobytes(), kind=kind))
    spoken = read_sound(path)
    assert spoken.rate_hz == 22_050
    assert spoken.sound.tolist() == SAMPLES.tolist()


def test_bytes_are_unsigned_in_wav_and_signed_in_aiff(tmp_path: Path) -> None:
    path = tmp_path / "a"
    wav(path, bytes([128, 255, 0]), width=1)
    assert read_sound(path).sound.tolist() == [0, 127 * 256, -32768]
    path.write_bytes(aiff(bytes([0, 127, 128]), bits=8))
    assert read_sound(path).sound.tolist() == [0, 127 * 256, -32768]


def test_two_channels_become_one(tmp_path: Path) -> None:
    stereo = np.array([[100, 300], [-100, -300]], dtype=np.int16)
    wav(tmp_path / "a.wav", stereo.tobytes(), channels=2)
    assert read_sound(tmp_path / "a.wav").sound.tolist() == [200, -200]


def damaged(tmp_path: Path) -> list[tuple[bytes | None, str]]:
    whole = wav(tmp_path / "whole.wav", SAMPLES.tobytes())
    compressed = bytearray(whole)
    compressed[20] = 85
    deep = wav(tmp_path / "deep.wav", b"\0" * 12, width=3)
    return [
        (None, "there is no sound file"),
        (b"", "neither WAV nor AIFF"),
        (b"<html>no sound</html>", "neither WAV nor AIFF"),
        (whole[:30], "the sound file is damaged: 30 bytes"),
        (whole[:12], "the sound file is damaged: 12 bytes"),
        (bytes(compressed), "compressed .WAV kind 85."),
        (deep, "1 channels of 24 bits"),
        (aiff(b"", kind=b"ima4"), "compressed .AIFF-C kind b'ima4'."),
        (aiff(SAMPLES.tobytes())[:20], "the sound file is damaged"),
    ]


@pytest.mark.parametrize("case", range(9))
def test_what_is_no_sound_is_refused_with_its_reason(tmp_path: Path, case: int) -> None:
    data, reason = damaged(tmp_path)[case]
    path = tmp_path / "said.wav"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(NotASound, match=reason):
        read_sound(path)


@pytest.mark.parametrize("cut", range(1, 44, 3))
def test_a_file_cut_off_in_its_head_is_refused(tmp_path: Path, cut: int) -> None:
    path = tmp_path / "a.wav"
    for whole in (wav(path, SAMPLES.tobytes()), aiff(SAMPLES.tobytes())):
        path.write_bytes(whole[:cut])
        with pytest.raises(NotASound):
            read_sound(path)


def test_a_file_cut_off_in_its_samples_holds_those_that_are_there(tmp_path: Path) -> None:
    path = tmp_path / "a.wav"
    whole = wav(path, SAMPLES.tobytes())
    path.write_bytes(whole[:-5])
    assert read_sound(path).sound.tolist() == SAMPLES[:3].tolist()
