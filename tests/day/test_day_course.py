"""Where the kettle's temperature is believed to be, and where it is expected to go."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from any_steps import ANY_STEPS, event_of
from days import Driven, at_stage, begun
from hypothesis import HealthCheck, given, settings
from test_day_any_beer import beers

from assistant.advice.actions import Do
from assistant.advice.plan import Plan, make_plan
from assistant.advice.planned_course import Target, planned_course, planned_targets
from assistant.advice.timeline import Stage
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.course import (
    Expected,
    believed_c,
    expected_course,
    expected_targets,
    marks,
)
from assistant.day.events import DayBegan
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.day.timing import times
from assistant.schedule import Schedule


def expected_c(state: State, at_s: float) -> float:
    course = expected_course(state)
    return float(np.interp(at_s, [p.at_s for p in course], [p.temperature_c for p in course]))


def range_at(state: State, at_s: float) -> tuple[float, float]:
    course = expected_course(state)
    at = [point.at_s for point in course]
    low = np.interp(at_s, at, [point.low_c for point in course])
    return float(low), float(np.interp(at_s, at, [point.high_c for point in course]))


def target(state: State, name: str) -> Target:
    return next(t for t in expected_targets(state) if t.name == name)


def at_rest(schedule: Schedule, rest: int) -> Driven:
    """A day in one of its rests, at its temperature, all that came before done."""
    day = at_stage(schedule, Stage.MASH)
    for wanted in schedule.mash[: rest + 1]:
        if any(task.action.do is Do.HEAT for task in day.state.tasks):
            day.wait(300).done(Do.HEAT)
        day.read(Quantity.MASH_TEMPERATURE, wanted.temperature_c, "degC")
        if wanted is not schedule.mash[rest]:
            here = day.state.rest
            day.until(lambda state, here=here: state.rest > here or state.stage is not Stage.MASH)
    assert (day.state.stage, day.state.rest) == (Stage.MASH, rest)
    return day


def test_before_the_day_begins_nothing_is_believed_or_expected(
    amber: Schedule, amber_plan: Plan
) -> None:
    state = new_day(amber, amber_plan)
    assert believed_c(state) is None
    assert expected_course(state) == ()
    assert expected_targets(state) == ()
    assert marks(state) == ()


@pytest.mark.parametrize("stage", [Stage.PITCH, Stage.CLEAN, Stage.FINISHED])
def test_once_the_wort_has_left_the_kettle_nothing_is_expected_of_it(
    amber: Schedule, stage: Stage
) -> None:
    state = at_stage(amber, stage).state
    assert believed_c(state) is None
    assert expected_course(state) == ()
    assert [t.name for t in expected_targets(state)] == [
        "strike", "beta", "alpha", "mash-out", "boil", "steep", "chill"
    ]  # fmt: skip


def test_at_first_the_day_is_expected_to_go_as_planned(amber: Schedule, amber_plan: Plan) -> None:
    state = begun(amber).state
    for point in planned_course(amber, amber_plan):
        # The boil is expected some minutes later, as a kettle loses more with its lid off.
        near_c = [expected_c(state, point.at_s + late_s) for late_s in range(0, 300, 5)]
        assert min(abs(c - point.temperature_c) for c in near_c) < 2.1
    for planned, wanted in zip(
        planned_targets(amber, amber_plan), expected_targets(state), strict=True
    ):
        assert wanted.name == planned.name
        assert (wanted.low_c, wanted.high_c) == pytest.approx((planned.low_c, planned.high_c))
        assert planned.from_s - 1 <= wanted.from_s <= planned.from_s + 300


def test_the_stages_to_come_are_where_the_forecast_has_them(amber: Schedule) -> None:
    state = begun(amber).state
    foretold = times(state)
    assert target(state, "strike").until_s == foretold["strike_at_s"].at_s
    assert target(state, "boil").from_s == foretold["boil_at_s"].at_s
    assert expected_c(state, foretold["boil_at_s"].at_s) == pytest.approx(99.95, abs=0.01)
    before_s = foretold["pitch_at_s"].at_s - 60 * state.plan.stage_minutes(Stage.PITCH)
    assert expected_course(state)[-1].at_s == pytest.approx(before_s, abs=30)


def test_a_reading_is_where_the_course_begins(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE).number(11.0)
    day.until(lambda state: bool(state.asks)).number(31.8)
    assert believed_c(day.state) == pytest.approx(31.8, abs=0.5)
    first = expected_course(day.state)[0]
    assert first.at_s == day.at
    assert first.temperature_c == believed_c(day.state)


@pytest.mark.parametrize(("height", "boiling_c"), [(0.0, 100.0), (1500.0, 95.0), (3000.0, 90.0)])
def test_a_boil_is_at_the_boiling_point_of_its_height(
    amber: Schedule, height: float, boiling_c: float
) -> None:
    high = replace(amber, kettle=replace(amber.kettle, altitude_m=height))
    day = at_stage(high, Stage.BOIL)
    assert believed_c(day.state) == pytest.approx(boiling_c, abs=0.3)
    day.wait(600)
    assert expected_c(day.state, day.at + 1200) == pytest.approx(boiling_c, abs=0.3)
    wanted = target(day.state, "boil")
    assert wanted.low_c < boiling_c < wanted.high_c + 0.3


def test_a_rest_that_is_reached_late_puts_off_all_that_is_to_come(amber: Schedule) -> None:
    prompt = at_rest(amber, 0)
    prompt.until(lambda state: state.rest == 1)
    late = Driven(prompt.state, at=prompt.at)
    prompt.wait(300).done(Do.HEAT)
    late.wait(1500).done(Do.HEAT)
    after_s = {t.name: t.from_s for t in expected_targets(late.state)}
    for wanted in expected_targets(prompt.state):
        if wanted.name in ("strike", "beta"):
            assert after_s[wanted.name] == wanted.from_s
        else:
            assert after_s[wanted.name] > wanted.from_s + 900, wanted.name
    later = {mark.name: mark.at_s for mark in marks(late.state)}
    assert all(later[mark.name] > mark.at_s + 900 for mark in marks(prompt.state))


def test_a_rest_counts_from_when_it_is_warm_not_from_when_it_is_heated_to(amber: Schedule) -> None:
    day = at_rest(amber, 0)
    day.until(lambda state: state.rest == 1)
    heats_s = day.at
    ahead = target(day.state, "alpha")
    assert ahead.from_s > heats_s + 60
    day.wait(420).done(Do.HEAT)
    wanted = target(day.state, "alpha")
    assert (wanted.from_s, wanted.until_s) == (heats_s + 420, heats_s + 420 + 20 * 60)
    day.until(lambda state: state.rest == 2)
    assert target(day.state, "alpha") == wanted


def test_what_has_been_wanted_stays_where_it_was(amber: Schedule) -> None:
    day = begun(amber)
    over: list[Target] = []
    for stage in (Stage.DOUGH_IN, Stage.LIFT, Stage.WHIRLPOOL, Stage.TRANSFER, Stage.CLEAN):
        day.until(lambda state, stage=stage: _go_on(day, stage))
        found = list(expected_targets(day.state))
        assert found[: len(over)] == over, stage
        over = [wanted for wanted in found if wanted.until_s <= day.state.stage_at_s]
    names = ["strike", "beta", "alpha", "mash-out", "boil", "steep", "chill"]
    assert [wanted.name for wanted in over] == names


def _go_on(day: Driven, stage: Stage) -> bool:
    """Whether the stage is there; if not, the next thing to be done is done."""
    if day.state.stage is stage:
        return True
    timed = (Do.HOLD, Do.BOIL, Do.SETTLE)
    task = next((t for t in day.state.tasks if t.action.do not in timed), None)
    if task is not None:
        day.wait(60)
        if any(t.id == task.id for t in day.state.tasks):
            day.done(task.action.do)
    return day.state.stage is stage


def test_a_mash_that_is_left_too_cold_is_expected_to_go_on_cooling(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).read(Quantity.MASH_TEMPERATURE, 60.0, "degC")
    day.choose("leave it")
    rest = target(day.state, "beta")
    # By hand: 46 K over the room lose 147 W out of 126 kJ/K for 40 minutes, a little less later.
    assert expected_c(day.state, rest.until_s) == pytest.approx(60.0 - 2.7, abs=0.1)


def test_a_mash_that_is_warmed_is_expected_at_its_rest_when_the_heat_is_off(
    amber: Schedule,
) -> None:
    day = at_stage(amber, Stage.MASH).read(Quantity.MASH_TEMPERATURE, 60.0, "degC")
    day.choose("heat")
    off_s = next(t.due_s for t in day.state.timers if t.name == "heat off")
    assert expected_c(day.state, off_s) == pytest.approx(64.0)
    assert expected_c(day.state, (day.at + off_s) / 2) < 63.5


def test_the_range_of_a_heating_is_what_its_time_may_be_off(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP)
    boils = times(day.state)["boil_at_s"]
    low_c, high_c = range_at(day.state, boils.at_s)
    assert high_c == pytest.approx(99.95, abs=0.01)
    # What it would be had it come to boil later by what four days in five stay within.
    earlier_s = boils.at_s - 1.2816 * boils.spread_s
    assert low_c == pytest.approx(expected_c(day.state, earlier_s), abs=0.3)


def test_a_boil_is_sure_of_its_temperature_until_it_may_be_over(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    low_c, high_c = range_at(day.state, day.at + 1800)
    assert low_c == high_c == pytest.approx(99.95, abs=0.01)


def test_chilling_never_falls_below_what_cools_it(amber: Schedule) -> None:
    frosty = replace(amber, chill=replace(amber.chill, to_c=12.0))
    for day in (begun(frosty), at_stage(frosty, Stage.CHILL).wait(120)):
        cools_s = target(day.state, "boil").until_s
        cold = [point for point in expected_course(day.state) if point.at_s >= cools_s]
        assert cold[-1].temperature_c == pytest.approx(frosty.kettle.tap_water_c + 3)
        assert all(point.low_c >= frosty.kettle.tap_water_c for point in cold)


def test_additions_are_marked_when_they_are_due_and_then_when_they_went_in(
    amber: Schedule,
) -> None:
    day = at_stage(amber, Stage.BOIL)
    began_s = day.at
    first = marks(day.state)[0]
    assert (first.name, first.at_s, first.done) == (
        "Northern Brewer, 24 grams", began_s + 300, False
    )  # fmt: skip
    day.wait(420)
    due = next(mark for mark in marks(day.state) if mark.name == first.name)
    assert (due.at_s, due.done) == (day.at, False)
    day.command(Command.HOPS_IN)
    went_in = next(mark for mark in marks(day.state) if mark.name == first.name)
    assert (went_in.at_s, went_in.done) == (began_s + 420, True)


def test_an_addition_that_is_left_out_is_not_marked(amber: Schedule) -> None:
    state = at_stage(amber, Stage.BOIL).command(Command.FLAME_OUT).state
    assert [mark.name.partition(",")[0] for mark in marks(state)] == ["First Gold"]


def test_marks_speak_the_units_of_the_schedule(amber: Schedule) -> None:
    us = replace(amber, units=type(amber.units).US)
    assert marks(begun(us).state)[0].name == "Northern Brewer, 0.85 ounces"


def test_a_paused_boil_puts_off_what_is_to_come(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).wait(900)
    over_s = target(day.state, "boil").until_s
    due_s = {mark.name: mark.at_s for mark in marks(day.state) if not mark.done}
    day.command(Command.PAUSE).wait(600)
    assert target(day.state, "boil").until_s == pytest.approx(over_s + 600)
    for mark in marks(day.state):
        if mark.name in due_s:
            assert mark.at_s == pytest.approx(max(due_s[mark.name] + 600, day.at)), mark.name


def test_a_thermometer_off_the_boiling_point_is_not_believed_in_a_boil(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).wait(600).read(Quantity.KETTLE_TEMPERATURE, 96.0, "degC")
    day.command(Command.YES)
    assert day.state.batch.temperature_c < 97
    assert believed_c(day.state) == pytest.approx(99.95, abs=0.01)


def test_a_steep_counts_from_when_the_wort_is_cool_enough_and_waits_with_its_clock(
    amber: Schedule,
) -> None:
    day = at_stage(amber, Stage.WHIRLPOOL).wait(240)
    ahead = target(day.state, "steep")
    assert ahead.from_s >= day.at
    day.done(Do.CHILL)
    steep = target(day.state, "steep")
    assert (steep.from_s, steep.until_s) == (day.at, day.at + 20 * 60)
    day.wait(300).command(Command.PAUSE).wait(60)
    assert target(day.state, "steep").until_s == steep.until_s + 60
    day.command(Command.CARRY_ON)
    day.until(lambda state: not any(timer.name == "steep" for timer in state.timers))
    assert target(day.state, "steep").from_s == steep.from_s


def test_wort_that_chills_slowly_is_waited_for(amber: Schedule) -> None:
    day = at_stage(amber, Stage.CHILL).wait(1500).read(Quantity.KETTLE_TEMPERATURE, 50.0, "degC")
    # By hand: 50 to 18 over water of 11 °C is 1.72 folds of 360 s.
    assert target(day.state, "chill").from_s == pytest.approx(day.at + 620, abs=15)
    assert expected_course(day.state)[-1].at_s == pytest.approx(day.at + 620 + 900, abs=15)


def sound(state: State) -> None:
    """What holds of any day: see each assertion."""
    course, now_c = expected_course(state), believed_c(state)
    assert (course == ()) == (now_c is None)
    if now_c is not None:
        assert course[0].at_s == state.now_s
        assert course[0].temperature_c == now_c
    for point in course:
        assert isinstance(point, Expected)
        assert -5 <= point.low_c <= point.temperature_c <= point.high_c <= 110
    assert all(a.at_s <= b.at_s for a, b in pairwise(course))
    wanted = expected_targets(state)
    assert all(t.from_s < t.until_s and -15 < t.low_c < t.high_c < 110 for t in wanted)
    assert all(a.from_s <= b.from_s for a, b in pairwise(wanted))
    found = marks(state)
    assert all(a.at_s <= b.at_s for a, b in pairwise(found))
    assert all(
        (mark.at_s <= state.now_s) if mark.done else (mark.at_s >= state.now_s) for mark in found
    )


DAYS = settings(max_examples=80, suppress_health_check=list(HealthCheck))


@DAYS
@given(taken=ANY_STEPS)
def test_any_order_of_a_day_has_a_course(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        state, _ = advance(state, event_of(state, step))
        sound(state)


@DAYS
@given(beer=beers(), taken=ANY_STEPS)
def test_any_beer_in_any_kettle_has_a_course(beer: Schedule, taken: list) -> None:
    try:
        plan = make_plan(beer)
    except (NeverReaches, OutOfRange):
        return
    state, _ = advance(new_day(beer, plan), DayBegan(at=0))
    for step in taken:
        state, _ = advance(state, event_of(state, step))
        sound(state)
