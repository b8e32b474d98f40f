"""When things should be, told with a range that narrows as the day goes on."""

import pytest
from days import Driven, at_stage, begun

from assistant.advice.timeline import Stage
from assistant.day.quantities import Quantity
from assistant.schedule import Schedule


def told(day: Driven, name: str) -> tuple[float, float]:
    """A forecast time in minutes and the width of its range."""
    assert day.state.forecast is not None
    low_s, high_s = day.state.forecast.low_high[name]
    return getattr(day.state.forecast, name) / 60, (high_s - low_s) / 60


def starts_min(day: Driven, stage: Stage) -> float:
    return next(p.starts_min for p in day.state.plan.stages if p.stage == stage.value)


def test_at_first_the_strike_and_the_yeast_are_told_as_planned(amber: Schedule) -> None:
    day = begun(amber)
    assert told(day, "strike_at_s")[0] == pytest.approx(starts_min(day, Stage.DOUGH_IN), abs=0.1)
    assert told(day, "pitch_at_s")[0] == pytest.approx(starts_min(day, Stage.CLEAN), abs=6)


def test_the_boil_comes_later_than_a_kettle_with_its_lid_on(amber: Schedule) -> None:
    day = begun(amber)
    later_min = told(day, "boil_at_s")[0] - starts_min(day, Stage.BOIL)
    assert 1 < later_min < 6


def test_a_weak_heater_puts_everything_off(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE).number(11.0)
    before = {name: told(day, name) for name in ("strike_at_s", "boil_at_s", "pitch_at_s")}
    day.until(lambda state: bool(state.asks))
    # By hand: eighteen minutes of 2.55 kW warm 27.3 L by 23 K; ten per cent less by 20.8 K.
    day.number(11.0 + 20.8)
    for name, (at_min, width_min) in before.items():
        later_min, narrower_min = told(day, name)
        assert later_min > at_min + 3, name
        assert narrower_min < width_min, name


def test_a_day_that_goes_as_planned_keeps_its_times(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP)
    boil_min, _ = told(day, "boil_at_s")
    assert boil_min * 60 > day.at
    day.wait(600).read(Quantity.KETTLE_TEMPERATURE, 90.0, "degC")
    assert told(day, "boil_at_s")[1] < 12


def test_what_has_been_is_told_as_it_was(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    began_min = day.at / 60
    assert told(day, "boil_at_s")[0] == pytest.approx(began_min, abs=0.1)
    assert told(day, "strike_at_s")[0] < began_min
