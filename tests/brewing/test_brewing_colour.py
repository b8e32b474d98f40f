"""Malt and beer colour."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.colour import (
    beer_colour_ebc,
    ebc_from_srm,
    lovibond_from_ebc,
    srm_from_ebc,
    srm_morey,
)
from assistant.brewing.errors import OutOfRange
from assistant.brewing.water import LITRES_KG_PER_GALLON_LB


@pytest.mark.parametrize("absorbance", [0.1, 0.4, 1.0, 3.0])
def test_ebc_and_srm_are_two_multiples_of_one_absorbance(absorbance: float) -> None:
    # EBC = 25 A and SRM = 12.7 A at 430 nm in a 1 cm cell: EBC Analytica, ASBC Methods.
    assert ebc_from_srm(12.7 * absorbance) == pytest.approx(25.0 * absorbance, rel=1e-3)
    assert srm_from_ebc(25.0 * absorbance) == pytest.approx(12.7 * absorbance, rel=1e-3)


@given(st.floats(0.0, 100.0))
def test_srm_undoes_ebc(colour_srm: float) -> None:
    assert srm_from_ebc(ebc_from_srm(colour_srm)) == pytest.approx(colour_srm)


@pytest.mark.parametrize(
    ("colour_ebc", "lovibond"),
    [
        # EBC = 2.65 °L - 1.2 by hand.
        pytest.param(4.1, 2.0, id="pale malt"),
        pytest.param(25.3, 10.0, id="dark Munich malt"),
        pytest.param(157.8, 60.0, id="crystal malt"),
        # Pairs printed side by side on a maltster's sheets, from memory, unchecked.
        pytest.param(110.0, 42.0, id="printed, light crystal"),
        pytest.param(130.0, 49.5, id="printed, crystal"),
        pytest.param(800.0, 302.0, id="printed, chocolate"),
        pytest.param(1000.0, 378.0, id="printed, roasted"),
    ],
)
def test_malt_colour_in_lovibond(colour_ebc: float, lovibond: float) -> None:
    assert lovibond_from_ebc(colour_ebc) == pytest.approx(lovibond, rel=0.005)


@pytest.mark.parametrize(
    ("mcu", "srm"),
    [(0, 0.0), (1, 1.4922), (10, 7.24), (20, 11.65), (40, 18.74), (100, 35.13), (167.3, 50.0)],
)  # D. A. Morey's power law by hand
def test_colour_grows_slower_than_the_malt(mcu: float, srm: float) -> None:
    assert srm_morey(mcu) == pytest.approx(srm, abs=0.01)


@pytest.mark.parametrize(
    ("mcu", "line", "apart"),
    [
        # R. Mosher's 0.3 MCU + 4.7 and R. Daniels's 0.2 MCU + 8.4, from memory, unchecked; Morey
        # fitted the law to SRM = MCU below 10.5 and to these lines above (Brewing Techniques).
        pytest.param(9.0, 0.3 * 9 + 4.7, 0.12, id="Mosher, pale"),
        pytest.param(40.0, 0.3 * 40 + 4.7, 0.12, id="Mosher, brown"),
        pytest.param(100.0, 0.3 * 100 + 4.7, 0.02, id="Mosher, black"),
        pytest.param(167.0, 0.3 * 167 + 4.7, 0.12, id="Mosher, where the law ends"),
        pytest.param(18.0, 0.2 * 18 + 8.4, 0.13, id="Daniels, amber"),
        pytest.param(30.0, 0.2 * 30 + 8.4, 0.07, id="Daniels, red"),
        pytest.param(40.0, 0.2 * 40 + 8.4, 0.13, id="Daniels, brown"),
        pytest.param(100.0, 0.2 * 100 + 8.4, 0.20, id="Daniels, black"),
        pytest.param(167.0, 0.2 * 167 + 8.4, 0.20, id="Daniels, where the law ends"),
    ],
)
def test_the_straight_lines_agree_in_the_middle(mcu: float, line: float, apart: float) -> None:
    assert line == pytest.approx(srm_morey(mcu), rel=apart)


def test_only_the_power_law_leaves_water_without_colour() -> None:
    # The lines cross zero malt at 4.7 and 8.4 SRM; Morey's law, as nature, at none.
    assert srm_morey(0.0) == 0.0
    assert srm_morey(2.0) < (0.3 * 2 + 4.7) / 2


def test_malt_colour_units_are_pounds_over_gallons() -> None:
    # 1 kg is 2.20462 lb, 1 US gallon 3.785412 L (NIST SP 811).
    assert pytest.approx(2.2046226 * 3.785411784, abs=1e-6) == LITRES_KG_PER_GALLON_LB


@pytest.mark.parametrize(
    ("malts", "volume_l", "ebc"),
    [
        # By hand from MCU = 8.345 kg °L / L, Morey's law and EBC = 1.97 SRM.
        pytest.param([(4.5, 4.1), (0.5, 157.8)], 20.0, 19.9, id="16.27 MCU, SRM 10.11"),
        pytest.param([(4.5, 4.1)], 20.0, 7.28, id="3.755 MCU, SRM 3.70"),
        pytest.param([(4.0, 4.1), (0.4, 1323.8)], 20.0, 62.8, id="86.79 MCU, SRM 31.87"),
    ],
)
def test_the_colour_of_a_grist(
    malts: list[tuple[float, float]], volume_l: float, ebc: float
) -> None:
    assert beer_colour_ebc(malts, volume_l) == pytest.approx(ebc, rel=0.003)


@given(st.floats(0.1, 5.0), st.floats(1.0, 500.0), st.floats(0.01, 1.0))
def test_dark_malt_darkens_and_water_pales(kg: float, ebc: float, more: float) -> None:
    base = beer_colour_ebc([(4.0, 5.0)], 20.0)
    darker = beer_colour_ebc([(4.0, 5.0), (kg, ebc)], 20.0)
    assert darker > base
    assert beer_colour_ebc([(4.0, 5.0), (kg, ebc)], 20.0 + more) < darker


@given(st.floats(1.0, 8.0), st.floats(2.0, 300.0), st.floats(5.0, 40.0), st.floats(0.2, 5.0))
def test_twice_the_malt_in_twice_the_beer_looks_the_same(
    kg: float, ebc: float, volume_l: float, times: float
) -> None:
    assert beer_colour_ebc([(times * kg, ebc)], times * volume_l) == pytest.approx(
        beer_colour_ebc([(kg, ebc)], volume_l)
    )


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
