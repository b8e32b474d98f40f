"""Recordings: the WAV files that can be read, and all that is spoken in one as one utterance."""

import struct
import wave
from pathlib import Path

import numpy as np
import pytest
from room_sounds import (
    NEEDS_ESPEAK,
    SPEECH_RMS,
    boil,
    fan,
    heard,
    room,
    sound,
    spoken,
    tone,
)

from assistant.hearing.ear.chain import Chain
from assistant.hearing.ear.files import RecordingFault, read_wav
from assistant.hearing.ear.frames import FRAME_S
from assistant.hearing.ear.recording import whole
from assistant.hearing.engine import RATE_HZ

SHAPE = np.array([0.0, 0.5, -0.5, 0.25, -0.25, 0.999, -1.0, 0.0])
PCM, FLOAT, EXTENSIBLE, MULAW = 1, 3, 0xFFFE, 7


def packed(samples: np.ndarray, code: int, bits: int) -> bytes:
    if code == FLOAT:
        return samples.astype(f"<f{bits // 8}").tobytes()
    if bits == 8:
        return (np.rint(samples * 127) + 128).astype(np.uint8).tobytes()
    whole_numbers = np.rint(samples * (2 ** (bits - 1) - 1)).astype("<i4")
    width = bits // 8
    return b"".join(int(n).to_bytes(width, "little", signed=True) for n in whole_numbers)


def riff(
    data: bytes,
    *,
    code: int = PCM,
    channels: int = 1,
    rate_hz: int = 16_000,
    bits: int = 16,
    before: bytes = b"",
    told_bytes: int | None = None,
) -> bytes:
    width = channels * bits // 8
    form = struct.pack("<HHIIHH", code, channels, rate_hz, rate_hz * width, width, bits)
    told = len(data) if told_bytes is None else told_bytes
    chunks = b"fmt " + struct.pack("<I", len(form)) + form + before
    chunks += b"data" + struct.pack("<I", told) + data
    return b"RIFF" + struct.pack("<I", 4 + len(chunks)) + b"WAVE" + chunks


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "said.wav"


@pytest.mark.parametrize(
    ("code", "bits", "within"),
    [(PCM, 8, 260), (PCM, 16, 2), (PCM, 24, 2), (PCM, 32, 2), (FLOAT, 32, 2), (FLOAT, 64, 2)],
)
@pytest.mark.parametrize("channels", [1, 2, 3])
def test_every_usual_kind_of_sample_is_read(
    path: Path, code: int, bits: int, within: int, channels: int
) -> None:
    every = np.repeat(SHAPE, channels)
    path.write_bytes(riff(packed(every, code, bits), code=code, bits=bits, channels=channels))
    recording = read_wav(path)
    assert recording.rate_hz == 16_000
    assert recording.length_s == len(SHAPE) / 16_000
    assert recording.sound.dtype == np.int16
    assert np.abs(recording.sound - SHAPE * 32768).max() <= within + 30


def test_channels_are_mixed(path: Path) -> None:
    left_right = np.array([0.5, 0.1, -0.5, 0.5])
    path.write_bytes(riff(packed(left_right, FLOAT, 32), code=FLOAT, bits=32, channels=2))
    assert read_wav(path).sound.tolist() == [round(0.3 * 32768), 0]


def test_what_the_standard_library_writes_is_read(path: Path) -> None:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(22_050)
        file.writeframes(sound(tone(0.5, 440, 9000)).tobytes())
    recording = read_wav(path)
    assert recording.rate_hz == 22_050
    assert np.array_equal(recording.sound, sound(tone(0.5, 440, 9000)))


def test_an_extensible_header_names_its_format_further_back(path: Path) -> None:
    form = struct.pack("<HHIIHH", EXTENSIBLE, 1, 48_000, 192_000, 4, 32)
    form += struct.pack("<HHIH", 22, 32, 4, FLOAT) + b"\0" * 14
    data = packed(SHAPE, FLOAT, 32)
    chunks = b"fmt " + struct.pack("<I", len(form)) + form
    chunks += b"data" + struct.pack("<I", len(data)) + data
    path.write_bytes(b"RIFF" + struct.pack("<I", 4 + len(chunks)) + b"WAVE" + chunks)
    assert read_wav(path).sound[1] == 16384


def test_other_chunks_are_passed_over_odd_ones_too(path: Path) -> None:
    path.write_bytes(riff(packed(SHAPE, PCM, 16), before=b"LIST\x03\0\0\0abc\0"))
    assert read_wav(path).sound.size == len(SHAPE)


@pytest.mark.parametrize("told_bytes", [0xFFFFFFFF, 0x7FFFFFFF, 1000])
def test_a_length_made_up_by_a_pipe_is_not_believed(path: Path, told_bytes: int) -> None:
    path.write_bytes(riff(packed(SHAPE, PCM, 16) + b"\1", told_bytes=told_bytes))
    assert read_wav(path).sound.size == len(SHAPE)


def test_numbers_that_are_none_and_overshoots_are_tamed(path: Path) -> None:
    wild = np.array([np.nan, np.inf, -np.inf, 7.0, 0.5])
    path.write_bytes(riff(packed(wild, FLOAT, 32), code=FLOAT, bits=32))
    assert read_wav(path).sound.tolist() == [0, 32767, -32768, 32767, 16384]


@pytest.mark.parametrize(
    ("content", "text"),
    [
        (b"", "the file is empty"),
        (b"RIFF", "no WAV file"),
        (b"ID3" + b"\0" * 100, "no WAV file"),
        (b"RIFF\x24\0\0\0AVI " + b"\0" * 40, "no WAV file"),
        (b"RIFF\x04\0\0\0WAVE", "no format"),
        (riff(b""), "no sound in the file"),
        (riff(b"\1"), "no sound in the file"),
        (riff(b"\0" * 64, code=MULAW, bits=8), "8-bit samples of WAV format 7"),
        (riff(b"\0" * 64, bits=12), "12-bit samples"),
        (riff(b"\0" * 64, code=FLOAT, bits=16), "16-bit samples of WAV format 3"),
        (riff(b"\0" * 64, channels=0), "0 channels"),
        (riff(b"\0" * 64, channels=600), "600 channels"),
        (riff(b"\0" * 64, rate_hz=0), "sampling rate is 0 Hz"),
        (riff(b"\0" * 64, rate_hz=2_000_000), "sampling rate is 2000000 Hz"),
        (riff(b"\0" * 2_410_000, rate_hz=4_000, bits=8), "602 s long. At most 600 s"),
    ],
)
def test_what_is_no_recording_is_refused_in_one_line(path: Path, content: bytes, text: str) -> None:
    path.write_bytes(content)
    with pytest.raises(RecordingFault) as refused:
        read_wav(path)
    assert str(refused.value).startswith(f"{path}: ")
    assert text in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_file_that_is_missing_or_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RecordingFault, match="there is no such file"):
        read_wav(tmp_path / "nothing.wav")
    with pytest.raises(RecordingFault, match="can't be read"):
        read_wav(tmp_path)


def recorded(*words: str, room_s: float, below_db: float | None, kind: str = "boil") -> np.ndarray:
    pieces = [np.zeros(round(room_s * RATE_HZ))]
    for said in words:
        pieces += [spoken(said), np.zeros(round(room_s * RATE_HZ))]
    speech = np.concatenate(pieces)
    samples = speech + room(speech.size / RATE_HZ + 1)[: speech.size]
    if below_db is not None:
        rms = SPEECH_RMS * 10 ** (-below_db / 20)
        background = {"boil": boil, "fan": fan}[kind](speech.size / RATE_HZ + 1, rms)
        samples = samples + background[: speech.size]
    return samples


@NEEDS_ESPEAK
@pytest.mark.parametrize("room_s", [0.05, 0.3, 1.5, 4.0])
@pytest.mark.parametrize(
    ("below_db", "kind"), [(None, "boil"), (20, "boil"), (10, "boil"), (5, "boil"), (10, "fan")]
)
def test_all_that_is_spoken_is_in_the_utterance(
    room_s: float, below_db: float | None, kind: str
) -> None:
    words = "mash temperature sixty six point five"
    samples = recorded(words, room_s=room_s, below_db=below_db, kind=kind)
    utterance = whole(sound(samples), RATE_HZ)
    assert utterance is not None
    assert utterance.from_s <= room_s
    spoken_till_s = room_s + spoken(words).size / RATE_HZ
    assert utterance.from_s + utterance.length_s >= spoken_till_s
    if room_s > 1:
        assert utterance.length_s < samples.size / RATE_HZ - 1


@NEEDS_ESPEAK
@pytest.mark.parametrize("below_db", [None, 10])
def test_pauses_within_a_recording_are_joined(below_db: float | None) -> None:
    samples = recorded("gravity", "one point oh four eight", room_s=1.5, below_db=below_db)
    utterance = whole(sound(samples), RATE_HZ)
    assert utterance is not None
    assert utterance.ended_s - utterance.started_s > 3
    assert len(heard(samples)) == 2


@NEEDS_ESPEAK
@pytest.mark.parametrize("rate_hz", [8000, 22_050, 48_000])
def test_a_recording_of_any_rate_gives_the_same(rate_hz: int) -> None:
    samples = recorded("undo", room_s=1.5, below_db=None)
    at = np.arange(0, samples.size, RATE_HZ / rate_hz)
    other = np.interp(at, np.arange(samples.size), samples)
    utterance, same = whole(sound(other), rate_hz), whole(sound(samples), RATE_HZ)
    assert utterance is not None
    assert same is not None
    assert utterance.started_s == pytest.approx(same.started_s, abs=2 * FRAME_S)
    assert utterance.length_s == pytest.approx(same.length_s, abs=0.15)


@NEEDS_ESPEAK
@pytest.mark.parametrize(
    "words", ["yes", "no", "undo", "fifteen", "gravity one point oh four eight"]
)
@pytest.mark.parametrize("silence_s", [0.0, 0.1, 1.5])
def test_speech_with_digital_silence_around_it_is_found(words: str, silence_s: float) -> None:
    silence = np.zeros(round(silence_s * RATE_HZ))
    utterance = whole(sound(np.concatenate((silence, spoken(words), silence))), RATE_HZ)
    assert utterance is not None
    assert utterance.from_s <= silence_s
    assert utterance.from_s + utterance.length_s >= silence_s + spoken(words).size / RATE_HZ
    assert silence_s < 1 or utterance.from_s > 0.5


@NEEDS_ESPEAK
def test_a_long_speech_is_told_to_be_too_long() -> None:
    words = ["mash temperature sixty six point five"] * 4
    utterance = whole(sound(recorded(*words, room_s=0.3, below_db=None)), RATE_HZ)
    assert utterance is not None
    assert utterance.too_long
    assert utterance.length_s > 10


@pytest.mark.parametrize(
    "samples",
    [
        np.zeros(0),
        np.zeros(100),
        np.zeros(48_000),
        room(4),
        fan(4, 1000),
        tone(3, 1000, 8000),
        np.concatenate((room(1), tone(1, 1000, 8000), room(1))),
    ],
    ids=["nothing", "an instant", "digital silence", "room", "fan", "tone", "beep"],
)
def test_where_nothing_is_spoken_there_is_no_utterance(samples: np.ndarray) -> None:
    assert whole(sound(samples), RATE_HZ) is None


@NEEDS_ESPEAK
def test_a_stream_that_ends_in_the_middle_gives_what_was_said_till_then() -> None:
    samples = np.concatenate((room(2), spoken("undo") + room(2)[: spoken("undo").size]))
    chain = Chain(RATE_HZ)
    assert chain.feed(sound(samples)) == []
    assert chain.speaking
    (utterance,) = chain.flush()
    assert utterance.started_s == pytest.approx(2.0, abs=0.1)


@NEEDS_ESPEAK
def test_a_stream_at_48_khz_is_cut_like_one_at_16() -> None:
    samples = recorded("undo", "skip", room_s=2.0, below_db=20)
    at = np.arange(0, samples.size - 1, 1 / 3)
    fine = np.interp(at, np.arange(samples.size), samples)
    coarse_spans = [(u.started_s, u.ended_s) for u in heard(samples)]
    fine_spans = [(u.started_s, u.ended_s) for u in heard(fine, rate_hz=48_000)]
    assert len(coarse_spans) == 2
    assert np.abs(np.array(fine_spans) - np.array(coarse_spans)).max() < 0.1
