"""Ions, salts, alkalinity and lactic acid. Independent check: molar masses by `chemicals`."""

from dataclasses import asdict

import pytest
from chemicals.elements import molecular_weight, nested_formula_parser
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.minerals import (
    CACO3_MG_MEQ,
    GRAM_PER_LITRE,
    Ions,
    Salt,
    alkalinity_from_bicarbonate,
    bicarbonate_from_alkalinity,
    bicarbonate_neutralised,
    lactic_acid_meq,
    lactic_dissociated,
    residual_alkalinity,
    with_salts,
)

MG_L_PER_GERMAN_DEGREE = 17.848
"""DIN 38409-6 defines the degree as 10 mg of CaO to the litre; as CaCO3 by the molar masses."""

TAP = Ions(
    calcium_mg_l=60.0,
    magnesium_mg_l=5.0,
    sodium_mg_l=12.0,
    sulphate_mg_l=40.0,
    chloride_mg_l=30.0,
    alkalinity_mg_l=110.0,
)


def molar_mass(formula: str) -> float:
    """Of a formula such as CaSO4(H2O)2, with the atomic masses that `chemicals` has."""
    return molecular_weight(nested_formula_parser(formula))


SHARES = [
    # salt, its formula, the ion, how many of it, what it is in the formula
    (Salt.GYPSUM, "CaSO4(H2O)2", "calcium", 1, "Ca"),
    (Salt.GYPSUM, "CaSO4(H2O)2", "sulphate", 1, "SO4"),
    (Salt.CALCIUM_CHLORIDE, "CaCl2(H2O)2", "calcium", 1, "Ca"),
    (Salt.CALCIUM_CHLORIDE, "CaCl2(H2O)2", "chloride", 2, "Cl"),
    (Salt.EPSOM_SALT, "MgSO4(H2O)7", "magnesium", 1, "Mg"),
    (Salt.EPSOM_SALT, "MgSO4(H2O)7", "sulphate", 1, "SO4"),
    (Salt.BAKING_SODA, "NaHCO3", "sodium", 1, "Na"),
    # One acid for each bicarbonate, two for each carbonate.
    (Salt.BAKING_SODA, "NaHCO3", "alkalinity", 0.5, "CaCO3"),
]


@pytest.mark.parametrize(
    ("salt", "formula", "ion", "count", "part"),
    SHARES,
    ids=[f"{ion} of {salt.value}" for salt, _, ion, _, _ in SHARES],
)
def test_a_salt_gives_its_ions_by_their_molar_masses(
    salt: Salt, formula: str, ion: str, count: float, part: str
) -> None:
    # chemicals 1 (IUPAC atomic masses).
    expected = 1000.0 * count * molar_mass(part) / molar_mass(formula)
    assert getattr(GRAM_PER_LITRE[salt], f"{ion}_mg_l") == pytest.approx(expected, abs=0.06)


def test_a_salt_gives_no_ions_but_its_own() -> None:
    given_ions = {
        (salt, ion.removesuffix("_mg_l"))
        for salt, ions in GRAM_PER_LITRE.items()
        for ion, mg_l in asdict(ions).items()
        if mg_l > 0.0
    }
    assert given_ions == {(salt, ion) for salt, _, ion, _, _ in SHARES}


@pytest.mark.parametrize(
    ("salt", "ion", "printed_mg_l"),
    [
        # One gram in a US gallon, as suppliers of salts print it (common practice, no source).
        pytest.param(Salt.GYPSUM, "calcium_mg_l", 61.5, id="calcium of gypsum"),
        pytest.param(Salt.GYPSUM, "sulphate_mg_l", 147.4, id="sulphate of gypsum"),
        pytest.param(Salt.CALCIUM_CHLORIDE, "calcium_mg_l", 72.0, id="its calcium"),
        pytest.param(Salt.CALCIUM_CHLORIDE, "chloride_mg_l", 127.5, id="its chloride"),
        pytest.param(Salt.EPSOM_SALT, "magnesium_mg_l", 26.1, id="magnesium of Epsom salt"),
        pytest.param(Salt.EPSOM_SALT, "sulphate_mg_l", 103.0, id="sulphate of Epsom salt"),
        pytest.param(Salt.BAKING_SODA, "sodium_mg_l", 72.3, id="sodium of baking soda"),
        # Printed as 191.9 mg/L of bicarbonate, which is 61.0 to 50.0 of alkalinity.
        pytest.param(Salt.BAKING_SODA, "alkalinity_mg_l", 157.3, id="alkalinity of baking soda"),
    ],
)
def test_a_gram_in_a_gallon_is_as_the_tables_print_it(
    salt: Salt, ion: str, printed_mg_l: float
) -> None:
    water = with_salts(Ions(), {salt: 1.0}, 3.785412)
    assert getattr(water, ion) == pytest.approx(printed_mg_l, abs=0.12)


def test_salts_add_to_what_the_water_has() -> None:
    # By hand from molar masses: 4 g of gypsum and 3 g of calcium chloride in 27.5 L.
    water = with_salts(TAP, {Salt.GYPSUM: 4.0, Salt.CALCIUM_CHLORIDE: 3.0}, 27.5)
    assert water.calcium_mg_l == pytest.approx(60 + (4 * 232.8 + 3 * 272.6) / 27.5, abs=0.01)
    assert water.sulphate_mg_l == pytest.approx(40 + 4 * 557.9 / 27.5, abs=0.01)
    assert water.chloride_mg_l == pytest.approx(30 + 3 * 482.3 / 27.5, abs=0.01)
    assert water.alkalinity_mg_l == TAP.alkalinity_mg_l


def test_water_without_salts_is_as_it_was() -> None:
    assert with_salts(TAP, {Salt.GYPSUM: 0.0}, 20.0) == with_salts(TAP, {}, 20.0) == TAP


@given(st.sampled_from(Salt), st.floats(0.0, 100.0), st.floats(1.0, 100.0))
def test_what_is_dissolved_is_what_was_weighed(
    salt: Salt, weight_g: float, volume_l: float
) -> None:
    water = with_salts(TAP, {salt: weight_g}, volume_l)
    for ion, mg_l in asdict(water).items():
        gained_mg = volume_l * (mg_l - getattr(TAP, ion))
        wanted_mg = weight_g * getattr(GRAM_PER_LITRE[salt], ion)
        assert gained_mg == pytest.approx(wanted_mg, abs=1e-8)


@pytest.mark.parametrize(
    ("alkalinity_mg_l", "bicarbonate_mg_l"),
    [
        # chemicals 1: one HCO3 for half a CaCO3.
        pytest.param(
            100.0,
            100.0 * molar_mass("HCO3") / (molar_mass("CaCO3") / 2),
            id="by molar mass",
        ),
        # Standard Methods 2320: bicarbonate is 1.22 times the alkalinity.
        pytest.param(295.0, 295.0 * 1.22, id="Standard Methods factor"),
        # A milliequivalent is 61.0 mg of one and 50.0 of the other (Standard Methods 2320).
        pytest.param(50.0, 61.0, id="a milliequivalent"),
        pytest.param(0.0, 0.0, id="distilled water"),
    ],
)
def test_alkalinity_of_ordinary_water_is_its_bicarbonate(
    alkalinity_mg_l: float, bicarbonate_mg_l: float
) -> None:
    assert alkalinity_from_bicarbonate(bicarbonate_mg_l) == pytest.approx(alkalinity_mg_l, rel=1e-3)
    assert bicarbonate_from_alkalinity(alkalinity_mg_l) == pytest.approx(bicarbonate_mg_l, rel=1e-3)


@given(st.floats(0.0, 1000.0))
def test_bicarbonate_undoes_alkalinity(alkalinity_mg_l: float) -> None:
    bicarbonate_mg_l = bicarbonate_from_alkalinity(alkalinity_mg_l)
    assert alkalinity_from_bicarbonate(bicarbonate_mg_l) == pytest.approx(alkalinity_mg_l)


def test_a_milliequivalent_of_chalk_is_half_its_molar_mass() -> None:
    assert pytest.approx(molar_mass("CaCO3") / 2, abs=0.001) == CACO3_MG_MEQ  # chemicals 1


RESIDUAL = [
    # alkalinity, calcium, magnesium, residual alkalinity in mg/L as CaCO3; source
    pytest.param(100.0, 50.0, 10.0, 58.4, 0.05, id="Palmer's formula by hand"),
    # Worked example of Brew Your Own, "Ask Mr. Wizard" (2023): 12.9 degrees, by 1.22 x 0.046,
    # 0.04 and 0.033 of bicarbonate, calcium and magnesium.
    pytest.param(295.0, 76.0, 18.0, 12.9 * MG_L_PER_GERMAN_DEGREE, 2.0, id="magazine example"),
    # Distilled water, by definition.
    pytest.param(0.0, 0.0, 0.0, 0.0, 0.0, id="distilled"),
    # Kolbach in equivalents: alkalinity less calcium / 3.5, from molar masses of `chemicals`.
    pytest.param(0.0, 3.5 * molar_mass("Ca") / 2, 0.0, -50.04, 0.1, id="3.5 meq of calcium"),
    pytest.param(0.0, 0.0, 7.0 * molar_mass("Mg") / 2, -50.04, 0.1, id="7 meq of magnesium"),
    # Ten degrees of calcium hardness take off ten over 3.5 (Kolbach's own units).
    pytest.param(
        10.0 * MG_L_PER_GERMAN_DEGREE,
        10.0 * 7.147,
        0.0,
        10.0 * (1 - 1 / 3.5) * MG_L_PER_GERMAN_DEGREE,
        0.2,
        id="ten degrees of chalk",
    ),
]


@pytest.mark.parametrize(
    ("alkalinity_mg_l", "calcium_mg_l", "magnesium_mg_l", "residual_mg_l", "within"), RESIDUAL
)
def test_calcium_and_magnesium_take_off_alkalinity(
    alkalinity_mg_l: float,
    calcium_mg_l: float,
    magnesium_mg_l: float,
    residual_mg_l: float,
    within: float,
) -> None:
    found = residual_alkalinity(alkalinity_mg_l, calcium_mg_l, magnesium_mg_l)
    assert found == pytest.approx(residual_mg_l, abs=within)


@pytest.mark.parametrize(
    ("share_by_weight", "density_kg_l"),
    [
        # CRC Handbook of Chemistry and Physics, lactic acid in water at 20 °C.
        (0.10, 1.0199),
        (0.20, 1.0439),
        (0.40, 1.0915),
        (0.60, 1.1392),
        (0.80, 1.1848),
    ],
)
def test_lactic_acid_is_as_heavy_as_the_handbook_has_it(
    share_by_weight: float, density_kg_l: float
) -> None:
    expected = 1000.0 * density_kg_l * share_by_weight / molar_mass("C3H6O3")
    assert lactic_acid_meq(1.0, share_by_weight) == pytest.approx(expected, rel=0.002)


@pytest.mark.parametrize(
    ("strength", "ml_per_hl", "degrees"),
    [
        # German brewing table: lactic acid to a hectolitre of water and the German degrees of
        # residual alkalinity it takes off (hobbybrauer-kompendium.de, Milchsäure).
        (0.80, 3.3, 1),
        (0.80, 10.0, 3),
        (0.80, 16.7, 5),
        (0.80, 33.5, 10),
        (0.40, 7.3, 1),
        (0.40, 36.5, 5),
        (0.40, 73.0, 10),
    ],
)
def test_lactic_acid_takes_off_the_alkalinity_of_the_table(
    strength: float, ml_per_hl: float, degrees: float
) -> None:
    taken_mg_l = lactic_acid_meq(ml_per_hl, strength) * CACO3_MG_MEQ / 100.0
    assert taken_mg_l / MG_L_PER_GERMAN_DEGREE == pytest.approx(degrees, rel=0.03)


def test_five_millilitres_take_off_a_hundred_milligrams_in_a_full_kettle() -> None:
    # By hand: 27.5 L at 100 mg/L as CaCO3 is 55 meq; 4.8 mL of 88 % at pH 5.4 gives as much.
    given_up_meq = lactic_acid_meq(4.8) * lactic_dissociated(5.4)
    assert given_up_meq == pytest.approx(27.5 * 100.0 / 50.04, rel=0.01)


@pytest.mark.parametrize(
    ("share", "ph", "expected"),
    [
        # pK 3.86 and 6.35 (CRC Handbook; Harned and Davis 1943): half at the pK, ten elevenths
        # one pH away from it.
        pytest.param(lactic_dissociated, 3.86, 0.5, id="lactic acid at its pK"),
        pytest.param(lactic_dissociated, 4.86, 10 / 11, id="lactic acid one above"),
        pytest.param(lactic_dissociated, 2.86, 1 / 11, id="lactic acid one below"),
        pytest.param(lactic_dissociated, 5.4, 0.972, id="lactic acid in a mash"),
        pytest.param(bicarbonate_neutralised, 6.35, 0.5, id="bicarbonate at its pK"),
        pytest.param(bicarbonate_neutralised, 5.35, 10 / 11, id="bicarbonate one below"),
        # Standard Methods 2320 ends the titration of alkalinity near 4.5.
        pytest.param(bicarbonate_neutralised, 4.5, 0.986, id="end of the titration"),
        # Standard Methods 2320: all of it is still bicarbonate at 8.3.
        pytest.param(bicarbonate_neutralised, 8.3, 0.011, id="before the titration"),
    ],
)
def test_acids_let_go_around_their_pk(share, ph: float, expected: float) -> None:
    assert share(ph) == pytest.approx(expected, abs=0.0005)


@given(st.floats(2.0, 9.9), st.floats(0.01, 0.1))
def test_the_sourer_the_mash_the_less_lactic_acid_lets_go_and_the_more_bicarbonate_is_gone(
    ph: float, higher: float
) -> None:
    assert lactic_dissociated(ph) < lactic_dissociated(ph + higher)
    assert bicarbonate_neutralised(ph) > bicarbonate_neutralised(ph + higher)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: with_salts(Ions(), {Salt.EPSOM_SALT: -1.0}, 20.0),
            r"^epsom salt -1 g is outside 0 to 1000 g$",
        ),
        (lambda: with_salts(Ions(), {}, 0.0), r"^water 0 L is outside 0.001 to 1000 L$"),
        (
            lambda: with_salts(Ions(sulphate_mg_l=-5.0), {}, 20.0),
            r"^sulphate -5 mg/L is outside 0 to 100,000 mg/L$",
        ),
        (
            # A kilogram to the litre: 1000 times 232.8 mg/L of calcium.
            lambda: with_salts(Ions(), {Salt.GYPSUM: 1000.0}, 1.0),
            r"^calcium with the salts 232,800 mg/L is outside 0 to 100,000 mg/L$",
        ),
        (
            lambda: with_salts(Ions(sodium_mg_l=99_900.0), {Salt.BAKING_SODA: 1.0}, 1.0),
            r"^sodium with the salts 100,174 mg/L is outside 0 to 100,000 mg/L$",
        ),
        (
            lambda: residual_alkalinity(-1.0, 0.0, 0.0),
            r"^alkalinity -1 mg/L is outside 0 to 100,000 mg/L$",
        ),
        (
            lambda: residual_alkalinity(0.0, -1.0, 0.0),
            r"^calcium -1 mg/L is outside 0 to 100,000 mg/L$",
        ),
        (
            lambda: alkalinity_from_bicarbonate(-1.0),
            r"^bicarbonate -1 mg/L is outside 0 to 100,000 mg/L$",
        ),
        (lambda: lactic_acid_meq(-1.0), r"^lactic acid -1 mL is outside 0 to 100,000 mL$"),
        (
            lambda: lactic_acid_meq(1.0, 88.0),
            r"^strength of lactic acid 88 is outside 0.01 to 1$",
        ),
        (lambda: lactic_dissociated(14.0), r"^pH 14 is outside 2 to 10$"),
        (lambda: bicarbonate_neutralised(1.0), r"^pH 1 is outside 2 to 10$"),
    ],
)
def test_impossible_brewing_water_is_refused(call, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
