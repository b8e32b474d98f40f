"""Density of water, shrinkage and absorption. Independent checks: CoolProp 8, iapws 1.5."""

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from assistant.brewing.errors import OutOfRange
from assistant.brewing.water import (
    absorbed_l,
    density_kg_m3,
    fill_share,
    hop_holds_l,
    mash_volume_l,
    retained_l_kg,
    volume_at_20,
    volume_hot,
)


@pytest.mark.parametrize("temperature_c", [0.5, 4, 10, 15.56, 20, 30, 40, 55, 67, 76, 90, 99])
def test_water_density_agrees_with_the_steam_tables(temperature_c: float) -> None:
    # CoolProp 8 (IAPWS-95) at one atmosphere.
    expected = PropsSI("D", "T", temperature_c + 273.15, "P", 101_325, "Water")
    assert density_kg_m3(temperature_c) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("temperature_c", [0.5, 5, 15, 25, 37, 50, 62, 72, 80, 95, 99.5])
def test_water_density_agrees_with_the_industrial_steam_tables(temperature_c: float) -> None:
    # iapws 1.5 (IAPWS-IF97) at one atmosphere.
    expected = IAPWS97(T=temperature_c + 273.15, P=0.101325).rho
    assert density_kg_m3(temperature_c) == pytest.approx(expected, abs=0.025)


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
        # W. Kunze, Technology Brewing and Malting: hot wort measured in the kettle times 0.96.
        pytest.param(1.0, 99.97, 0.96, id="the factor of the yield formula"),
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
    ("absorption_l_kg", "extract_kg_kg", "moisture", "held_l_kg"),
    [
        # a + v e + w by hand, v = 0.616 L/kg from the sucrose table of NBS Circular C440.
        pytest.param(0.6, 0.691, 0.04, 1.066, id="drained bag"),
        pytest.param(0.35, 0.70, 0.04, 0.821, id="squeezed bag"),
        pytest.param(1.04, 0.65, 0.04, 1.480, id="mash tun, half a quart a pound (J. Palmer)"),
        pytest.param(0.8, 0.0, 0.0, 0.8, id="nothing dissolved, bone dry"),
    ],
)
def test_wet_grain_holds_more_wort_than_the_water_it_takes(
    absorption_l_kg: float, extract_kg_kg: float, moisture: float, held_l_kg: float
) -> None:
    assert retained_l_kg(absorption_l_kg, extract_kg_kg, moisture) == pytest.approx(
        held_l_kg, abs=0.001
    )


def test_what_the_bag_holds_and_what_runs_off_make_up_the_mash() -> None:
    # By mass: 27.45 kg of water, 0.2 kg in the malt and 3.455 kg of extract make 11.1 °P, 1.0446:
    # 31.105 kg, 29.83 L of wort, of which 24.5 L run off.
    mash_l = (27.45 + 0.2 + 3.455) / (1.04464 * 0.9982)
    assert 24.5 + 5.0 * retained_l_kg(0.6, 0.691) == pytest.approx(mash_l, abs=0.01)


@pytest.mark.parametrize(
    ("weight_g", "whole", "least_l", "most_l"),
    [
        # Common practice, no source: pellets 6 to 10 mL/g, whole cones 10 to 15.
        pytest.param(100.0, False, 0.6, 1.0, id="pellets"),
        pytest.param(100.0, True, 1.0, 1.5, id="cones"),
        pytest.param(0.0, True, 0.0, 0.0, id="no hops"),
    ],
)
def test_hops_keep_wort(weight_g: float, whole: bool, least_l: float, most_l: float) -> None:
    assert least_l <= hop_holds_l(weight_g, whole=whole) <= most_l


def test_head_space_is_reckoned_hot() -> None:
    # 27.5 L at 20 °C are 28.64 L at the boil (CoolProp 8: 958.37 against 998.207 kg/m3).
    hot_l = volume_hot(27.5, 99.97)
    assert fill_share(hot_l, 35.0) == pytest.approx(27.5 * 998.207 / 958.39 / 35.0, abs=2e-4)
    assert fill_share(36.0, 35.0) > 1.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: density_kg_m3(-5.0), r"^water temperature -5 °C is outside 0 to 105 °C$"),
        (lambda: volume_at_20(20.0, 300.0), r"^water temperature 300 °C is outside 0 to 105 °C$"),
        (lambda: volume_at_20(-3.0, 20.0), r"^volume -3 L is outside 0 to 1000 L$"),
        (lambda: volume_hot(-3.0, 20.0), r"^volume -3 L is outside 0 to 1000 L$"),
        (lambda: mash_volume_l(20.0, -1.0, 67.0), r"^grain weight -1 kg is outside 0 to 500 kg$"),
        (lambda: absorbed_l(5.0, 75.0), r"^absorption 75 L/kg is outside 0 to 2 L/kg$"),
        (
            lambda: retained_l_kg(0.6, 69.0),
            r"^extract from each kilogram of grain 69 kg is outside 0 to 1 kg$",
        ),
        (lambda: retained_l_kg(0.6, 0.7, 4.0), r"^moisture of the malt 4 is outside 0 to 0\.2$"),
        (lambda: hop_holds_l(-5.0, whole=True), r"^weight of hops -5 g is outside 0 to 5000 g$"),
        (lambda: fill_share(20.0, 0.0), r"^kettle size 0 L is outside 0\.001 to 1000 L$"),
    ],
)
def test_impossible_water_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
