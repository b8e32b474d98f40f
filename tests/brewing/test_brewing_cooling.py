"""Chilling by coil, bath, counterflow and ice."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from iapws import IAPWS95, _Ice

from assistant.brewing.cooling import (
    ICE_MELTS_J_KG,
    bath_cooling_seconds,
    bath_ice_kg,
    coil_cooling_seconds,
    coil_w_k,
    coil_water_l,
    conductance_from_readings_w_k,
    cooling_seconds,
    counterflow_outlet_c,
    ice_kg,
)
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.heat import (
    mixed_temperature_c,
    temperature_after,
    wort_heat_capacity_j_k,
)

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
    litres = coil_water_l(capacity_j_k=WORT_J_K, from_c=95.0, to_c=25.0, water_c=12.0)
    assert litres == pytest.approx(60, abs=1)


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


@pytest.mark.parametrize(
    ("flow_l_min", "ua_w_k", "taken_w_k"),
    [
        # W. M. Kays and A. L. London, Compact Heat Exchangers, one side well mixed: the flow's
        # 69.64 W/K for each L/min times 1 - exp(-N), N transfer units; by hand.
        pytest.param(6.0, 400.0, 257.4, id="N 0.96, effectiveness 0.616"),
        pytest.param(6.0, 417.85, 264.1, id="N 1, effectiveness 0.632"),
        pytest.param(3.0, 417.85, 180.6, id="N 2, effectiveness 0.865"),
        pytest.param(2.0, 417.85, 132.3, id="N 3, effectiveness 0.950"),
        pytest.param(60.0, 100.0, 98.8, id="a flood: the coil is the limit"),
        pytest.param(0.5, 1000.0, 34.8, id="a trickle: the flow is the limit"),
    ],
)
def test_what_a_coil_takes_per_degree(flow_l_min: float, ua_w_k: float, taken_w_k: float) -> None:
    assert coil_w_k(flow_l_min, ua_w_k) == pytest.approx(taken_w_k, abs=0.2)


@given(st.floats(0.2, 20.0), st.floats(20.0, 2000.0), st.floats(30.0, 95.0))
def test_what_the_coil_takes_is_what_its_wall_passes(
    flow_l_min: float, ua_w_k: float, wort_c: float
) -> None:
    # Independent: conductance times the logarithmic mean temperature difference.
    flow_w_k = flow_l_min / 60 * 0.9982 * 4186
    watts = coil_w_k(flow_l_min, ua_w_k) * (wort_c - 12.0)
    leaves_c = 12.0 + watts / flow_w_k
    assume(wort_c - leaves_c > 1e-6)
    mean_k = (leaves_c - 12.0) / math.log((wort_c - 12.0) / (wort_c - leaves_c))
    assert watts == pytest.approx(ua_w_k * mean_k, rel=1e-6)


@given(TARGETS_C, st.floats(1.0, 15.0), st.floats(50.0, 1000.0))
def test_the_cooling_curve_of_a_coil_ends_where_its_time_says(
    to_c: float, flow_l_min: float, ua_w_k: float
) -> None:
    coil = {"flow_l_min": flow_l_min, "ua_w_k": ua_w_k}
    span = {"capacity_j_k": WORT_J_K, "from_c": 95.0}
    seconds = coil_cooling_seconds(**span, to_c=to_c, water_c=12.0, **coil)
    assert temperature_after(
        **span, seconds=seconds, power_w=0.0, loss_w_k=coil_w_k(**coil), room_c=12.0
    ) == pytest.approx(to_c, abs=1e-6)


@given(TARGETS_C, st.floats(1.0, 15.0), st.floats(50.0, 1000.0))
def test_a_coil_beats_no_bath_as_good_and_gains_from_flow(
    to_c: float, flow_l_min: float, ua_w_k: float
) -> None:
    span = {"capacity_j_k": WORT_J_K, "from_c": 95.0, "to_c": to_c}
    seconds = coil_cooling_seconds(**span, water_c=12.0, flow_l_min=flow_l_min, ua_w_k=ua_w_k)
    faster = coil_cooling_seconds(**span, water_c=12.0, flow_l_min=2 * flow_l_min, ua_w_k=ua_w_k)
    assert faster < seconds
    assert 2 * faster > seconds
    assert seconds > bath_cooling_seconds(**span, bath_c=12.0, ua_w_k=ua_w_k)


@given(TARGETS_C, st.floats(10.0, 1000.0))
def test_two_readings_give_back_the_conductance(to_c: float, ua_w_k: float) -> None:
    span = {"capacity_j_k": WORT_J_K, "from_c": 95.0, "to_c": to_c}
    seconds = bath_cooling_seconds(**span, bath_c=5.0, ua_w_k=ua_w_k)
    found_w_k = conductance_from_readings_w_k(**span, seconds=seconds, water_c=5.0)
    assert found_w_k == pytest.approx(ua_w_k, rel=1e-9)


@pytest.mark.parametrize(
    ("to_c", "minutes", "water_c", "found_w_k"),
    [
        # Newton's law by hand: 83 kJ/K over the seconds times ln((95 - water) / (to - water)).
        pytest.param(63.0, 5.0, 12.0, 134.8, id="five minutes of a coil"),
        pytest.param(80.0, 5.0, 5.0, 50.4, id="five minutes of a bath"),
        pytest.param(95.0, 5.0, 12.0, 0.0, id="no water on"),
    ],
)
def test_the_first_minutes_tell_how_fast_a_chiller_is(
    to_c: float, minutes: float, water_c: float, found_w_k: float
) -> None:
    found = conductance_from_readings_w_k(
        capacity_j_k=WORT_J_K, from_c=95.0, to_c=to_c, seconds=60 * minutes, water_c=water_c
    )
    assert found == pytest.approx(found_w_k, abs=0.2)


# Water on the wort's side as well, so that both flows carry 69.64 W/K for each L/min.
THROUGH = {"wort_c": 95.0, "water_c": 15.0, "gravity": 1.0}


@pytest.mark.parametrize(
    ("ratio", "units", "effectiveness"),
    [
        # W. M. Kays and A. L. London, Compact Heat Exchangers, counterflow, by transfer units and
        # ratio of the flows: N / (1 + N) where they match, else
        # (1 - exp(-N (1 - C))) / (1 - C exp(-N (1 - C))); by hand.
        pytest.param(1.0, 1.0, 0.500, id="matched, 1 unit"),
        pytest.param(1.0, 3.0, 0.750, id="matched, 3 units"),
        pytest.param(0.5, 1.0, 0.565, id="twice the water, 1 unit"),
        pytest.param(0.5, 2.0, 0.775, id="twice the water, 2 units"),
        pytest.param(0.25, 2.0, 0.823, id="four times the water, 2 units"),
        pytest.param(0.75, 3.0, 0.817, id="a third more water, 3 units"),
    ],
)
def test_counterflow_effectiveness(ratio: float, units: float, effectiveness: float) -> None:
    ua_w_k = units * 2.0 / 60 * 0.9982 * 4186
    outlet_c = counterflow_outlet_c(
        **THROUGH, wort_l_min=2.0, water_l_min=2.0 / ratio, ua_w_k=ua_w_k
    )
    assert (95.0 - outlet_c) / 80.0 == pytest.approx(effectiveness, abs=0.001)


def test_counterflow_agrees_with_a_textbook_exchanger() -> None:
    # F. P. Incropera and others, Fundamentals of Heat and Mass Transfer, example 11.1 (from
    # memory, checked by its own balance): 213.1 W/K of oil from 100 to 60 °C against 835.6 W/K of
    # water from 30 °C, 5.223 m2 of 37.8 W/(m2 K).
    water_w_k_per_l_min = 0.9982 * 4186 / 60
    wort_w_k_per_l_min = wort_heat_capacity_j_k(1.0, 1.0, 0.0) / 60
    outlet_c = counterflow_outlet_c(
        wort_c=100.0,
        water_c=30.0,
        wort_l_min=213.1 / wort_w_k_per_l_min,
        water_l_min=835.6 / water_w_k_per_l_min,
        ua_w_k=5.223 * 37.8,
        gravity=1.0,
    )
    assert outlet_c == pytest.approx(60.0, abs=0.2)


@given(st.floats(0.6, 20.0), st.floats(0.6, 20.0), st.floats(10.0, 2000.0))
def test_the_heat_of_a_counterflow_chiller_passes_its_wall(
    wort_l_min: float, water_l_min: float, ua_w_k: float
) -> None:
    # Independent: conductance times the logarithmic mean temperature difference.
    outlet_c = counterflow_outlet_c(
        wort_c=95.0, water_c=12.0, wort_l_min=wort_l_min, water_l_min=water_l_min, ua_w_k=ua_w_k
    )
    assert outlet_c >= 12.0 - 1e-9
    assert outlet_c < 95.0
    watts = wort_l_min / 60 * wort_heat_capacity_j_k(1.0, 1.05, 0.0) * (95.0 - outlet_c)
    warm_end_k = 95.0 - 12.0 - watts / (water_l_min / 60 * 0.9982 * 4186)
    cold_end_k = outlet_c - 12.0
    assume(min(warm_end_k, cold_end_k) > 1e-3)
    assume(abs(warm_end_k / cold_end_k - 1) > 1e-4)
    mean_k = (warm_end_k - cold_end_k) / math.log(warm_end_k / cold_end_k)
    assert watts == pytest.approx(ua_w_k * mean_k, rel=1e-4)


def test_wort_as_cool_as_the_water_stays_so() -> None:
    chiller = {"wort_l_min": 3.0, "water_l_min": 6.0, "ua_w_k": 400.0}
    assert counterflow_outlet_c(wort_c=15.0, water_c=15.0, **chiller) == 15.0


@given(st.floats(0.6, 8.0), st.floats(1.1, 2.0))
def test_slower_wort_leaves_colder(wort_l_min: float, faster: float) -> None:
    chiller = {"wort_c": 95.0, "water_c": 12.0, "water_l_min": 6.0, "ua_w_k": 400.0}
    slow_c = counterflow_outlet_c(**chiller, wort_l_min=wort_l_min)
    assert slow_c < counterflow_outlet_c(**chiller, wort_l_min=wort_l_min * faster)


def test_ice_takes_the_heat_of_fusion() -> None:
    # iapws 1.5: ice by the IAPWS formulation of 2009, water by IAPWS-95, both at 0 °C, in kJ/kg.
    fusion = IAPWS95(T=273.16, P=0.101325).h - _Ice(273.15, 0.101325)["h"]
    assert pytest.approx(1000 * fusion, rel=0.002) == ICE_MELTS_J_KG


@pytest.mark.parametrize(
    ("from_c", "bath_c", "expected_kg"),
    [
        # 83 kJ/K times the fall over 333.6 + 4.186 x bath, kJ/kg, by hand.
        pytest.param(95.0, 5.0, 17.56, id="from the boil, bath at 5 C"),
        pytest.param(95.0, 0.0, 18.66, id="from the boil, bath full of ice"),
        pytest.param(30.0, 0.0, 2.488, id="after the tap water"),
        pytest.param(19.0, 5.0, 0.0, id="cold enough"),
    ],
)
def test_ice_that_melts_in_the_bath(from_c: float, bath_c: float, expected_kg: float) -> None:
    kg = bath_ice_kg(capacity_j_k=WORT_J_K, from_c=from_c, to_c=20.0, bath_c=bath_c)
    assert kg == pytest.approx(expected_kg, abs=0.005)


@given(st.floats(10.0, 30.0), st.floats(1.0, 60.0))
def test_ice_outside_cools_less_than_ice_in_the_wort(to_c: float, drop_c: float) -> None:
    span = {"capacity_j_k": WORT_J_K, "from_c": to_c + drop_c, "to_c": to_c}
    assert bath_ice_kg(**span, bath_c=2.0) > ice_kg(**span)


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
    assert coil_water_l(**span, water_c=25.0) == 0.0
    assert bath_ice_kg(**span, bath_c=0.0) == 0.0
    assert ice_kg(**span) == 0.0


@pytest.mark.parametrize("water_c", [18.0, 22.0])
def test_wort_never_gets_colder_than_the_water_that_cools_it(water_c: float) -> None:
    span = {"capacity_j_k": WORT_J_K, "from_c": 95.0, "to_c": 18.0}
    wording = rf"^never reaches 18\.0 °C: it would level off at {water_c:.0f}\.0 °C$"
    with pytest.raises(NeverReaches, match=wording):
        coil_cooling_seconds(**span, water_c=water_c)
    with pytest.raises(NeverReaches, match=wording):
        bath_cooling_seconds(**span, bath_c=water_c)
    with pytest.raises(NeverReaches, match=wording):
        bath_ice_kg(**span, bath_c=water_c)
    with pytest.raises(NeverReaches, match=wording):
        conductance_from_readings_w_k(**span, seconds=600.0, water_c=water_c)


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
            lambda: coil_w_k(6.0, 0.0),
            r"^chiller conductance 0 W/K is outside 1 to 10000 W/K$",
        ),
        (
            lambda: counterflow_outlet_c(
                wort_c=10.0, water_c=15.0, wort_l_min=3.0, water_l_min=6.0, ua_w_k=400.0
            ),
            r"^wort temperature 10 °C is outside 15 to 105 °C$",
        ),
        (
            lambda: counterflow_outlet_c(**THROUGH, wort_l_min=0.1, water_l_min=6.0, ua_w_k=400.0),
            r"^flow of wort 0\.1 L/min is outside 0\.5 to 60 L/min$",
        ),
        (
            lambda: counterflow_outlet_c(**THROUGH, wort_l_min=3.0, water_l_min=90.0, ua_w_k=400.0),
            r"^flow of water 90 L/min is outside 0\.5 to 60 L/min$",
        ),
        (
            lambda: conductance_from_readings_w_k(
                capacity_j_k=WORT_J_K, from_c=80.0, to_c=82.0, seconds=300.0, water_c=12.0
            ),
            r"^later temperature 82 °C is outside 0 to 80 °C$",
        ),
        (
            lambda: conductance_from_readings_w_k(**SPAN, seconds=0.0, water_c=12.0),
            r"^time between the readings 0 s is outside 1 to 1,000,000 s$",
        ),
        (
            lambda: bath_ice_kg(**SPAN, bath_c=-5.0),
            r"^cooling water temperature -5 °C is outside 0 to 60 °C$",
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


@given(st.floats(30.0, 100.0), st.floats(0.05, 0.95), st.floats(-10.0, 25.0), st.floats(1.0, 300.0))
def test_cooling_takes_as_long_as_the_wort_takes_to_get_there(
    from_c: float, share: float, toward_c: float, taken_w_k: float
) -> None:
    # Newton's law solved for the time, against the same law solved for the temperature.
    to_c = max(toward_c + share * (from_c - toward_c), 0.0)
    body = {"capacity_j_k": 9e4, "from_c": from_c}
    seconds = cooling_seconds(to_c=to_c, toward_c=toward_c, taken_w_k=taken_w_k, **body)
    assert temperature_after(
        seconds=seconds, power_w=0.0, loss_w_k=taken_w_k, room_c=toward_c, **body
    ) == pytest.approx(to_c, abs=1e-6)
