"""Carbonation: residual gas, gas to come, priming, keg and bottle pressure."""

import pytest
from chemicals.elements import molecular_weight, simple_formula_parser
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from iapws._iapws import _Henry as henry_mpa

from assistant.brewing.errors import OutOfRange, OverPressure, UnknownSugar
from assistant.brewing.gas import (
    BOTTLE_LIMIT_VOL,
    CO2_GRAMS_PER_LITRE,
    SUGAR_YIELD,
    bottle_pressure_kpa,
    gas_to_come_vol,
    keg_pressure_kpa,
    priming_g,
    residual_co2_vol,
)
from assistant.brewing.gravity import plato_from_gravity

ATMOSPHERE_KPA = 101.325
PSI_KPA = 6.894757


def molar_mass(formula: str) -> float:
    """g/mol by chemicals 1.5 (IUPAC atomic masses)."""
    return molecular_weight(simple_formula_parser(formula))


def volumes_in_water(temperature_c: float) -> float:
    """Volumes that water dissolves under one atmosphere of carbon dioxide alone.

    Henry's constant of IAPWS G7-04 by iapws 1.5; densities by CoolProp 8.
    """
    kelvin = temperature_c + 273.15
    share = ATMOSPHERE_KPA / 1000 / henry_mpa(kelvin, "CO2")
    water_mol_m3 = PropsSI("D", "T", kelvin, "P", 101_325, "Water") / (molar_mass("H2O") / 1000)
    gas_kg_m3 = PropsSI("D", "T", 273.15, "P", 101_325, "CO2")
    return share * water_mol_m3 * molar_mass("CO2") / 1000 / gas_kg_m3


def vapour_atmospheres(temperature_c: float) -> float:
    """Vapour pressure of water by CoolProp 8 (IAPWS-95)."""
    return PropsSI("P", "T", temperature_c + 273.15, "Q", 0, "Water") / 101_325


@pytest.mark.parametrize(
    ("sugar", "molecules_of_gas", "formula"),
    [
        # Gay-Lussac's equation: each six-carbon unit gives two of alcohol and two of gas.
        pytest.param("sucrose", 4, "C12H22O11", id="C12H22O11"),
        pytest.param("glucose", 2, "C6H12O6", id="C6H12O6"),
        pytest.param("glucose monohydrate", 2, "C6H14O7", id="C6H12O6.H2O"),
    ],
)
def test_sugar_yields_follow_from_molar_masses(
    sugar: str, molecules_of_gas: int, formula: str
) -> None:
    by_chemistry = molecules_of_gas * molar_mass("CO2") / molar_mass(formula)
    assert SUGAR_YIELD[sugar] == pytest.approx(by_chemistry, abs=1e-4)


def test_a_litre_of_gas_weighs_two_grams() -> None:
    # CoolProp 8 (Span and Wagner equation) at 0 °C and 101.325 kPa.
    assert pytest.approx(PropsSI("D", "T", 273.15, "P", 101_325, "CO2"), abs=0.001) == (
        CO2_GRAMS_PER_LITRE
    )


@pytest.mark.parametrize(
    ("temperature_c", "volumes"),
    [
        # M. Hibberd, A Primer on Priming, as printed in homebrewing literature (Brewing
        # Techniques 4(4)): one figure after the point up to 10 °C.
        (0, 1.7),
        (2, 1.6),
        (4, 1.5),
        (6, 1.4),
        (8, 1.3),
        (10, 1.2),
        (12, 1.12),
        (14, 1.05),
        (16, 0.99),
        (18, 0.93),
        (20, 0.88),
        (22, 0.83),
    ],
)
def test_gas_left_after_fermentation(temperature_c: float, volumes: float) -> None:
    assert residual_co2_vol(temperature_c) == pytest.approx(volumes, abs=0.03)


@pytest.mark.parametrize("temperature_c", [2, 5, 10, 15, 20, 25])
def test_beer_keeps_a_little_more_gas_than_water(temperature_c: float) -> None:
    # IAPWS G7-04 for water under carbon dioxide and its own vapour. Beer is not water: its alcohol
    # takes up more gas, its extract less, and the fit is to beer.
    in_water = volumes_in_water(temperature_c) * (1 - vapour_atmospheres(temperature_c))
    assert 1.02 < residual_co2_vol(temperature_c) / in_water < 1.05


@pytest.mark.parametrize(
    ("altitude_m", "volumes"),
    [
        # 0.8615 volumes at 20 °C, times the pressure of ISO 2533:1975 over 101.325 kPa.
        pytest.param(0.0, 0.8615, id="sea level"),
        pytest.param(1000.0, 0.8615 * 89.876 / 101.325, id="1000 m"),
        pytest.param(3000.0, 0.8615 * 70.121 / 101.325, id="3000 m"),
    ],
)
def test_thin_air_holds_less_gas_in_the_beer(altitude_m: float, volumes: float) -> None:
    assert residual_co2_vol(20.0, altitude_m) == pytest.approx(volumes, abs=2e-4)


@given(st.floats(0.0, 33.0), st.floats(0.05, 1.0))
def test_warm_beer_holds_less_gas(temperature_c: float, more: float) -> None:
    assert residual_co2_vol(temperature_c + more) < residual_co2_vol(temperature_c)


@pytest.mark.parametrize("final", [1.000, 1.005, 1.010, 1.015, 1.020])
def test_gas_to_come_is_what_balling_makes_of_a_falling_gravity(final: float) -> None:
    # 0.8192 of the fall in °P ferments, and 0.9565 g in 2.0665 g of it is gas; water at 20 °C
    # is 0.9982 kg/L. A point is 0.001 around this gravity.
    fallen = plato_from_gravity(final + 0.0005) - plato_from_gravity(final - 0.0005)
    gas_g_l = 10 * final * 0.9982 * 0.8192 * fallen * 0.9565 / 2.0665
    assert gas_to_come_vol(1.0) == pytest.approx(gas_g_l / 1.977, rel=0.01)


@pytest.mark.parametrize(
    ("points", "volumes"),
    [
        # 0.49 volumes a point, by hand from Balling's relation.
        pytest.param(0.0, 0.0, id="finished"),
        pytest.param(3.0, 1.47, id="three points early"),
        pytest.param(30.0, 14.8, id="most of a fermentation"),
    ],
)
def test_gas_to_come(points: float, volumes: float) -> None:
    assert gas_to_come_vol(points) == pytest.approx(volumes, rel=0.005)


@pytest.mark.parametrize(
    ("original", "final", "points", "low_by"),
    [
        # Balling for 100 g of wort, whose gas and yeast leave it: (OE - RE) / (1 - 0.005161 RE) g
        # of extract ferment; water at 20 °C is 998.2 g/L.
        pytest.param(1.030, 1.000, 1.0, 0.003, id="last point of a dry small beer"),
        pytest.param(1.030, 1.000, 30.0, 0.021, id="all of a small beer"),
        pytest.param(1.050, 1.010, 3.0, 0.023, id="last points of a pale ale"),
        pytest.param(1.050, 1.010, 30.0, 0.029, id="most of a pale ale"),
        pytest.param(1.100, 1.020, 3.0, 0.037, id="last points of a barley wine"),
        pytest.param(1.100, 1.020, 30.0, 0.044, id="the last of a barley wine"),
    ],
)
def test_gas_to_come_is_a_little_less_than_the_whole_relation_gives(
    original: float, final: float, points: float, low_by: float
) -> None:
    def fermented_g(gravity: float) -> float:
        left = 0.1808 * plato_from_gravity(original) + 0.8192 * plato_from_gravity(gravity)
        return (plato_from_gravity(original) - left) / (1 - 1.0665 / 2.0665 * left / 100)

    gas_g = (fermented_g(final) - fermented_g(final + points / 1000)) * 0.9565 / 2.0665
    beer_l = (100 - 1.0665 / 2.0665 * fermented_g(final)) / final / 998.2
    by_balling = gas_g / beer_l / 1.977
    assert 1 - gas_to_come_vol(points) / by_balling == pytest.approx(low_by, abs=6e-4)


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


@pytest.mark.parametrize(
    ("sugar", "grams_per_litre", "apart"),
    [
        # M. Hibberd, A Primer on Priming: 4 g of sucrose a litre for each volume.
        pytest.param("sucrose", 4.0, 0.2, id="Hibberd"),
        # 1.977 over the stoichiometric yield, by hand.
        pytest.param("sucrose", 3.84, 0.005, id="sucrose"),
        pytest.param("glucose", 4.05, 0.005, id="glucose"),
        pytest.param("glucose monohydrate", 4.45, 0.005, id="glucose monohydrate"),
    ],
)
def test_sugar_for_one_more_volume(sugar: str, grams_per_litre: float, apart: float) -> None:
    bottling = {"volume_l": 1.0, "temperature_c": 20.0, "sugar": sugar}
    more = priming_g(carbonation_vol=2.9, **bottling) - priming_g(carbonation_vol=1.9, **bottling)
    assert more == pytest.approx(grams_per_litre, abs=apart)


def test_priming_in_the_mountains_makes_up_for_the_gas_that_left() -> None:
    # By hand: 0.8615 (1 - 70.121 / 101.325) x 20 L x 1.977 g/L / 0.5143.
    bottling = {"volume_l": 20, "carbonation_vol": 2.4, "temperature_c": 20, "sugar": "sucrose"}
    more = priming_g(**bottling, altitude_m=3000.0) - priming_g(**bottling)
    assert more == pytest.approx(20.4, abs=0.05)


def test_beer_that_is_gassy_enough_needs_no_sugar() -> None:
    assert priming_g(volume_l=20, carbonation_vol=1.5, temperature_c=2, sugar="sucrose") == 0.0


@given(st.floats(0.0, 30.0), st.floats(1.8, 4.0), st.floats(1.0, 50.0), st.floats(0.0, 3000.0))
def test_the_gas_of_the_sugar_and_the_gas_left_make_the_target(
    temperature_c: float, carbonation_vol: float, volume_l: float, altitude_m: float
) -> None:
    grams = priming_g(
        volume_l=volume_l,
        carbonation_vol=carbonation_vol,
        temperature_c=temperature_c,
        sugar="glucose",
        altitude_m=altitude_m,
        most_vol=BOTTLE_LIMIT_VOL["thick"],
    )
    made_vol = grams * 0.4886 / 1.977 / volume_l
    left_vol = residual_co2_vol(temperature_c, altitude_m)
    assert made_vol + left_vol == pytest.approx(carbonation_vol)


@pytest.mark.parametrize(
    ("carbonation_vol", "most", "message"),
    [
        # Common practice, no source: 3.0 volumes in ordinary glass, 4.5 in thick; pressures by
        # hand from the exponential fit at 30 °C.
        pytest.param(
            3.4,
            {},
            r"^3\.4 volumes is more than the 3 these bottles are for: "
            r"in a 30 °C room they would hold 432 kPa over the air$",
            id="wheat beer in ordinary bottles",
        ),
        pytest.param(
            3.01,
            {"most_vol": 3.0},
            r"^3\.01 volumes is more than the 3 these bottles are for: .* hold 371 kPa",
            id="only just",
        ),
        pytest.param(
            3.004,
            {},
            r"^3\.004 volumes is more than the 3 these bottles are for: .* hold 370 kPa",
            id="by less than a hundredth",
        ),
        pytest.param(
            5.0,
            {"most_vol": 4.5},
            r"^5 volumes is more than the 4\.5 these bottles are for: .* hold 683 kPa",
            id="too much for thick glass",
        ),
        pytest.param(
            1.4,
            {"most_vol": 1.5},
            r"^1\.59 volumes is more than the 1\.5 these bottles are for",
            id="the gas left at 2 °C alone",
        ),
    ],
)
def test_bottles_are_not_filled_past_their_glass(
    carbonation_vol: float, most: dict[str, float], message: str
) -> None:
    with pytest.raises(OverPressure, match=message):
        priming_g(
            volume_l=20, carbonation_vol=carbonation_vol, temperature_c=2, sugar="sucrose", **most
        )


@pytest.mark.parametrize("glass", BOTTLE_LIMIT_VOL)
def test_bottles_may_be_filled_to_the_limit_of_their_glass(glass: str) -> None:
    limit_vol = BOTTLE_LIMIT_VOL[glass]
    bottling = {"volume_l": 20, "temperature_c": 20, "sugar": "sucrose", "most_vol": limit_vol}
    assert priming_g(carbonation_vol=limit_vol, **bottling) > 0
    with pytest.raises(OverPressure) as refused:
        priming_g(carbonation_vol=limit_vol + 0.01, **bottling)
    assert refused.value.limit_vol == limit_vol
    assert refused.value.pressure_kpa == bottle_pressure_kpa(limit_vol + 0.01, 30.0)


@pytest.mark.parametrize(
    ("fahrenheit", "volumes", "psi"),
    [
        # Keg table printed in homebrewing libraries, made with the usual polynomial.
        pytest.param(32, 2.0, 3.5, id="32 °F, 2.0"),
        pytest.param(32, 2.7, 10.1, id="32 °F, 2.7"),
        pytest.param(32, 3.0, 12.9, id="32 °F, 3.0"),
        pytest.param(34, 2.4, 8.2, id="34 °F, 2.4"),
        pytest.param(36, 2.4, 9.2, id="36 °F, 2.4"),
        pytest.param(38, 2.0, 6.0, id="38 °F, 2.0"),
        pytest.param(38, 2.5, 11.2, id="38 °F, 2.5"),
        pytest.param(38, 3.0, 16.5, id="38 °F, 3.0"),
        pytest.param(40, 2.2, 9.0, id="40 °F, 2.2"),
        pytest.param(40, 2.5, 12.3, id="40 °F, 2.5"),
        pytest.param(40, 2.8, 15.5, id="40 °F, 2.8"),
        pytest.param(44, 2.6, 15.5, id="44 °F, 2.6"),
        pytest.param(46, 2.3, 13.0, id="46 °F, 2.3"),
        pytest.param(50, 2.0, 11.3, id="50 °F, 2.0"),
        pytest.param(50, 2.5, 17.6, id="50 °F, 2.5"),
        pytest.param(50, 3.0, 23.8, id="50 °F, 3.0"),
        # Miller's table, Brewing Techniques 2(1); the column inferred.
        pytest.param(38, 2.57, 12.0, id="38 °F, 12 psi"),
        pytest.param(38, 2.29, 9.0, id="38 °F, 9 psi"),
        # Table in volumes by °F and psi (ASBC), as printed for homebrewers; the column inferred.
        pytest.param(32, 2.70, 10.0, id="32 °F, 10 psi"),
        pytest.param(32, 3.00, 13.0, id="32 °F, 13 psi"),
        pytest.param(32, 3.21, 15.0, id="32 °F, 15 psi"),
    ],
)
def test_keg_pressure_agrees_with_the_printed_tables(
    fahrenheit: float, volumes: float, psi: float
) -> None:
    kpa = keg_pressure_kpa(temperature_c=(fahrenheit - 32) / 1.8, carbonation_vol=volumes)
    assert kpa / PSI_KPA == pytest.approx(psi, abs=0.36)


def polynomial_kpa(temperature_c: float, volumes: float) -> float:
    """Keg pressure by the polynomial in °F and psi that is printed beside such tables."""
    f, v = temperature_c * 1.8 + 32, volumes
    psi = -16.6999 - 0.0101059 * f + 0.00116512 * f * f + 0.173354 * f * v + 4.24267 * v
    return PSI_KPA * (psi - 0.0684226 * v * v)


@given(st.floats(0.0, 10.0), st.floats(2.0, 3.0))
def test_cold_kegs_by_the_fit_and_by_the_polynomial(temperature_c: float, volumes: float) -> None:
    assert keg_pressure_kpa(temperature_c=temperature_c, carbonation_vol=volumes) == pytest.approx(
        polynomial_kpa(temperature_c, volumes), abs=2.5
    )


@pytest.mark.parametrize("volumes", [2.0, 2.5, 3.0])
def test_warm_kegs_go_with_physics_rather_than_with_the_polynomial(volumes: float) -> None:
    # IAPWS G7-04 and IAPWS-95 for water at 20 °C.
    water_kpa = ATMOSPHERE_KPA * (volumes / volumes_in_water(20) + vapour_atmospheres(20) - 1)
    fitted_kpa = keg_pressure_kpa(temperature_c=20, carbonation_vol=volumes)
    assert fitted_kpa == pytest.approx(water_kpa, rel=0.03)
    assert 3 < fitted_kpa - polynomial_kpa(20, volumes) < 16


@pytest.mark.parametrize(
    ("volumes", "temperature_c", "bar"),
    [
        # By hand from the exponential fit to the ASBC table.
        pytest.param(2.5, 20, 2.0, id="2.5 in a room"),
        pytest.param(2.5, 30, 2.9, id="2.5 in a warm room"),
        pytest.param(2.5, 40, 3.9, id="2.5 in a hot car"),
        pytest.param(4.0, 20, 3.8, id="4.0 in a room"),
        pytest.param(4.0, 30, 5.3, id="4.0 in a warm room"),
        pytest.param(4.0, 40, 6.8, id="4.0 in a hot car"),
    ],
)
def test_a_bottle_in_a_warm_place(volumes: float, temperature_c: float, bar: float) -> None:
    assert bottle_pressure_kpa(volumes, temperature_c) / 100 == pytest.approx(bar, abs=0.06)


@pytest.mark.parametrize("temperature_c", [20, 25, 30, 35, 40, 50])
@pytest.mark.parametrize("volumes", [2.0, 3.0, 4.0])
def test_warm_bottles_hold_what_gas_over_water_would(temperature_c: float, volumes: float) -> None:
    # IAPWS G7-04 and IAPWS-95, no neck: partial pressure of the gas, and vapour, less the air.
    atmospheres = volumes / volumes_in_water(temperature_c) + vapour_atmospheres(temperature_c) - 1
    assert bottle_pressure_kpa(volumes, temperature_c) == pytest.approx(
        ATMOSPHERE_KPA * atmospheres, rel=0.03
    )


@given(st.floats(0.0, 35.0), st.floats(0.0, 6.0))
def test_a_bottle_holds_the_pressure_of_a_keg_of_the_same_beer(
    temperature_c: float, volumes: float
) -> None:
    assert bottle_pressure_kpa(volumes, temperature_c) == pytest.approx(
        keg_pressure_kpa(temperature_c=temperature_c, carbonation_vol=volumes), abs=1e-9
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
    assert bottle_pressure_kpa(0.5, 10.0) == 0.0


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
            lambda: residual_co2_vol(20.0, 9000.0),
            r"^altitude 9000 m is outside -500 to 6000 m$",
        ),
        (
            lambda: gas_to_come_vol(-2.0),
            r"^points still to ferment -2 points is outside 0 to 30 points$",
        ),
        (
            lambda: gas_to_come_vol(40.0),
            r"^points still to ferment 40 points is outside 0 to 30 points$",
        ),
        (
            lambda: priming_g(volume_l=20, carbonation_vol=24, temperature_c=20, sugar="glucose"),
            r"^carbonation 24 volumes is outside 0 to 6 volumes$",
        ),
        (
            lambda: priming_g(
                volume_l=20, carbonation_vol=2.4, temperature_c=20, sugar="glucose", most_vol=30
            ),
            r"^most the bottles are good for 30 volumes is outside 0 to 6 volumes$",
        ),
        (
            lambda: keg_pressure_kpa(temperature_c=4, carbonation_vol=2.4, altitude_m=9000),
            r"^altitude 9000 m is outside -500 to 6000 m$",
        ),
        (
            lambda: bottle_pressure_kpa(2.5, 70.0),
            r"^bottle temperature 70 °C is outside 0 to 50 °C$",
        ),
    ],
)
def test_impossible_carbonation_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
