"""Water, room and grain as they are read, and the strike temperature that follows from them."""

from dataclasses import replace

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.brewing.water import mash_volume_l
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
    assert day.state.batch.volume_l == pytest.approx(24.0)


def test_a_volume_that_was_read_outlasts_the_word_that_it_is_filled(amber: Schedule) -> None:
    day = begun(amber).wait(60).read(Quantity.KETTLE_VOLUME, 26.0, "L").done(Do.FILL)
    assert day.state.batch.volume_l == pytest.approx(26.0)
    assert day.state.stage is Stage.STRIKE


def test_a_kettle_read_with_the_grain_in_is_not_all_water(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(20).read(Quantity.MASH_TEMPERATURE, 64.0, "degC")
    water_l = day.state.batch.volume_l
    # What a dipstick shows: hot water and 0.67 L for each kg of grain.
    shown_l = mash_volume_l(water_l, amber.grain_kg, 64.0)
    day.read(Quantity.KETTLE_VOLUME, shown_l, "L", sample_c=64.0)
    assert day.state.question is None
    assert day.state.batch.volume_l == pytest.approx(water_l, abs=0.02)


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
