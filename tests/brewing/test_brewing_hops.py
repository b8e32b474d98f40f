"""Hop utilisation, bitterness and what a steep is worth."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange, UnpairedReadings
from assistant.brewing.heat import temperature_after
from assistant.brewing.hops import (
    COLDEST_C,
    FIRST_WORT_AGAINST_BOIL,
    bitterness_ibu,
    bitterness_ratio,
    cooling_equivalent_minutes,
    equivalent_boil_minutes,
    isomerisation_per_minute,
    isomerised_share,
    loss_per_minute,
    utilisation,
    weight_to_hold_g,
    worth_of_a_minute,
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


BY_THE_EQUATION = {
    # Tinseth's equation by hand, minutes: share at 1.030, 1.040, 1.050, 1.060, 1.080, 1.100.
    0: (0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    5: (0.055, 0.050, 0.046, 0.042, 0.035, 0.029),
    15: (0.137, 0.125, 0.114, 0.105, 0.087, 0.073),
    30: (0.212, 0.194, 0.177, 0.162, 0.135, 0.113),
    60: (0.276, 0.252, 0.231, 0.211, 0.176, 0.147),
    90: (0.295, 0.270, 0.247, 0.226, 0.188, 0.157),
}


@pytest.mark.parametrize(
    ("gravity", "minutes", "expected"),
    [
        pytest.param(gravity, minutes, share, id=f"{gravity} for {minutes} min")
        for minutes, row in BY_THE_EQUATION.items()
        for gravity, share in zip((1.030, 1.040, 1.050, 1.060, 1.080, 1.100), row, strict=True)
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


SAME = {"gravity": 1.050, "minutes": 60.0, "volume_l": 20.0}


@pytest.mark.parametrize(
    ("changed", "grams"),
    [
        # 30 g x U(60) / U(30) by Tinseth's equation.
        pytest.param({"new_minutes": 30.0}, 39.0, id="forgotten for half an hour"),
        # Bigness at 1.060 over that at 1.050 is 0.000125^0.010 = 0.914.
        pytest.param({"new_gravity": 1.060}, 32.8, id="ten points stronger"),
        # Bitterness is spread over the volume.
        pytest.param({"new_volume_l": 22.0}, 33.0, id="two litres more"),
        pytest.param({"new_minutes": 75.0}, 28.71, id="boiled a quarter of an hour longer"),
        pytest.param({}, 30.0, id="all as planned"),
    ],
)
def test_the_grams_that_hold_the_bitterness(changed: dict[str, float], grams: float) -> None:
    now = {f"new_{name}": value for name, value in SAME.items()} | changed
    assert weight_to_hold_g(weight_g=30, **SAME, **now) == pytest.approx(grams, abs=0.05)


@given(
    st.floats(1.02, 1.1),
    st.floats(1.0, 90.0),
    st.floats(10.0, 40.0),
    st.floats(1.02, 1.1),
    st.floats(1.0, 90.0),
    st.floats(10.0, 40.0),
)
def test_the_weight_that_holds_bitterness_holds_it(
    gravity: float,
    minutes: float,
    volume_l: float,
    new_gravity: float,
    new_minutes: float,
    new_volume_l: float,
) -> None:
    grams = weight_to_hold_g(
        weight_g=20.0,
        gravity=gravity,
        minutes=minutes,
        volume_l=volume_l,
        new_gravity=new_gravity,
        new_minutes=new_minutes,
        new_volume_l=new_volume_l,
    )
    assert grams * utilisation(new_gravity, new_minutes) / new_volume_l == pytest.approx(
        20.0 * utilisation(gravity, minutes) / volume_l
    )


@pytest.mark.parametrize(
    ("ibu", "gravity", "ratio"),
    [(30, 1.050, 0.6), (45, 1.045, 1.0), (12, 1.048, 0.25)],
)  # the definition by hand
def test_bitterness_to_gravity(ibu: float, gravity: float, ratio: float) -> None:
    assert bitterness_ratio(ibu, gravity) == pytest.approx(ratio)


def test_rates_at_the_boil() -> None:
    # Malowicki and Shellhammer (2005): 7.9e11 exp(-11858/T) and 4.1e12 exp(-12994/T) per minute.
    assert isomerisation_per_minute(100.0) == pytest.approx(0.01249, abs=1e-5)
    assert loss_per_minute(100.0) == pytest.approx(0.00309, abs=1e-5)
    assert math.log(2) / isomerisation_per_minute(100.0) == pytest.approx(55.5, abs=0.1)


@pytest.mark.parametrize(
    ("minutes", "share"),
    [(60, 0.476), (90, 0.574), (149, 0.632)],
)  # consecutive first-order reactions at 100 °C by hand, Malowicki and Shellhammer (2005) rates
def test_both_rates_together_give_the_share_isomerised(minutes: float, share: float) -> None:
    course = isomerised_share([100.0, 100.0], np.array([0.0, minutes]))
    assert course[0] == 0.0
    assert course[-1] == pytest.approx(share, abs=0.001)


@given(st.lists(st.tuples(st.floats(0.0, 130.0), st.floats(0.0, 600.0)), max_size=40))
def test_no_more_alpha_acid_turns_than_there_was(course: list[tuple[float, float]]) -> None:
    shares = isomerised_share([wort_c for wort_c, _ in course], sorted(m for _, m in course))
    assert shares.size == len(course)
    assert (shares >= 0).all()
    assert (shares <= 1).all()


def test_a_long_boil_destroys_what_it_made() -> None:
    # The most is reached after 149 minutes at 100 °C: ln(k1/k2)/(k1 - k2) by hand.
    shares = isomerised_share(np.full(301, 100.0), np.arange(301.0))
    assert int(shares.argmax()) == pytest.approx(149, abs=1)


@pytest.mark.parametrize(
    ("temperature_c", "share"),
    [(100, 1.0), (98, 0.843), (95, 0.649), (93.3, 0.559), (90, 0.417), (85, 0.264), (80, 0.165)],
)  # ratio of Malowicki and Shellhammer (2005) rates by hand; below 90 °C extrapolated
def test_a_minute_below_the_boil_is_worth_less(temperature_c: float, share: float) -> None:
    assert worth_of_a_minute(temperature_c) == pytest.approx(share, abs=0.0006)


def test_below_seventy_degrees_hops_give_nothing() -> None:
    assert COLDEST_C == 70.0
    assert worth_of_a_minute(69.9) == 0.0
    assert worth_of_a_minute(70.0) == pytest.approx(0.062, abs=0.001)


@pytest.mark.parametrize("temperatures_c", [[], [95.0]])
def test_a_single_reading_spans_no_time(temperatures_c: list[float]) -> None:
    minutes = [float(minute) for minute, _ in enumerate(temperatures_c)]
    assert equivalent_boil_minutes(temperatures_c, minutes) == 0.0


def test_readings_are_joined_by_straight_lines() -> None:
    # Trapezoids by hand: 2 min from 100 to 90 °C and 4 min at 90 °C.
    worth = equivalent_boil_minutes([100.0, 90.0, 90.0], [0.0, 2.0, 6.0])
    assert worth == pytest.approx(2 * (1 + 0.417) / 2 + 4 * 0.417, abs=0.003)


def test_two_readings_of_one_moment_span_no_time() -> None:
    assert equivalent_boil_minutes([100.0, 90.0], [5.0, 5.0]) == 0.0
    assert list(isomerised_share([100.0, 90.0], [5.0, 5.0])) == [0.0, 0.0]


COURSES = pytest.mark.parametrize("sum_of_course", [equivalent_boil_minutes, isomerised_share])


@COURSES
def test_readings_do_not_go_back_in_time(sum_of_course) -> None:
    with pytest.raises(
        OutOfRange, match=r"^time of the next reading 0 min is outside 60 to 600 min$"
    ):
        sum_of_course([99.0, 98.0, 97.0], [0.0, 60.0, 0.0])
    with pytest.raises(OutOfRange, match=r"^time of a reading -1 min is outside 0 to 600 min$"):
        sum_of_course([99.0, 98.0], [-1.0, 5.0])


@COURSES
@pytest.mark.parametrize(("temperatures", "times"), [(3, 2), (2, 3), (3, 1), (0, 1)])
def test_each_reading_has_its_time(sum_of_course, temperatures: int, times: int) -> None:
    with pytest.raises(
        UnpairedReadings, match=rf"^{temperatures} temperatures do not go with {times} times: each"
    ):
        sum_of_course([95.0] * temperatures, np.arange(float(times)))


@pytest.mark.parametrize(
    ("from_c", "heating_minutes", "boil_minutes", "of_the_gain"),
    [
        # Tinseth's equation and the 2005 rates along a straight rise to 100 °C, by hand.
        pytest.param(60.0, 14.0, 60.0, 0.27, id="cool and quick"),
        pytest.param(75.0, 25.0, 60.0, 0.66, id="from mash-out and slow"),
        pytest.param(75.0, 25.0, 90.0, 0.19, id="before a long boil"),
    ],
)
def test_first_wort_hops_gain_by_heating_up_but_not_by_that_alone(
    from_c: float, heating_minutes: float, boil_minutes: float, of_the_gain: float
) -> None:
    rise_c, minutes = np.linspace(from_c, 100.0, 501), np.linspace(0.0, heating_minutes, 501)
    hot_minutes = boil_minutes + equivalent_boil_minutes(rise_c, minutes)
    gain = utilisation(1.05, hot_minutes) / utilisation(1.05, boil_minutes) - 1.0
    assert gain / (FIRST_WORT_AGAINST_BOIL - 1.0) == pytest.approx(of_the_gain, abs=0.01)


def test_a_cooling_whirlpool_is_worth_eight_minutes() -> None:
    # 98 to 80 °C in 20 min in a 20 °C room; summed from the 2005 rates at every second.
    minutes = cooling_equivalent_minutes(from_c=98, to_c=80, minutes=20, toward_c=20)
    assert minutes == pytest.approx(8.14, abs=0.01)
    assert utilisation(1.050, minutes) == pytest.approx(0.0705, abs=0.0002)
    seconds = np.arange(0.0, 1201.0)
    logged_c = 20 + 78 * (60 / 78) ** (seconds / 1200)
    assert equivalent_boil_minutes(logged_c, seconds / 60) == pytest.approx(minutes, abs=0.001)


def test_a_steep_held_at_the_boil_is_a_boil() -> None:
    held = cooling_equivalent_minutes(from_c=100, to_c=100, minutes=15, toward_c=20)
    assert held == pytest.approx(15.0)


def test_the_course_through_both_ends_is_newtons() -> None:
    # The same wort by the heat balance: 85 kJ/K losing 4 W/K to a 14 °C room.
    wort = {"capacity_j_k": 85e3, "from_c": 99.0, "power_w": 0.0, "loss_w_k": 4.0, "room_c": 14.0}
    seconds = np.arange(0.0, 3601.0)
    course_c = temperature_after(seconds=seconds, **wort)
    assert cooling_equivalent_minutes(
        from_c=99.0, to_c=float(course_c[-1]), minutes=60, toward_c=14.0
    ) == pytest.approx(equivalent_boil_minutes(course_c, seconds / 60), abs=0.001)


@given(st.floats(60.0, 100.0), st.floats(0.0, 60.0), st.floats(0.0, 1.0), st.floats(0.0, 40.0))
def test_cooling_is_worth_less_than_holding_and_more_than_dropping_at_once(
    from_c: float, minutes: float, share: float, toward_c: float
) -> None:
    to_c = toward_c + (from_c - toward_c) * share

    def worth(start_c: float, end_c: float) -> float:
        return cooling_equivalent_minutes(
            from_c=start_c, to_c=end_c, minutes=minutes, toward_c=toward_c
        )

    assert worth(to_c, to_c) - 1e-9 <= worth(from_c, to_c) <= worth(from_c, from_c) + 1e-9
    assert worth(from_c, from_c) <= minutes + 1e-9


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
                weight_g=30,
                gravity=1.05,
                minutes=60,
                volume_l=20,
                new_gravity=1.05,
                new_minutes=0,
                new_volume_l=20,
            ),
            r"^boil time left 0 min is outside 1 to 600 min$",
        ),
        (
            lambda: isomerisation_per_minute(200.0),
            r"^wort temperature 200 °C is outside 0 to 130 °C$",
        ),
        (
            lambda: cooling_equivalent_minutes(from_c=98, to_c=80, minutes=-1, toward_c=20),
            r"^cooling time -1 min is outside 0 to 600 min$",
        ),
        (
            lambda: bitterness_ratio(30, 1.0),
            r"^original gravity 1 is outside 1\.001 to 1\.15$",
        ),
    ],
)
def test_impossible_hops_are_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
