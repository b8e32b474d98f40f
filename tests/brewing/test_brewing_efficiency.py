"""What the malt could give, and how much of it arrives where.

One batch runs through: 5 kg of malt of 4 % moisture and 80 % extract on the dry weight, in 27.5 L
of water.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.efficiency import (
    as_is_extract,
    bag_efficiency,
    brewhouse_efficiency,
    brewhouse_yield,
    conversion_efficiency,
    dissolved_kg,
    drained_share,
    kettle_efficiency,
    litre_degrees_kg,
    points_per_pound_gallon,
    potential_kg,
    strongest_mash_plato,
)
from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import extract_kg, gravity_from_plato, points

POTENTIAL_KG = 3.84
MASH = {"grain_kg": 5.0, "water_l": 27.5}


@pytest.mark.parametrize(
    ("weight_kg", "extract_dry", "moisture", "expected_kg"),
    [
        # Weight less its moisture, times the fine grind extract of the dry matter, by hand.
        pytest.param(5.0, 0.80, 0.04, 3.84, id="pale malt"),
        pytest.param(10.0, 0.81, 0.05, 7.695, id="a damp two-row malt"),
        pytest.param(0.35, 0.74, 0.06, 0.24346, id="crystal malt"),
        pytest.param(1.0, 0.80, 0.0, 0.80, id="bone dry"),
    ],
)
def test_potential_of_malt(
    weight_kg: float, extract_dry: float, moisture: float, expected_kg: float
) -> None:
    assert potential_kg(weight_kg, extract_dry, moisture) == pytest.approx(expected_kg)
    as_is = as_is_extract(extract_dry, moisture)
    assert as_is * weight_kg == pytest.approx(expected_kg)
    assert as_is <= extract_dry


@pytest.mark.parametrize(
    ("litres_per_kg", "expected_plato"),
    [
        # 0.768 kg of extract from each kg of malt, 0.04 kg of water in it, water at 0.9982 kg/L;
        # by hand.
        pytest.param(2.5, 23.25, id="thick mash"),
        pytest.param(3.0, 20.20, id="tun mash"),
        pytest.param(4.0, 16.00, id="thin mash"),
        pytest.param(5.5, 12.19, id="the whole volume"),
        pytest.param(7.0, 9.85, id="small beer"),
    ],
)
def test_the_strongest_a_mash_can_be(litres_per_kg: float, expected_plato: float) -> None:
    found = strongest_mash_plato(0.768, 1.0, litres_per_kg)
    assert found == pytest.approx(expected_plato, abs=0.006)
    assert conversion_efficiency(found, 0.768, 1.0, litres_per_kg) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("mash_plato", "conversion"),
    [
        # P / (100 - P) times 27.65 kg of water over 3.84 kg, by hand.
        pytest.param(11.110, 0.900, id="good"),
        pytest.param(10.0, 0.800, id="poor crush"),
        pytest.param(12.19, 1.000, id="all of it"),
        pytest.param(0.0, 0.0, id="none"),
    ],
)
def test_conversion_from_the_gravity_of_the_stirred_mash(
    mash_plato: float, conversion: float
) -> None:
    found = conversion_efficiency(mash_plato, POTENTIAL_KG, **MASH)
    assert found == pytest.approx(conversion, abs=0.001)


def test_one_batch_has_five_efficiencies() -> None:
    # By mass, by hand: 3.456 kg dissolved; 24.5 L of 11.110 °P run off, 20.5 L are left by the
    # boil and 19.5 L of 13.168 °P reach the fermenter.
    in_mash_kg = dissolved_kg(11.110, **MASH)
    assert in_mash_kg == pytest.approx(3.456, abs=0.001)
    kettle_kg = extract_kg(24.5, gravity_from_plato(11.110))
    assert kettle_kg == pytest.approx(2.8385, abs=0.001)
    fermenter_kg = extract_kg(19.5, gravity_from_plato(13.168))
    assert conversion_efficiency(11.110, POTENTIAL_KG, **MASH) == pytest.approx(0.900, abs=0.001)
    assert bag_efficiency(kettle_kg, in_mash_kg) == pytest.approx(0.821, abs=0.001)
    assert kettle_efficiency(kettle_kg, POTENTIAL_KG) == pytest.approx(0.739, abs=0.001)
    assert brewhouse_efficiency(fermenter_kg, POTENTIAL_KG) == pytest.approx(0.703, abs=0.001)
    assert brewhouse_yield(kettle_kg, 5.0) == pytest.approx(0.568, abs=0.001)


def test_boiling_neither_makes_nor_loses_extract() -> None:
    before = kettle_efficiency(extract_kg(24.5, 1.04464), POTENTIAL_KG)
    after = kettle_efficiency(extract_kg(20.5, 1.05330), POTENTIAL_KG)
    assert after == pytest.approx(before, abs=0.001)


@given(
    conversion=st.floats(0.5, 1.0),
    bag=st.floats(0.5, 1.0),
    left=st.floats(0.8, 1.0),
    extract_dry=st.floats(0.6, 0.85),
    moisture=st.floats(0.0, 0.1),
    litres_per_kg=st.floats(2.5, 8.0),
)
def test_kettle_is_conversion_times_bag(
    conversion: float,
    bag: float,
    left: float,
    extract_dry: float,
    moisture: float,
    litres_per_kg: float,
) -> None:
    whole_kg = potential_kg(5.0, extract_dry, moisture)
    mash = {"grain_kg": 5.0, "water_l": 5.0 * litres_per_kg, "moisture": moisture}
    plato = strongest_mash_plato(conversion * whole_kg, **mash)
    in_mash_kg = dissolved_kg(plato, **mash)
    kettle_kg = bag * in_mash_kg
    kettle = kettle_efficiency(kettle_kg, whole_kg)
    found = conversion_efficiency(plato, whole_kg, **mash)
    assert found == pytest.approx(conversion, rel=1e-9)
    assert kettle == pytest.approx(found * bag_efficiency(kettle_kg, in_mash_kg), rel=1e-9)
    assert kettle == pytest.approx(
        brewhouse_yield(kettle_kg, 5.0) / as_is_extract(extract_dry, moisture), rel=1e-9
    )
    assert brewhouse_efficiency(left * kettle_kg, whole_kg) == pytest.approx(left * kettle)


@pytest.mark.parametrize(
    ("water_l", "grain_kg", "absorption_l_kg", "in_mash_kg", "expected"),
    [
        # Litres that drain over all the wort, water / 0.9982 + 0.04 kg/kg + 0.616 L/kg; by hand.
        pytest.param(27.5, 5.0, 0.6, 3.456, 0.8213, id="drained bag"),
        pytest.param(27.5, 5.0, 0.4, 3.456, 0.8548, id="squeezed bag"),
        pytest.param(29.0, 8.0, 0.6, 5.53, 0.7389, id="big grist"),
        pytest.param(26.0, 3.0, 0.6, 2.07, 0.8834, id="small grist"),
    ],
)
def test_what_a_bag_lets_go_without_a_rinse(
    water_l: float, grain_kg: float, absorption_l_kg: float, in_mash_kg: float, expected: float
) -> None:
    found = drained_share(
        water_l=water_l,
        grain_kg=grain_kg,
        absorption_l_kg=absorption_l_kg,
        dissolved_kg=in_mash_kg,
    )
    assert found == pytest.approx(expected, abs=0.001)


def test_the_drained_share_is_the_bag_efficiency_of_the_batch() -> None:
    in_mash_kg = dissolved_kg(11.110, **MASH)
    kettle_kg = extract_kg(24.5, gravity_from_plato(11.110))
    assert drained_share(**MASH, absorption_l_kg=0.6, dissolved_kg=in_mash_kg) == pytest.approx(
        bag_efficiency(kettle_kg, in_mash_kg), abs=0.001
    )


def test_the_yield_of_the_textbook() -> None:
    # Kunze's formula: hot litres x °P x gravity x 0.96 over the malt, in per cent. 120 L of hot
    # wort of 12.0 °P, 1.0484, from 20 kg: 120 x 12.0 x 1.0484 x 0.96 / 20 = 72.5 %, by hand. The
    # formula takes a litre of water for a kilogram, which is 0.2 % too much.
    kettle_kg = extract_kg(0.96 * 120.0, gravity_from_plato(12.0))
    assert 100 * brewhouse_yield(kettle_kg, 20.0) == pytest.approx(72.5 * 0.9982, abs=0.05)


@pytest.mark.parametrize(
    ("extract", "l_kg"),
    [
        # Oxford Companion to Beer, liter degrees per kilogram: malt 300, maize grits 340; the
        # shares from the 386 of pure sugar (common practice, no source), by hand.
        pytest.param(0.777, 300.0, id="malt"),
        pytest.param(0.881, 340.0, id="maize grits"),
        pytest.param(1.0, 386.0, id="sugar"),
    ],
)
def test_hot_water_extract(extract: float, l_kg: float) -> None:
    assert litre_degrees_kg(extract) == pytest.approx(l_kg, abs=0.5)


@pytest.mark.parametrize("plato", [5.0, 8.0, 10.0, 12.0])
def test_litre_degrees_of_sugar_are_those_of_the_sucrose_table(plato: float) -> None:
    # ASBC extract table, itself the sucrose table of NBS Circular C440.
    gravity = gravity_from_plato(plato)
    assert points(gravity) / extract_kg(1.0, gravity) == pytest.approx(
        litre_degrees_kg(1.0), rel=4e-3
    )


def test_a_malt_of_three_hundred_litre_degrees() -> None:
    # Oxford Companion to Beer: 1 kg gives 10 L of 1.030 or 5 L of 1.060; 500 L of 1.056 from 100 kg
    # are 280 litre-degrees/kg, of 300 (by hand) 93 %.
    per_kg = litre_degrees_kg(0.777)
    assert 1 + per_kg / 10 / 1000 == pytest.approx(1.030, abs=1e-4)
    assert 1 + per_kg / 5 / 1000 == pytest.approx(1.060, abs=1e-4)
    found = kettle_efficiency(extract_kg(500.0, 1.056), potential_kg(100.0, 0.777, 0.0))
    assert found == pytest.approx(280 / 300, abs=0.006)


@pytest.mark.parametrize(
    ("l_kg", "ppg"),
    [
        # A pound in a US gallon is 0.11983 kg/L; sugar 46, pale malt 36 to 37 (J. Palmer, How to
        # Brew).
        pytest.param(386.0, 46.25, id="sugar"),
        pytest.param(308.8, 37.0, id="pale malt"),
        pytest.param(300.0, 35.95, id="malt"),
    ],
)
def test_points_per_pound_and_gallon(l_kg: float, ppg: float) -> None:
    assert points_per_pound_gallon(l_kg) == pytest.approx(ppg, abs=0.01)
    assert points_per_pound_gallon(l_kg) == pytest.approx(l_kg * 0.45359237 / 3.785411784)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: as_is_extract(80.0), r"^extract of the dry malt 80 is outside 0 to 1$"),
        (lambda: as_is_extract(0.8, 4.0), r"^moisture of the malt 4 is outside 0 to 0\.2$"),
        (lambda: potential_kg(-1.0, 0.8), r"^weight of malt -1 kg is outside 0 to 500 kg$"),
        (
            lambda: strongest_mash_plato(3.84, 5.0, 0.0),
            r"^mash water 0 L is outside 0\.001 to 1000 L$",
        ),
        (
            lambda: strongest_mash_plato(5.5, **MASH),
            r"^potential extract of the grain 5\.5 kg is outside 0\.001 to 5 kg$",
        ),
        (
            lambda: conversion_efficiency(11.0, 5.5, **MASH),
            r"^potential extract of the grain 5\.5 kg is outside 0\.001 to 5 kg$",
        ),
        (
            lambda: dissolved_kg(45.0, **MASH),
            r"^extract of the mash 45 °P is outside 0 to 34\.24 °P$",
        ),
        (
            lambda: conversion_efficiency(14.0, POTENTIAL_KG, **MASH),
            r"^conversion efficiency 117\.\d+ % is outside 0 to 110 %$",
        ),
        (lambda: bag_efficiency(4.0, 3.0), r"^bag efficiency 133\.\d+ % is outside 0 to 110 %$"),
        (
            lambda: drained_share(
                water_l=5.0, grain_kg=10.0, absorption_l_kg=0.6, dissolved_kg=2.0
            ),
            r"^wort that drains -1 L is outside 0 to 1000 L$",
        ),
        (lambda: kettle_efficiency(2.8, 0.0), r"^potential extract 0 kg is outside 0\.001 to 500"),
        (
            lambda: brewhouse_efficiency(-1.0, 3.0),
            r"^extract in the fermenter -1 kg is outside 0 to 500 kg$",
        ),
        (lambda: brewhouse_yield(6.0, 5.0), r"^brewhouse yield 120 % is outside 0 to 110 %$"),
        (lambda: brewhouse_yield(2.8, 0.0), r"^weight of malt 0 kg is outside 0\.001 to 500 kg$"),
        (lambda: litre_degrees_kg(78.0), r"^extract of the malt 78 is outside 0 to 1$"),
        (
            lambda: points_per_pound_gallon(3000.0),
            r"^hot water extract 3000 L°/kg is outside 0 to 400 L°/kg$",
        ),
    ],
)
def test_impossible_efficiencies_are_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
