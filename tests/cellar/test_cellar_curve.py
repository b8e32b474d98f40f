"""The curve of a fermentation, with few readings, many, and wrong ones."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.cellar.curve import (
    FINISHED_WITHIN,
    USUAL_FINAL_SPREAD,
    Curve,
    Expected,
    GravityPoint,
    fitted_curve,
)
from assistant.cellar.shape import Shape, shape_of

ALE = Expected(
    original_gravity=1.050,
    original_spread=0.001,
    final_gravity=1.011,
    final_spread=USUAL_FINAL_SPREAD,
    days=12.0,
    temperature_c=19.0,
)
LAGER = replace(ALE, days=21.0, temperature_c=11.0)

FALLING = ((1.0, 1.047), (2.0, 1.037), (3.0, 1.024), (4.0, 1.016), (5.0, 1.013))
FINISHED = (*FALLING, (6.0, 1.012), (8.0, 1.011), (9.0, 1.011), (11.0, 1.011))


def read(*readings: tuple[float, float], spread: float = 0.001) -> list[GravityPoint]:
    return [GravityPoint(day=day, gravity=gravity, spread=spread) for day, gravity in readings]


def test_with_no_reading_the_curve_is_what_was_expected() -> None:
    curve = fitted_curve([], ALE)
    assert curve.original_gravity == pytest.approx(1.050, abs=1e-6)
    assert curve.final_gravity == pytest.approx(1.011, abs=1e-6)
    # An 80 % range reaches 1.28 standard deviations either way, and further as yeasts surprise.
    below, above = 1.011 - curve.final_low, curve.final_high - 1.011
    assert 1.2 * USUAL_FINAL_SPREAD < below < 2.0 * USUAL_FINAL_SPREAD
    assert 1.2 * USUAL_FINAL_SPREAD < above < 2.0 * USUAL_FINAL_SPREAD
    assert 3.0 < curve.finish_low < curve.finish_day < curve.finish_high < 15.0


def test_a_cold_beer_and_a_long_schedule_are_expected_to_take_longer() -> None:
    usual = fitted_curve([], ALE).finish_day
    assert fitted_curve([], replace(ALE, temperature_c=11.0)).finish_day > 1.3 * usual
    assert fitted_curve([], replace(ALE, days=21.0)).finish_day > 1.1 * usual


def test_one_low_reading_brings_the_finish_nearer_and_a_high_one_puts_it_off() -> None:
    low, high = (fitted_curve(read((3.0, gravity)), ALE) for gravity in (1.018, 1.042))
    assert low.finish_day < fitted_curve([], ALE).finish_day < high.finish_day


def test_readings_narrow_the_range() -> None:
    def width(*readings: tuple[float, float]) -> float:
        curve = fitted_curve(read(*readings), ALE)
        return curve.finish_high - curve.finish_low

    assert width(*FINISHED) < width(*FALLING) < width(*FALLING[:2]) < width()


def test_a_refractometers_reading_counts_for_less_than_a_hydrometers() -> None:
    off = (4.0, 1.030)
    before = fitted_curve(read(*FALLING[:3]), ALE).finish_day
    by_hydrometer = fitted_curve(read(*FALLING[:3], off), ALE).finish_day
    by_refractometer = fitted_curve([*read(*FALLING[:3]), *read(off, spread=0.003)], ALE).finish_day
    assert abs(by_refractometer - before) < abs(by_hydrometer - before)


def test_a_beer_that_stands_at_its_final_gravity_has_finished() -> None:
    curve = fitted_curve(read(*FINISHED), ALE)
    assert curve.final_gravity == pytest.approx(1.011, abs=0.0007)
    assert 4.5 < curve.finish_low < curve.finish_day < curve.finish_high < 8.0


def test_a_beer_that_sticks_is_believed_against_its_yeast() -> None:
    stuck = ((1.0, 1.047), (2.0, 1.038), (3.0, 1.029), (4.0, 1.025))
    plateau = ((6.0, 1.024), (8.0, 1.024), (10.0, 1.024), (12.0, 1.024))
    curve = fitted_curve(read(*stuck, *plateau), ALE)
    assert curve.final_gravity == pytest.approx(1.024, abs=0.001)
    assert curve.final_low > 1.022
    assert curve.finish_high < 8.0


@pytest.mark.parametrize("expected", [ALE, LAGER], ids=["ale", "lager"])
@pytest.mark.parametrize("mistyped", [1.080, 1.120, 0.990])
def test_a_mistyped_reading_does_not_bend_the_curve(expected: Expected, mistyped: float) -> None:
    sound = fitted_curve(read(*FALLING), expected)
    bent = fitted_curve(read(*FALLING, (6.0, mistyped)), expected)
    assert bent.finish_day == pytest.approx(sound.finish_day, abs=0.5)
    assert bent.final_gravity == pytest.approx(sound.final_gravity, abs=0.001)


def test_readings_all_on_one_day_say_where_the_beer_is() -> None:
    curve = fitted_curve(read((3.0, 1.030), (3.1, 1.030), (3.2, 1.029)), ALE)
    assert curve.gravity_at(3.1) == pytest.approx(1.030, abs=0.0015)


def test_readings_that_rise_give_a_curve_all_the_same() -> None:
    assert_sound(fitted_curve(read((1.0, 1.030), (2.0, 1.040), (3.0, 1.050), (4.0, 1.060)), ALE))


def test_the_same_whatever_the_order_of_the_readings() -> None:
    forwards, backwards = read(*FINISHED), read(*reversed(FINISHED))
    assert fitted_curve(forwards, ALE).finish_day == pytest.approx(
        fitted_curve(backwards, ALE).finish_day, abs=1e-3
    )


def test_finished_means_within_a_mark_of_the_final_gravity() -> None:
    curve = fitted_curve(read(*FALLING), ALE)
    left = curve.gravity_at(curve.finish_day) - curve.final_gravity
    assert left == pytest.approx(FINISHED_WITHIN, rel=1e-6)


def test_half_of_the_fall_has_gone_at_the_midpoint() -> None:
    curve = fitted_curve(read(*FALLING), ALE)
    middle = (curve.original_gravity + curve.final_gravity) / 2.0
    assert curve.gravity_at(curve.midpoint_day) == pytest.approx(middle, abs=1e-6)


@pytest.mark.parametrize("day", [0.5, 2.0, 3.5, 6.0, 12.0])
def test_the_fall_per_day_is_the_slope_of_the_curve(day: float) -> None:
    curve = fitted_curve(read(*FALLING), ALE)
    step = 1e-4
    fall = (curve.gravity_at(day - step) - curve.gravity_at(day + step)) / (2.0 * step)
    assert curve.fall_per_day(day) == pytest.approx(1000.0 * fall, rel=1e-4, abs=1e-4)


def test_growth_as_long_as_the_tail_and_nothing_steady_is_the_logistic() -> None:
    # 1 / (1 + exp((midpoint - t) / e-fold)), counted from t = 0.
    midpoint, fold = 3.0, 0.8
    at_first = 1.0 / (1.0 + math.exp(midpoint / fold))
    shape = Shape(
        growth_days=np.array([fold]),
        steady_days=np.array([0.0]),
        tail_days=np.array([fold]),
        awake=np.array([at_first / (1.0 - at_first)]),
    )
    days = np.linspace(0.0, 12.0, 49)
    logistic = 1.0 / (1.0 + np.exp((midpoint - days) / fold))
    assert shape.gone(days) == pytest.approx((logistic - at_first) / (1.0 - at_first), abs=1e-8)


POSITIVE = st.floats(0.01, 20.0).map(lambda figure: np.array([figure]))


@given(POSITIVE, POSITIVE, POSITIVE, st.floats(0.001, 1.0), st.floats(0.001, 0.999))
def test_the_day_a_share_has_gone_and_the_share_gone_on_a_day_undo_each_other(
    half_day: np.ndarray, steady: np.ndarray, tail: np.ndarray, awake: float, gone: float
) -> None:
    shape = shape_of(half_day, steady, tail, np.array([awake]))
    day = shape.day_when(np.array([gone]), np.array([1.0 - gone]))
    assert shape.gone(day) == pytest.approx(gone, abs=1e-6)


OUT_OF_RANGE = [
    pytest.param({"day": -0.5}, {}, "day of a reading", id="read before the pitch"),
    pytest.param({"day": math.nan}, {}, "day of a reading", id="no day"),
    pytest.param({"gravity": 1.5}, {}, "gravity", id="gravity of no beer"),
    pytest.param({"gravity": math.inf}, {}, "gravity", id="infinite gravity"),
    pytest.param({"spread": 0.0}, {}, "spread of a reading", id="a perfect hydrometer"),
    pytest.param({}, {"original_gravity": 1.2}, "expected original gravity", id="original"),
    pytest.param({}, {"original_spread": 0.0}, "spread of the original gravity", id="sure of it"),
    pytest.param({}, {"final_gravity": 1.050}, "expected final gravity", id="nothing to ferment"),
    pytest.param({}, {"final_spread": 1.0}, "spread of the final gravity", id="no idea at all"),
    pytest.param({}, {"days": 0.0}, "days of fermentation", id="no days"),
    pytest.param({}, {"temperature_c": 60.0}, "fermentation temperature", id="a dead yeast"),
]


@pytest.mark.parametrize(("reading", "belief", "what"), OUT_OF_RANGE)
def test_what_is_out_of_range_is_named(
    reading: dict[str, float], belief: dict[str, float], what: str
) -> None:
    point = replace(GravityPoint(day=2.0, gravity=1.040, spread=0.001), **reading)
    with pytest.raises(OutOfRange) as caught:
        fitted_curve([point], replace(ALE, **belief))
    assert caught.value.what == what


@pytest.mark.parametrize("day", [-1.0, math.nan, 1001.0])
def test_a_day_out_of_range_is_named(day: float) -> None:
    curve = fitted_curve([], ALE)
    for ask in (curve.gravity_at, curve.fall_per_day):
        with pytest.raises(OutOfRange, match="day"):
            ask(day)


def assert_sound(curve: Curve) -> None:
    figures = (curve.finish_low, curve.finish_day, curve.finish_high, curve.midpoint_day)
    gravities = (curve.final_low, curve.final_gravity, curve.final_high, curve.original_gravity)
    assert all(map(math.isfinite, (*figures, *gravities)))
    assert 0.0 <= curve.finish_low <= curve.finish_day <= curve.finish_high
    assert curve.final_low <= curve.final_gravity <= curve.final_high
    days = (0.0, 0.1, 1.0, 3.0, 10.0, 60.0, 1000.0)
    falling = [curve.gravity_at(day) for day in days]
    assert falling == sorted(falling, reverse=True)
    assert falling[0] == pytest.approx(curve.original_gravity, abs=1e-6)
    assert falling[-1] >= curve.final_gravity - 1e-9
    assert all(0.0 <= curve.fall_per_day(day) < math.inf for day in days)


POINTS = st.lists(
    st.builds(
        GravityPoint,
        day=st.floats(0.0, 60.0) | st.floats(0.0, 1000.0),
        gravity=st.floats(0.98, 1.15),
        spread=st.sampled_from([0.0001, 0.001, 0.003, 0.05]),
    ),
    max_size=8,
)
BELIEFS = st.builds(
    Expected,
    original_gravity=st.floats(1.005, 1.15),
    original_spread=st.sampled_from([0.0001, 0.001, 0.05]),
    final_gravity=st.floats(0.98, 1.003),
    final_spread=st.sampled_from([0.0001, 0.002, 0.05]),
    days=st.floats(0.5, 366.0),
    temperature_c=st.floats(0.0, 45.0),
)


@settings(max_examples=60)
@given(POINTS, BELIEFS)
def test_whatever_is_read_the_curve_falls_and_its_ranges_hold_it(
    points: list[GravityPoint], expected: Expected
) -> None:
    assert_sound(fitted_curve(points, expected))
