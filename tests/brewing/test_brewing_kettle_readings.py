"""What two readings of the thermometer tell of a kettle, and what boils off."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.heat import (
    boil_off_kg_h,
    boil_off_power_w,
    cooling_per_hour,
    power_from_rise_w,
    temperature_after,
)

CAPACITIES = st.floats(20_000.0, 300_000.0)
POWERS = st.floats(1000.0, 6000.0)
LOSSES = st.one_of(st.just(0.0), st.floats(1e-9, 12.0))


@pytest.mark.parametrize(
    ("loss_w_k", "drop_c"),
    [
        # Newton's law by hand, 126.3 kJ/K, 47 °C above the room: 47 (1 - exp(-3600 UA / C)).
        pytest.param(5.0, 6.24, id="bare kettle"),
        pytest.param(1.5, 1.97, id="jacketed kettle"),
    ],
)
def test_how_far_a_mash_drifts_in_an_hour(loss_w_k: float, drop_c: float) -> None:
    after_c = temperature_after(
        capacity_j_k=126_300.0,
        from_c=67.0,
        seconds=3600.0,
        power_w=0.0,
        loss_w_k=loss_w_k,
        room_c=20.0,
    )
    assert 67.0 - after_c == pytest.approx(drop_c, abs=0.01)
    # The same cooling, read back from the two temperatures.
    per_hour = cooling_per_hour(from_c=67.0, to_c=after_c, minutes=60.0, room_c=20.0)
    assert per_hour == pytest.approx(loss_w_k * 3600 / 126_300, rel=1e-9)


@pytest.mark.parametrize(
    ("from_c", "to_c", "minutes", "room_c", "per_hour"),
    [
        # Newton's law by hand: 60 / minutes x ln((from - room) / (to - room)).
        pytest.param(67.0, 65.0, 30.0, 17.0, 0.0816, id="mash in a jacket"),
        pytest.param(98.0, 80.0, 20.0, 20.0, 0.787, id="whirlpool, lid on"),
        pytest.param(67.0, 67.0, 30.0, 17.0, 0.0, id="held"),
    ],
)
def test_cooling_constant_from_two_readings(
    from_c: float, to_c: float, minutes: float, room_c: float, per_hour: float
) -> None:
    found = cooling_per_hour(from_c=from_c, to_c=to_c, minutes=minutes, room_c=room_c)
    assert found == pytest.approx(per_hour, abs=0.001)


def test_a_vessel_cannot_end_as_cold_as_the_room() -> None:
    with pytest.raises(NeverReaches, match=r"^never reaches 17\.0 °C: it would level off at 17\.0"):
        cooling_per_hour(from_c=67.0, to_c=17.0, minutes=600.0, room_c=17.0)


@pytest.mark.parametrize(
    ("reading", "watts"),
    [
        # By hand: C (to - from) / s, and with a loss
        # UA (from - room + (to - from) / (1 - exp(-s UA / C))).
        pytest.param({"loss_w_k": 0.0}, 2000.0, id="lagged"),
        pytest.param({"loss_w_k": 5.0}, 2165.4, id="bare"),
        pytest.param({"to_c": 40.0, "loss_w_k": 5.0}, 115.0, id="just held"),
    ],
)
def test_power_from_two_readings(reading: dict[str, float], watts: float) -> None:
    kettle = {"capacity_j_k": 1e5, "from_c": 40.0, "to_c": 60.0, "seconds": 1000.0, "room_c": 17.0}
    assert power_from_rise_w(**(kettle | reading)) == pytest.approx(watts, abs=0.5)


@given(
    capacity_j_k=CAPACITIES,
    from_c=st.floats(5.0, 90.0),
    seconds=st.floats(60.0, 3600.0),
    power_w=POWERS,
    loss_w_k=LOSSES,
    room_c=st.floats(5.0, 30.0),
)
def test_the_power_is_the_one_that_made_the_rise(
    capacity_j_k: float,
    from_c: float,
    seconds: float,
    power_w: float,
    loss_w_k: float,
    room_c: float,
) -> None:
    kettle = {
        "capacity_j_k": capacity_j_k,
        "from_c": from_c,
        "seconds": seconds,
        "loss_w_k": loss_w_k,
        "room_c": room_c,
    }
    to_c = temperature_after(power_w=power_w, **kettle)
    assume(to_c < 105.0)
    assert power_from_rise_w(to_c=to_c, **kettle) == pytest.approx(power_w, rel=1e-5)


@pytest.mark.parametrize(
    ("power_w", "loss_w", "kg_h"),
    [
        # 3600 s over 2256.5 kJ/kg (CoolProp 8, one atmosphere), by hand.
        pytest.param(1000.0, 0.0, 1.595, id="a kilowatt"),
        pytest.param(2500.0 * 0.95, 500.0, 2.991, id="2.5 kW element, bare kettle"),
        pytest.param(3000.0, 700.0, 3.669, id="3 kW element, wide kettle"),
        pytest.param(400.0, 500.0, 0.0, id="no boil"),
    ],
)
def test_what_boils_off_in_an_hour(power_w: float, loss_w: float, kg_h: float) -> None:
    assert boil_off_kg_h(power_w, loss_w) == pytest.approx(kg_h, abs=0.001)


@given(st.floats(0.0, 20.0), st.floats(0.0, 1000.0))
def test_boil_off_undoes_its_power(litres_h: float, loss_w: float) -> None:
    power_w = boil_off_power_w(litres_h, loss_w)
    assert boil_off_kg_h(power_w, loss_w) / 0.9982 == pytest.approx(litres_h, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: cooling_per_hour(from_c=60.0, to_c=62.0, minutes=10.0, room_c=17.0),
            r"^later temperature 62 °C is outside 0 to 60 °C$",
        ),
        (
            lambda: cooling_per_hour(from_c=60.0, to_c=58.0, minutes=0.0, room_c=17.0),
            r"^time between the readings 0 min is outside 0\.1 to 600 min$",
        ),
        (
            lambda: power_from_rise_w(
                capacity_j_k=1e5, from_c=60.0, to_c=55.0, seconds=60.0, loss_w_k=5.0, room_c=17.0
            ),
            r"^heating power by the readings -8\d+ W is outside 0 to 100,000 W$",
        ),
        (
            lambda: boil_off_kg_h(2400.0, -1.0),
            r"^heat lost at the boil -1 W is outside 0 to 100,000 W$",
        ),
        (lambda: boil_off_power_w(-1.0), r"^boil-off -1 L/h is outside 0 to 100 L/h$"),
    ],
)
def test_impossible_kettle_readings_are_refused(call, message) -> None:
    with pytest.raises(OutOfRange, match=message):
        call()
