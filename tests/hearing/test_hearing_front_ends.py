"""What is done to a sound before it is looked at."""

import numpy as np
import pytest
from speech.noises import boil, mix
from speech.voices import Half, available, render

from assistant.hearing import front_ends
from assistant.hearing.engine import EngineFailed
from assistant.hearing.front_ends import CLEAN, MOSTLY, RAW, SPEECH, FrontEnds

ALL = (RAW, CLEAN, SPEECH, MOSTLY)


def over_a_boil() -> tuple[np.ndarray, np.ndarray]:
    """A sentence over a boil, and where it is silent."""
    voices = [str(voice) for voice in available(Half.TUNE)]
    if not voices:
        pytest.skip("no synthesiser is installed")
    speech = np.pad(render(voices[0], "mash temperature sixty six point five"), (16_000, 16_000))
    silent = np.zeros(len(speech), bool)
    silent[8_000:14_000] = True
    noise = boil(len(speech) / 16_000 + 0.1, 3)
    return mix(speech, noise[: len(speech)], 10.0), silent


def level_db(sound: np.ndarray) -> float:
    return 20 * np.log10(np.sqrt(np.mean(sound.astype(float) ** 2)) + 1e-3)


def test_each_front_end_gives_a_sound_as_long_as_it_was() -> None:
    sound = np.random.default_rng(1).normal(0, 500, 23_457).astype(np.int16)
    made = FrontEnds().of(sound, ALL)
    assert tuple(made) == ALL
    assert all(len(one) == len(sound) and one.dtype == np.int16 for one in made.values())
    assert np.array_equal(made[RAW], sound)


@pytest.mark.parametrize("name", [CLEAN, SPEECH, MOSTLY])
def test_noise_goes_and_speech_stays(name: str) -> None:
    pytest.importorskip("pyrnnoise")
    sound, silent = over_a_boil()
    made = FrontEnds().of(sound, [name])[name]
    assert level_db(made[silent]) < level_db(sound[silent]) - 6
    loud = slice(20_000, len(sound) - 20_000)
    assert abs(level_db(made[loud]) - level_db(sound[loud])) < 3


def test_without_the_network_measured_noise_is_taken_out_instead(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Missing:
        def __init__(self) -> None:
            raise EngineFailed("not there")

    monkeypatch.setattr(front_ends, "RNNoise", Missing)
    sound, _ = over_a_boil()
    made = FrontEnds().of(sound, ALL)
    assert np.array_equal(made[SPEECH], made[CLEAN])
    assert np.array_equal(made[MOSTLY], made[CLEAN])
