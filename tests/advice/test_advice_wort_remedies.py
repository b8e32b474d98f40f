"""What is offered for a wort that will end off its plan, and what never is."""

from dataclasses import replace

import pytest

from assistant.advice.actions import Action, Do, Finding
from assistant.advice.batch import Batch, fresh_batch, gravity_now
from assistant.advice.batch_readings import with_gravity, with_volume
from assistant.advice.fit import BOIL_FILL_LIMIT
from assistant.advice.forecast import Prospect
from assistant.advice.happenings import boiling, lifted
from assistant.advice.plan import Plan, make_plan
from assistant.advice.wort_remedies import wort_finding
from assistant.brewing.water import volume_hot
from assistant.day.outlook import unlimited
from assistant.day.state import new_day
from assistant.schedule import Schedule


def wort(schedule: Schedule, plan: Plan, *, volume: float = 1.0, extract: float = 1.0) -> Batch:
    """Wort of which volume and gravity have been read, as much and as rich as told."""
    batch = lifted(fresh_batch(schedule, plan, 0), schedule, 0)
    batch = replace(batch, volume_l=volume * batch.volume_l, extract_kg=extract * batch.extract_kg)
    read = with_volume(batch, schedule, batch.volume_l, 0)
    return with_gravity(read, schedule, gravity_now(read, schedule, 0), 0)


def found(
    schedule: Schedule, plan: Plan, batch: Batch, *, boiled_min: float = 0.0, left_min: float = -1
) -> Finding | None:
    ahead: Prospect = unlimited(new_day(schedule, plan))
    if left_min >= 0:
        ahead = replace(ahead, boil_minutes_left=left_min)
    return wort_finding(
        schedule, plan, batch, ahead, at_s=0, boiled_min=boiled_min, pending_min=0.0
    )


def actions(finding: Finding | None) -> list[Action]:
    options = () if finding is None else finding.options
    return [action for option in options for action in (option.action, *option.then)]


@pytest.mark.parametrize(
    ("volume", "extract", "first"),
    [
        (1.05, 1.0, "boil longer"),
        (1.0, 0.88, "extract"),
        (1.0, 1.1, "add water"),
        (0.93, 1.0, "add"),
    ],
)
def test_the_first_thing_offered_is_what_a_brewer_would_do(
    amber: Schedule, amber_plan: Plan, volume: float, extract: float, first: str
) -> None:
    finding = found(amber, amber_plan, wort(amber, amber_plan, volume=volume, extract=extract))
    assert finding is not None
    assert first in finding.recommended
    assert finding.options[-1].action.do is Do.LEAVE_IT


def test_weak_and_short_at_once_wants_extract_and_water(amber: Schedule, amber_plan: Plan) -> None:
    finding = found(amber, amber_plan, wort(amber, amber_plan, volume=0.9, extract=0.85))
    assert finding is not None
    both = next(option for option in finding.options if option.then)
    assert {both.action.do, *(action.do for action in both.then)} == {Do.ADD, Do.ADD_WATER}
    assert both.say == "add extract and add water"


def test_nothing_is_said_of_a_wort_that_is_near_enough(amber: Schedule, amber_plan: Plan) -> None:
    for volume, extract in ((1.0, 1.0), (1.005, 0.995), (0.995, 1.01)):
        assert (
            found(amber, amber_plan, wort(amber, amber_plan, volume=volume, extract=extract))
            is None
        )


GRID = [(v / 100, e / 100) for v in range(80, 125, 6) for e in range(78, 125, 6)]


@pytest.mark.parametrize(("volume", "extract"), GRID)
def test_no_advice_leads_past_a_limit(
    amber: Schedule, amber_plan: Plan, volume: float, extract: float
) -> None:
    batch = wort(amber, amber_plan, volume=volume, extract=extract)
    for boiled_min, left_min in ((0.0, 65.0), (100.0, 15.0), (40.0, 25.0)):
        for action in actions(
            found(amber, amber_plan, batch, boiled_min=boiled_min, left_min=left_min)
        ):
            minutes = action.minutes or 0.0
            if action.do is Do.BOIL_LONGER:
                assert boiled_min + left_min + minutes <= 120
                assert boiled_min + left_min + minutes <= 65 + 25
            if action.do is Do.BOIL_SHORTER:
                assert boiled_min + left_min - minutes >= 45
                assert left_min - minutes >= 0
            if action.do is Do.ADD:
                assert (action.grams or 0) / 1000 * 0.96 <= 0.15 * batch.extract_kg + 0.006
            if action.do is Do.ADD_WATER:
                hot_l = volume_hot(batch.volume_l + (action.litres or 0), 95.0)
                assert hot_l <= BOIL_FILL_LIMIT * amber.kettle.holds_l + 0.1


def test_no_water_is_poured_into_the_last_ten_minutes_of_a_boil(
    amber: Schedule, amber_plan: Plan
) -> None:
    strong = boiling(wort(amber, amber_plan, volume=0.9, extract=1.08), amber, 0, on=True)
    in_time, late = (
        {
            action.do
            for action in actions(found(amber, amber_plan, strong, boiled_min=50, left_min=m))
        }
        for m in (15.0, 9.0)
    )
    assert Do.ADD_WATER in in_time
    assert Do.ADD_WATER not in late


def test_the_effect_tells_what_else_changes(amber: Schedule, amber_plan: Plan) -> None:
    weak = found(amber, amber_plan, wort(amber, amber_plan, volume=1.05))
    assert weak is not None
    longer = next(option for option in weak.options if option.say == "boil longer")
    assert longer.effect.endswith("minutes later")
    assert "1.0" in longer.effect
    assert "litres" in longer.effect


def test_a_kettle_that_is_full_gets_no_water(amber: Schedule) -> None:
    small = replace(amber, kettle=replace(amber.kettle, holds_l=27.5))
    plan = make_plan(small)
    strong = found(small, plan, wort(small, plan, extract=1.12))
    assert Do.ADD_WATER not in {action.do for action in actions(strong)}
