"""Malt and beer colour."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.colour import (
    LITRES_KG_PER_GALLON_LB,
    beer_colour_ebc,
    ebc_from_srm,
    lovibond_from_ebc,
    srm_from_ebc,
    srm_morey,
)
from assistant.brewing.errors import OutOfRange


def test_ebc_and_srm_are_two_multiples_of_one_absorbance() -> None:
    # EBC = 25 A(430 nm), SRM = 12.7 A(430 nm): EBC Analytica, ASBC Methods of Analysis.
    assert ebc_from_srm(12.7) == pytest.approx(25.0, rel=1e-3)


@given(st.floats(0.0, 100.0))
def test_srm_undoes_ebc(colour_srm: float) -> None:
    assert srm_from_ebc(ebc_from_srm(colour_srm)) == pytest.approx(colour_srm)


@pytest.mark.parametrize(
    ("colour_ebc", "lovibond"),
    [(4.1, 2.0), (25.3, 10.0), (157.8, 60.0)],
)  # EBC = 2.65 °L - 1.2, maltsters' conversion
def test_malt_colour_in_lovibond(colour_ebc: float, lovibond: float) -> None:
    assert lovibond_from_ebc(colour_ebc) == pytest.approx(lovibond)


@pytest.mark.parametrize(
    ("mcu", "srm"),
    [(0, 0.0), (10, 7.24), (20, 11.65), (40, 18.74)],
)  # Morey's power law by hand
def test_colour_grows_slower_than_the_malt(mcu: float, srm: float) -> None:
    assert srm_morey(mcu) == pytest.approx(srm, abs=0.005)


def test_malt_colour_units_are_pounds_over_gallons() -> None:
    # 1 kg is 2.20462 lb, 1 US gallon 3.785412 L (NIST SP 811).
    assert pytest.approx(2.20462 * 3.785412, abs=0.001) == LITRES_KG_PER_GALLON_LB


def test_an_amber_grist() -> None:
    # 4.5 kg of 2 °L and 0.5 kg of 60 °L in 20 L: 16.27 MCU, SRM 10.11, EBC 19.9 by hand.
    assert beer_colour_ebc([(4.5, 4.1), (0.5, 157.8)], 20.0) == pytest.approx(19.9, abs=0.05)


@given(st.floats(0.1, 5.0), st.floats(1.0, 500.0), st.floats(0.01, 1.0))
def test_dark_malt_darkens_and_water_pales(kg: float, ebc: float, more: float) -> None:
    base = beer_colour_ebc([(4.0, 5.0)], 20.0)
    darker = beer_colour_ebc([(4.0, 5.0), (kg, ebc)], 20.0)
    assert darker > base
    assert beer_colour_ebc([(4.0, 5.0), (kg, ebc)], 20.0 + more) < darker


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: lovibond_from_ebc(-1.0), r"^colour -1 EBC is outside 0 to 3000 EBC$"),
        (lambda: ebc_from_srm(-1.0), r"^colour -1 SRM is outside 0 to 1500 SRM$"),
        (lambda: srm_morey(-1.0), r"^malt colour units -1 MCU is outside 0 to 5000 MCU$"),
        (lambda: beer_colour_ebc([(-1.0, 5.0)], 20.0), r"^malt weight -1 kg is outside 0 to 500"),
        (lambda: beer_colour_ebc([(4.0, 5.0)], 0.0), r"^volume 0 L is outside 0\.001 to 1000 L$"),
    ],
)
def test_impossible_colour_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
