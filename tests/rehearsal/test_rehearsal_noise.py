"""The noise of a rehearsed brewhouse."""

import numpy as np
import pytest

from assistant.advice.timeline import Stage
from assistant.rehearsal.noise import BOIL_CORNER_HZ, mixed, noise, snr_db

SPEECH = np.round(3000 * np.sin(np.arange(32_000) * 0.2)).astype(np.int16)


@pytest.mark.parametrize("stage", list(Stage))
def test_noise_stands_as_far_below_speech_as_its_stage_says(stage: Stage) -> None:
    added = mixed(SPEECH, stage, seed=1).astype(float) - SPEECH
    below_db = 10 * np.log10(np.mean(SPEECH.astype(float) ** 2) / np.mean(added**2))
    assert below_db == pytest.approx(snr_db(stage), abs=0.1)


def test_a_boil_is_louder_than_a_fan_and_a_fan_than_a_quiet_room() -> None:
    assert snr_db(Stage.BOIL) < snr_db(Stage.CHILL) < snr_db(Stage.GATHER)


def test_a_seed_gives_the_same_noise_again_and_another_seed_another() -> None:
    assert np.array_equal(mixed(SPEECH, Stage.BOIL, 3), mixed(SPEECH, Stage.BOIL, 3))
    assert not np.array_equal(mixed(SPEECH, Stage.BOIL, 3), mixed(SPEECH, Stage.BOIL, 4))


def test_a_boil_rumbles_below_a_fan() -> None:
    def low_share(stage: Stage) -> float:
        power = np.abs(np.fft.rfft(noise(160_000, stage, 5))) ** 2
        hz = np.fft.rfftfreq(160_000, 1 / 16_000)
        rumble = (hz < BOIL_CORNER_HZ) & ((hz < 105) | (hz > 115))
        return float(power[rumble].sum() / power.sum())

    assert low_share(Stage.BOIL) > low_share(Stage.CHILL)


def test_speech_at_full_scale_is_not_folded_over_by_noise() -> None:
    loud = np.round(32767 * np.sin(np.arange(32_000) * 0.2)).astype(np.int16)
    heard = mixed(loud, Stage.BOIL, 2)
    assert np.corrcoef(heard, loud)[0, 1] > 0.95


@pytest.mark.parametrize("samples", [0, 1000])
def test_silence_stays_silence(samples: int) -> None:
    assert not mixed(np.zeros(samples, np.int16), Stage.BOIL, 1).any()
