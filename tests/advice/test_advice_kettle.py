"""The kettle as it is learned from readings."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.batch import Batch, fresh_batch, temperature_now_c
from assistant.advice.batch_readings import (
    with_gravity,
    with_learned_kettle,
    with_temperature,
    with_volume,
)
from assistant.advice.happenings import (
    at_moment,
    boiling,
    doughed_in,
    heat_turned,
    lifted,
    transferred,
    with_water,
)
from assistant.advice.kettle import LIMITS, Content, figures_of
from assistant.advice.learned import (
    CARD_FIELDS,
    Figure,
    LearnedKettle,
    Trait,
    card_figure,
    with_learned,
    with_traits,
)
from assistant.advice.plan import Plan, make_plan
from assistant.brewing.errors import NeverReaches
from assistant.brewing.heat import mash_temperature_c, temperature_after
from assistant.schedule import Schedule


@pytest.fixture
def fresh(amber: Schedule, amber_plan: Plan) -> Batch:
    return fresh_batch(amber, amber_plan, 0)


def heated(batch: Batch, schedule: Schedule, seconds: float) -> Batch:
    return at_moment(heat_turned(batch, schedule.kettle, 1.0, 0), schedule.kettle, seconds)


def test_heating_goes_by_the_heat_balance_once_the_metal_is_warm(
    fresh: Batch, amber: Schedule
) -> None:
    kettle = amber.kettle
    warm_c = temperature_now_c(heat_turned(fresh, kettle, 1.0, 0), kettle, 1800)
    lossless_of_lag = temperature_after(
        capacity_j_k=fresh.volume_l * 0.9982 * 4186 + kettle.heat_capacity_j_k,
        from_c=kettle.tap_water_c,
        seconds=1800 - fresh.belief.value(Trait.COAST),
        power_w=kettle.heater.reaches_w,
        loss_w_k=kettle.heat_loss_w_k,
        room_c=kettle.room_c,
    )
    assert warm_c == pytest.approx(float(lossless_of_lag), abs=0.02)


def test_a_mash_goes_on_warming_after_the_heat_is_off(fresh: Batch, amber: Schedule) -> None:
    hot = heated(fresh, amber, 1800)
    off = heat_turned(hot, amber.kettle, 0.0, 1800)
    assert temperature_now_c(off, amber.kettle, 1830) > temperature_now_c(off, amber.kettle, 1800)
    assert temperature_now_c(off, amber.kettle, 5400) < temperature_now_c(off, amber.kettle, 1830)


def test_the_mash_lands_where_the_heat_balance_says(fresh: Batch, amber: Schedule) -> None:
    hot = with_temperature(fresh, amber, 67.4, 0)
    landed = doughed_in(hot, amber, 0)
    assert landed.temperature_c == pytest.approx(
        mash_temperature_c(
            strike_c=hot.temperature_c,
            grain_c=amber.kettle.room_c,
            grain_kg=amber.grain_kg,
            water_l=hot.volume_l,
            kettle_j_k=amber.kettle.heat_capacity_j_k,
        )
    )
    assert doughed_in(landed, amber, 60) == landed


@pytest.mark.parametrize("strength", [0.88, 1.0, 1.12])
def test_two_readings_of_a_heating_tell_the_heater_to_two_per_cent(
    fresh: Batch, amber: Schedule, strength: float
) -> None:
    kettle = amber.kettle
    batch = with_temperature(heat_turned(fresh, kettle, 1.0, 0), amber, kettle.tap_water_c, 0)
    for at_s in (900.0, 1800.0):
        shown_c = temperature_after(
            capacity_j_k=fresh.volume_l * 0.9982 * 4186 + kettle.heat_capacity_j_k,
            from_c=kettle.tap_water_c,
            seconds=at_s - 8,
            power_w=strength * kettle.heater.reaches_w,
            loss_w_k=kettle.heat_loss_w_k,
            room_c=kettle.room_c,
        )
        batch = with_temperature(batch, amber, float(shown_c), at_s)
    believed = batch.belief.value(Trait.HEATER) / kettle.heater.efficiency
    assert believed == pytest.approx(strength, abs=0.02)
    assert batch.belief.spread(Trait.HEATER) < 0.5 * fresh.belief.spread(Trait.HEATER)


def test_a_volume_late_in_the_boil_tells_what_boils_off(fresh: Batch, amber: Schedule) -> None:
    batch = boiling(with_volume(lifted(fresh, amber, 0), amber, 24.2, 0), amber, 60, on=True)
    read = with_volume(batch, amber, 24.2 - 3.4, 3660)
    assert 2.9 < read.belief.value(Trait.BOIL_OFF) < 3.4
    assert read.belief.spread(Trait.BOIL_OFF) < batch.belief.spread(Trait.BOIL_OFF)


def test_what_the_bag_kept_is_learned_from_the_volume_after_it(
    fresh: Batch, amber: Schedule
) -> None:
    batch = with_volume(lifted(fresh, amber, 0), amber, 25.0, 60)
    assert batch.belief.value(Trait.ABSORPTION) < amber.kettle.absorption_l_kg - 0.08


def test_what_stays_with_the_trub_is_learned_in_the_fermenter(
    fresh: Batch, amber: Schedule
) -> None:
    batch = with_volume(lifted(fresh, amber, 0), amber, 21.4, 0)
    moved = transferred(batch, amber, 60)
    read = with_volume(moved, amber, moved.volume_l - 0.5, 120)
    assert read.belief.value(Trait.LEFT_BEHIND) > amber.kettle.left_behind_l + 0.1


def test_one_gravity_misread_by_ten_points_moves_nothing_far(fresh: Batch, amber: Schedule) -> None:
    batch = lifted(fresh, amber, 0)
    for at_s in (0.0, 60.0):
        batch = with_gravity(with_volume(batch, amber, 24.2, at_s), amber, 1.0455, at_s)
    stray = with_gravity(batch, amber, 1.0555, 120)
    moved_kg = stray.extract_kg - batch.extract_kg
    assert 0 < moved_kg < 2 * batch.belief.spread(Content.EXTRACT_KG)
    believed = stray.belief.value(Trait.EXTRACT) - batch.belief.value(Trait.EXTRACT)
    assert believed < 2 * batch.belief.spread(Trait.EXTRACT)


def test_the_same_odd_reading_again_and_again_is_believed_in_the_end(
    fresh: Batch, amber: Schedule
) -> None:
    batch = with_volume(lifted(fresh, amber, 0), amber, 24.2, 0)
    for at_s in range(1, 40):
        batch = with_volume(batch, amber, 22.0, float(at_s))
    assert batch.volume_l == pytest.approx(22.0, abs=0.3)


def test_hot_water_nobody_told_of_says_nothing_of_the_heater(fresh: Batch, amber: Schedule) -> None:
    batch = with_temperature(fresh, amber, 55.0, 60)
    assert batch.temperature_c == 55.0
    assert batch.belief.traits == fresh.belief.traits


def test_a_confirmed_reading_counts_for_more(fresh: Batch, amber: Schedule) -> None:
    batch = with_volume(lifted(fresh, amber, 0), amber, 24.2, 0)
    doubted = with_volume(batch, amber, 21.5, 60).volume_l
    assert with_volume(batch, amber, 21.5, 60, confirmed=True).volume_l < doubted - 0.3


def test_the_next_brew_starts_where_this_one_ended_a_little_less_sure(
    amber: Schedule, fresh: Batch
) -> None:
    batch = boiling(with_volume(lifted(fresh, amber, 0), amber, 24.2, 0), amber, 60, on=True)
    batch = with_volume(batch, amber, 24.2 - 3.4, 3660)
    learned = LearnedKettle(kettle="garage", brews=1, figures=figures_of(batch.belief, {}))
    schedule = with_learned(amber, learned)
    next_day = fresh_batch(schedule, make_plan(schedule), 0, learned)
    assert next_day.belief.value(Trait.BOIL_OFF) == batch.belief.value(Trait.BOIL_OFF)
    assert schedule.kettle.boil_off_l_h == batch.belief.value(Trait.BOIL_OFF)
    ended, starts = (b.belief.spread(Trait.BOIL_OFF) for b in (batch, next_day))
    assert ended < starts < fresh.belief.spread(Trait.BOIL_OFF)


CARDS_EDGES = [
    (Trait.HEATER, 0.05),
    (Trait.HEATER, 1.0),
    (Trait.HEAT_LOSS, 0.1),
    (Trait.HEAT_LOSS, 100.0),
    (Trait.HEAT_CAPACITY, 50.0),
    (Trait.HEAT_CAPACITY, 100_000.0),
    (Trait.BOIL_OFF, 0.1),
    (Trait.BOIL_OFF, 30.0),
    (Trait.ABSORPTION, 0.0),
    (Trait.ABSORPTION, 2.0),
    (Trait.LEFT_BEHIND, 0.0),
    (Trait.LEFT_BEHIND, 20.0),
    (Trait.EXTRACT, 0.2),
    (Trait.EXTRACT, 1.0),
]
"""The least and the most that a kettle file may say."""


@pytest.mark.parametrize(("trait", "figure"), CARDS_EDGES)
def test_a_card_at_the_edge_of_what_is_allowed_is_believed_until_something_is_read(
    amber: Schedule, amber_plan: Plan, trait: Trait, figure: float
) -> None:
    odd = replace(amber, kettle=with_traits(amber.kettle, {trait: figure}))
    later = at_moment(fresh_batch(odd, amber_plan, 0), odd.kettle, 60)
    assert later.belief.value(trait) == pytest.approx(figure)
    assert card_figure(with_learned_kettle(odd, later).kettle, trait) == pytest.approx(figure)


@pytest.mark.parametrize("trait", CARD_FIELDS)
def test_whatever_a_kettle_teaches_its_next_beer_can_be_planned(
    amber: Schedule, trait: Trait
) -> None:
    for figure in LIMITS[trait]:
        taught = replace(amber, kettle=with_traits(amber.kettle, {trait: figure}))
        try:
            make_plan(taught)
        except NeverReaches:
            # What loses 300 W/K is no kettle that this heater could boil: that is told, not a sum.
            assert trait is Trait.HEAT_LOSS


def test_no_kettle_is_ever_surer_at_the_start_than_its_days_differ(amber: Schedule) -> None:
    figures = {Trait.BOIL_OFF: Figure(value=2.7, spread=1e-6, card=2.6)}
    learned = LearnedKettle(kettle="garage", brews=9, figures=figures)
    schedule = with_learned(amber, learned)
    day = fresh_batch(schedule, make_plan(schedule), 0, learned)
    assert day.belief.spread(Trait.BOIL_OFF) == pytest.approx(0.05 * 2.7, rel=1e-3)


STEPS = st.one_of(
    st.tuples(st.just("volume"), st.floats(0.2, 60.0)),
    st.tuples(st.just("gravity"), st.floats(1.0, 1.12)),
    st.tuples(st.just("temperature"), st.floats(0.0, 103.0)),
    st.tuples(st.just("heat"), st.sampled_from([0.0, 0.3, 1.0])),
    st.tuples(st.just("water"), st.floats(0.1, 5.0)),
    st.tuples(st.just("wait"), st.floats(1.0, 7200.0)),
    st.tuples(st.sampled_from(["grain", "lift", "boil", "off", "transfer"]), st.just(0.0)),
)


@given(steps=st.lists(STEPS, max_size=25))
def test_whatever_is_read_or_done_what_is_believed_stays_sound(
    amber: Schedule, amber_plan: Plan, steps: list[tuple[str, float]]
) -> None:
    batch, at_s = fresh_batch(amber, amber_plan, 0), 0.0
    for what, value in steps:
        at_s += value if what == "wait" else 30.0
        match what:
            case "volume":
                batch = with_volume(batch, amber, value, at_s)
            case "gravity":
                batch = with_gravity(batch, amber, value, at_s)
            case "temperature":
                batch = with_temperature(batch, amber, value, at_s)
            case "heat":
                batch = heat_turned(batch, amber.kettle, value, at_s)
            case "water":
                batch = with_water(batch, amber.kettle, value, at_s, water_c=11.0)
            case "grain":
                batch = doughed_in(batch, amber, at_s)
            case "lift":
                batch = lifted(batch, amber, at_s)
            case "boil" | "off":
                batch = boiling(batch, amber, at_s, on=what == "boil")
            case "transfer":
                batch = transferred(batch, amber, at_s)
            case _:
                batch = at_moment(batch, amber.kettle, at_s)
    assert all(math.isfinite(value) for value in batch.contents)
    covariance = np.array(batch.belief.covariance)
    assert np.allclose(covariance, covariance.T)
    assert np.linalg.eigvalsh(covariance).min() > -1e-6 * max(covariance.max(), 1.0)
    for trait, (low, high) in LIMITS.items():
        assert low <= batch.belief.value(trait) <= high
