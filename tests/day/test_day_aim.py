"""What each stage aims at, and the reading that tells how near it is."""

from dataclasses import replace

import pytest

from assistant.advice.plan import Plan
from assistant.advice.timeline import Stage
from assistant.day.aim import AIMS, WHEN, Aim, aim, told_by
from assistant.day.quantities import Quantity
from assistant.day.state import Ask, Reading, State, new_day
from assistant.schedule import Schedule


def at_stage(schedule: Schedule, plan: Plan, stage: Stage, **changed: object) -> State:
    return replace(new_day(schedule, plan), stage=stage, **changed)  # type: ignore[arg-type]


def read(quantity: Quantity, value: float, at: float = 0.0) -> Reading:
    return Reading(at=at, quantity=quantity, value=value, said=value, said_unit="", sample_c=None)


@pytest.mark.parametrize(
    ("stage", "quantity", "value"),
    [
        (Stage.STRIKE, Quantity.WATER_TEMPERATURE, 67.4),
        (Stage.DOUGH_IN, Quantity.MASH_TEMPERATURE, 64.0),
        (Stage.MASH, Quantity.MASH_TEMPERATURE, 64.0),
        (Stage.LIFT, Quantity.KETTLE_VOLUME, 24.2),
        (Stage.BOIL_UP, Quantity.KETTLE_TEMPERATURE, 100.0),
        (Stage.BOIL, Quantity.KETTLE_VOLUME, 21.4),
        (Stage.WHIRLPOOL, Quantity.KETTLE_TEMPERATURE, 82.0),
        (Stage.CHILL, Quantity.KETTLE_TEMPERATURE, 18.0),
        (Stage.TRANSFER, Quantity.FERMENTER_VOLUME, 20.0),
        (Stage.PITCH, Quantity.FERMENTER_TEMPERATURE, 18.0),
    ],
)
def test_each_stage_of_the_sample_aims_at_a_figure_of_its_plan(
    amber: Schedule, amber_plan: Plan, stage: Stage, quantity: Quantity, value: float
) -> None:
    found = aim(at_stage(amber, amber_plan, stage))
    assert found is not None
    assert found.quantity is quantity
    assert found.value == pytest.approx(value, abs=0.06)


@pytest.mark.parametrize("stage", [Stage.GATHER, Stage.CLEAN, Stage.FINISHED])
def test_where_nothing_is_reached_for_nothing_is_wanted(
    amber: Schedule, amber_plan: Plan, stage: Stage
) -> None:
    assert aim(at_stage(amber, amber_plan, stage)) is None


def test_what_is_asked_is_what_is_wanted(amber: Schedule, amber_plan: Plan) -> None:
    asked = (Ask(id=1, quantity=Quantity.GRAVITY, unit="SG", why="how strong"),)
    found = aim(at_stage(amber, amber_plan, Stage.BOIL_UP, asks=asked))
    assert found == Aim(
        quantity=Quantity.GRAVITY, value=amber_plan.preboil_gravity, when="before the boil"
    )


def test_in_the_boil_the_gravity_wanted_is_that_of_the_kettle_without_top_up_water(
    amber: Schedule, amber_plan: Plan
) -> None:
    asked = (Ask(id=1, quantity=Quantity.GRAVITY, unit="SG", why="how strong"),)
    topped = replace(amber, chill=replace(amber.chill, top_up_l=3.0))
    plain, strong = (
        aim(at_stage(schedule, amber_plan, Stage.BOIL, asks=asked)) for schedule in (amber, topped)
    )
    assert plain is not None
    assert strong is not None
    # Three of twenty litres are water, so the wort is 20/17 as strong, less what more of it stays
    # with the trub.
    assert (strong.value - 1) / (plain.value - 1) == pytest.approx(20 / 17, abs=0.02)


def test_one_thermometer_tells_of_water_mash_and_kettle(amber: Schedule, amber_plan: Plan) -> None:
    readings = (
        read(Quantity.WATER_TEMPERATURE, 66.8),
        read(Quantity.KETTLE_VOLUME, 24.0),
        read(Quantity.ROOM_TEMPERATURE, 17.0),
    )
    state = at_stage(amber, amber_plan, Stage.MASH, readings=readings)
    assert told_by(state, aim(state)) == readings[0]
    assert told_by(state, None) == readings[2]


def test_a_reading_of_something_else_tells_nothing_of_what_is_wanted(
    amber: Schedule, amber_plan: Plan
) -> None:
    state = at_stage(
        amber, amber_plan, Stage.TRANSFER, readings=(read(Quantity.KETTLE_VOLUME, 21.0),)
    )
    assert told_by(state, aim(state)) is None


def test_what_is_told_of_a_moment_belongs_to_an_aim() -> None:
    assert all(quantity in AIMS[stage] for stage, quantity in WHEN)
