"""Air pressure and boiling point by altitude."""

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.air import air_pressure_kpa, boiling_point_c
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


def test_an_altitude_above_any_brewery_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"^altitude 9000 m is outside -500 to 6000 m$"):
        boiling_point_c(9000.0)
