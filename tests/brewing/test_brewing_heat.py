"""Heat balance of water, mash and wort, and how long heating takes."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import assume, given
from hypothesis import strategies as st
from iapws import IAPWS97

from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.heat import (
    STEAM_J_KG,
    WATER_HEAT_J_KG_K,
    energy_kwh,
    heating_seconds,
    mash_heat_capacity_j_k,
    mixed_temperature_c,
    temperature_after,
    water_to_move_mash_l,
    wort_heat_capacity_j_k,
    wort_heat_j_kg_k,
)

# A thin full-volume mash in a 6 kg steel kettle: 27.45 kg of water, 5 kg of malt.
MASH_WATER_L = 27.45 / 0.9982
MASH_J_K = 27.45 * 4186 + 5 * 1670 + 3000
STEEL_KETTLE_J_K = 3000.0


def test_water_constants_agree_with_the_steam_tables() -> None:
    # CoolProp 8 (IAPWS-95), one atmosphere; specific heat in the middle of a brew day's range.
    assert pytest.approx(PropsSI("C", "T", 323.15, "P", 101_325, "Water"), rel=0.002) == (
        WATER_HEAT_J_KG_K
    )
    steam = PropsSI("H", "P", 101_325, "Q", 1, "Water") - PropsSI(
        "H", "P", 101_325, "Q", 0, "Water"
    )
    assert pytest.approx(steam, rel=1e-3) == STEAM_J_KG


@pytest.mark.parametrize("temperature_c", [5, 20, 40, 52, 67, 78, 90, 99])
def test_one_specific_heat_of_water_serves_the_whole_day(temperature_c: float) -> None:
    # iapws 1.5 (IAPWS-IF97) at one atmosphere, in kJ/(kg K).
    expected = 1000 * IAPWS97(T=temperature_c + 273.15, P=0.101325).cp
    assert pytest.approx(expected, rel=0.007) == WATER_HEAT_J_KG_K
    assert wort_heat_j_kg_k(0.0, temperature_c) == pytest.approx(expected, rel=0.007)


@pytest.mark.parametrize(
    ("pressure_mpa", "off"),
    [pytest.param(0.101325, 0.0, id="sea level"), pytest.param(0.070121, 0.012, id="3000 m")],
)
def test_steam_takes_hardly_more_heat_up_the_mountain(pressure_mpa: float, off: float) -> None:
    # iapws 1.5 (IAPWS-IF97), saturated steam less saturated water; pressures of ISO 2533:1975.
    steam = 1000 * (IAPWS97(P=pressure_mpa, x=1).h - IAPWS97(P=pressure_mpa, x=0).h)
    assert steam / STEAM_J_KG - 1 == pytest.approx(off, abs=0.001)


@pytest.mark.parametrize(
    ("plato", "temperature_c", "expected"),
    [
        # Sucrose solution formula of the Sugar Technologists Manual (1995), by hand.
        pytest.param(12.0, 20.0, 3903.6, id="12 P cold"),
        pytest.param(12.0, 67.0, 3945.9, id="12 P at mash heat"),
        pytest.param(12.0, 100.0, 3975.6, id="12 P at the boil"),
        pytest.param(0.0, 50.0, 4186.8, id="water"),
        pytest.param(-0.5, 50.0, 4186.8, id="a reading below water counts as water"),
    ],
)
def test_wort_holds_a_little_less_heat_than_water(
    plato: float, temperature_c: float, expected: float
) -> None:
    assert wort_heat_j_kg_k(plato, temperature_c) == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("plato", [5.0, 12.0, 20.0])
def test_wort_holds_heat_as_water_and_dissolved_sucrose_do(plato: float) -> None:
    # Partial molar heat capacity of sucrose in water at 25 °C, about 640 J/(mol K) (from memory,
    # unchecked), over 342.3 g/mol; water by CoolProp 8.
    water = PropsSI("C", "T", 298.15, "P", 101_325, "Water")
    expected = (1 - plato / 100) * water + plato / 100 * 640 / 0.3423
    assert wort_heat_j_kg_k(plato, 25.0) == pytest.approx(expected, rel=0.003)


def test_heat_capacity_of_a_mash_is_the_sum_of_its_parts() -> None:
    assert mash_heat_capacity_j_k(MASH_WATER_L, 5.0, STEEL_KETTLE_J_K) == pytest.approx(MASH_J_K)


def test_heat_capacity_of_wort_in_its_kettle() -> None:
    # 25 L at 1.042 is 26.00 kg of 10.48 °P, 3987 J/(kg K) at 80 °C, and 3.0 kJ/K of steel.
    expected = 25 * 1.042 * 0.9982 * (4186.8 - 25.1 * 10.48 + 0.075 * 10.48 * 80) + 3000
    capacity = wort_heat_capacity_j_k(25.0, 1.042, STEEL_KETTLE_J_K)
    assert capacity == pytest.approx(expected, rel=1e-4)
    assert capacity == pytest.approx(106_700, rel=5e-4)
    cool = wort_heat_capacity_j_k(25.0, 1.042, STEEL_KETTLE_J_K, temperature_c=20.0)
    assert cool == pytest.approx(capacity, rel=0.02)
    assert cool < capacity


KETTLE = {"power_w": 2250.0, "loss_w_k": 0.0, "room_c": 20.0}


@pytest.mark.parametrize(
    ("span", "minutes"),
    [
        # Heat over power by hand, Newton's law where there is a loss: C/UA ln(292.3/259.3).
        pytest.param(
            {"capacity_j_k": 126_300.0, "from_c": 67.0, "to_c": 75.0}, 449 / 60, id="to mash-out"
        ),
        pytest.param(
            {"capacity_j_k": 27.45 * 4186 + 3000, "from_c": 15.0, "to_c": 70.0}, 48.0, id="strike"
        ),
        pytest.param(
            {"capacity_j_k": 106_700.0, "from_c": 67.0, "to_c": 100.0, "power_w": 2375.0},
            24.7,
            id="to the boil, lagged",
        ),
        pytest.param(
            {
                "capacity_j_k": 106_700.0,
                "from_c": 67.0,
                "to_c": 100.0,
                "power_w": 2375.0,
                "loss_w_k": 7.0,
            },
            30.4,
            id="to the boil, bare",
        ),
        pytest.param(
            {"capacity_j_k": 80_000.0, "from_c": 75.0, "to_c": 75.0}, 0.0, id="already there"
        ),
        pytest.param(
            {"capacity_j_k": 80_000.0, "from_c": 80.0, "to_c": 75.0, "power_w": 0.0},
            0.0,
            id="hotter already",
        ),
    ],
)
def test_minutes_to_heat(span: dict[str, float], minutes: float) -> None:
    assert heating_seconds(**(KETTLE | span)) / 60 == pytest.approx(minutes, abs=0.05)


CAPACITIES = st.floats(20_000.0, 300_000.0)
POWERS = st.floats(1000.0, 6000.0)
LOSSES = st.one_of(st.just(0.0), st.floats(1e-9, 12.0))


@given(CAPACITIES, st.floats(5.0, 90.0), st.floats(0.1, 15.0), POWERS, LOSSES, st.floats(5, 30))
def test_after_the_time_to_heat_the_kettle_is_there(
    capacity_j_k: float,
    from_c: float,
    rise_c: float,
    power_w: float,
    loss_w_k: float,
    room_c: float,
) -> None:
    to_c = min(from_c + rise_c, 100.0)
    kettle = {
        "capacity_j_k": capacity_j_k,
        "power_w": power_w,
        "loss_w_k": loss_w_k,
        "room_c": room_c,
    }
    assume(loss_w_k == 0.0 or room_c + power_w / loss_w_k > to_c + 1.0)
    seconds = heating_seconds(from_c=from_c, to_c=to_c, **kettle)
    assert temperature_after(from_c=from_c, seconds=seconds, **kettle) == pytest.approx(
        to_c, abs=1e-4
    )


@given(CAPACITIES, POWERS, st.floats(0.0, 12.0))
def test_losses_and_less_power_only_make_heating_slower(
    capacity_j_k: float, power_w: float, loss_w_k: float
) -> None:
    span = {"capacity_j_k": capacity_j_k, "from_c": 30.0, "to_c": 70.0, "room_c": 20.0}
    assume(20.0 + power_w / max(loss_w_k, 1e-3) > 75.0)
    bare = heating_seconds(power_w=power_w, loss_w_k=loss_w_k, **span)
    assert bare >= heating_seconds(power_w=power_w, loss_w_k=0.0, **span) * (1 - 1e-9)
    assert bare > heating_seconds(power_w=power_w * 1.1, loss_w_k=loss_w_k, **span)


@pytest.mark.parametrize("power_w", [0.0, 900.0, 2400.0])
def test_the_closed_form_agrees_with_adding_up_small_steps(power_w: float) -> None:
    # Independent: Newton's law of cooling summed second by second.
    temperature_c, capacity_j_k, loss_w_k, room_c = 66.0, 110_000.0, 6.0, 17.0
    for _ in range(3600):
        temperature_c += (power_w - loss_w_k * (temperature_c - room_c)) / capacity_j_k
    assert temperature_after(
        capacity_j_k=capacity_j_k,
        from_c=66.0,
        seconds=3600.0,
        power_w=power_w,
        loss_w_k=loss_w_k,
        room_c=room_c,
    ) == pytest.approx(temperature_c, abs=0.02)


def test_a_weak_heater_levels_off_short_of_the_boil() -> None:
    # 600 W against 8 W/K is 75 °C above a 17 °C room.
    with pytest.raises(
        NeverReaches, match=r"^never reaches 100\.0 °C: it would level off at 92\.0 °C$"
    ) as fault:
        heating_seconds(
            capacity_j_k=90_000.0, from_c=60.0, to_c=100.0, power_w=600.0, loss_w_k=8.0, room_c=17.0
        )
    assert (fault.value.wanted_c, fault.value.limit_c) == (100.0, 92.0)


def test_of_a_curve_the_hottest_is_what_a_weak_heater_never_reaches() -> None:
    heater = {"capacity_j_k": 90_000.0, "from_c": 60.0, "power_w": 600.0, "room_c": 17.0}
    to_c = np.array([70.0, 99.0, 95.0])
    with pytest.raises(NeverReaches, match=r"^never reaches 99\.0 °C: it would level off at 92\.0"):
        heating_seconds(**heater, to_c=to_c, loss_w_k=8.0)
    with pytest.raises(NeverReaches, match=r"^never reaches 99\.0 °C: it would level off at 60\.0"):
        heating_seconds(**(heater | {"power_w": 0.0}), to_c=to_c, loss_w_k=0.0)


def test_no_power_and_no_loss_stays_where_it_is() -> None:
    with pytest.raises(NeverReaches, match=r"level off at 60\.0 °C"):
        heating_seconds(
            capacity_j_k=9e4, from_c=60.0, to_c=61.0, power_w=0.0, loss_w_k=0.0, room_c=17.0
        )


@pytest.mark.parametrize(
    ("from_c", "to_c", "water_c", "expected_kg"),
    [
        # C (to - from) / (4186 (water - to)) by hand, C = 126.3 kJ/K.
        pytest.param(67.0, 75.0, 100.0, 9.655, id="boiling water to mash-out"),
        pytest.param(64.0, 67.0, 100.0, 2.743, id="boiling water, three low"),
        pytest.param(70.0, 67.0, 15.0, 1.741, id="tap water, three high"),
        pytest.param(67.0, 67.0, 15.0, 0.0, id="already there"),
        # Ice water to a rest: 126.3 x 3 / (4.186 x 66) by hand.
        pytest.param(70.0, 67.0, 1.0, 1.371, id="ice water, three high"),
    ],
)
def test_water_that_moves_a_mash(
    from_c: float, to_c: float, water_c: float, expected_kg: float
) -> None:
    litres = water_to_move_mash_l(capacity_j_k=126_300.0, from_c=from_c, to_c=to_c, water_c=water_c)
    assert litres * 0.9982 == pytest.approx(expected_kg, abs=0.002)


@pytest.mark.parametrize(
    ("mash_quarts", "from_f", "to_f", "water_f", "quarts"),
    [
        # J. Palmer, How to Brew, infusion equation for 8 lb of grain by hand:
        # (to - from)(0.2 x 8 + quarts in the mash) / (water - to).
        pytest.param(8.0, 104.0, 140.0, 210.0, 4.94, id="to the second rest"),
        pytest.param(12.9, 140.0, 158.0, 210.0, 5.02, id="to the third rest"),
        pytest.param(18.0, 158.0, 170.0, 210.0, 5.88, id="to mash-out"),
    ],
)
def test_infusions_agree_with_the_rule_in_quarts(
    mash_quarts: float, from_f: float, to_f: float, water_f: float, quarts: float
) -> None:
    litres = water_to_move_mash_l(
        capacity_j_k=(0.2 * 8 + mash_quarts) * 0.946353 * 0.9982 * 4186,
        from_c=(from_f - 32) / 1.8,
        to_c=(to_f - 32) / 1.8,
        water_c=(water_f - 32) / 1.8,
    )
    assert litres / 0.946353 == pytest.approx(quarts, abs=0.01)


@given(st.floats(40.0, 70.0), st.floats(0.5, 8.0), CAPACITIES)
def test_mixing_in_that_water_lands_on_the_target(
    from_c: float, rise_c: float, capacity_j_k: float
) -> None:
    litres = water_to_move_mash_l(
        capacity_j_k=capacity_j_k, from_c=from_c, to_c=from_c + rise_c, water_c=99.0
    )
    water_j_k = mash_heat_capacity_j_k(litres, 0.0, 0.0)
    assert mixed_temperature_c([(capacity_j_k, from_c), (water_j_k, 99.0)]) == pytest.approx(
        from_c + rise_c, abs=1e-9
    )


def test_top_up_water_cools_the_wort() -> None:
    # 16 L of 1.060 at 32 °C (16.93 kg, 3.93 kJ/(kg K)) with 4 L at 4 °C, by hand 26.35 °C.
    wort_j_k = 16 * 1.060 * 0.9982 * 3930
    water_j_k = 4 * 0.9982 * 4186
    assert mixed_temperature_c([(wort_j_k, 32.0), (water_j_k, 4.0)]) == pytest.approx(
        26.35, abs=0.03
    )


@given(st.lists(st.tuples(st.floats(100.0, 1e6), st.floats(0.0, 100.0)), min_size=1, max_size=5))
def test_a_mixture_lies_between_its_parts(parts: list[tuple[float, float]]) -> None:
    temperatures_c = [temperature_c for _, temperature_c in parts]
    mixed_c = mixed_temperature_c(parts)
    assert min(temperatures_c) - 1e-9 <= mixed_c <= max(temperatures_c) + 1e-9


def test_a_kilowatt_for_an_hour_is_a_kilowatt_hour() -> None:
    assert energy_kwh(1000 * 3600) == 1.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: wort_heat_j_kg_k(60.0, 20.0), r"^extract 60 °P is outside -5\.265 to 34\.24 °P$"),
        (
            lambda: mash_heat_capacity_j_k(20.0, 5.0, -1.0),
            r"^kettle heat capacity -1 J/K is outside 0 to 500,000 J/K$",
        ),
        (
            lambda: heating_seconds(capacity_j_k=0.0, from_c=20.0, to_c=67.0, **KETTLE),
            r"^heat capacity 0 J/K is outside 1 to 10,000,000 J/K$",
        ),
        (
            lambda: heating_seconds(
                capacity_j_k=1e5, from_c=2e1, to_c=67.0, power_w=-1.0, loss_w_k=0.0, room_c=20.0
            ),
            r"^heating power -1 W is outside 0 to 100,000 W$",
        ),
        (
            lambda: water_to_move_mash_l(capacity_j_k=1e5, from_c=64.0, to_c=67.0, water_c=60.0),
            r"^water temperature 60 °C is outside 68 to 105 °C$",
        ),
        (
            lambda: water_to_move_mash_l(capacity_j_k=1e5, from_c=70.0, to_c=67.0, water_c=80.0),
            r"^water temperature 80 °C is outside 0 to 66 °C$",
        ),
        (
            lambda: mixed_temperature_c([]),
            r"^heat capacity of the mixture 0 J/K is outside 1 to 10,000,000 J/K$",
        ),
        (lambda: energy_kwh(-1.0), r"^energy -1 J is outside 0 to 1,000,000,000,000 J$"),
    ],
)
def test_impossible_heat_is_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
