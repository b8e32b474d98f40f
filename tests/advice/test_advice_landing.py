"""Where remedies land in the worlds that stand for what is believed."""

from dataclasses import replace

import numpy as np
import pytest

from assistant.advice.batch import Batch, Place, fresh_batch
from assistant.advice.ending import outcome
from assistant.advice.happenings import boiling, lifted, transferred, with_extract, with_water
from assistant.advice.kettle import AT
from assistant.advice.landing import (
    UNKNOWN,
    Ahead,
    Changes,
    best_top_up_l,
    ends,
    likely_top_up_l,
    look_ahead,
    off_by,
    scores,
    stops_at_l,
)
from assistant.advice.plan import Plan
from assistant.advice.wort_options import dry_extract, with_boil
from assistant.day.outlook import unlimited
from assistant.day.state import new_day
from assistant.schedule import Schedule


@pytest.fixture
def wort(amber: Schedule, amber_plan: Plan) -> Batch:
    return lifted(fresh_batch(amber, amber_plan, 0), amber, 0)


def ahead_of(batch: Batch, schedule: Schedule, plan: Plan) -> Ahead:
    return look_ahead(batch, schedule, plan, unlimited(new_day(schedule, plan)))


def known(batch: Batch) -> Batch:
    """The batch as if everything were known exactly."""
    size = len(batch.belief.covariance)
    nothing = tuple((0.0,) * size for _ in range(size))
    return replace(batch, belief=replace(batch.belief, covariance=nothing))


@pytest.mark.parametrize(
    ("boil_min", "dry_kg", "water_l"),
    [(0, 0, 0), (20, 0, 0), (-10, 0, 0), (0, 0.4, 0), (0, 0, 1.5), (12, 0.2, 0), (0, 0.3, 1.0)],
)
def test_in_a_known_world_a_remedy_ends_where_the_forecast_says(
    wort: Batch,
    amber: Schedule,
    amber_plan: Plan,
    boil_min: float,
    dry_kg: float,
    water_l: float,
) -> None:
    points, litres = ends(
        ahead_of(known(wort), amber, amber_plan),
        Changes.of(boil_min=boil_min, dry_kg=dry_kg, water_l=water_l),
    )
    changed = with_boil(unlimited(new_day(amber, amber_plan)), boil_min)
    batch = with_extract(wort, amber.kettle, dry_extract(dry_kg), 0)
    end = outcome(
        with_water(batch, amber.kettle, water_l, 0),
        amber,
        at_s=0,
        boil_minutes_left=changed.boil_minutes_left,
        extracts_to_come=(),
        top_up_l=0,
    )
    assert points.mean() == pytest.approx(1000 * (end.original_gravity - 1), abs=0.25)
    assert litres.mean() == pytest.approx(end.fermenter_volume_l, abs=0.02)


def test_the_worlds_have_the_mean_and_the_spread_of_what_is_believed(
    wort: Batch, amber: Schedule, amber_plan: Plan
) -> None:
    ahead = ahead_of(wort, amber, amber_plan)
    places = [AT[row] for row in UNKNOWN[:4]]
    worlds = np.array([ahead.litres, ahead.extract_kg, ahead.boil_off_l_h, ahead.left_behind_l])
    believed = np.array((*wort.belief.traits, *wort.contents))[places]
    assert worlds.mean(axis=1) == pytest.approx(believed)
    covariance = np.array(wort.belief.covariance)[np.ix_(places, places)]
    assert np.cov(worlds, bias=True) == pytest.approx(covariance, abs=1e-9)


def test_one_and_a_half_points_count_as_much_as_four_tenths_of_a_litre() -> None:
    points, litres, none = np.array([1.5]), np.array([0.4]), np.zeros(1)
    assert off_by(points, none, in_fermenter=True)[0] == pytest.approx(1.0)
    assert off_by(none, litres, in_fermenter=True)[0] == pytest.approx(1.0)
    assert off_by(none, -litres, in_fermenter=False)[0] == pytest.approx(1.0)


def test_too_much_wort_can_be_left_in_the_kettle_but_not_taken_out_of_the_fermenter() -> None:
    much, none = np.array([3.0]), np.zeros(1)
    in_kettle, inside = (
        off_by(none, much, in_fermenter=in_fermenter)[0] for in_fermenter in (False, True)
    )
    assert in_kettle < 0.2 * inside


def test_a_wort_that_may_come_out_strong_is_better_than_one_that_may_come_out_weak(
    wort: Batch, amber: Schedule, amber_plan: Plan
) -> None:
    def counts(share: float) -> float:
        batch = known(replace(wort, extract_kg=share * wort.extract_kg))
        return float(scores(ahead_of(batch, amber, amber_plan), Changes.of())[0])

    assert counts(1.0) < 0.1
    assert counts(1.04) < 0.75 * counts(0.96)


def test_strong_wort_stops_sooner_by_what_it_is_let_down_with(
    wort: Batch, amber: Schedule, amber_plan: Plan
) -> None:
    as_planned = ahead_of(known(wort), amber, amber_plan)
    assert stops_at_l(as_planned, let_down=True) == pytest.approx(20.0, abs=0.05)
    assert likely_top_up_l(as_planned) < 0.1
    strong = known(replace(wort, extract_kg=1.06 * wort.extract_kg))
    # By hand: 6 % too strong, 20 L of beer want 20 / 1.06 = 18.9 L of it and 1.1 L of water.
    ahead = ahead_of(strong, amber, amber_plan)
    assert stops_at_l(ahead, let_down=True) == pytest.approx(18.9, abs=0.1)
    assert stops_at_l(ahead, let_down=False) == 20.0
    assert likely_top_up_l(ahead) == pytest.approx(1.0, abs=0.25)


def test_the_fermenter_is_topped_up_to_the_best_of_gravity_and_volume(
    wort: Batch, amber: Schedule, amber_plan: Plan
) -> None:
    boiled = boiling(boiling(wort, amber, 0, on=True), amber, 65 * 60, on=False)
    inside = known(transferred(boiled, amber, 65 * 60))
    assert inside.place is Place.FERMENTER
    short = replace(inside, volume_l=0.95 * inside.volume_l)
    # A litre short at twenty twentieths of the extract: all of it is water.
    assert best_top_up_l(ahead_of(short, amber, amber_plan), most_l=3.0) == pytest.approx(
        1.0, abs=0.1
    )
    assert best_top_up_l(ahead_of(inside, amber, amber_plan), most_l=3.0) == 0.0


def test_extract_that_was_advised_leaves_its_share_with_the_trub(
    wort: Batch, amber: Schedule
) -> None:
    richer = with_extract(wort, amber.kettle, dry_extract(0.3), 0, advised=True)
    assert richer.advised_kg == pytest.approx(0.3 * 0.96)
    assert with_extract(wort, amber.kettle, dry_extract(0.3), 0).advised_kg == 0.0
    inside = transferred(richer, amber, 0)
    # By hand: of 24.2 L and what the extract swells it by, 1.4 L stay behind.
    moved = 1 - amber.kettle.left_behind_l / richer.volume_l
    assert inside.advised_kg == pytest.approx(moved * richer.advised_kg, rel=1e-3)
    assert inside.advised_kg / inside.extract_kg == pytest.approx(
        richer.advised_kg / richer.extract_kg, rel=1e-3
    )
