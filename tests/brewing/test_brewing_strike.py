"""Where a mash lands when grain meets the strike water."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.brewing.errors import OutOfRange
from assistant.brewing.heat import mash_temperature_c, strike_temperature_c

# A thin full-volume mash in a 6 kg steel kettle: 27.45 kg of water, 5 kg of malt.
MASH_WATER_L = 27.45 / 0.9982
STEEL_KETTLE_J_K = 3000.0


def strike(**changes: float) -> float:
    given_ = {
        "mash_c": 67.0,
        "grain_c": 20.0,
        "grain_kg": 5.0,
        "water_l": MASH_WATER_L,
        "kettle_j_k": STEEL_KETTLE_J_K,
    }
    return strike_temperature_c(**(given_ | changes))


def test_strike_water_is_hotter_than_the_mash() -> None:
    # Heat balance by hand: 67 + 5 x 1670 x 47 / (27.45 x 4186 + 3000) = 70.33 °C.
    assert strike() == pytest.approx(67 + 5 * 1670 * 47 / (27.45 * 4186 + 3000), abs=1e-9)
    assert strike() == pytest.approx(70.33, abs=0.005)


def test_strike_water_agrees_with_the_usual_rule() -> None:
    # J. Palmer, How to Brew, metric: 0.41 / (L/kg) x (mash - grain) + mash; it leaves the kettle
    # out, which is worth 0.2 °C.
    rule_c = 0.41 / (MASH_WATER_L / 5) * (67 - 20) + 67
    assert strike() == pytest.approx(rule_c, abs=0.25)
    assert strike(kettle_j_k=0.0) == pytest.approx(rule_c, abs=0.15)


def test_grain_a_degree_colder_asks_for_water_seven_hundredths_hotter() -> None:
    assert strike(grain_c=19.0) - strike() == pytest.approx(0.071, abs=0.001)


@pytest.mark.parametrize(
    ("quarts_per_pound", "from_f", "to_f", "strike_f"),
    [
        # J. Palmer, How to Brew: strike water = 0.2 / r (to - from) + to, in quarts, pounds and
        # °F, by hand; 1 qt/lb = 2.0864 L/kg. It leaves the kettle out.
        pytest.param(1.0, 70.0, 104.0, 110.8, id="thick and cool"),
        pytest.param(1.25, 70.0, 152.0, 165.1, id="infusion mash"),
        pytest.param(2.5, 65.0, 152.0, 159.0, id="the whole volume"),
    ],
)
def test_strike_water_agrees_with_the_rule_in_quarts(
    quarts_per_pound: float, from_f: float, to_f: float, strike_f: float
) -> None:
    strike_c = strike(
        mash_c=(to_f - 32) / 1.8,
        grain_c=(from_f - 32) / 1.8,
        water_l=5.0 * 2.0864 * quarts_per_pound,
        kettle_j_k=0.0,
    )
    assert strike_c * 1.8 + 32 == pytest.approx(strike_f, abs=0.7)


@pytest.mark.parametrize(
    ("malt_heat", "gain_c"),
    [
        # Pauls & Whites Brewing Room Book (1984/85) as quoted by Murphy and Son: specific heat of
        # malt (water = 1) and slaking heat correction by moisture; grist of 27 °C, liquor of 69 °C
        # and 2.68 L/kg as in the example there.
        pytest.param(0.38, 3.0, id="bone dry"),
        pytest.param(0.39, 2.3, id="2 per cent"),
        pytest.param(0.40, 1.5, id="4 per cent"),
        pytest.param(0.41, 1.3, id="6 per cent"),
        pytest.param(0.42, 1.0, id="8 per cent"),
    ],
)
def test_wetting_malt_warms_the_mash(malt_heat: float, gain_c: float) -> None:
    # One specific heat of malt stands for all moistures, which is worth 0.3 °C at most.
    printed_c = (malt_heat * 27 + 2.68 * 69) / (malt_heat + 2.68) + gain_c
    landed_c = mash_temperature_c(
        strike_c=69.0,
        grain_c=27.0,
        grain_kg=100.0,
        water_l=268.0 / 0.9982,
        kettle_j_k=0.0,
        wetting_j_kg=gain_c * (malt_heat + 2.68) * 4186,
    )
    assert landed_c == pytest.approx(printed_c, abs=0.3)


@pytest.mark.parametrize(
    ("change", "expected_c"),
    [
        # The heat balance by hand: 5 kg of malt over 117.9 kJ/K of water and kettle.
        pytest.param({"wetting_j_kg": 19_000.0}, 69.52, id="wetting heat at 4 per cent moisture"),
        pytest.param({"lost_j": 95_000.0}, 71.13, id="stirred with the lid off"),
        pytest.param({"wetting_j_kg": 19_000.0, "lost_j": 95_000.0}, 70.33, id="they cancel"),
    ],
)
def test_wetting_heat_and_stirring_loss_move_the_strike(
    change: dict[str, float], expected_c: float
) -> None:
    assert strike(**change) == pytest.approx(expected_c, abs=0.006)


@given(
    mash_c=st.floats(35.0, 75.0),
    grain_c=st.floats(-5.0, 30.0),
    grain_kg=st.floats(0.5, 12.0),
    litres_per_kg=st.floats(2.5, 8.0),
    kettle_j_k=st.floats(0.0, 10_000.0),
    wetting_j_kg=st.floats(0.0, 20_000.0),
    lost_j=st.floats(0.0, 100_000.0),
)
def test_the_mash_lands_where_the_strike_was_meant_for(
    mash_c: float,
    grain_c: float,
    grain_kg: float,
    litres_per_kg: float,
    kettle_j_k: float,
    wetting_j_kg: float,
    lost_j: float,
) -> None:
    mash = {
        "grain_c": grain_c,
        "grain_kg": grain_kg,
        "water_l": grain_kg * litres_per_kg,
        "kettle_j_k": kettle_j_k,
    }
    assert strike_temperature_c(mash_c=mash_c, **mash) > mash_c
    mash |= {"wetting_j_kg": wetting_j_kg, "lost_j": lost_j}
    try:
        strike_c = strike_temperature_c(mash_c=mash_c, **mash)
    except OutOfRange:
        assume(False)
    assert mash_temperature_c(strike_c=strike_c, **mash) == pytest.approx(mash_c, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: strike(mash_c=300.0), r"^mash temperature 300 °C is outside 0 to 105 °C$"),
        (lambda: strike(grain_c=-40.0), r"^grain temperature -40 °C is outside -30 to 60 °C$"),
        (lambda: strike(grain_kg=-5.0), r"^grain weight -5 kg is outside 0 to 500 kg$"),
        (lambda: strike(water_l=0.0), r"^strike water 0 L is outside 0\.001 to 1000 L$"),
        (
            lambda: strike(water_l=1.0, kettle_j_k=0.0),
            r"^strike temperature for so little water 160\.9 °C is outside 0 to 105 °C$",
        ),
        (
            # 500 kJ of wetting, and grain at 60 °C, in 7.18 kJ/K: 40 - 69.7 - 23.3, by hand.
            lambda: strike(mash_c=40.0, grain_c=60.0, water_l=1.0, wetting_j_kg=1e5),
            r"^strike temperature -52\.9\d* °C is outside 0 to 105 °C$",
        ),
        (
            lambda: mash_temperature_c(
                strike_c=20.0,
                grain_c=20.0,
                grain_kg=5.0,
                water_l=MASH_WATER_L,
                kettle_j_k=0.0,
                lost_j=5e7,
            ),
            # 50 MJ out of 123.3 kJ/K is 405.7 °C, by hand.
            r"^mash temperature -385\.\d+ °C is outside 0 to 105 °C$",
        ),
        (
            lambda: strike(wetting_j_kg=-1.0),
            r"^wetting heat of the malt -1 J/kg is outside 0 to 100,000 J/kg$",
        ),
        (
            lambda: strike(lost_j=6e7),
            r"^heat lost at dough-in 60,000,000 J is outside 0 to 50,000,000 J$",
        ),
    ],
)
def test_an_impossible_strike_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
