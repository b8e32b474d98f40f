"""Chimes: what each tone is made of, and that no two are alike."""

import itertools

import numpy as np
import pytest

from assistant.speaking.chimes import CHIME_RATE_HZ, MELODIES, Chime, Tone, chime_sound, tone

TONES = sorted(
    {(part.frequency_hz, part.length_s) for melody in MELODIES.values() for part in melody.tones}
)
PAIRS = list(itertools.combinations(Chime, 2))


def peaks_hz_db(sound: np.ndarray) -> list[tuple[float, float]]:
    """Frequency and level of what stands highest within 100 Hz, down to 30 dB below the top."""
    size = 1 << 14
    spectrum = np.abs(np.fft.rfft(sound * np.hanning(len(sound)), size))
    level = 20 * np.log10(spectrum / spectrum.max() + 1e-12)
    reach = round(100 * size / CHIME_RATE_HZ)
    around = np.lib.stride_tricks.sliding_window_view(
        np.pad(level, reach, constant_values=-200), 2 * reach + 1
    ).max(axis=1)
    places = np.flatnonzero((level == around) & (level > -30))
    return [(place * CHIME_RATE_HZ / size, level[place]) for place in places]


@pytest.mark.parametrize(("frequency_hz", "length_s"), TONES)
def test_a_tone_has_four_strong_harmonics_where_ears_are_keen(
    frequency_hz: float, length_s: float
) -> None:
    peaks = peaks_hz_db(tone(frequency_hz, length_s))
    lowest_hz = peaks[0][0]
    assert lowest_hz == pytest.approx(frequency_hz, abs=8)
    assert 150 <= lowest_hz <= 1000
    levels = [level for hz, level in peaks if 300 <= hz <= 4000]
    assert len(levels) >= 4
    assert max(levels) - min(levels) <= 15


@pytest.mark.parametrize("chime", Chime)
def test_a_chime_is_not_clipped_and_begins_and_ends_in_silence(chime: Chime) -> None:
    sound = chime_sound(chime).sound.astype(float) / 32768
    assert np.abs(sound).max() == pytest.approx(MELODIES[chime].peak, abs=0.001)
    assert abs(sound[0]) < 0.001
    assert abs(sound[-1]) < 0.005


@pytest.mark.parametrize(("frequency_hz", "length_s"), TONES)
def test_a_tone_begins_and_ends_without_a_click(frequency_hz: float, length_s: float) -> None:
    sound = tone(frequency_hz, length_s)
    edge = round(0.002 * CHIME_RATE_HZ)
    steps = np.abs(np.diff(sound, prepend=0.0, append=0.0))
    steady = steps[len(sound) // 3 : len(sound) // 2].max()
    assert steps[:edge].max() < steady / 4
    assert steps[-edge:].max() < steady / 4


@pytest.mark.parametrize(("one", "other"), PAIRS, ids=lambda chime: chime.name)
def test_two_chimes_differ_in_pitch_and_in_rhythm(one: Chime, other: Chime) -> None:
    def pitches(chime: Chime) -> list[float]:
        return [part.frequency_hz for part in MELODIES[chime].tones]

    def rhythm(chime: Chime) -> list[Tone | tuple[float, float]]:
        return [(part.length_s, part.then_s) for part in MELODIES[chime].tones]

    assert pitches(one) != pitches(other)
    assert rhythm(one) != rhythm(other)


def test_a_soft_chime_over_loud_words_is_not_clipped() -> None:
    from assistant.speaking.voice import PEAK

    soft = (Chime.LISTENING, Chime.HEARD, Chime.NOT_HEARD)
    assert max(MELODIES[chime].peak for chime in soft) + PEAK <= 1
