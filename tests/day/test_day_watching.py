"""A heating is asked after when that is worth it, and its last stretch is counted down."""

from itertools import pairwise

import pytest
from days import Driven
from heaters import read_when_asked, striking, water_c

from assistant.advice.learned import Trait
from assistant.advice.timeline import Stage
from assistant.day.quantities import Quantity
from assistant.day.state import TimerKind
from assistant.schedule import Schedule

WATER = Quantity.WATER_TEMPERATURE


@pytest.fixture
def known(amber: Schedule) -> Driven:
    """Water whose heater has been read once on its way, just as its card says."""
    day = striking(amber)
    read_when_asked(day, 1.0, 1, WATER)
    return day


def nearly_there(day: Driven) -> Driven:
    """The next question answered, a minute and a half before the strike temperature."""
    read_when_asked(day, 1.0, 1, WATER)
    return day


def test_an_unknown_heater_is_looked_at_early(amber: Schedule) -> None:
    day = striking(amber)
    assert day.state.batch.belief.spread(Trait.HEATER) > 0.06
    (asked_s,) = read_when_asked(day, 1.0, 1, WATER)
    # By hand: 2657 s to the target, looked at after four tenths of them.
    assert asked_s == pytest.approx(0.4 * 2657, rel=0.05)


def test_a_known_heater_is_asked_after_only_when_it_could_be_there(known: Driven) -> None:
    already_s = known.at - known.state.stage_at_s
    (asked_s,) = read_when_asked(known, 1.0, 1, WATER)
    assert asked_s - already_s > 0.8 * (2657 - already_s)
    assert asked_s < 2657 + 60


def test_no_heating_goes_more_than_twenty_five_minutes_without_a_look(amber: Schedule) -> None:
    day = striking(amber)
    asked_s = [day.at - day.state.stage_at_s, *read_when_asked(day, 0.5, 4, WATER)]
    gaps = [later - sooner for sooner, later in pairwise(asked_s)]
    assert max(gaps) <= 1500 + 15 + 1


def test_the_last_stretch_is_counted_down_instead_of_asked_after(known: Driven) -> None:
    nearly_there(known)
    assert "Heat off in " in known.said()
    counted = [timer for timer in known.state.timers if timer.kind is TimerKind.BURST]
    asked = [timer for timer in known.state.timers if timer.quantity is WATER]
    assert len(counted) == 1
    assert asked == []
    left_s = counted[0].due_s - known.at
    assert 5 <= left_s <= 150
    # The rest of the heating by the same water, at the moment it is told to go off.
    hot_c = water_c(known.state, counted[0].due_s - known.state.stage_at_s, 1.0)
    assert hot_c == pytest.approx(67.4, abs=0.4)


def test_heat_off_now_ends_the_heating_by_itself(known: Driven) -> None:
    nearly_there(known)
    known.until(lambda state: state.stage is not Stage.STRIKE)
    assert known.said().startswith("Heat off now.")
    assert known.state.stage is Stage.DOUGH_IN
    assert known.state.batch.heat.share == 0.0


def test_a_reading_at_the_target_outdoes_the_countdown(known: Driven) -> None:
    nearly_there(known)
    known.wait(10).read(WATER, 67.4, "degC")
    assert known.state.stage is Stage.DOUGH_IN
    assert not any(timer.kind is TimerKind.BURST for timer in known.state.timers)


def test_a_reading_short_of_it_puts_the_end_of_the_heat_off(known: Driven) -> None:
    nearly_there(known)
    off_s = next(timer.due_s for timer in known.state.timers if timer.kind is TimerKind.BURST)
    known.wait(30).read(WATER, 64.0, "degC")
    # By hand: 3.4 K on 116.7 kJ/K by 2.4 kW are 165 s, which is too long to be counted down.
    (asked,) = [timer for timer in known.state.timers if timer.quantity is WATER]
    assert off_s < known.at + 165
    assert known.at < asked.due_s < known.at + 165
    assert not any(timer.kind is TimerKind.BURST for timer in known.state.timers)
    assert known.state.stage is Stage.STRIKE
