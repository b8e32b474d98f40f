"""Carbonation: residual gas, priming and keg pressure."""

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange, UnknownSugar
from assistant.brewing.gas import (
    CO2_GRAMS_PER_LITRE,
    SUGAR_YIELD,
    keg_pressure_kpa,
    priming_g,
    residual_co2_vol,
)

# IUPAC standard atomic masses, g/mol.
CARBON, HYDROGEN, OXYGEN = 12.011, 1.008, 15.999
CARBON_DIOXIDE = CARBON + 2 * OXYGEN
PSI_KPA = 6.894757


def sugar_mass(carbon: int, hydrogen: int, oxygen: int) -> float:
    return carbon * CARBON + hydrogen * HYDROGEN + oxygen * OXYGEN


@pytest.mark.parametrize(
    ("sugar", "molecules_of_gas", "mass"),
    [
        # Gay-Lussac's equation: each six-carbon unit gives two of alcohol and two of gas.
        pytest.param("sucrose", 4, sugar_mass(12, 22, 11), id="C12H22O11"),
        pytest.param("glucose", 2, sugar_mass(6, 12, 6), id="C6H12O6"),
        pytest.param("glucose monohydrate", 2, sugar_mass(6, 14, 7), id="C6H12O6.H2O"),
    ],
)
def test_sugar_yields_follow_from_atomic_masses(
    sugar: str, molecules_of_gas: int, mass: float
) -> None:
    assert SUGAR_YIELD[sugar] == pytest.approx(molecules_of_gas * CARBON_DIOXIDE / mass, abs=1e-4)


def test_a_litre_of_gas_weighs_two_grams() -> None:
    # CoolProp 8 (Span and Wagner equation) at 0 °C and 101.325 kPa.
    assert pytest.approx(PropsSI("D", "T", 273.15, "P", 101_325, "CO2"), abs=0.001) == (
        CO2_GRAMS_PER_LITRE
    )


@pytest.mark.parametrize(
    ("temperature_c", "volumes"),
    [(0, 1.7), (12, 1.12), (20, 0.88)],
)  # list of residual carbonation as printed in homebrewing literature; the last digit varies
def test_gas_left_after_fermentation(temperature_c: float, volumes: float) -> None:
    assert residual_co2_vol(temperature_c) == pytest.approx(volumes, abs=0.025)


@given(st.floats(0.0, 33.0), st.floats(0.05, 1.0))
def test_warm_beer_holds_less_gas(temperature_c: float, more: float) -> None:
    assert residual_co2_vol(temperature_c + more) < residual_co2_vol(temperature_c)


@pytest.mark.parametrize(
    ("sugar", "temperature_c", "grams"),
    [
        # (2.4 - residual) x 20 L x 1.977 g/L over the stoichiometric yield, by hand.
        pytest.param("sucrose", 20.0, 118, id="table sugar"),
        pytest.param("sucrose", 18.0, 114, id="table sugar, cooler beer"),
        pytest.param("glucose monohydrate", 20.0, 137, id="brewing sugar"),
        pytest.param("glucose", 20.0, 124.5, id="dry glucose"),
    ],
)
def test_priming_twenty_litres(sugar: str, temperature_c: float, grams: float) -> None:
    assert priming_g(
        volume_l=20.0, carbonation_vol=2.4, temperature_c=temperature_c, sugar=sugar
    ) == pytest.approx(grams, abs=0.6)


def test_beer_that_is_gassy_enough_needs_no_sugar() -> None:
    assert priming_g(volume_l=20, carbonation_vol=1.5, temperature_c=2, sugar="sucrose") == 0.0


@given(st.floats(0.0, 30.0), st.floats(1.8, 4.0), st.floats(1.0, 50.0))
def test_the_gas_of_the_sugar_and_the_gas_left_make_the_target(
    temperature_c: float, carbonation_vol: float, volume_l: float
) -> None:
    grams = priming_g(
        volume_l=volume_l,
        carbonation_vol=carbonation_vol,
        temperature_c=temperature_c,
        sugar="glucose",
    )
    made_vol = grams * 0.4886 / 1.977 / volume_l
    assert made_vol + residual_co2_vol(temperature_c) == pytest.approx(carbonation_vol)


@pytest.mark.parametrize(
    ("fahrenheit", "volumes", "psi"),
    [
        # Carbonation table of ASBC Methods of Analysis as printed for homebrewers.
        pytest.param(38, 2.5, 11.2, id="cold ale"),
        pytest.param(38, 2.57, 12.0, id="cold ale, lively"),
        pytest.param(38, 2.29, 9.0, id="cold ale, soft"),
        pytest.param(32, 2.7, 10.1, id="lager at freezing"),
        pytest.param(50, 2.5, 17.6, id="cellar"),
    ],
)
def test_keg_pressure_agrees_with_the_printed_table(
    fahrenheit: float, volumes: float, psi: float
) -> None:
    kpa = keg_pressure_kpa(temperature_c=(fahrenheit - 32) / 1.8, carbonation_vol=volumes)
    assert kpa / PSI_KPA == pytest.approx(psi, abs=0.2)


@pytest.mark.parametrize(("temperature_c", "bar"), [(20, 2.0), (30, 2.9)])
def test_a_bottle_at_two_and_a_half_volumes_in_a_warm_room(
    temperature_c: float, bar: float
) -> None:
    # By hand from the exponential fit to the ASBC table.
    kpa = keg_pressure_kpa(temperature_c=temperature_c, carbonation_vol=2.5)
    assert kpa / 100 == pytest.approx(bar, abs=0.06)


def test_warm_pressure_is_near_that_of_gas_over_water() -> None:
    # Henry's constant of carbon dioxide in water at 20 °C, IAPWS G7-04: one atmosphere dissolves
    # 0.843 volumes; beer, with alcohol and extract, is within 5 %.
    expected_kpa = 101.325 * (2.5 / 0.843 - 1)
    assert keg_pressure_kpa(temperature_c=20, carbonation_vol=2.5) == pytest.approx(
        expected_kpa, rel=0.05
    )


def test_thin_air_asks_for_more_on_the_gauge() -> None:
    # ISO 2533:1975: 89.875 kPa at 1000 m, 11.45 less than at sea level.
    keg = {"temperature_c": 4.0, "carbonation_vol": 2.4}
    assert keg_pressure_kpa(**keg, altitude_m=1000.0) - keg_pressure_kpa(**keg) == pytest.approx(
        101.325 - 89.875, abs=0.01
    )


@given(st.floats(0.0, 30.0), st.floats(2.0, 4.0), st.floats(0.1, 2.0))
def test_warmer_or_livelier_beer_needs_more_pressure(
    temperature_c: float, carbonation_vol: float, more: float
) -> None:
    base = keg_pressure_kpa(temperature_c=temperature_c, carbonation_vol=carbonation_vol)
    assert (
        keg_pressure_kpa(temperature_c=temperature_c + more, carbonation_vol=carbonation_vol) > base
    )
    assert (
        keg_pressure_kpa(temperature_c=temperature_c, carbonation_vol=carbonation_vol + more) > base
    )


def test_a_gauge_never_shows_less_than_nothing() -> None:
    assert keg_pressure_kpa(temperature_c=0.0, carbonation_vol=1.0) == 0.0


def test_an_unknown_sugar_is_named() -> None:
    with pytest.raises(
        UnknownSugar,
        match=r"^priming sugar 'honey' is not known, wanted one of: sucrose, glucose, glucose mono",
    ):
        priming_g(volume_l=20, carbonation_vol=2.4, temperature_c=20, sugar="honey")


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: residual_co2_vol(60.0),
            r"^beer temperature 60 °C is outside 0 to 35 °C$",
        ),
        (
            lambda: priming_g(volume_l=20, carbonation_vol=24, temperature_c=20, sugar="glucose"),
            r"^carbonation 24 volumes is outside 0 to 6 volumes$",
        ),
        (
            lambda: keg_pressure_kpa(temperature_c=4, carbonation_vol=2.4, altitude_m=9000),
            r"^altitude 9000 m is outside -500 to 6000 m$",
        ),
    ],
)
def test_impossible_carbonation_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
