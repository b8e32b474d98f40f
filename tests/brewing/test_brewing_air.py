"""Air pressure and boiling point by altitude, and of wort."""

import math

import ambiance
import pytest
from chemicals import MW
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from assistant.brewing.air import (
    air_pressure_kpa,
    boiling_point_at_pressure_c,
    boiling_point_c,
    wort_boils_higher_k,
)
from assistant.brewing.errors import OutOfRange


@pytest.mark.parametrize(
    ("altitude_m", "pressure_kpa"),
    [
        # ISO 2533:1975 / U.S. Standard Atmosphere 1976, tables by geometric altitude.
        pytest.param(0.0, 101.325, id="sea level"),
        pytest.param(1000.0, 89.876, id="1000 m"),
        pytest.param(2000.0, 79.501, id="2000 m"),
        pytest.param(5000.0, 54.048, id="5000 m"),
    ],
)
def test_air_thins_with_altitude(altitude_m: float, pressure_kpa: float) -> None:
    assert air_pressure_kpa(altitude_m) == pytest.approx(pressure_kpa, abs=0.005)


@pytest.mark.parametrize("altitude_m", [-500, -100, 0, 250, 700, 1600, 2500, 4000, 5200, 6000])
def test_air_pressure_agrees_with_the_standard_atmosphere(altitude_m: float) -> None:
    # ambiance 1.3, ICAO standard atmosphere (the same as ISO 2533).
    expected_kpa = ambiance.Atmosphere(altitude_m).pressure[0] / 1000
    assert air_pressure_kpa(altitude_m) == pytest.approx(expected_kpa, rel=1e-5)


@pytest.mark.parametrize("pressure_kpa", [40.0, 50.0, 70.0, 85.0, 95.0, 101.325, 103.5, 120.0])
def test_boiling_point_under_a_pressure_is_that_of_the_steam_tables(pressure_kpa: float) -> None:
    # iapws 1.5, IAPWS-IF97 saturation.
    expected_c = IAPWS97(P=pressure_kpa / 1000, x=0).T - 273.15
    assert boiling_point_at_pressure_c(pressure_kpa) == pytest.approx(expected_c, abs=1e-4)


@pytest.mark.parametrize(
    ("altitude_m", "boils_c"),
    [
        # Table of pure water by NASA and NOAA, in feet there: 500, 1000, 2000, 5000, 6000, 8000,
        # 10,000 and 12,000, as quoted by Wikipedia, High-altitude cooking.
        pytest.param(152.4, 99.5, id="500 ft"),
        pytest.param(304.8, 99.0, id="1000 ft"),
        pytest.param(609.6, 98.0, id="2000 ft"),
        pytest.param(1524.0, 95.0, id="5000 ft"),
        pytest.param(1828.8, 94.0, id="6000 ft"),
        pytest.param(2438.4, 91.9, id="8000 ft"),
        pytest.param(3048.0, 89.8, id="10000 ft"),
        pytest.param(3657.6, 87.6, id="12000 ft"),
    ],
)
def test_boiling_point_agrees_with_the_cooks_table(altitude_m: float, boils_c: float) -> None:
    assert boiling_point_c(altitude_m) == pytest.approx(boils_c, abs=0.2)


def test_a_kilopascal_of_weather_is_worth_a_quarter_of_a_degree() -> None:
    # CoolProp 8: 100.001 °C at 101.42 kPa, 99.72 °C at 100.42 kPa.
    higher_c = boiling_point_at_pressure_c(101.42)
    assert higher_c - boiling_point_at_pressure_c(100.42) == pytest.approx(0.276, abs=0.003)


@pytest.mark.parametrize("altitude_m", [-500, 0, 40, 500, 1000, 1500, 2000, 3000, 6000])
def test_boiling_point_agrees_with_the_steam_tables(altitude_m: float) -> None:
    # CoolProp 8 (IAPWS-95), saturation at the pressure of that altitude.
    expected_k = PropsSI("T", "P", air_pressure_kpa(altitude_m) * 1000, "Q", 0, "Water")
    assert boiling_point_c(altitude_m) == pytest.approx(expected_k - 273.15, abs=0.001)


@pytest.mark.parametrize(
    ("altitude_m", "expected_c"),
    [(0, 99.97), (500, 98.31), (1000, 96.65), (1500, 94.98), (2000, 93.32), (3000, 89.98)],
)  # ISO 2533:1975 pressure with IAPWS-IF97 saturation
def test_water_boils_cooler_up_the_mountain(altitude_m: float, expected_c: float) -> None:
    assert boiling_point_c(altitude_m) == pytest.approx(expected_c, abs=0.006)


@given(st.floats(-500.0, 5990.0), st.floats(0.1, 10.0))
def test_every_step_up_lowers_the_boiling_point(altitude_m: float, up_m: float) -> None:
    assert boiling_point_c(altitude_m + up_m) < boiling_point_c(altitude_m)


@pytest.mark.parametrize(
    ("plato", "expected_k"),
    [
        # Raoult's law for sucrose, the boiling point of CoolProp 8 where the steam pressure times
        # the share of water among the molecules is one atmosphere.
        pytest.param(0.0, 0.0, id="water"),
        pytest.param(-0.5, 0.0, id="a reading below water counts as water"),
        pytest.param(5.0, 0.0775, id="5 P"),
        pytest.param(12.0, 0.2005, id="12 P"),
        pytest.param(18.0, 0.3221, id="18 P"),
        pytest.param(25.0, 0.4880, id="25 P"),
    ],
)
def test_wort_boils_a_little_above_water(plato: float, expected_k: float) -> None:
    assert wort_boils_higher_k(plato) == pytest.approx(expected_k, abs=1e-4)


@pytest.mark.parametrize("plato", [5.0, 12.0, 18.0])
def test_wort_boils_where_ebullioscopy_puts_it(plato: float) -> None:
    # Ebullioscopic constant of water 0.512 K kg/mol (CRC Handbook); molar mass from chemicals 1.5.
    molality = 1000 * plato / (100 - plato) / MW("sucrose")
    assert wort_boils_higher_k(plato) == pytest.approx(0.512 * molality, rel=0.02)


@pytest.mark.parametrize(
    ("plato", "above"), [(5.0, 1.016), (12.0, 1.040), (18.0, 1.064), (25.0, 1.095)]
)
def test_real_sucrose_boils_a_few_hundredths_above_the_law(plato: float, above: float) -> None:
    # Water activity by M. Starzak and S. D. Peacock, Zuckerindustrie 122 (1997), with the
    # coefficients of its abstract (cultures-sucre.com) and the vapour pressure of CoolProp 8: the
    # temperature at which it reaches one atmosphere.
    sucrose, water = plato / MW("sucrose"), (100 - plato) / MW("water")
    share = sucrose / (sucrose + water)
    low_k, high_k = 373.0, 375.0
    for _ in range(40):
        middle_k = (low_k + high_k) / 2
        excess = 1 - 1.0038 * share - 0.24653 * share**2
        activity = (1 - share) * math.exp(-17638 / 8.31446 / middle_k * share**2 * excess)
        boils = PropsSI("P", "T", middle_k, "Q", 0, "Water") * activity > 101_325
        low_k, high_k = (low_k, middle_k) if boils else (middle_k, high_k)
    real_k = low_k - PropsSI("T", "P", 101_325, "Q", 0, "Water")
    assert real_k / wort_boils_higher_k(plato) == pytest.approx(above, abs=0.002)


@given(st.floats(0.0, 33.9), st.floats(0.01, 0.3))
def test_stronger_wort_boils_higher(plato: float, more: float) -> None:
    assert wort_boils_higher_k(plato + more) > wort_boils_higher_k(plato)


def test_a_pressure_no_weather_brings_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"^air pressure 1013 kPa is outside 40 to 120 kPa$"):
        boiling_point_at_pressure_c(1013.2)


def test_an_altitude_above_any_brewery_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"^altitude 9000 m is outside -500 to 6000 m$"):
        boiling_point_c(9000.0)
