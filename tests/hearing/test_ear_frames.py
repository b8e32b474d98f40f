"""Frames, levels, the hum cut and the resampler."""

import numpy as np
import pytest
from room_sounds import boil, room, sound, tone
from scipy.signal import butter, sosfilt

from assistant.hearing.ear.frames import (
    FRAME_SAMPLES,
    SILENCE_DB,
    Framer,
    clipped,
    is_tone,
    level_db,
)
from assistant.hearing.ear.hum import CUT_HZ, ORDER, HumCut, response_db
from assistant.hearing.ear.resampling import Resampler
from assistant.hearing.engine import RATE_HZ, Sound


def frames(whole: Sound) -> list[Sound]:
    return Framer().feed(whole)


@pytest.mark.parametrize(
    ("samples", "decibels"),
    [
        (np.full(480, 32767), 0.0),
        (np.full(480, -3277), -20.0),
        (np.full(480, 1), -90.3),
        (tone(0.03, 1000, 32767), -3.01),
        (np.zeros(480), SILENCE_DB),
        (np.zeros(0), SILENCE_DB),
        (np.eye(1, 480)[0], SILENCE_DB),
    ],
)
def test_levels_are_below_full_scale(samples: np.ndarray, decibels: float) -> None:
    assert level_db(sound(samples)) == pytest.approx(decibels, abs=0.01)


@pytest.mark.parametrize("sizes", [(1,) * 1000, (479, 1, 481, 1439), (2400,), (0, 960, 0, 13)])
def test_blocks_of_any_length_make_the_same_frames(sizes: tuple[int, ...]) -> None:
    whole = sound(np.arange(sum(sizes)))
    framer = Framer()
    cut, at = [], 0
    for size in sizes:
        cut += framer.feed(whole[at : at + size])
        at += size
    full = whole.size // FRAME_SAMPLES
    assert np.array_equal(np.concatenate(cut), whole[: full * FRAME_SAMPLES])
    last = framer.flush()
    assert len(last) == (1 if whole.size % FRAME_SAMPLES else 0)
    assert all(frame.size == FRAME_SAMPLES and frame[-1] == whole[-1] for frame in last)
    assert framer.flush() == []


def test_flat_peaks_are_clipped_and_single_ones_are_not() -> None:
    flat = sound(tone(0.03, 300, 60_000))
    peak = sound(np.eye(1, 480, 7)[0] * 40_000)
    assert clipped(flat)
    assert clipped(-flat)
    assert not clipped(peak)
    assert not clipped(sound(tone(0.03, 300, 30_000)))


def test_a_beep_is_a_tone_and_a_boil_is_none() -> None:
    assert is_tone(sound(tone(0.03, 1000, 5000)))
    assert is_tone(sound(tone(0.03, 3137, 900) + room(0.03)))
    assert not any(is_tone(frame) for frame in frames(sound(boil(2, 1000))))
    assert not is_tone(sound(np.zeros(480)))


def test_the_vowel_of_a_high_voice_is_no_beep() -> None:
    assert not is_tone(sound(tone(0.03, 420, 5000)))


@pytest.mark.parametrize(
    ("frequency_hz", "low_db", "high_db"),
    [(50, -42, -40), (60, -32, -31), (110, -3.1, -2.9), (150, -0.2, 0), (300, -0.01, 0.01)],
)
def test_hum_is_cut_and_speech_is_left(frequency_hz: float, low_db: float, high_db: float) -> None:
    assert low_db < response_db(frequency_hz) < high_db
    whole = sound(tone(2, frequency_hz, 20_000))
    hum_cut = HumCut()
    after = np.concatenate([hum_cut.filter(frame) for frame in frames(whole)])
    gain_db = level_db(after[RATE_HZ:]) - level_db(whole[RATE_HZ:])
    assert gain_db == pytest.approx(response_db(frequency_hz), abs=0.1)


def test_frame_by_frame_the_filter_is_the_textbooks() -> None:
    whole = sound(boil(3, 4000) + tone(3, 50, 6000))
    hum_cut = HumCut()
    after = np.concatenate([hum_cut.filter(frame) for frame in frames(whole)])
    sections = butter(ORDER, CUT_HZ, "high", fs=RATE_HZ, output="sos")
    expected = sosfilt(sections, whole.astype(float))
    assert np.abs(after - expected).max() < 0.51


def test_a_piece_that_is_no_frame_is_refused() -> None:
    with pytest.raises(ValueError, match="a frame has 480 samples"):
        HumCut().filter(np.zeros(479, np.int16))


@pytest.mark.parametrize("rate_hz", [8000, 16_000, 22_050, 44_100, 48_000])
@pytest.mark.parametrize("block", [160, 997])
def test_any_rate_and_any_blocks_become_16_khz(rate_hz: int, block: int) -> None:
    at_s = np.arange(rate_hz) / rate_hz
    whole = sound(8000 * np.sin(2 * np.pi * 500 * at_s))
    resampler = Resampler(rate_hz)
    pieces = [resampler.feed(whole[at : at + block]) for at in range(0, whole.size, block)]
    after = np.concatenate([*pieces, resampler.flush()])
    assert after.size == pytest.approx(RATE_HZ, abs=2)
    expected = tone(1, 500, 8000)[: after.size]
    assert np.abs(after - expected[: after.size])[1000:-1000].max() < 20


@pytest.mark.parametrize("rate_hz", [0, -16_000, 3999, 400_000])
def test_a_rate_that_can_not_be_is_refused(rate_hz: int) -> None:
    with pytest.raises(ValueError, match="4000 to 384000 wanted"):
        Resampler(rate_hz)
