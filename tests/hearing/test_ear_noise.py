"""The noise floor, and when it is too loud."""

import numpy as np
import pytest
from room_sounds import boil, fan, room, sound

from assistant.hearing.ear.frames import FRAME_S, Framer, level_db
from assistant.hearing.ear.noise_floor import LOWEST_DB, WINDOW_S, NoiseFloor
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.ear.too_loud import (
    ABOVE_NOISE_DB,
    FLOOR_DB,
    FLOOR_FOR_S,
    LAST_UTTERANCES,
    QUIET_FOR_S,
    QUIETER_DB,
    TooLoud,
)
from assistant.hearing.ear.trouble import Trouble


def fed(samples: np.ndarray, floor: NoiseFloor | None = None) -> NoiseFloor:
    floor = floor or NoiseFloor()
    for frame in Framer().feed(sound(samples)):
        floor.feed(level_db(frame))
    return floor


@pytest.mark.parametrize(
    "noise",
    [4 * room(6), boil(6, 30), boil(6, 3000), fan(6, 300)],
    ids=["room", "low", "boil", "fan"],
)
def test_the_floor_is_a_little_below_the_mean_level_of_a_noise(noise: np.ndarray) -> None:
    floor = fed(noise)
    assert -3.5 < floor.level_db - level_db(sound(noise)) < 0
    assert 0 < floor.spread_db < 3.5


def test_a_boil_goes_up_and_down_more_than_a_fan() -> None:
    assert fed(boil(6, 1000)).spread_db > 1.5 * fed(fan(6, 1000)).spread_db


def test_silence_has_the_lowest_floor_and_no_spread() -> None:
    for floor in (NoiseFloor(), fed(np.zeros(32_000))):
        assert floor.level_db == LOWEST_DB
        assert floor.spread_db == 0


def test_speech_four_fifths_of_the_time_does_not_lift_it() -> None:
    floor = NoiseFloor()
    for at in range(round(WINDOW_S / FRAME_S) * 3):
        floor.feed(-60.0 if at % 5 == 0 else -20.0 - at % 7)
    assert floor.level_db <= -26


@pytest.mark.parametrize("louder", [fan(2, 3000), fan(2, 400)], ids=["40 dB", "22 dB"])
def test_a_fan_switched_on_is_the_floor_within_a_second(louder: np.ndarray) -> None:
    floor = fed(fan(5, 30))
    fed(louder[:16_000], floor)
    assert floor.level_db == pytest.approx(level_db(sound(louder)), abs=1.5)


def test_a_boil_that_has_begun_is_the_floor_within_the_window() -> None:
    floor = fed(boil(5, 100))
    fed(boil(WINDOW_S, 1000), floor)
    assert floor.level_db == pytest.approx(level_db(sound(boil(4, 1000))), abs=3.5)


def test_the_floor_falls_when_the_noise_ends() -> None:
    floor = fed(boil(5, 1000))
    fed(room(1), floor)
    assert floor.level_db < -70


def standing_out(by_db: float, noise_db: float = -50.0) -> Utterance:
    return Utterance(
        sound=np.zeros(0, np.int16),
        started_s=0,
        ended_s=1,
        from_s=0,
        level_db=noise_db + by_db,
        noise_db=noise_db,
    )


def told(too_loud: TooLoud, floor_db: float, length_s: float) -> list[Trouble]:
    steps = [too_loud.room(floor_db, 0.5) for _ in range(round(length_s / 0.5))]
    return [trouble for trouble in steps if trouble is not None]


def test_a_high_floor_is_told_once_however_long_it_lasts() -> None:
    too_loud = TooLoud()
    assert told(too_loud, FLOOR_DB + 1, FLOOR_FOR_S - 0.5) == []
    assert told(too_loud, FLOOR_DB + 1, 600) == [Trouble.TOO_LOUD]


def test_a_short_din_is_not_told() -> None:
    too_loud = TooLoud()
    for _ in range(10):
        assert told(too_loud, FLOOR_DB + 20, FLOOR_FOR_S - 0.5) == []
        assert told(too_loud, FLOOR_DB - 20, 0.5) == []


def test_it_is_told_again_only_after_a_long_quiet() -> None:
    too_loud = TooLoud()
    loud_db, quiet_db = FLOOR_DB + 1, FLOOR_DB + 1 - QUIETER_DB
    assert told(too_loud, loud_db, FLOOR_FOR_S) == [Trouble.TOO_LOUD]
    assert told(too_loud, quiet_db, QUIET_FOR_S - 1) == []
    assert told(too_loud, loud_db, 60) == []
    assert told(too_loud, quiet_db, QUIET_FOR_S) == [Trouble.QUIET_AGAIN]
    assert told(too_loud, loud_db, FLOOR_FOR_S) == [Trouble.TOO_LOUD]


def test_speech_that_hardly_stands_out_is_told_once() -> None:
    too_loud = TooLoud()
    answers = [too_loud.heard(standing_out(ABOVE_NOISE_DB - 1)) for _ in range(20)]
    assert answers.index(Trouble.TOO_LOUD) == LAST_UTTERANCES - 1
    assert answers.count(Trouble.TOO_LOUD) == 1


def test_one_mumble_among_clear_words_is_not_told() -> None:
    too_loud = TooLoud()
    for by_db in (30, 4, 30, 30, 4, 30):
        assert too_loud.heard(standing_out(by_db)) is None
