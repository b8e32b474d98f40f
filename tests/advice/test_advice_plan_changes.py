"""What is told of a plan that is otherwise than by the kettle's card."""

from dataclasses import replace

from assistant.advice.learned import Trait, with_traits
from assistant.advice.plan import Plan, make_plan
from assistant.advice.plan_changes import plan_changes
from assistant.schedule import Schedule
from assistant.schedule.model import Units


def learned(schedule: Schedule, values: dict[Trait, float]) -> Plan:
    return make_plan(replace(schedule, kettle=with_traits(schedule.kettle, values)))


def test_a_plan_that_is_the_same_has_nothing_to_tell(amber_plan: Plan) -> None:
    assert plan_changes(amber_plan, amber_plan, Units.METRIC) == ()


def test_a_fiercer_boil_takes_more_water_and_nothing_else(
    amber: Schedule, amber_plan: Plan
) -> None:
    # 65 minutes of 0.5 litres an hour more: 0.54 litres.
    fierce = learned(amber, {Trait.BOIL_OFF: 3.1})
    told = {
        each.name: (each.by_card, each.as_learned)
        for each in plan_changes(amber_plan, fierce, Units.METRIC)
    }
    assert told["water in all"] == ("27.3 litres", "27.9 litres")
    assert told["volume before the boil"] == ("24.2 litres", "24.8 litres")
    assert "original gravity" not in told


def test_more_extract_is_told_as_gravity_and_alcohol(amber: Schedule, amber_plan: Plan) -> None:
    rich = learned(amber, {Trait.EXTRACT: 0.79})
    told = {
        each.name: (each.by_card, each.as_learned)
        for each in plan_changes(amber_plan, rich, Units.US)
    }
    assert told["original gravity"] == ("1.050", "1.054")
    assert set(told) >= {"gravity before the boil", "alcohol", "bitterness"}
    assert "water in all" not in told


def test_what_nobody_would_notice_is_not_told(amber: Schedule, amber_plan: Plan) -> None:
    near = learned(amber, {Trait.BOIL_OFF: 2.65, Trait.EXTRACT: 0.731})
    assert plan_changes(amber_plan, near, Units.METRIC) == ()
