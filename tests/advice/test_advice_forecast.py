"""The batch as believed, and where it is heading."""

import pytest

from assistant.advice.batch import (
    Place,
    believed_gravity,
    fresh_batch,
    gravity_now,
    kettle_volume_l,
    volume_now_l,
)
from assistant.advice.batch_readings import with_gravity, with_volume
from assistant.advice.bitterness import Dose
from assistant.advice.ending import outcome
from assistant.advice.forecast import Moment, Prospect, make_forecast
from assistant.advice.happenings import boiling, lifted, transferred, with_extract, with_water
from assistant.advice.plan import Plan
from assistant.advice.wort_options import dry_extract
from assistant.schedule import Schedule


def prospect(boil_min: float) -> Prospect:
    return Prospect(
        boil_minutes_left=boil_min,
        extracts_to_come=(),
        top_up_l=0.0,
        doses=(Dose(weight_g=24, alpha=0.084, minutes=60),),
        boiling_c=99.95,
        times={
            "strike_at_s": Moment(at_s=3_000.0, spread_s=200.0),
            "boil_at_s": Moment(at_s=9_000.0, spread_s=300.0),
            "pitch_at_s": Moment(at_s=18_000.0, spread_s=600.0),
        },
    )


def test_a_batch_nobody_has_read_ends_as_planned(amber: Schedule, amber_plan: Plan) -> None:
    forecast = make_forecast(fresh_batch(amber, amber_plan, 0), amber, prospect(65), 0)
    assert forecast.original_gravity == pytest.approx(amber_plan.original_gravity, abs=1e-6)
    assert forecast.fermenter_volume_l == pytest.approx(amber_plan.fermenter_volume_l)


def test_readings_narrow_the_range(amber: Schedule, amber_plan: Plan) -> None:
    batch = lifted(fresh_batch(amber, amber_plan, 0), amber, 0)
    before = make_forecast(batch, amber, prospect(65), 0)
    read = with_gravity(with_volume(batch, amber, 24.2, 0), amber, 1.044, 0)
    after = make_forecast(read, amber, prospect(65), 0)

    def width(forecast: object, name: str) -> float:
        low, high = forecast.low_high[name]  # type: ignore[attr-defined]
        return float(high - low)

    assert width(after, "original_gravity") < 0.6 * width(before, "original_gravity")
    for name, (low, high) in after.low_high.items():
        assert low < getattr(after, name) < high, name


def test_extract_is_conserved_through_boil_and_water(amber: Schedule, amber_plan: Plan) -> None:
    batch = boiling(lifted(fresh_batch(amber, amber_plan, 0), amber, 0), amber, 0, on=True)
    later = with_water(batch, amber.kettle, 1.0, 3600)
    assert later.extract_kg == batch.extract_kg
    assert later.volume_l == pytest.approx(batch.volume_l - amber.kettle.boil_off_l_h + 1.0)


def test_boiling_takes_away_water_only_while_it_boils(amber: Schedule, amber_plan: Plan) -> None:
    still = lifted(fresh_batch(amber, amber_plan, 0), amber, 0)
    assert volume_now_l(still, amber.kettle, 7200) == still.volume_l
    on = boiling(still, amber, 0, on=True)
    assert volume_now_l(on, amber.kettle, 1800) == pytest.approx(
        still.volume_l - amber.kettle.boil_off_l_h / 2
    )


def test_the_bag_takes_its_water_with_it_once(amber: Schedule, amber_plan: Plan) -> None:
    batch = fresh_batch(amber, amber_plan, 0)
    out = lifted(batch, amber, 0)
    assert out.volume_l == pytest.approx(amber_plan.preboil_volume_l)
    assert lifted(out, amber, 10) == out
    assert kettle_volume_l(batch, amber, 0) == pytest.approx(out.volume_l)


@pytest.mark.parametrize("volume_first", [True, False])
def test_volume_and_gravity_of_one_sample_give_the_extract_in_either_order(
    amber: Schedule, amber_plan: Plan, volume_first: bool
) -> None:
    batch = lifted(fresh_batch(amber, amber_plan, 0), amber, 0)
    if volume_first:
        batch = with_gravity(with_volume(batch, amber, 25.0, 0), amber, 1.040, 60)
    else:
        batch = with_volume(with_gravity(batch, amber, 1.040, 0), amber, 25.0, 60)
    # By hand: 25 L × 1.040 × 0.9982 kg/L × 9.99 °P = 2.593 kg; 2.8 kg were expected.
    assert batch.extract_kg == pytest.approx(2.593, abs=0.02)


def test_a_volume_read_after_a_gravity_tells_of_the_extract_too(
    amber: Schedule, amber_plan: Plan
) -> None:
    batch = lifted(fresh_batch(amber, amber_plan, 0), amber, 0)
    batch = with_gravity(batch, amber, 1.044, 0)
    less = with_volume(batch, amber, 23.5, 900)
    assert less.extract_kg < batch.extract_kg
    assert gravity_now(less, amber, 900) == pytest.approx(1.044, abs=0.0005)


def test_water_put_in_between_is_no_extract_gone(amber: Schedule, amber_plan: Plan) -> None:
    batch = lifted(fresh_batch(amber, amber_plan, 0), amber, 0)
    batch = with_volume(with_gravity(batch, amber, 1.045, 0), amber, 24.2, 60)
    thinner = with_water(batch, amber.kettle, 2.0, 120)
    later = with_gravity(thinner, amber, gravity_now(thinner, amber, 180), 180)
    assert later.extract_kg == pytest.approx(batch.extract_kg, rel=1e-6)


def test_what_runs_into_the_fermenter_leaves_its_share_of_extract_behind(
    amber: Schedule, amber_plan: Plan
) -> None:
    batch = lifted(fresh_batch(amber, amber_plan, 0), amber, 0)
    moved = transferred(batch, amber, 0)
    assert moved.place is Place.FERMENTER
    assert moved.volume_l == pytest.approx(batch.volume_l - amber.kettle.left_behind_l)
    assert gravity_now(moved, amber, 0) == pytest.approx(gravity_now(batch, amber, 0))
    assert transferred(moved, amber, 10) == moved


def test_topping_up_thins_bitterness_with_the_wort(amber: Schedule, amber_plan: Plan) -> None:
    moved = transferred(lifted(fresh_batch(amber, amber_plan, 0), amber, 0), amber, 0)
    thinned = with_water(moved, amber.kettle, moved.volume_l, 10)
    end = outcome(thinned, amber, at_s=10, boil_minutes_left=0, extracts_to_come=(), top_up_l=0)
    assert end.undiluted == pytest.approx(0.5)


def test_sugar_raises_the_gravity_by_what_its_extract_weighs(
    amber: Schedule, amber_plan: Plan
) -> None:
    # A kilogram of sucrose in 10 L: 386 point litres to the kilogram, 38.6 points.
    assert believed_gravity(1.0, 10.0) == pytest.approx(1.0386, abs=0.0003)
    fresh = fresh_batch(amber, amber_plan, 0)
    batch = with_extract(fresh, amber.kettle, dry_extract(0.5 / 0.96), 0)
    assert batch.extract_kg == pytest.approx(fresh.extract_kg + 0.5)


def test_a_boil_nobody_ends_stays_within_the_tables(amber: Schedule, amber_plan: Plan) -> None:
    on = boiling(lifted(fresh_batch(amber, amber_plan, 0), amber, 0), amber, 0, on=True)
    assert gravity_now(on, amber, 40 * 3600) < 1.15
