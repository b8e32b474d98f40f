"""Hop utilisation, bitterness and what a steep is worth."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.hops import (
    bitterness_ibu,
    equivalent_boil_minutes,
    isomerisation_per_minute,
    loss_per_minute,
    steep_equivalent_minutes,
    utilisation,
    weight_to_hold_g,
)


@pytest.mark.parametrize(
    ("gravity", "minutes", "printed"),
    [
        # Tinseth's table as printed in J. Palmer, How to Brew.
        pytest.param(1.050, 30, 0.177, id="1.050 for 30 min"),
        pytest.param(1.060, 30, 0.162, id="1.060 for 30 min"),
        pytest.param(1.080, 15, 0.087, id="1.080 for 15 min"),
        pytest.param(1.080, 60, 0.176, id="1.080 for 60 min"),
    ],
)
def test_utilisation_agrees_with_the_printed_table(
    gravity: float, minutes: float, printed: float
) -> None:
    assert utilisation(gravity, minutes) == pytest.approx(printed, abs=0.0006)


@pytest.mark.parametrize(
    ("gravity", "minutes", "expected"),
    [
        # Tinseth's equation by hand.
        pytest.param(1.030, 5, 0.055, id="weak, short"),
        pytest.param(1.050, 60, 0.2307, id="an ordinary hour"),
        pytest.param(1.100, 90, 0.157, id="strong, long"),
        pytest.param(1.050, 0, 0.0, id="no time, nothing"),
    ],
)
def test_utilisation_by_the_equation(gravity: float, minutes: float, expected: float) -> None:
    assert utilisation(gravity, minutes) == pytest.approx(expected, abs=0.0005)


@given(st.floats(1.0, 1.12), st.floats(0.0, 180.0), st.floats(0.1, 30.0))
def test_longer_boils_and_thinner_worts_extract_more(
    gravity: float, minutes: float, more: float
) -> None:
    assert utilisation(gravity, minutes + more) > utilisation(gravity, minutes)
    assert utilisation(gravity + more / 1000, minutes + 1) < utilisation(gravity, minutes + 1)


def test_thirty_grams_for_an_hour() -> None:
    # 0.2307 x 0.10 x 30 g x 1000 / 20 L by hand.
    share = utilisation(1.050, 60)
    ibu = bitterness_ibu(weight_g=30, alpha=0.10, utilisation=share, volume_l=20)
    assert ibu == pytest.approx(34.6, abs=0.05)
    half = bitterness_ibu(weight_g=30, alpha=0.10, utilisation=utilisation(1.050, 30), volume_l=20)
    assert half == pytest.approx(26.6, abs=0.05)


def test_thinning_the_beer_thins_its_bitterness() -> None:
    addition = {"weight_g": 30.0, "alpha": 0.10, "utilisation": 0.23}
    assert bitterness_ibu(**addition, volume_l=25.0) == pytest.approx(
        bitterness_ibu(**addition, volume_l=20.0) * 20 / 25
    )


def test_hops_forgotten_for_half_an_hour_need_nine_grams_more() -> None:
    # 30 g x U(60) / U(30) by Tinseth's equation.
    grams = weight_to_hold_g(
        weight_g=30, gravity=1.050, minutes=60, new_gravity=1.050, new_minutes=30
    )
    assert grams == pytest.approx(39.0, abs=0.05)


@given(st.floats(1.02, 1.1), st.floats(1.0, 90.0), st.floats(1.02, 1.1), st.floats(1.0, 90.0))
def test_the_weight_that_holds_bitterness_holds_it(
    gravity: float, minutes: float, new_gravity: float, new_minutes: float
) -> None:
    grams = weight_to_hold_g(
        weight_g=20.0,
        gravity=gravity,
        minutes=minutes,
        new_gravity=new_gravity,
        new_minutes=new_minutes,
    )
    assert grams * utilisation(new_gravity, new_minutes) == pytest.approx(
        20.0 * utilisation(gravity, minutes)
    )


def test_rates_at_the_boil() -> None:
    # Malowicki and Shellhammer (2005): 7.9e11 exp(-11858/T) and 4.1e12 exp(-12994/T) per minute.
    assert isomerisation_per_minute(100.0) == pytest.approx(0.01249, abs=1e-5)
    assert loss_per_minute(100.0) == pytest.approx(0.00309, abs=1e-5)
    assert math.log(2) / isomerisation_per_minute(100.0) == pytest.approx(55.5, abs=0.1)


@pytest.mark.parametrize(
    ("minutes", "share"),
    [(60, 0.476), (90, 0.574), (149, 0.632)],
)  # consecutive first-order reactions at 100 °C, Malowicki and Shellhammer (2005) rates
def test_both_rates_together_give_the_share_isomerised(minutes: float, share: float) -> None:
    gain, loss = isomerisation_per_minute(100.0), loss_per_minute(100.0)
    left = gain / (loss - gain) * (math.exp(-gain * minutes) - math.exp(-loss * minutes))
    assert left == pytest.approx(share, abs=0.001)


@pytest.mark.parametrize(
    ("temperature_c", "share"),
    [(100, 1.0), (98, 0.843), (95, 0.649), (90, 0.417), (85, 0.264), (80, 0.165)],
)  # ratio of Malowicki and Shellhammer (2005) rates; below 90 °C extrapolated
def test_a_minute_below_the_boil_is_worth_less(temperature_c: float, share: float) -> None:
    assert equivalent_boil_minutes([temperature_c] * 11, 1.0) == pytest.approx(
        10 * share, abs=0.006
    )


def test_a_minute_at_mountain_boil_is_worth_half() -> None:
    # Water boils at 93.3 °C at 2000 m; ratio of Malowicki and Shellhammer (2005) rates.
    assert equivalent_boil_minutes([93.3, 93.3], 1.0) == pytest.approx(0.56, abs=0.005)


def test_below_seventy_degrees_hops_give_nothing() -> None:
    assert equivalent_boil_minutes([69.9, 65.0, 60.0], 10.0) == 0.0
    assert equivalent_boil_minutes([70.0, 70.0], 10.0) == pytest.approx(0.62, abs=0.01)


@pytest.mark.parametrize("temperatures_c", [[], [95.0]])
def test_a_single_reading_spans_no_time(temperatures_c: list[float]) -> None:
    assert equivalent_boil_minutes(temperatures_c, 1.0) == 0.0


def test_readings_at_the_ends_count_half() -> None:
    # Trapezoid by hand: 1 min from 100 to 90 °C is worth the mean of 1 and 0.417.
    assert equivalent_boil_minutes([100.0, 90.0], 1.0) == pytest.approx((1 + 0.417) / 2, abs=0.001)


def test_a_cooling_whirlpool_is_worth_eight_minutes() -> None:
    # 98 to 80 °C in 20 min in a 20 °C room is 0.787 per hour; summed by hand from the 2005 rates.
    minutes = steep_equivalent_minutes(from_c=98, minutes=20, room_c=20, cooling_per_hour=0.787)
    assert minutes == pytest.approx(8.14, abs=0.01)
    assert utilisation(1.050, minutes) == pytest.approx(0.0705, abs=0.0002)


def test_a_steep_held_at_the_boil_is_a_boil() -> None:
    assert steep_equivalent_minutes(from_c=100, minutes=15, room_c=20) == pytest.approx(15.0)


@given(st.floats(60.0, 100.0), st.floats(0.0, 60.0), st.floats(0.0, 2.0))
def test_a_steep_is_never_worth_more_than_boiling_as_long(
    from_c: float, minutes: float, cooling_per_hour: float
) -> None:
    held = steep_equivalent_minutes(from_c=from_c, minutes=minutes, room_c=18)
    cooling = steep_equivalent_minutes(
        from_c=from_c, minutes=minutes, room_c=18, cooling_per_hour=cooling_per_hour
    )
    assert 0.0 <= cooling <= held + 1e-9 <= minutes + 2e-9


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: bitterness_ibu(weight_g=30, alpha=7.2, utilisation=0.2, volume_l=20),
            r"^alpha acid fraction 7\.2 is outside 0 to 0\.3$",
        ),
        (
            lambda: bitterness_ibu(weight_g=-3, alpha=0.07, utilisation=0.2, volume_l=20),
            r"^hop weight -3 g is outside 0 to 10000 g$",
        ),
        (
            lambda: bitterness_ibu(weight_g=30, alpha=0.07, utilisation=0.2, volume_l=0),
            r"^volume 0 L is outside 0\.001 to 1000 L$",
        ),
        (lambda: utilisation(1.050, -1), r"^boil time -1 min is outside 0 to 600 min$"),
        (
            lambda: weight_to_hold_g(
                weight_g=30, gravity=1.05, minutes=60, new_gravity=1.05, new_minutes=0
            ),
            r"^boil time left 0 min is outside 1 to 600 min$",
        ),
        (
            lambda: isomerisation_per_minute(200.0),
            r"^wort temperature 200 °C is outside 0 to 130 °C$",
        ),
        (
            lambda: steep_equivalent_minutes(
                from_c=80, minutes=20, room_c=18, cooling_per_hour=-1.0
            ),
            r"^cooling -1 per hour is outside 0 to 10 per hour$",
        ),
    ],
)
def test_impossible_hops_are_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
