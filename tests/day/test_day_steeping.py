"""Bitterness after flameout: what the way down is worth, and a boil taken up again."""

from dataclasses import replace

import pytest
from days import Driven, at_stage

from assistant.advice.forecast import make_forecast
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.outlook import prospect
from assistant.day.quantities import Quantity
from assistant.day.state import Fate
from assistant.schedule import Schedule


def ibu(day: Driven) -> float:
    state = day.state
    return make_forecast(state.batch, state.schedule, prospect(state), state.now_s).ibu


def boiled(schedule: Schedule) -> Driven:
    """A day at the end of a boil with all its hops in at their time."""
    day = at_stage(schedule, Stage.BOIL)
    for _ in range(60):
        due = [task for task in day.state.tasks if task.index is not None]
        if due:
            day.command(Command.ADDED)
        elif day.state.stage is Stage.BOIL and day.state.boil and day.state.boil.end_s > day.at:
            day.until(
                lambda state: any(task.index is not None for task in state.tasks) or ended(day)
            )
        else:
            break
    return day


def ended(day: Driven) -> bool:
    boil = day.state.boil
    return boil is not None and day.state.now_s >= boil.end_s


@pytest.fixture
def flameout(amber: Schedule) -> Driven:
    return boiled(amber).command(Command.FLAME_OUT)


def test_a_boil_as_planned_ends_with_the_bitterness_planned(flameout: Driven) -> None:
    assert flameout.state.stage is Stage.WHIRLPOOL
    assert ibu(flameout) == pytest.approx(flameout.state.plan.ibu, abs=0.5)


def test_the_way_down_as_planned_changes_nothing(flameout: Driven) -> None:
    plan = flameout.state.plan
    legs = plan.after_boil.legs
    flameout.wait(legs[0].minutes * 60).read(Quantity.KETTLE_TEMPERATURE, 82, "degC")
    flameout.command(Command.ADDED)
    assert ibu(flameout) == pytest.approx(plan.ibu, abs=0.5)
    flameout.until(lambda state: state.stage is Stage.CHILL)
    assert ibu(flameout) == pytest.approx(plan.ibu, abs=0.5)
    flameout.wait(legs[-1].minutes * 60).command(Command.CHILLED)
    assert ibu(flameout) == pytest.approx(plan.ibu, abs=0.5)


def test_wort_left_to_stand_hot_grows_bitterer(flameout: Driven) -> None:
    before = ibu(flameout)
    flameout.wait(25 * 60).read(Quantity.KETTLE_TEMPERATURE, 96, "degC")
    # 25 minutes near 98 °C are worth some 20 of boil to the hops of the last 10 minutes.
    assert flameout.state.additions[4].weight_g == pytest.approx(0.6 * 32, abs=0.5)
    assert ibu(flameout) > before + 2


def test_wort_chilled_at_once_stays_milder(flameout: Driven) -> None:
    before = ibu(flameout)
    flameout.wait(120).read(Quantity.KETTLE_TEMPERATURE, 60, "degC")
    assert ibu(flameout) < before - 2


def test_whirlpool_hops_that_come_late_get_less(flameout: Driven) -> None:
    flameout.wait(150).read(Quantity.KETTLE_TEMPERATURE, 82, "degC")
    at_once = ibu(flameout)
    flameout.wait(15 * 60).command(Command.ADDED)
    assert flameout.state.additions[-1].fate is Fate.IN
    late = prospect(flameout.state).doses[-1]
    assert 0 < late.after_min < 0.6 * flameout.state.plan.after_boil.whirlpool_min
    assert ibu(flameout) < at_once - 0.5


def test_once_in_the_fermenter_no_hop_gains_any_more(flameout: Driven) -> None:
    flameout.command(Command.CHILLED).command(Command.TRANSFERRED)
    before = ibu(flameout)
    assert ibu(flameout.wait(3600)) == pytest.approx(before)


def test_up_a_mountain_a_minute_of_boil_is_worth_less(amber: Schedule) -> None:
    # Water boils at 93.3 °C at 2000 m, where a minute is worth 0.559 (Malowicki and Shellhammer
    # 2005): by hand, 60 minutes and the way down are 39.9 there and 66.7 by the sea, and
    # (1 - exp(-0.04 × 39.9)) / (1 - exp(-0.04 × 66.7)) = 0.857.
    high = replace(amber, kettle=replace(amber.kettle, altitude_m=2000.0))
    by_the_sea, up_there = (make_plan(beer).additions[0].ibu for beer in (amber, high))
    assert up_there == pytest.approx(0.857 * by_the_sea, rel=0.01)
