"""Chilling by coil, bath and ice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.brewing.cooling import bath_cooling_seconds, coil_cooling_seconds, ice_kg
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.heat import mixed_temperature_c, temperature_after

WORT_J_K = 83_000.0
TARGETS_C = st.floats(15.0, 90.0)


def test_a_stirred_bath_takes_forty_minutes() -> None:
    # Newton's law by hand: 83000 / 60 x ln(90 / 15) = 41.3 min.
    seconds = bath_cooling_seconds(capacity_j_k=WORT_J_K, from_c=95.0, to_c=20.0, bath_c=5.0)
    assert seconds / 60 == pytest.approx(41.3, abs=0.05)


def test_a_coil_takes_ten_minutes_and_sixty_litres() -> None:
    # Effectiveness 1 - exp(-400 / 417) = 0.617 of 417 W/K; ln(83 / 13) of 83 kJ/K, by hand.
    seconds = coil_cooling_seconds(capacity_j_k=WORT_J_K, from_c=95.0, to_c=25.0, water_c=12.0)
    assert seconds / 60 == pytest.approx(9.95, abs=0.05)
    assert seconds / 60 * 6.0 == pytest.approx(60, abs=1)


@given(TARGETS_C, st.floats(10.0, 200.0))
def test_the_bath_follows_newtons_law(to_c: float, ua_w_k: float) -> None:
    seconds = bath_cooling_seconds(
        capacity_j_k=WORT_J_K, from_c=95.0, to_c=to_c, bath_c=5.0, ua_w_k=ua_w_k
    )
    assert temperature_after(
        capacity_j_k=WORT_J_K,
        from_c=95.0,
        seconds=seconds,
        power_w=0.0,
        loss_w_k=ua_w_k,
        room_c=5.0,
    ) == pytest.approx(to_c, abs=1e-6)


@given(TARGETS_C, st.floats(1.0, 15.0), st.floats(50.0, 1000.0))
def test_a_coil_beats_no_bath_as_good_and_gains_from_flow(
    to_c: float, flow_l_min: float, ua_w_k: float
) -> None:
    span = {"capacity_j_k": WORT_J_K, "from_c": 95.0, "to_c": to_c}
    seconds = coil_cooling_seconds(**span, water_c=12.0, flow_l_min=flow_l_min, ua_w_k=ua_w_k)
    faster = coil_cooling_seconds(**span, water_c=12.0, flow_l_min=2 * flow_l_min, ua_w_k=ua_w_k)
    assert faster < seconds
    assert seconds > bath_cooling_seconds(**span, bath_c=12.0, ua_w_k=ua_w_k)


def test_ice_melted_in_the_wort() -> None:
    # 20 kg of wort at 3.93 kJ/(kg K) by 10 °C over 333.6 + 4.186 x 20 kJ/kg = 1.88 kg.
    assert ice_kg(capacity_j_k=20 * 3930, from_c=30.0, to_c=20.0) == pytest.approx(1.88, abs=0.005)


@given(st.floats(5.0, 30.0), st.floats(1.0, 60.0))
def test_ice_balances_the_heat_the_wort_gives(to_c: float, drop_c: float) -> None:
    kg = ice_kg(capacity_j_k=WORT_J_K, from_c=to_c + drop_c, to_c=to_c)
    # Water at 0 °C would have to be colder by the heat of fusion to do the same.
    after_melting_c = to_c + drop_c - kg * 333_600 / WORT_J_K
    assert mixed_temperature_c([(WORT_J_K, after_melting_c), (kg * 4186, 0.0)]) == pytest.approx(
        to_c, abs=1e-9
    )


def test_wort_that_is_cold_enough_needs_no_chilling() -> None:
    span = {"capacity_j_k": WORT_J_K, "from_c": 18.0, "to_c": 20.0}
    assert coil_cooling_seconds(**span, water_c=25.0) == 0.0
    assert bath_cooling_seconds(**span, bath_c=25.0) == 0.0
    assert ice_kg(**span) == 0.0


@pytest.mark.parametrize("water_c", [18.0, 22.0])
def test_wort_never_gets_colder_than_the_water_that_cools_it(water_c: float) -> None:
    span = {"capacity_j_k": WORT_J_K, "from_c": 95.0, "to_c": 18.0}
    wording = rf"^never reaches 18\.0 °C: it would level off at {water_c:.0f}\.0 °C$"
    with pytest.raises(NeverReaches, match=wording):
        coil_cooling_seconds(**span, water_c=water_c)
    with pytest.raises(NeverReaches, match=wording):
        bath_cooling_seconds(**span, bath_c=water_c)


SPAN = {"capacity_j_k": WORT_J_K, "from_c": 95.0, "to_c": 20.0}


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: coil_cooling_seconds(**SPAN, water_c=90.0),
            r"^cooling water temperature 90 °C is outside 0 to 60 °C$",
        ),
        (
            lambda: coil_cooling_seconds(**SPAN, water_c=12.0, flow_l_min=0.0),
            r"^chiller flow 0 L/min is outside 0\.1 to 60 L/min$",
        ),
        (
            lambda: bath_cooling_seconds(**SPAN, bath_c=5.0, ua_w_k=0.0),
            r"^bath conductance 0 W/K is outside 1 to 10000 W/K$",
        ),
        (
            lambda: ice_kg(capacity_j_k=WORT_J_K, from_c=30.0, to_c=-4.0),
            r"^target temperature -4 °C is outside 0 to 105 °C$",
        ),
    ],
)
def test_impossible_chilling_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
