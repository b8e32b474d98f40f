"""A day's readings move the kettle it is reckoned with, and the next day starts there."""

import pytest
from days import Driven, at_stage
from heaters import read_when_asked, striking, water_c

from assistant.advice.learned import Trait, card_figure, with_learned
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.effects import Refused
from assistant.day.events import DayBegan
from assistant.day.quantities import Quantity
from assistant.day.state import new_day
from assistant.day.teaching import learned_kettle
from assistant.schedule import Schedule


@pytest.fixture
def weak(amber: Schedule) -> Driven:
    """A day whose heater turned out at three quarters of its card."""
    day = striking(amber)
    read_when_asked(day, 0.75, 2, Quantity.WATER_TEMPERATURE)
    return day


def test_readings_move_the_kettle_of_the_day_and_not_its_card(
    weak: Driven, amber: Schedule
) -> None:
    assert weak.state.schedule.kettle.heater.efficiency == pytest.approx(0.75 * 0.91, rel=0.03)
    assert weak.state.card == amber.kettle


def test_the_day_teaches_what_its_readings_told(weak: Driven, amber: Schedule) -> None:
    heater = learned_kettle(weak.state).figures[Trait.HEATER]
    assert heater.value == weak.state.schedule.kettle.heater.efficiency
    assert heater.card == amber.kettle.heater.efficiency
    assert heater.spread < 0.05


def test_the_next_day_starts_where_this_one_ended(weak: Driven, amber: Schedule) -> None:
    taught = learned_kettle(weak.state)
    planned = with_learned(amber, taught)
    day = Driven(new_day(planned, make_plan(planned))).happen(DayBegan(at=0, learned=taught))
    assert day.state.schedule.kettle.heater.efficiency == taught.figures[Trait.HEATER].value
    assert day.state.batch.belief.value(Trait.HEATER) == taught.figures[Trait.HEATER].value
    first = make_plan(amber).stage_minutes(Stage.STRIKE)
    # By hand: three quarters of the power take four thirds of the time.
    assert day.state.plan.stage_minutes(Stage.STRIKE) == pytest.approx(first * 4 / 3, rel=0.08)


def test_a_thermometer_that_tells_every_ten_seconds_teaches_what_is_true(amber: Schedule) -> None:
    day = striking(amber)
    true = 0.75 * amber.kettle.heater.efficiency
    for _ in range(150):
        day.wait(10)
        shown_c = water_c(day.state, day.at - day.state.stage_at_s, 0.75)
        day.read(Quantity.WATER_TEMPERATURE, shown_c, "degC")
    assert not any(isinstance(effect, Refused) for _, effect in day.log)
    belief = day.state.batch.belief
    assert belief.value(Trait.HEATER) == pytest.approx(true, rel=0.02)
    # Many readings make it sure, but never surer than it is right.
    assert abs(belief.value(Trait.HEATER) - true) < 2.5 * belief.spread(Trait.HEATER)
    assert day.state.batch.temperature_c == pytest.approx(
        water_c(day.state, day.at - day.state.stage_at_s, 0.75), abs=0.2
    )


def test_a_short_kettle_tells_what_the_bag_keeps(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).wait(60).read(Quantity.KETTLE_VOLUME, 23.4, "L")
    kept = day.state.schedule.kettle.absorption_l_kg
    # By hand: 0.8 L less wort from 4.76 kg are 0.17 L/kg, of which dipstick and fill take a share.
    assert 0.65 + 0.06 < kept < 0.65 + 0.17
    assert day.state.card.absorption_l_kg == 0.65
    assert learned_kettle(day.state).figures[Trait.ABSORPTION].value == kept


def test_nothing_read_teaches_nothing(amber: Schedule) -> None:
    figures = learned_kettle(at_stage(amber, Stage.CLEAN).state).figures
    for trait in (Trait.BOIL_OFF, Trait.ABSORPTION, Trait.EXTRACT, Trait.LEFT_BEHIND):
        assert figures[trait].value == pytest.approx(card_figure(amber.kettle, trait), rel=1e-6)
