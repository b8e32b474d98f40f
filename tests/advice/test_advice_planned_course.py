"""The kettle's temperature by plan, against the plan it is drawn from."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from sample_files import SAMPLES

from assistant.advice.plan import Plan, make_plan
from assistant.advice.planned_course import Target, planned_course, planned_targets
from assistant.advice.timeline import Stage
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.heat import mash_heat_capacity_j_k, temperature_after
from assistant.schedule import Schedule, ScheduleError, load, load_text

FILES = sorted(SAMPLES.glob("*.yaml"))


def starts_s(plan: Plan, stage: Stage) -> float:
    return 60 * next(p.starts_min for p in plan.stages if p.stage == stage.value)


def planned_c(schedule: Schedule, plan: Plan, at_s: float) -> float:
    course = planned_course(schedule, plan)
    return float(np.interp(at_s, [p.at_s for p in course], [p.temperature_c for p in course]))


def target(schedule: Schedule, plan: Plan, name: str) -> Target:
    return next(t for t in planned_targets(schedule, plan) if t.name == name)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_sample_day_is_within_its_targets_when_they_count(file: Path) -> None:
    schedule = load(file)
    plan = make_plan(schedule)
    for wanted in planned_targets(schedule, plan):
        for at_s in (wanted.from_s, wanted.until_s):
            assert wanted.low_c <= planned_c(schedule, plan, at_s) <= wanted.high_c, wanted


def test_each_rest_is_at_its_temperature_from_when_the_plan_says_until_it_is_over(
    amber: Schedule, amber_plan: Plan
) -> None:
    for rest in amber.mash:
        wanted = target(amber, amber_plan, rest.name)
        assert wanted.until_s - wanted.from_s == pytest.approx(60 * rest.minutes)
        for at_s in (wanted.from_s, wanted.until_s):
            assert planned_c(amber, amber_plan, at_s) == pytest.approx(rest.temperature_c)


def test_the_last_rest_ends_with_the_mash(amber: Schedule, amber_plan: Plan) -> None:
    last = target(amber, amber_plan, amber.mash[-1].name)
    assert last.until_s == pytest.approx(starts_s(amber_plan, Stage.LIFT))


def test_the_water_warms_from_the_tap_as_fast_as_the_heater_and_the_room_allow(
    amber: Schedule, amber_plan: Plan
) -> None:
    kettle, heat_s = amber.kettle, starts_s(amber_plan, Stage.STRIKE)
    for share in (0.0, 0.3, 0.5, 0.8, 1.0):
        seconds = share * 60 * amber_plan.strike_heat_minutes
        by_the_sum_c = temperature_after(
            capacity_j_k=mash_heat_capacity_j_k(
                amber_plan.strike_volume_l, 0.0, kettle.heat_capacity_j_k
            ),
            from_c=kettle.tap_water_c,
            seconds=seconds,
            power_w=kettle.heater.reaches_w,
            loss_w_k=kettle.heat_loss_w_k,
            room_c=kettle.room_c,
        )
        drawn_c = planned_c(amber, amber_plan, heat_s + seconds)
        assert drawn_c == pytest.approx(by_the_sum_c, abs=0.3)


@pytest.mark.parametrize(
    ("stage", "wanted_c"),
    [
        (Stage.GATHER, 11.0),
        (Stage.MASH, 64.0),
        (Stage.LIFT, 77.0),
        (Stage.BOIL, 99.95),
        (Stage.WHIRLPOOL, 99.95),
        (Stage.TRANSFER, 18.0),
    ],
)
def test_stages_begin_at_their_temperatures(
    amber: Schedule, amber_plan: Plan, stage: Stage, wanted_c: float
) -> None:
    at_s = starts_s(amber_plan, stage)
    assert planned_c(amber, amber_plan, at_s) == pytest.approx(wanted_c, abs=0.05)


def test_the_course_ends_when_the_wort_has_left_the_kettle(
    amber: Schedule, amber_plan: Plan
) -> None:
    assert planned_course(amber, amber_plan)[-1].at_s == starts_s(amber_plan, Stage.PITCH)


def test_chilling_slows_down_on_its_way_to_the_cooling_water(
    amber: Schedule, amber_plan: Plan
) -> None:
    from_s, until_s = starts_s(amber_plan, Stage.CHILL), starts_s(amber_plan, Stage.TRANSFER)
    third_s = (until_s - from_s) / 3
    falls = [
        planned_c(amber, amber_plan, from_s + third * third_s)
        - planned_c(amber, amber_plan, from_s + (third + 1) * third_s)
        for third in range(3)
    ]
    # By hand: 77.2 to 18 over water of 11 °C is 2.25 folds, so each third leaves 0.47 of the rest.
    assert falls[1] / falls[0] == pytest.approx(0.47, abs=0.02)
    assert falls[2] / falls[1] == pytest.approx(0.47, abs=0.02)


def test_whirlpool_hops_have_a_steep_and_a_beer_without_has_none() -> None:
    for file in FILES:
        schedule = load(file)
        names = [wanted.name for wanted in planned_targets(schedule, make_plan(schedule))]
        hops = any(addition.moment.value == "whirlpool" for addition in schedule.additions)
        assert ("steep" in names) == hops, file


def test_wort_that_is_topped_up_with_cold_water_may_be_run_off_warmer() -> None:
    warmer = load(SAMPLES / "galley-bitter.yaml")
    wanted = target(warmer, make_plan(warmer), "chill")
    assert wanted.low_c > warmer.ferment.low_c
    assert wanted.high_c > warmer.ferment.high_c + 2


@st.composite
def beers(draw: st.DrawFn) -> Schedule:
    """A schedule the loader accepts, from the span of kettles and rests it accepts."""

    def one(low: float, high: float) -> float:
        return round(draw(st.floats(min_value=low, max_value=high)), 3)

    rests = sorted(one(35, 78) for _ in range(draw(st.integers(1, 3))))
    hops_at = draw(st.sampled_from(["whirlpool", "9 min"]))
    text = f"""
beer: odd
volume: 20 L
kettle: {{holds: 60 L, heater: {{power: {one(1, 9)} kW}}, room: {one(0, 40)} degC,
  tap_water: {one(1, 30)} degC, altitude: {one(-400, 4500)} m}}
grist: [{{malt: m, weight: {one(1, 9)} kg}}]
mash: [{", ".join(f"{{at: {t} degC, for: 20 min}}" for t in rests)}]
boil: {{for: 60 min}}
additions: [{{add: h, weight: 9 g, alpha: 5 %, at: {hops_at}}}]
whirlpool: {{at: {one(60, 99)} degC, steep: {one(0, 60)} min, settle: {one(0, 60)} min}}
chill: {{to: {one(8, 30)} degC, method: {draw(st.sampled_from(["coil", "ice bath"]))}}}
yeast: {{attenuation: 75 %}}
"""
    try:
        return load_text(text, "odd.yaml")
    except ScheduleError:
        assume(False)
        raise


@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(beer=beers())
def test_any_beer_has_a_course_whose_time_never_goes_back(beer: Schedule) -> None:
    try:
        plan = make_plan(beer)
    except (NeverReaches, OutOfRange):
        assume(False)
        raise
    course = planned_course(beer, plan)
    assert course[0].at_s == 0
    assert all(a.at_s <= b.at_s for a, b in pairwise(course))
    coldest_c = min(beer.kettle.tap_water_c, beer.kettle.room_c, 3.0)
    assert all(coldest_c - 0.01 <= p.temperature_c <= 105 for p in course)
    for wanted in planned_targets(beer, plan):
        assert wanted.from_s <= wanted.until_s
        assert wanted.low_c < wanted.high_c
