"""Density of water, shrinkage and absorption. Independent check: CoolProp 8 (IAPWS-95)."""

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.water import (
    absorbed_l,
    density_kg_m3,
    mash_volume_l,
    volume_at_20,
    volume_hot,
)


@pytest.mark.parametrize("temperature_c", [0.5, 4, 10, 15.56, 20, 30, 40, 55, 67, 76, 90, 99])
def test_water_density_agrees_with_the_steam_tables(temperature_c: float) -> None:
    # CoolProp 8 (IAPWS-95) at one atmosphere.
    expected = PropsSI("D", "T", temperature_c + 273.15, "P", 101_325, "Water")
    assert density_kg_m3(temperature_c) == pytest.approx(expected, abs=0.02)


def test_a_kettle_read_slightly_above_the_boil_still_has_a_density() -> None:
    # CoolProp 8 (IAPWS-95), saturated liquid at 102 °C.
    expected = PropsSI("D", "T", 375.15, "Q", 0, "Water")
    assert density_kg_m3(102.0) == pytest.approx(expected, abs=0.05)


def test_water_is_densest_at_four_degrees() -> None:
    # CRC Handbook: 999.975 kg/m3 at 3.98 °C; the older formula is 0.003 below it.
    assert density_kg_m3(3.98) == pytest.approx(999.975, abs=0.004)
    assert density_kg_m3(3.98) > max(density_kg_m3(1.0), density_kg_m3(7.0))


@given(st.floats(5.0, 104.0), st.floats(0.01, 1.0))
def test_warm_water_thins_as_it_warms(temperature_c: float, more: float) -> None:
    assert density_kg_m3(temperature_c + more) < density_kg_m3(temperature_c)


@pytest.mark.parametrize(
    ("hot_l", "temperature_c", "cold_l"),
    [
        # CoolProp 8 (IAPWS-95) densities over 998.207 kg/m3 at 20 °C.
        pytest.param(25.0, 20.0, 25.0, id="already at 20 C"),
        pytest.param(25.0, 67.0, 25 * 979.453 / 998.207, id="mash warm"),
        pytest.param(25.0, 100.0, 25 * 958.37 / 998.207, id="boiling: four per cent"),
        pytest.param(21.35, 100.0, 20.50, id="end of the boil"),
    ],
)
def test_hot_wort_shrinks_as_it_cools(hot_l: float, temperature_c: float, cold_l: float) -> None:
    assert volume_at_20(hot_l, temperature_c) == pytest.approx(cold_l, abs=0.003)


@given(st.floats(0.0, 990.0), st.floats(0.0, 105.0))
def test_hot_volume_undoes_cold_volume(volume_l: float, temperature_c: float) -> None:
    cold_l = volume_at_20(volume_l, temperature_c)
    assert volume_hot(cold_l, temperature_c) == pytest.approx(volume_l, rel=1e-12)


def test_full_volume_mash_in_the_kettle() -> None:
    # 27.5 L warmed to 67 °C (CoolProp 8 density 979.453) and 0.67 L for each of 5 kg.
    expected = 27.5 * 998.207 / 979.453 + 0.67 * 5.0
    assert mash_volume_l(27.5, 5.0, 67.0) == pytest.approx(expected, abs=0.005)


def test_a_drained_bag_keeps_three_litres_in_five_kilograms() -> None:
    assert absorbed_l(5.0, 0.6) == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: density_kg_m3(-5.0), r"^water temperature -5 °C is outside 0 to 105 °C$"),
        (lambda: volume_at_20(20.0, 300.0), r"^water temperature 300 °C is outside 0 to 105 °C$"),
        (lambda: volume_at_20(-3.0, 20.0), r"^volume -3 L is outside 0 to 1000 L$"),
        (lambda: volume_hot(-3.0, 20.0), r"^volume -3 L is outside 0 to 1000 L$"),
        (lambda: mash_volume_l(20.0, -1.0, 67.0), r"^grain weight -1 kg is outside 0 to 500 kg$"),
        (lambda: absorbed_l(5.0, 75.0), r"^absorption 75 L/kg is outside 0 to 2 L/kg$"),
    ],
)
def test_impossible_water_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
