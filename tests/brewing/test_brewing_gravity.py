"""Gravity, Plato and extract.

Gravities in the checks are from the ASBC extract table, itself the sucrose table of NBS Circular
C440 (20/20 °C).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.balance import after_water
from assistant.brewing.errors import EXTRACT_PLATO, GRAVITY, OutOfRange
from assistant.brewing.gravity import (
    extract_kg,
    gravity_from_extract,
    gravity_from_plato,
    gravity_with_water,
    hydrometer_at_20,
    plato_from_gravity,
    points,
)

GRAVITIES = st.floats(0.98, 1.15)
WORT_GRAVITIES = st.floats(1.001, 1.1)
VOLUMES_L = st.floats(0.5, 60.0)

SUCROSE_TABLE = [
    pytest.param(5.0, 1.01968, id="5 P"),
    pytest.param(10.0, 1.04003, id="10 P"),
    pytest.param(12.0, 1.04837, id="12 P"),
    pytest.param(15.0, 1.06111, id="15 P"),
    pytest.param(20.0, 1.08297, id="20 P"),
]  # ASBC extract table; NBS Circular C440


@pytest.mark.parametrize(("plato", "gravity"), SUCROSE_TABLE)
def test_plato_and_gravity_agree_with_the_sucrose_table(plato: float, gravity: float) -> None:
    assert gravity_from_plato(plato) == pytest.approx(gravity, abs=3e-5)
    assert plato_from_gravity(gravity) == pytest.approx(plato, abs=0.01)


@pytest.mark.parametrize(
    ("sucrose_percent", "density_kg_l", "sucrose_g_l"),
    [
        # CRC Handbook of Chemistry and Physics, Concentrative Properties of Aqueous Solutions,
        # sucrose at 20 °C, by weight; water is 0.9982 there.
        pytest.param(2.0, 1.0060, 20.1, id="2 per cent"),
        pytest.param(5.0, 1.0178, 50.9, id="5 per cent"),
        pytest.param(8.0, 1.0299, 82.4, id="8 per cent"),
        pytest.param(10.0, 1.0381, 103.8, id="10 per cent"),
        pytest.param(12.0, 1.0465, 125.6, id="12 per cent"),
        pytest.param(15.0, 1.0592, 158.9, id="15 per cent"),
        pytest.param(18.0, 1.0722, 193.0, id="18 per cent"),
        pytest.param(20.0, 1.0810, 216.2, id="20 per cent"),
        pytest.param(24.0, 1.0990, 263.8, id="24 per cent"),
    ],
)
def test_wort_is_as_dense_as_sucrose_solution(
    sucrose_percent: float, density_kg_l: float, sucrose_g_l: float
) -> None:
    gravity = gravity_from_plato(sucrose_percent)
    assert gravity == pytest.approx(density_kg_l / 0.9982, abs=1e-4)
    assert 1000 * extract_kg(1.0, gravity) == pytest.approx(sucrose_g_l, abs=0.1)


@pytest.mark.parametrize("plato", [1.0, 5.0, 10.0, 15.0, 20.0, 25.0])
def test_the_cubic_agrees_with_the_two_parameter_fit(plato: float) -> None:
    # Second, independent fit to the same table: S = 1 + P / (258.6 - 227.1 P / 258.2).
    assert gravity_from_plato(plato) == pytest.approx(
        1 + plato / (258.6 - 227.1 * plato / 258.2), abs=4e-5
    )


def test_the_range_of_extract_is_that_of_gravity() -> None:
    lowest, highest = (plato_from_gravity(gravity) for gravity in GRAVITY[:2])
    assert EXTRACT_PLATO[0] == pytest.approx(lowest, abs=5e-4)
    assert EXTRACT_PLATO[1] == pytest.approx(highest, abs=5e-4)
    assert EXTRACT_PLATO[0] <= lowest < highest <= EXTRACT_PLATO[1]
    for plato in EXTRACT_PLATO[:2]:
        assert plato_from_gravity(gravity_from_plato(plato)) == pytest.approx(plato, abs=5e-4)


def test_pure_water_has_no_extract() -> None:
    assert plato_from_gravity(1.0) == 0.0
    assert gravity_from_plato(0.0) == 1.0
    assert extract_kg(20.0, 1.0) == 0.0
    assert gravity_from_extract(0.0, 20.0) == 1.0


def test_dry_beer_may_show_less_than_no_extract() -> None:
    assert plato_from_gravity(0.998) == pytest.approx(-0.52, abs=0.02)


@given(GRAVITIES)
def test_plato_undoes_gravity(gravity: float) -> None:
    # 1.2e-5 is the width of the band near 1.000 that counts as pure water.
    assert gravity_from_plato(plato_from_gravity(gravity)) == pytest.approx(gravity, abs=1.3e-5)


@given(WORT_GRAVITIES)
def test_plato_undoes_gravity_of_wort_exactly(gravity: float) -> None:
    assert gravity_from_plato(plato_from_gravity(gravity)) == pytest.approx(gravity, abs=1e-10)


@given(WORT_GRAVITIES, st.floats(1e-4, 0.04))
def test_denser_wort_has_more_extract(gravity: float, more: float) -> None:
    assert plato_from_gravity(gravity + more) > plato_from_gravity(gravity)


def test_twenty_litres_at_1050_hold_two_and_a_half_kilograms() -> None:
    # 20 L x 1.050 x 0.9982 kg/L x 12.388 %; arithmetic on the definition of Plato.
    assert extract_kg(20.0, 1.050) == pytest.approx(20 * 1.050 * 0.9982 * 0.12388, abs=2e-4)


@given(VOLUMES_L, WORT_GRAVITIES)
def test_gravity_from_extract_undoes_extract(volume_l: float, gravity: float) -> None:
    assert gravity_from_extract(extract_kg(volume_l, gravity), volume_l) == pytest.approx(
        gravity, abs=1e-10
    )


@pytest.mark.parametrize("gravity", [0.98, 0.99, 1.12, 1.15])
def test_gravity_from_extract_reaches_the_ends_of_the_range(gravity: float) -> None:
    assert gravity_from_extract(extract_kg(23.0, gravity), 23.0) == pytest.approx(gravity)


def test_gravity_points_are_thousandths_above_water() -> None:
    assert points(1.048) == pytest.approx(48.0)
    assert points(0.998) == pytest.approx(-2.0)


@pytest.mark.parametrize(
    ("volume_l", "gravity", "water_l", "expected"),
    [
        pytest.param(20.0, 1.060, 4.0, 1.0501, id="four litres added"),
        pytest.param(20.0, 1.050, -3.0, 1.0588, id="three litres boiled off"),
        pytest.param(20.0, 1.050, 0.0, 1.050, id="nothing changed"),
        pytest.param(20.0, 1.0, 5.0, 1.0, id="water in water"),
    ],
)
def test_extract_stays_when_water_comes_or_goes(
    volume_l: float, gravity: float, water_l: float, expected: float
) -> None:
    # Independent sum by mass: extract over (wort mass plus water mass), 0.9982 kg/L of water.
    assert gravity_with_water(volume_l, gravity, water_l) == pytest.approx(expected, abs=1e-4)
    wort_kg = volume_l * gravity * 0.9982
    plato = plato_from_gravity(gravity) * wort_kg / (wort_kg + water_l * 0.9982)
    assert gravity_with_water(volume_l, gravity, water_l) == pytest.approx(
        gravity_from_plato(plato), abs=1e-4
    )


@given(VOLUMES_L, WORT_GRAVITIES, st.floats(0.1, 20.0))
def test_boiling_off_what_was_added_restores_the_gravity(
    volume_l: float, gravity: float, water_l: float
) -> None:
    thinned = gravity_with_water(volume_l, gravity, water_l)
    assert thinned < gravity
    assert gravity_with_water(volume_l + water_l, thinned, -water_l) == pytest.approx(
        gravity, abs=1e-9
    )


@pytest.mark.parametrize(
    ("gravity", "share", "too_high"),
    [
        # Against the sum by mass, from the ASBC cubic and Kell's density of water.
        pytest.param(1.050, 0.2, 0.000005, id="a fifth off 1.050"),
        pytest.param(1.060, 0.2, 0.000009, id="a fifth off 1.060"),
        pytest.param(1.080, 0.2, 0.000018, id="a fifth off 1.080"),
        pytest.param(1.100, 0.2, 0.000032, id="a fifth off 1.100"),
        pytest.param(1.050, 0.5, 0.000049, id="half off 1.050"),
    ],
)
def test_adding_volumes_is_as_good_as_adding_masses(
    gravity: float, share: float, too_high: float
) -> None:
    by_volume = gravity_with_water(20.0, gravity, -20.0 * share)
    _, by_mass = after_water(20.0, gravity, -20.0 * share * 0.9982)
    assert by_volume - by_mass == pytest.approx(too_high, abs=1.5e-6)


@pytest.mark.parametrize("gravity", [0.98, 0.99, 1.0, 1.05, 1.15])
def test_wort_at_the_end_of_the_range_may_stay_as_it_is(gravity: float) -> None:
    assert gravity_with_water(20.0, gravity, 0.0) == pytest.approx(gravity, abs=1e-9)


@given(VOLUMES_L, st.floats(1.02, 1.08), st.floats(-0.2, 0.2))
def test_points_times_litres_nearly_stay(volume_l: float, gravity: float, share: float) -> None:
    # The brewer's rule that points times litres stay the same (common practice).
    after = gravity_with_water(volume_l, gravity, share * volume_l)
    assert points(after) * (1 + share) == pytest.approx(points(gravity), rel=0.01)


@pytest.mark.parametrize(
    ("read", "sample_c", "scale_c", "expected"),
    [
        # Buoyancy with CoolProp 8 water densities: 999.703 at 10, 999.012 at 15.56, 998.207 at 20,
        # 997.047 at 25, 992.216 at 40 °C; glass 25e-6 per K (ISO 1768:1975).
        pytest.param(1.050, 20.0, 20.0, 1.0500, id="at the scale's temperature"),
        pytest.param(1.050, 25.0, 20.0, 1.0511, id="five degrees warm"),
        pytest.param(1.050, 40.0, 20.0, 1.0558, id="warm sample"),
        pytest.param(1.050, 10.0, 20.0, 1.0487, id="cold sample"),
        pytest.param(1.050, 20.0, 15.56, 1.0507, id="60 F scale"),
    ],
)
def test_hydrometer_is_corrected_for_temperature(
    read: float, sample_c: float, scale_c: float, expected: float
) -> None:
    assert hydrometer_at_20(read, sample_c, scale_c) == pytest.approx(expected, abs=6e-5)


@pytest.mark.parametrize(
    ("sample_c", "added"),
    [
        # Hydrometer Temperature Adjustment Table of the American Homebrewers Association, for a
        # hydrometer marked at 59 °F; by its own figures it leaves the glass out.
        pytest.param(15.0, 0.0, id="at the mark"),
        pytest.param(20.0, 0.0009, id="20 C"),
        pytest.param(25.0, 0.0021, id="25 C"),
        pytest.param(30.0, 0.0035, id="30 C"),
        pytest.param(35.0, 0.0051, id="35 C"),
        pytest.param(40.0, 0.0069, id="40 C"),
    ],
)
def test_hydrometer_correction_agrees_with_a_printed_table(sample_c: float, added: float) -> None:
    glass = 0.000025 * (sample_c - 15.0)
    corrected = hydrometer_at_20(1.040, sample_c, 15.0)
    assert corrected - 1.040 == pytest.approx(added - glass, abs=4e-4)


def test_hot_water_reads_low_but_is_water() -> None:
    # A hydrometer in water at 95 °C reads 961.89/998.21 with the glass 0.19 % larger (CoolProp 8).
    assert hydrometer_at_20(961.89 / 998.21 * 1.001875, 95.0) == pytest.approx(1.0, abs=1e-4)


@given(st.floats(1.0, 1.1), st.floats(10.0, 60.0), st.floats(1.0, 30.0))
def test_the_warmer_the_sample_the_more_is_added(read: float, sample_c: float, more: float) -> None:
    assert hydrometer_at_20(read, sample_c + more) > hydrometer_at_20(read, sample_c)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: plato_from_gravity(2.4), r"^gravity 2\.4 is outside 0\.98 to 1\.15$"),
        (lambda: plato_from_gravity(48.0), r"^gravity 48 is outside 0\.98 to 1\.15$"),
        (lambda: gravity_from_plato(60.0), r"^extract 60 °P is outside -5\.265 to 34\.24 °P$"),
        (lambda: extract_kg(-1.0, 1.05), r"^volume -1 L is outside 0 to 1000 L$"),
        (lambda: gravity_from_extract(1.0, 0.0), r"^volume 0 L is outside 0\.001 to 1000 L$"),
        (lambda: gravity_from_extract(9.0, 10.0), r"^extract 9 kg is outside -0\.51\d* to 3\.9"),
        (lambda: gravity_with_water(5.0, 1.05, -5.0), r"^volume afterwards 0 L is outside 0\.001"),
        (
            # 2.597 kg in 6.606 L is 34.24 °P, by hand.
            lambda: gravity_with_water(20.0, 1.05, -15.0),
            r"^volume afterwards, at its least with a gravity of 1\.150: "
            r"5 L is outside 6\.606 to 1000 L$",
        ),
        (
            lambda: gravity_with_water(20.0, 0.995, -18.0),
            r"^volume afterwards, at its least with a gravity of 0\.980: 2 L is outside 5\.02 to",
        ),
        (lambda: gravity_from_plato(34.3), r"^extract 34\.3 °P is outside -5\.265 to 34\.24 °P$"),
        (lambda: hydrometer_at_20(1.05, 130.0), r"^sample temperature 130 °C is outside 0 to 105"),
        (lambda: hydrometer_at_20(1.15, 90.0), r"^gravity at 20 °C 1\.18\d* is outside"),
    ],
)
def test_impossible_wort_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
