"""Water, room and grain as they are read, and the strike temperature that follows from them."""

from dataclasses import replace

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.brewing.water import mash_volume_l
from assistant.day.effects import TaskOpened
from assistant.day.events import Source
from assistant.day.quantities import Quantity
from assistant.schedule import Schedule


def struck(schedule: Schedule) -> Driven:
    return begun(schedule).wait(60).done(Do.FILL)


def target_c(day: Driven) -> float:
    to_c = day.task(Do.HEAT).action.to_c
    assert to_c is not None
    return to_c


def test_a_colder_room_wants_hotter_water(amber: Schedule) -> None:
    day = struck(amber)
    before_c = target_c(day)
    day.read(Quantity.ROOM_TEMPERATURE, 4.0, "degC")
    # Heat balance by hand: 4.76 kg × 1.67 kJ/K × 10 K over 118 kJ/K of water and kettle.
    assert target_c(day) - before_c == pytest.approx(0.67, abs=0.02)
    assert "Then heat to 68 degrees." in day.said()


def test_a_room_as_on_the_card_changes_nothing(amber: Schedule) -> None:
    day = struck(amber)
    before = day.task(Do.HEAT)
    day.read(Quantity.ROOM_TEMPERATURE, 14.5, "degC")
    assert day.task(Do.HEAT) == before
    assert "Then heat" not in day.said()


def test_water_that_is_short_is_told_and_struck_hotter(amber: Schedule) -> None:
    day = struck(amber)
    before_c = target_c(day)
    day.read(Quantity.KETTLE_VOLUME, 24.0, "L")
    assert day.said().startswith("24 litres, noted. 3.3 litres short of the 27.3 litres planned.")
    assert target_c(day) > before_c + 0.3
    assert day.state.batch.volume_l == pytest.approx(24.0, abs=0.1)


def test_a_volume_that_was_read_outlasts_the_word_that_it_is_filled(amber: Schedule) -> None:
    day = begun(amber).wait(60).read(Quantity.KETTLE_VOLUME, 26.0, "L").done(Do.FILL)
    assert day.state.batch.volume_l == pytest.approx(26.0, abs=0.1)
    assert day.state.stage is Stage.STRIKE


def test_a_kettle_read_with_the_grain_in_is_not_all_water(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(20).read(Quantity.MASH_TEMPERATURE, 64.0, "degC")
    water_l = day.state.batch.volume_l
    # What a dipstick shows: hot water and 0.67 L for each kg of grain.
    shown_l = mash_volume_l(water_l, amber.grain_kg, 64.0)
    day.read(Quantity.KETTLE_VOLUME, shown_l, "L", sample_c=64.0)
    assert day.state.question is None
    assert day.state.batch.volume_l == pytest.approx(water_l, abs=0.02)


def test_grain_that_is_being_stirred_in_is_no_water_either(amber: Schedule) -> None:
    day = at_stage(amber, Stage.DOUGH_IN).done(Do.DOUGH_IN).wait(30)
    assert day.state.stage is Stage.DOUGH_IN
    water_l = day.state.batch.volume_l
    day.read(Quantity.KETTLE_VOLUME, mash_volume_l(water_l, amber.grain_kg, 64.0), "L", sample_c=64)
    assert day.state.batch.volume_l == pytest.approx(water_l, abs=0.05)


def test_a_hydrometer_is_read_at_its_own_temperature(amber: Schedule) -> None:
    # ISO 1768 glass and water density: 1.050 on a 15.56 °C scale, read at 20 °C, is 1.0507.
    sixty = replace(amber, kettle=replace(amber.kettle, hydrometer_c=15.56))
    for schedule, kept in ((amber, 1.0500), (sixty, 1.0507)):
        day = at_stage(schedule, Stage.BOIL_UP).read(Quantity.GRAVITY, 1.050, "SG", sample_c=20.0)
        assert day.state.readings[-1].value == pytest.approx(kept, abs=0.0001)


def test_a_refractometer_is_read_by_its_own_factor(amber: Schedule) -> None:
    own = replace(amber, kettle=replace(amber.kettle, wort_correction=1.00))
    for schedule, told in ((amber, "1.044."), (own, "1.046.")):
        day = at_stage(schedule, Stage.BOIL_UP).read(Quantity.BRIX, 11.4, "brix")
        assert told in day.said()


def test_the_heat_keeps_its_number_when_its_target_moves(amber: Schedule) -> None:
    day = struck(amber)
    before = day.task(Do.HEAT)
    day.read(Quantity.ROOM_TEMPERATURE, 4.0, "degC")
    assert day.task(Do.HEAT).id == before.id
    assert [opened.id for opened in day.of(TaskOpened)] == [before.id]


def test_water_hot_enough_for_a_warmer_room_is_hot_enough(amber: Schedule) -> None:
    day = struck(amber).wait(40 * 60).read(Quantity.WATER_TEMPERATURE, 66.6, "degC")
    assert day.state.stage is Stage.STRIKE
    day.read(Quantity.ROOM_TEMPERATURE, 35.0, "degC")
    assert day.state.stage is Stage.DOUGH_IN


def test_a_level_that_streams_in_is_told_once(amber: Schedule) -> None:
    day = struck(amber)
    for _ in range(20):
        day.wait(10).read(Quantity.KETTLE_VOLUME, 26.0, "L")
    told = [effect for _, effect in day.log if "short of" in getattr(effect, "text", "")]
    assert len(told) == 1


def test_more_water_than_the_kettle_can_mash_in_is_warned_of(amber: Schedule) -> None:
    day = struck(amber).read(Quantity.KETTLE_VOLUME, 30.0, "L")
    assert "With the grain that is 33.9 litres of 35 litres: take some out." in day.said()


def test_hot_water_read_in_words_is_taken_as_hot_as_it_is(amber: Schedule) -> None:
    day = struck(amber).wait(40 * 60).read(Quantity.WATER_TEMPERATURE, 60.0, "degC")
    day.read(Quantity.KETTLE_VOLUME, 27.7, "L", source=Source.WORDS)
    # Water of 60 °C is 983.2 kg/m3 and of 20 °C 998.2 (IAPWS-95).
    assert day.state.batch.volume_l == pytest.approx(27.7 * 983.2 / 998.2, abs=0.01)


def test_a_litre_of_beer_is_reckoned_with_like_any_other(amber: Schedule) -> None:
    kettle = replace(amber.kettle, left_behind_l=0.1, boil_off_l_h=0.5, holds_l=4.0)
    grist = tuple(replace(malt, weight_kg=malt.weight_kg / 20) for malt in amber.grist)
    small = replace(amber, volume_l=1.0, kettle=kettle, grist=grist)
    day = begun(small)
    forecast = day.state.forecast
    assert forecast is not None
    assert forecast.fermenter_volume_l == pytest.approx(1.0, abs=0.01)
    assert forecast.original_gravity == pytest.approx(day.state.plan.original_gravity, abs=1e-4)
