"""How warm the kettle gets, against the two equations stepped through by hand."""

from dataclasses import replace

import numpy as np
import pytest

from assistant.advice.batch import Batch, fresh_batch, pot_of
from assistant.advice.kettle import AT
from assistant.advice.learned import Trait
from assistant.advice.plan import Plan
from assistant.advice.warmth import (
    LID_OFF,
    LONGEST_HEATING_S,
    Heat,
    Pot,
    capacity_j_k,
    coasts_k,
    heat_after,
    heating_s,
    reached_in,
    temperature_c,
)
from assistant.schedule import Schedule

STEP_S = 0.5


@pytest.fixture
def fresh(amber: Schedule, amber_plan: Plan) -> Batch:
    return fresh_batch(amber, amber_plan, 0)


def figures_of(batch: Batch) -> np.ndarray:
    return np.array((*batch.belief.traits, *batch.contents))


def stepped(pot: Pot, heat: Heat, batch: Batch, seconds: float) -> float:
    """Both equations in steps of half a second: the metal fills, the content warms and loses."""
    full_w = pot.power_w * batch.belief.value(Trait.HEATER)
    loss_w_k = pot.losing * batch.belief.value(Trait.HEAT_LOSS)
    capacity = float(capacity_j_k(pot, figures_of(batch)))
    flowing_w, warm_c = heat.flowing * full_w, batch.temperature_c
    for _ in range(round(seconds / STEP_S)):
        warm_c += STEP_S * (flowing_w - loss_w_k * (warm_c - pot.room_c)) / capacity
        gap_w = heat.share * full_w - flowing_w
        flowing_w += STEP_S * gap_w / batch.belief.value(Trait.COAST)
    return warm_c


@pytest.mark.parametrize(
    ("share", "flowing", "from_c", "seconds"),
    [
        (1.0, 0.0, 11.0, 600.0),
        (1.0, 1.0, 55.0, 1800.0),
        (0.0, 1.0, 70.0, 120.0),
        (0.0, 0.0, 70.0, 3600.0),
        (0.4, 0.9, 64.0, 300.0),
    ],
)
def test_the_closed_form_is_the_two_equations(
    fresh: Batch, amber: Schedule, share: float, flowing: float, from_c: float, seconds: float
) -> None:
    batch = replace(fresh, temperature_c=from_c)
    pot, heat = pot_of(batch, amber.kettle), Heat(share=share, flowing=flowing)
    closed_c = float(temperature_c(pot, heat, figures_of(batch), seconds))
    assert closed_c == pytest.approx(stepped(pot, heat, batch, seconds), abs=0.02)


def test_the_time_to_a_temperature_undoes_it(fresh: Batch, amber: Schedule) -> None:
    batch = replace(fresh, temperature_c=40.0)
    pot, heat = pot_of(batch, amber.kettle), Heat(share=1.0, flowing=0.0)
    seconds = float(heating_s(pot, figures_of(batch), heat.flowing, 67.0))
    assert float(temperature_c(pot, heat, figures_of(batch), seconds)) == pytest.approx(
        67, abs=0.02
    )


def test_what_is_in_the_metal_warms_the_mash_by_its_share(fresh: Batch, amber: Schedule) -> None:
    batch = replace(fresh, temperature_c=64.0, grain_kg=amber.grain_kg)
    pot = pot_of(batch, amber.kettle)
    # By hand: 2.8 kW at 91 % for 8 s are 20.4 kJ; water, grain and kettle take 126 kJ a kelvin.
    coast_k = float(coasts_k(pot, figures_of(batch)))
    assert coast_k == pytest.approx(20.4 / 126, abs=0.003)
    off = Heat(share=0.0, flowing=1.0)
    still_c = float(temperature_c(pot, Heat(), figures_of(batch), 60.0))
    warmed_c = float(temperature_c(pot, off, figures_of(batch), 60.0))
    assert warmed_c - still_c == pytest.approx(coast_k, abs=0.003)


def test_the_metal_is_hot_after_a_few_of_its_times() -> None:
    assert heat_after(Heat(share=1.0, flowing=0.0), 8.0, 40.0).flowing > 0.99
    assert heat_after(Heat(share=0.0, flowing=1.0), 8.0, 8.0).flowing == pytest.approx(
        0.368, abs=1e-3
    )


def test_without_its_lid_the_kettle_takes_longer(fresh: Batch, amber: Schedule) -> None:
    figures = figures_of(replace(fresh, temperature_c=70.0))
    covered, open_ = (Pot.of(amber.kettle, 0.0, lid_off=lid_off) for lid_off in (False, True))
    slower = float(heating_s(open_, figures, 1.0, 99.0)) / float(
        heating_s(covered, figures, 1.0, 99.0)
    )
    # By hand: at 85 degrees the lid keeps 0.8 times 3.2 W/K by 71 K, of the 2.3 kW left over.
    assert slower == pytest.approx(1 + (LID_OFF - 1) * 3.2 * 71 / 2320, abs=0.02)


def test_a_heater_too_weak_never_gets_there(fresh: Batch, amber: Schedule) -> None:
    kettle = replace(amber.kettle, heater=replace(amber.kettle.heater, power_w=250.0))
    reached = reached_in(Pot.of(kettle, 0.0), Heat(), fresh.belief, fresh.contents, 99.0)
    assert not reached.ever
    assert reached.seconds == LONGEST_HEATING_S


def test_a_small_kettle_that_levels_off_below_the_boil_never_boils(
    fresh: Batch, amber: Schedule
) -> None:
    # By hand: 300 W on 4 W/K hold it 75 K above a room of 16 degrees, at 91. It is nearly there in
    # two hours and a half, and no nearer to the boil for it.
    heater = replace(amber.kettle.heater, power_w=300.0 / amber.kettle.heater.efficiency)
    kettle = replace(amber.kettle, heater=heater, heat_loss_w_k=4.0, room_c=16.0)
    pot, litre = Pot.of(kettle, 0.0), replace(fresh, volume_l=1.5, temperature_c=60.0)
    figures = figures_of(litre)
    figures[AT[Trait.HEAT_LOSS]], figures[AT[Trait.HEAT_CAPACITY]] = 4.0, 600.0
    figures[AT[Trait.HEATER]] = heater.efficiency
    assert float(heating_s(pot, figures, 1.0, 99.0)) == LONGEST_HEATING_S
    # 92 degrees are past it, 80 take ln(31 / 11) of 6.9 kJ/K over 4 W/K: half an hour.
    assert float(heating_s(pot, figures, 1.0, 92.0)) == LONGEST_HEATING_S
    litre_j_k = float(capacity_j_k(pot, figures))
    assert float(heating_s(pot, figures, 1.0, 80.0)) == pytest.approx(
        litre_j_k / 4 * np.log((91 - 60) / (91 - 80)), rel=1e-3
    )


def test_what_is_hot_enough_needs_no_heater(fresh: Batch, amber: Schedule) -> None:
    kettle = replace(amber.kettle, heater=replace(amber.kettle.heater, power_w=100.0))
    hot = figures_of(replace(fresh, temperature_c=70.0))
    assert float(heating_s(Pot.of(kettle, 0.0), hot, 0.0, 64.0)) == 0.0


def test_a_heater_known_to_a_twelfth_is_timed_to_about_as_much(
    fresh: Batch, amber: Schedule
) -> None:
    reached = reached_in(pot_of(fresh, amber.kettle), Heat(), fresh.belief, fresh.contents, 67.4)
    assert reached.seconds == pytest.approx(45 * 60, rel=0.02)
    # 8 % of the heater, 3 K of 56 of the tap's water, and a little of the losses.
    assert reached.spread_s / reached.seconds == pytest.approx(0.104, abs=0.012)
