"""What goes in last: ice into wort that is too warm, and yeast for the wort there is."""

import pytest
from days import Driven, at_stage

from assistant.advice.actions import Do, Option
from assistant.advice.timeline import Stage
from assistant.day.effects import TaskOpened
from assistant.day.quantities import Quantity
from assistant.schedule import Schedule


def in_fermenter(schedule: Schedule, litres: float, gravity: float) -> Driven:
    """A day at the pitch, the fermenter read and left as it is."""
    day = at_stage(schedule, Stage.TRANSFER).wait(60).done(Do.TRANSFER)
    for _ in range(3):
        day.wait(60).read(Quantity.FERMENTER_VOLUME, litres, "L")
        day.read(Quantity.GRAVITY, gravity, "SG")
        if day.state.advice is not None:
            day.choose("leave it")
    return day.until(lambda state: state.stage is Stage.PITCH)


def offered(day: Driven) -> dict[str, Option]:
    assert day.state.advice is not None
    return {option.say: option for option in day.state.advice.finding.options}


def test_warm_wort_that_is_short_may_be_iced(amber: Schedule) -> None:
    day = in_fermenter(amber, 17.5, 1.052).wait(30)
    inside_l = day.state.batch.volume_l
    day.read(Quantity.FERMENTER_TEMPERATURE, 24, "degC")
    ice = offered(day)["ice"].action
    # By hand: six kelvin out of 17.5 L are 441 kJ; a kilogram of ice takes 334 and 75 kJ.
    assert ice.litres == pytest.approx(inside_l * 4.186 * 6 / (333.6 + 4.186 * 18), abs=0.02)
    day.choose("ice").wait(60).done(Do.TOP_UP)
    assert day.state.batch.temperature_c == pytest.approx(18, abs=0.1)
    assert day.state.batch.volume_l == pytest.approx(inside_l + (ice.litres or 0), abs=0.01)
    assert "Fermenter temperature?" in day.said()


def test_a_full_fermenter_takes_no_ice(amber: Schedule) -> None:
    day = in_fermenter(amber, 20.5, 1.050).wait(30)
    day.read(Quantity.FERMENTER_TEMPERATURE, 24, "degC")
    assert "ice" not in offered(day)


@pytest.mark.parametrize(
    ("litres", "gravity", "share"), [(20.0, 1.050, 1.0), (17.5, 1.044, 0.77), (21.5, 1.056, 1.2)]
)
def test_yeast_is_weighed_for_the_wort_there_is(
    amber: Schedule, litres: float, gravity: float, share: float
) -> None:
    day = in_fermenter(amber, litres, gravity).wait(30)
    day.read(Quantity.FERMENTER_TEMPERATURE, 19, "degC").done(Do.AERATE)
    pitched = next(e.action for e in day.of(TaskOpened) if e.action.do is Do.PITCH)
    planned_g = day.state.plan.yeast_dry_g
    assert planned_g is not None
    assert pitched.grams is not None
    assert pitched.grams / planned_g == pytest.approx(share, abs=0.05)
    assert ("not 15 grams" in day.said()) is (share != 1.0)
