"""Wort thinned, boiled down, strengthened and blended, by mass.

Sucrose stands for extract, as in the definition of degrees Plato: densities at 20 °C are those of
the CRC Handbook of Chemistry and Physics, Concentrative Properties of Aqueous Solutions.
"""

import numpy as np
import pytest
from chemicals import MW
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.brewing.balance import (
    after_extract,
    after_water,
    blended,
    dissolved_volume_l,
    extract_to_reach_gravity_kg,
    gravity_from_masses,
    volume_from_masses_l,
    water_to_reach_gravity_l,
    wort_kg,
)
from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import extract_kg, gravity_with_water

VOLUMES_L = st.floats(1.0, 60.0)
WORT_GRAVITIES = st.floats(1.005, 1.1)


@pytest.mark.parametrize(
    ("sucrose_percent", "density_kg_l"),
    [
        # CRC Handbook, sucrose: kg/L by weight per cent.
        pytest.param(5.0, 1.0178, id="5 per cent"),
        pytest.param(10.0, 1.0381, id="10 per cent"),
        pytest.param(12.0, 1.0465, id="12 per cent"),
        pytest.param(15.0, 1.0592, id="15 per cent"),
        pytest.param(20.0, 1.0810, id="20 per cent"),
    ],
)
def test_sugar_swells_water_as_the_handbook_has_it(
    sucrose_percent: float, density_kg_l: float
) -> None:
    sugar_kg, water_kg = sucrose_percent, 100.0 - sucrose_percent
    solution_l = 100.0 / density_kg_l
    assert volume_from_masses_l(sugar_kg, water_kg) == pytest.approx(solution_l, rel=1e-4)
    assert dissolved_volume_l(sugar_kg) == pytest.approx(solution_l - water_kg / 0.9982, rel=0.005)
    assert gravity_from_masses(sugar_kg, water_kg) == pytest.approx(density_kg_l / 0.9982, abs=1e-4)


@pytest.mark.parametrize(
    ("mass_kg", "extract", "litres"),
    [
        # Partial molar volume of sucrose at infinite dilution, 211 mL/mol, over 342.30 g/mol
        # (from memory of J. E. Garrod and T. M. Herrington, J. Phys. Chem. 74 (1970), unchecked).
        pytest.param(1.0, 1.0, 0.6164, id="sucrose"),
        # By hand: extract at 0.616 L/kg and the rest as water at 0.9982 kg/L.
        pytest.param(0.35, 0.96, 0.2210, id="dry malt extract"),
        pytest.param(1.5, 0.80, 1.0397, id="liquid malt extract"),
        pytest.param(0.5, 0.0, 0.5009, id="water"),
        pytest.param(0.0, 1.0, 0.0, id="nothing"),
    ],
)
def test_litres_that_an_addition_adds(mass_kg: float, extract: float, litres: float) -> None:
    assert dissolved_volume_l(mass_kg, extract) == pytest.approx(litres, abs=0.0006)


def test_glucose_monohydrate_is_nine_tenths_extract() -> None:
    # Molar masses from chemicals 1.5: one molecule of water to one of glucose.
    share = MW("glucose") / (MW("glucose") + MW("water"))
    assert share == pytest.approx(0.909, abs=0.001)
    _, gravity = after_extract(20.0, 1.040, 0.5 / share, share)
    _, gravity_of_dry = after_extract(20.0, 1.040, 0.5)
    assert gravity == pytest.approx(gravity_of_dry, abs=2e-4)
    assert gravity < gravity_of_dry


@pytest.mark.parametrize(
    ("volume_l", "gravity", "water_l", "expected_l", "expected_gravity"),
    [
        # By mass, by hand: extract over what is left of the wort, read in the ASBC table.
        pytest.param(20.0, 1.060, 4.0, 24.00, 1.0501, id="four litres added"),
        pytest.param(20.0, 1.050, -3.0, 17.00, 1.0588, id="three litres boiled off"),
        pytest.param(24.5, 1.04464, -4.0, 20.50, 1.0533, id="an hour's boil"),
        pytest.param(20.0, 1.056, 2.4, 22.40, 1.0500, id="thinned to the plan"),
        pytest.param(20.0, 1.0, 5.0, 25.0, 1.0, id="water in water"),
    ],
)
def test_wort_after_water_comes_or_goes(
    volume_l: float, gravity: float, water_l: float, expected_l: float, expected_gravity: float
) -> None:
    after_l, after_gravity = after_water(volume_l, gravity, water_l * 0.9982)
    assert after_l == pytest.approx(expected_l, rel=1e-3)
    assert after_gravity == pytest.approx(expected_gravity, abs=5e-5)


@pytest.mark.parametrize(
    ("volume_l", "gravity", "mass_kg", "extract", "expected_gravity"),
    [
        # A pound of sucrose made up to a US gallon gives 1.046 (common practice, no source): 0.4536
        # kg in 3.506 L of water, since it takes up 0.279 L.
        pytest.param(3.506, 1.0, 0.4536, 1.0, 1.0462, id="a pound to the gallon"),
        # Points times litres: 24.5 x 40 + 350 g at 386, over 24.72 L, by hand.
        pytest.param(24.5, 1.040, 0.35, 1.0, 1.0451, id="short of the plan by five points"),
        # 370 g of dry malt extract at 0.96 in the same wort, by hand.
        pytest.param(24.5, 1.040, 0.37, 0.96, 1.0452, id="or with malt extract"),
    ],
)
def test_wort_after_sugar_or_malt_extract(
    volume_l: float, gravity: float, mass_kg: float, extract: float, expected_gravity: float
) -> None:
    _, after_gravity = after_extract(volume_l, gravity, mass_kg, extract)
    assert after_gravity == pytest.approx(expected_gravity, abs=2e-4)


@given(VOLUMES_L, WORT_GRAVITIES, st.floats(-0.4, 1.0))
def test_water_leaves_the_extract_and_adds_its_mass(
    volume_l: float, gravity: float, share: float
) -> None:
    water_kg = share * volume_l
    assume(gravity + max(-share, 0.0) * 0.1 < 1.11)
    after_l, after_gravity = after_water(volume_l, gravity, water_kg)
    assert extract_kg(after_l, after_gravity) == pytest.approx(
        extract_kg(volume_l, gravity), rel=1e-8
    )
    assert wort_kg(after_l, after_gravity) == pytest.approx(wort_kg(volume_l, gravity) + water_kg)
    # Volumes of wort and water add up to within a thousandth.
    assert after_l == pytest.approx(volume_l + water_kg / 0.9982, rel=1e-3)
    assert gravity_with_water(volume_l, gravity, water_kg / 0.9982) == pytest.approx(
        after_gravity, abs=6e-5
    )


@given(VOLUMES_L, WORT_GRAVITIES, st.floats(0.0, 0.15), st.floats(0.7, 1.0))
def test_sugar_adds_its_extract_its_mass_and_its_room(
    volume_l: float, gravity: float, kg_per_l: float, extract: float
) -> None:
    mass_kg = kg_per_l * volume_l
    after_l, after_gravity = after_extract(volume_l, gravity, mass_kg, extract)
    assert extract_kg(after_l, after_gravity) == pytest.approx(
        extract_kg(volume_l, gravity) + extract * mass_kg, rel=1e-8
    )
    assert wort_kg(after_l, after_gravity) == pytest.approx(wort_kg(volume_l, gravity) + mass_kg)
    added_l = dissolved_volume_l(mass_kg, extract)
    assert after_l == pytest.approx(volume_l + added_l, rel=1.5e-3)


@given(VOLUMES_L, WORT_GRAVITIES, VOLUMES_L, WORT_GRAVITIES)
def test_a_blend_lies_between_its_worts(
    volume_l: float, gravity: float, other_l: float, other_gravity: float
) -> None:
    both_l, both_gravity = blended(volume_l, gravity, other_l, other_gravity)
    assert min(gravity, other_gravity) - 1e-9 <= both_gravity <= max(gravity, other_gravity) + 1e-9
    assert extract_kg(both_l, both_gravity) == pytest.approx(
        extract_kg(volume_l, gravity) + extract_kg(other_l, other_gravity), rel=1e-8
    )
    assert wort_kg(both_l, both_gravity) == pytest.approx(
        wort_kg(volume_l, gravity) + wort_kg(other_l, other_gravity)
    )
    assert (both_l, both_gravity) == pytest.approx(
        blended(other_l, other_gravity, volume_l, gravity)
    )


def test_a_rinse_blended_with_the_first_wort() -> None:
    # Points times litres, by hand: (22 x 48 + 3 x 15) / 25 = 44.0.
    both_l, both_gravity = blended(22.0, 1.048, 3.0, 1.015)
    assert both_l == pytest.approx(25.0, abs=0.01)
    assert both_gravity == pytest.approx(1.0440, abs=1e-4)


def test_blending_with_water_is_thinning() -> None:
    assert blended(20.0, 1.060, 4.0, 1.0) == pytest.approx(after_water(20.0, 1.060, 4.0 * 0.9982))


@given(VOLUMES_L, WORT_GRAVITIES, WORT_GRAVITIES)
def test_that_much_water_reaches_the_gravity(
    volume_l: float, gravity: float, wanted_gravity: float
) -> None:
    water_l = water_to_reach_gravity_l(volume_l, gravity, wanted_gravity)
    assert (water_l > 0.0) == (wanted_gravity < gravity) or water_l == pytest.approx(0.0)
    assume(wort_kg(volume_l, gravity) + 0.9982 * water_l < 1000.0)
    _, reached = after_water(volume_l, gravity, 0.9982 * water_l)
    assert reached == pytest.approx(wanted_gravity, abs=1e-8)


@given(VOLUMES_L, st.floats(1.0, 1.07), st.floats(0.0, 0.04), st.floats(0.75, 1.0))
def test_that_much_extract_reaches_the_gravity(
    volume_l: float, gravity: float, more: float, extract: float
) -> None:
    mass_kg = extract_to_reach_gravity_kg(volume_l, gravity, gravity + more, extract)
    _, reached = after_extract(volume_l, gravity, mass_kg, extract)
    # 1.2e-5 is the width of the band near 1.000 that counts as pure water.
    assert reached == pytest.approx(gravity + more, abs=1.3e-5)


@pytest.mark.parametrize(
    ("volume_l", "gravity", "wanted_gravity", "water_l"),
    [
        # Mass of the wort times (P before / P after - 1) over 0.9982 kg/L, by hand, with the second
        # fit to the sucrose table, S = 1 + P / (258.6 - 227.1 P / 258.2), for P.
        pytest.param(20.0, 1.056, 1.050, 2.417, id="dilute"),
        pytest.param(24.5, 1.0395, 1.0450, -3.008, id="boil down"),
        pytest.param(20.0, 1.050, 1.050, 0.0, id="there already"),
    ],
)
def test_water_for_a_gravity(
    volume_l: float, gravity: float, wanted_gravity: float, water_l: float
) -> None:
    found_l = water_to_reach_gravity_l(volume_l, gravity, wanted_gravity)
    assert found_l == pytest.approx(water_l, abs=0.003)


def test_a_boil_draws_a_curve_of_volume_and_gravity() -> None:
    boiled_kg = -np.linspace(0.0, 4.0, 9)
    volumes_l, gravities = after_water(24.5, 1.0446, boiled_kg)
    one_by_one = [after_water(24.5, 1.0446, float(kg)) for kg in boiled_kg]
    assert volumes_l == pytest.approx([litres for litres, _ in one_by_one], rel=1e-12)
    assert gravities == pytest.approx([gravity for _, gravity in one_by_one], rel=1e-12)
    doses_kg = np.linspace(0.0, 1.0, 5)
    _, stronger = after_extract(20.0, 1.04, doses_kg, 0.8)
    assert stronger == pytest.approx(
        [after_extract(20.0, 1.04, float(kg), 0.8)[1] for kg in doses_kg]
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: dissolved_volume_l(-0.5),
            r"^weight of the addition -0\.5 kg is outside 0 to 500 kg$",
        ),
        (
            lambda: dissolved_volume_l(0.5, 80.0),
            r"^extract share of the addition 80 is outside 0 to 1$",
        ),
        (lambda: wort_kg(0.0, 1.05), r"^volume 0 L is outside 0\.001 to 1000 L$"),
        (
            lambda: gravity_from_masses(9.0, 10.0),
            r"^extract 47\.\d+ °P is outside -5\.265 to 34\.24",
        ),
        (lambda: volume_from_masses_l(2.0, 0.0), r"^water 0 kg is outside 0\.001 to 1000 kg$"),
        (lambda: after_water(5.0, 1.05, -5.3), r"^wort afterwards -0\.05\d* kg is outside 0\.001"),
        (
            lambda: after_water(20.0, 1.05, -15.0),
            r"^extract 43\.\d+ °P is outside -5\.265 to 34\.24",
        ),
        (
            lambda: after_extract(5.0, 1.05, 5.0),
            r"^extract 55\.\d+ °P is outside -5\.265 to 34\.24",
        ),
        (lambda: blended(900.0, 1.05, 900.0, 1.05), r"^wort afterwards 1887 kg is outside"),
        (
            lambda: water_to_reach_gravity_l(20.0, 1.05, 1.0),
            r"^wanted gravity 1 is outside 1\.001 to 1\.15$",
        ),
        (
            lambda: extract_to_reach_gravity_kg(20.0, 1.05, 1.04),
            r"^wanted gravity 1\.04 is outside 1\.05 to 1\.15$",
        ),
        (
            lambda: extract_to_reach_gravity_kg(20.0, 1.05, 1.06, 0.1),
            r"^extract share of the addition 0\.1 is outside 0\.197\d* to 1$",
        ),
    ],
)
def test_an_impossible_balance_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
