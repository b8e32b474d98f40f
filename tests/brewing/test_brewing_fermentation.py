"""Final gravity, attenuation, real extract and alcohol."""

import numpy as np
import pytest
from chemicals.elements import molecular_weight, simple_formula_parser
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.fermentation import (
    APPARENT_SHARE,
    ETHANOL_GRAVITY,
    GAS_PER_EXTRACT,
    abv_percent,
    abv_percent_hall,
    alcohol_by_weight_percent,
    apparent_attenuation,
    final_gravity,
    real_attenuation,
    real_extract,
)
from assistant.brewing.gravity import gravity_from_plato, plato_from_gravity

GRAVITIES = st.floats(1.02, 1.12)


def test_an_ordinary_beer() -> None:
    # Balling's relation by hand: 12.388 °P to 2.561 °P apparent.
    assert real_extract(1.050, 1.010) == pytest.approx(0.1808 * 12.388 + 0.8192 * 2.561, abs=0.001)
    assert real_extract(1.050, 1.010) == pytest.approx(4.337, abs=0.001)
    assert alcohol_by_weight_percent(1.050, 1.010) == pytest.approx(4.162, abs=0.001)


MEASURED = [
    # Means of five sets of beers, 532 brews: original and apparent extract in °P, alcohol by weight
    # and real extract. Cutaia, Reid and Speers, J. Inst. Brew. 115 (2009) 318-327, table III.
    pytest.param(14.08, 3.11, 4.72, 5.28, id="92 pilot brews"),
    pytest.param(14.54, 2.53, 5.14, 4.88, id="112 pilot brews"),
    pytest.param(17.67, 2.45, 6.56, 5.38, id="71 strong brews"),
    pytest.param(11.34, 2.01, 3.82, 3.80, id="221 brews"),
    pytest.param(12.75, 2.79, 4.21, 4.74, id="36 commercial brews"),
]


@pytest.mark.parametrize(("original", "apparent", "alcohol", "real"), MEASURED)
def test_alcohol_and_extract_of_measured_beers(
    original: float, apparent: float, alcohol: float, real: float
) -> None:
    gravities = gravity_from_plato(original), gravity_from_plato(apparent)
    assert alcohol_by_weight_percent(*gravities) == pytest.approx(alcohol, rel=0.03)
    assert real_extract(*gravities) == pytest.approx(real, abs=0.2)


@pytest.mark.parametrize(("original", "apparent", "alcohol", "real"), MEASURED)
def test_the_wort_is_found_again_from_the_beer(
    original: float, apparent: float, alcohol: float, real: float
) -> None:
    # Balling's formula for the original extract: 100 (2.0665 A + RE) / (100 + 1.0665 A).
    gravities = gravity_from_plato(original), gravity_from_plato(apparent)
    by_weight = alcohol_by_weight_percent(*gravities)
    left = real_extract(*gravities)
    found = 100 * (2.0665 * by_weight + left) / (100 + 1.0665 * by_weight)
    assert found == pytest.approx(original, abs=0.001)
    assert 100 * (2.0665 * alcohol + real) / (100 + 1.0665 * alcohol) == pytest.approx(
        original, abs=0.25
    )


@pytest.mark.parametrize(
    ("original", "final", "abv"),
    [
        # Balling's relation with ethanol at 0.7907, by hand.
        pytest.param(1.040, 1.008, 4.23, id="session bitter"),
        pytest.param(1.050, 1.010, 5.32, id="pale ale"),
        pytest.param(1.060, 1.012, 6.41, id="strong ale"),
        pytest.param(1.0533, 1.0113, 5.59, id="of 13.168 °P"),
    ],
)
def test_alcohol_by_volume(original: float, final: float, abv: float) -> None:
    assert abv_percent(original, final) == pytest.approx(abv, abs=0.01)


@given(st.floats(1.035, 1.080), st.floats(0.65, 0.85))
def test_the_quick_rule_agrees_within_a_few_per_cent(original: float, attenuation: float) -> None:
    # 131.25 (OG - FG), widely printed; 1 to 3 % low between 1.050 and 1.080.
    final = final_gravity(original_gravity=original, attenuation=attenuation)
    assert 131.25 * (original - final) == pytest.approx(abv_percent(original, final), rel=0.04)


@pytest.mark.parametrize(
    ("original", "final", "abv"),
    [
        # M. L. Hall, Zymurgy 18(2) (1995): 76.08 (OG - FG) / (1.775 - OG) FG / 0.794, by hand.
        pytest.param(1.040, 1.008, 4.205, id="session bitter"),
        pytest.param(1.050, 1.010, 5.339, id="pale ale"),
        pytest.param(1.080, 1.016, 8.965, id="barley wine"),
    ],
)
def test_alcohol_by_the_second_equation(original: float, final: float, abv: float) -> None:
    assert abv_percent_hall(original, final) == pytest.approx(abv, abs=0.002)


@pytest.mark.parametrize(
    ("original", "least", "most"),
    [
        # Hall (1995) against Balling, 60 to 90 % apparent attenuation.
        pytest.param(1.030, -0.020, -0.010, id="small beer"),
        pytest.param(1.040, -0.010, 0.001, id="session beer"),
        pytest.param(1.050, -0.001, 0.013, id="ordinary beer"),
        pytest.param(1.060, 0.009, 0.026, id="strong ale"),
        pytest.param(1.080, 0.031, 0.053, id="barley wine"),
        pytest.param(1.100, 0.053, 0.081, id="the strongest"),
    ],
)
@pytest.mark.parametrize("attenuation", [0.6, 0.75, 0.9])
def test_how_near_the_two_equations_come(
    original: float, least: float, most: float, attenuation: float
) -> None:
    final = final_gravity(original_gravity=original, attenuation=attenuation)
    apart = abv_percent_hall(original, final) / abv_percent(original, final) - 1
    assert least <= apart <= most


def test_ethanol_density() -> None:
    # 789.4 kg/m3 at 20 °C (CRC Handbook) over water at 998.2.
    assert pytest.approx(789.4 / 998.2, abs=2e-4) == ETHANOL_GRAVITY


def test_balling_gives_gas_and_alcohol_in_the_proportion_of_chemistry() -> None:
    # One molecule of gas to one of ethanol (Gay-Lussac), molar masses by chemicals 1.5.
    gas, ethanol = (molecular_weight(simple_formula_parser(f)) for f in ("CO2", "C2H6O"))
    assert pytest.approx(gas / ethanol / 2.0665, rel=2e-3) == GAS_PER_EXTRACT


def test_the_two_shares_of_extract_make_one() -> None:
    # Wort that has not fermented has one extract: 0.1808 + 0.8192.
    assert real_extract(1.050, 1.050) == pytest.approx(plato_from_gravity(1.050))
    assert pytest.approx(1 - 0.1808) == APPARENT_SHARE


@given(GRAVITIES, st.floats(0.5, 0.85))
def test_balling_accounts_for_every_gram(original: float, attenuation: float) -> None:
    # Of 2.0665 g of extract come 1 g of alcohol, 0.9565 g of gas and 0.11 g of yeast; gas and
    # yeast leave the beer, so 100 g of wort makes less than 100 g of it (Balling).
    final = final_gravity(original_gravity=original, attenuation=attenuation)
    left = real_extract(original, final)
    leaving = (0.9565 + 0.11) / 2.0665
    fermented_g = 100 * (plato_from_gravity(original) - left) / (100 - leaving * left)
    beer_g = 100 - leaving * fermented_g
    assert alcohol_by_weight_percent(original, final) == pytest.approx(
        100 * fermented_g / 2.0665 / beer_g, rel=1e-5
    )
    assert real_attenuation(original, final) == pytest.approx(
        fermented_g / plato_from_gravity(original), rel=1e-9
    )


@pytest.mark.parametrize(
    ("original", "final", "apparent", "real"),
    [
        # By hand from °P: (OE - AE) / OE, and (OE - RE) / OE / (1 - 0.005161 RE) (ASBC Beer-6).
        pytest.param(1.050, 1.010, 0.793, 0.665, id="pale ale"),
        pytest.param(1.040, 1.008, 0.794, 0.662, id="session bitter"),
        pytest.param(1.080, 1.016, 0.789, 0.670, id="barley wine"),
    ],
)
def test_attenuation(original: float, final: float, apparent: float, real: float) -> None:
    assert apparent_attenuation(original, final) == pytest.approx(apparent, abs=0.001)
    assert real_attenuation(original, final) == pytest.approx(real, abs=0.001)


@pytest.mark.parametrize(
    ("original", "attenuation", "by_points", "by_quotient"),
    [
        # How far off attenuation from gravity points, and the plain quotient of extracts, lie:
        # by hand from the ASBC cubic, Balling's shares and ASBC Beer-6.
        pytest.param(1.030, 0.6, 0.006, -0.010, id="small beer"),
        pytest.param(1.030, 1.0, 0.000, -0.006, id="small beer, very dry"),
        pytest.param(1.050, 0.6, 0.010, -0.016, id="pale ale, half done"),
        pytest.param(1.050, 0.8, 0.006, -0.015, id="pale ale"),
        pytest.param(1.080, 0.6, 0.016, -0.026, id="barley wine"),
        pytest.param(1.100, 0.6, 0.020, -0.033, id="the strongest"),
    ],
)
def test_how_far_the_shortcuts_to_attenuation_are_off(
    original: float, attenuation: float, by_points: float, by_quotient: float
) -> None:
    final = final_gravity(original_gravity=original, attenuation=attenuation)
    assert (original - final) / (original - 1) - attenuation == pytest.approx(by_points, abs=6e-4)
    quotient = 1 - real_extract(original, final) / plato_from_gravity(original)
    assert quotient - real_attenuation(original, final) == pytest.approx(by_quotient, abs=6e-4)


def test_the_plain_quotient_of_extracts_is_a_little_lower() -> None:
    # 1 - 4.337 / 12.388 by hand.
    quotient = 1 - real_extract(1.050, 1.010) / plato_from_gravity(1.050)
    assert quotient == pytest.approx(0.650, abs=0.001)
    assert quotient < real_attenuation(1.050, 1.010)


@pytest.mark.parametrize(("original", "apparent", "alcohol", "real"), MEASURED)
def test_the_real_attenuation_is_about_four_fifths_of_the_apparent(
    original: float, apparent: float, alcohol: float, real: float
) -> None:
    # The attenuation quotient 0.81 (MEBAK, fermentable extract), less in print for plain extracts.
    gravities = gravity_from_plato(original), gravity_from_plato(apparent)
    quotient = real_attenuation(*gravities) / apparent_attenuation(*gravities)
    assert quotient == pytest.approx(0.81, abs=0.04)


@given(GRAVITIES, st.floats(0.3, 1.0))
def test_apparent_attenuation_undoes_the_final_gravity(original: float, attenuation: float) -> None:
    final = final_gravity(original_gravity=original, attenuation=attenuation)
    assert apparent_attenuation(original, final) == pytest.approx(attenuation, abs=0.001)


def test_a_well_attenuated_beer() -> None:
    # 13.168 °P x 0.22 = 2.897 °P, 1.0113 by the ASBC table.
    assert final_gravity(original_gravity=1.0533, attenuation=0.78) == pytest.approx(
        1.0113, abs=5e-5
    )


@given(GRAVITIES, st.floats(0.5, 0.9), st.floats(0.0, 0.5), st.floats(0.01, 0.3))
def test_sugar_dries_the_beer_out(
    original: float, attenuation: float, share: float, more: float
) -> None:
    wort = {"original_gravity": original, "attenuation": attenuation}
    drier = final_gravity(**wort, sugar_share=share + more)
    assert drier < final_gravity(**wort, sugar_share=share)


@given(st.floats(1.02, 1.09))
def test_sugar_alone_ferments_right_out(original: float) -> None:
    final = final_gravity(original_gravity=original, attenuation=0.75, sugar_share=1.0)
    assert final < 1.0
    assert real_extract(original, final) == pytest.approx(0.0, abs=1e-3)
    assert real_attenuation(original, final) == pytest.approx(1.0, abs=1e-3)


@given(GRAVITIES, st.floats(1.005, 1.03), st.floats(0.0005, 0.01))
def test_drier_beer_is_stronger(original: float, final: float, drop: float) -> None:
    assume(final <= original)
    assert abv_percent(original, final - drop) > abv_percent(original, final)
    assert abv_percent_hall(original, final - drop) > abv_percent_hall(original, final)


@pytest.mark.parametrize(
    ("original", "density_kg_l"),
    [
        # Sugar fermented right out leaves alcohol in water: 1.3, 2.5, 5.1, 7.7 and 10.4 % by weight
        # by Balling, as dense as Perry's Chemical Engineers' Handbook (7th edition) has it at
        # 20 °C, water being 0.99823.
        pytest.param(1.010, 0.99581, id="1.010"),
        pytest.param(1.020, 0.99363, id="1.020"),
        pytest.param(1.040, 0.98922, id="1.040"),
        pytest.param(1.060, 0.98523, id="1.060"),
        pytest.param(1.080, 0.98130, id="1.080"),
    ],
)
def test_sugar_fermented_right_out_is_alcohol_in_water(
    original: float, density_kg_l: float
) -> None:
    final = density_kg_l / 0.99823
    by_balling = final_gravity(original_gravity=original, attenuation=0.75, sugar_share=1.0)
    assert by_balling - 0.0008 < final < by_balling
    assert -0.16 < real_extract(original, final) < 0.0
    # The same beer, read a thousandth low, is taken for what it is.
    assert abv_percent(original, final - 0.001) > abv_percent(original, final)


@pytest.mark.parametrize(
    "of_the_beer",
    [
        abv_percent,
        abv_percent_hall,
        alcohol_by_weight_percent,
        apparent_attenuation,
        real_attenuation,
        real_extract,
    ],
    ids=lambda function: function.__name__,
)
def test_no_beer_loses_more_extract_than_its_wort_had(of_the_beer) -> None:
    # By Balling 1.010 has 2.56 °P, and at an apparent -5.26 °P it would have -3.85 °P left.
    lowest = r"^final gravity, at its lowest with no real extract left: "
    with pytest.raises(OutOfRange, match=lowest + r"0\.98 is outside 0\.996 to 1\.01$"):
        of_the_beer(1.010, 0.980)
    with pytest.raises(OutOfRange, match=lowest + r"0\.985 is outside 0\.9877 to 1\.05$"):
        of_the_beer(1.050, np.array([1.010, 0.985]))


@given(st.floats(1.001, 1.15), st.floats(0.01, 1.1), st.floats(0.0, 1.0))
def test_a_beer_that_is_forecast_can_be_brewed(
    original: float, attenuation: float, share: float
) -> None:
    try:
        final = final_gravity(original_gravity=original, attenuation=attenuation, sugar_share=share)
    except OutOfRange:
        assume(False)
    assert real_extract(original, final) >= -0.004
    assert 0.0 < real_attenuation(original, final) < 1.01


def test_alcohol_rises_as_the_gravity_falls() -> None:
    falling = np.linspace(1.050, 1.010, 21)
    alcohol = abv_percent(1.050, falling)
    assert (np.diff(alcohol) > 0).all()
    assert alcohol[-1] == pytest.approx(5.32, abs=0.01)


def test_unfermented_wort_has_no_alcohol() -> None:
    assert abv_percent(1.050, 1.050) == pytest.approx(0.0, abs=1e-12)
    assert abv_percent_hall(1.050, 1.050) == 0.0
    assert apparent_attenuation(1.050, 1.050) == 0.0
    assert real_attenuation(1.050, 1.050) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: abv_percent(1.040, 1.060),
            r"^final gravity 1\.06 is outside 0\.98 to 1\.04$",
        ),
        (
            lambda: abv_percent_hall(1.040, 1.060),
            r"^final gravity 1\.06 is outside 0\.98 to 1\.04$",
        ),
        (
            lambda: abv_percent(1.040, np.array([1.040, 1.020, 1.060])),
            r"^final gravity 1\.06 is outside 0\.98 to 1\.04$",
        ),
        (
            lambda: real_extract(0.9, 0.9),
            r"^original gravity 0\.9 is outside 1 to 1\.15$",
        ),
        (
            lambda: apparent_attenuation(1.0, 1.0),
            r"^original gravity 1 is outside 1\.001 to 1\.15$",
        ),
        (
            lambda: real_attenuation(1.0, 1.0),
            r"^original gravity 1 is outside 1\.001 to 1\.15$",
        ),
        (
            lambda: final_gravity(original_gravity=1.05, attenuation=76.0),
            r"^attenuation 76 is outside 0 to 1\.1$",
        ),
        (
            lambda: final_gravity(original_gravity=1.05, attenuation=0.76, sugar_share=1.5),
            r"^share of sugar 1\.5 is outside 0 to 1$",
        ),
        (
            # 27.98 °P of sugar to nothing is -6.17 °P apparent, by hand.
            lambda: final_gravity(original_gravity=1.12, attenuation=1.0, sugar_share=1.0),
            r"^apparent extract, of a beer that would end below 0\.980: -6\.1\d+ °P is outside "
            r"-5\.265 to 34\.24 °P$",
        ),
    ],
)
def test_impossible_fermentations_are_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
