"""Final gravity, real extract and alcohol."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.fermentation import (
    ETHANOL_GRAVITY,
    abv_percent,
    alcohol_by_weight_percent,
    final_gravity,
    real_extract,
)
from assistant.brewing.gravity import plato_from_gravity

GRAVITIES = st.floats(1.02, 1.12)


def test_an_ordinary_beer() -> None:
    # Balling's relation by hand: 12.388 °P to 2.561 °P apparent.
    assert real_extract(1.050, 1.010) == pytest.approx(0.1808 * 12.388 + 0.8192 * 2.561, abs=0.001)
    assert real_extract(1.050, 1.010) == pytest.approx(4.337, abs=0.001)
    assert alcohol_by_weight_percent(1.050, 1.010) == pytest.approx(4.162, abs=0.001)


@pytest.mark.parametrize(
    ("original", "final", "abv"),
    [
        # Balling's relation with ethanol at 0.7907, by hand.
        pytest.param(1.040, 1.008, 4.23, id="session bitter"),
        pytest.param(1.050, 1.010, 5.32, id="pale ale"),
        pytest.param(1.060, 1.012, 6.41, id="strong ale"),
    ],
)
def test_alcohol_by_volume(original: float, final: float, abv: float) -> None:
    assert abv_percent(original, final) == pytest.approx(abv, abs=0.01)


@given(st.floats(1.035, 1.080), st.floats(0.65, 0.85))
def test_the_quick_rule_agrees_within_a_few_per_cent(original: float, attenuation: float) -> None:
    # 131.25 (OG - FG), widely printed; 1 to 3 % low between 1.050 and 1.080.
    final = final_gravity(original_gravity=original, attenuation=attenuation)
    assert 131.25 * (original - final) == pytest.approx(abv_percent(original, final), rel=0.04)


def test_ethanol_density() -> None:
    # 789.4 kg/m3 at 20 °C (CRC Handbook) over water at 998.2.
    assert pytest.approx(789.4 / 998.2, abs=2e-4) == ETHANOL_GRAVITY


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


@given(GRAVITIES, st.floats(0.3, 1.0))
def test_final_gravity_has_the_attenuation_asked_for(original: float, attenuation: float) -> None:
    apparent = plato_from_gravity(final_gravity(original_gravity=original, attenuation=attenuation))
    original_plato = plato_from_gravity(original)
    assert (original_plato - apparent) / original_plato == pytest.approx(attenuation, abs=0.001)


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


@given(GRAVITIES, st.floats(0.99, 1.03), st.floats(0.0005, 0.01))
def test_drier_beer_is_stronger(original: float, final: float, drop: float) -> None:
    assume(final <= original and final - drop >= 0.98)
    assert abv_percent(original, final - drop) > abv_percent(original, final)


def test_unfermented_wort_has_no_alcohol() -> None:
    assert abv_percent(1.050, 1.050) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: abv_percent(1.040, 1.060),
            r"^final gravity 1\.06 is outside 0\.98 to 1\.04$",
        ),
        (
            lambda: real_extract(0.9, 0.9),
            r"^original gravity 0\.9 is outside 1 to 1\.15$",
        ),
        (
            lambda: final_gravity(original_gravity=1.05, attenuation=76.0),
            r"^attenuation 76 is outside 0 to 1\.1$",
        ),
        (
            lambda: final_gravity(original_gravity=1.05, attenuation=0.76, sugar_share=1.5),
            r"^share of sugar 1\.5 is outside 0 to 1$",
        ),
    ],
)
def test_impossible_fermentations_are_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
