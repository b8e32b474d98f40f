"""A remedy does what was said of it: the beer ends where its effect told, and within its limits."""

import re
from dataclasses import replace

import pytest
from days import Driven, at_stage
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.advice.actions import Action, Do, Option
from assistant.advice.batch import gravity_now, kettle_volume_l
from assistant.advice.fit import BOIL_FILL_LIMIT
from assistant.advice.forecast import Forecast, make_forecast
from assistant.advice.timeline import Stage
from assistant.brewing.water import volume_hot
from assistant.day.boil_clock import boil_left_min, boiled_min
from assistant.day.commands import Command
from assistant.day.outlook import prospect
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.schedule import Schedule

LEADS_TO = re.compile(r"(1\.\d{3}), ([\d.]+) litres?")
WATERED_LATER = re.compile(r"let down with ([\d.]+) litres?")
BY_HAND = (Do.ADD, Do.ADD_WATER, Do.TOP_UP)


def drawn(amber: Schedule, draw: st.DrawFn) -> Schedule:
    """The sample in another kettle, larger or smaller, stronger or weaker."""

    def one(low: float, high: float) -> float:
        return round(draw(st.floats(low, high)), 3)

    size, strength = one(0.3, 3.0), one(0.7, 1.3)
    kettle = replace(
        amber.kettle,
        holds_l=size * one(30.0, 50.0),
        boil_off_l_h=one(1.0, 4.0),
        left_behind_l=size * one(0.0, 2.0),
        absorption_l_kg=one(0.3, 1.0),
        extract_efficiency=one(0.6, 0.8),
        heater=replace(amber.kettle.heater, power_w=size * one(2500.0, 4000.0)),
    )
    grist = tuple(replace(malt, weight_kg=size * strength * malt.weight_kg) for malt in amber.grist)
    return replace(amber, volume_l=round(size * 20.0, 1), kettle=kettle, grist=grist)


def misread(day: Driven, volume: float, extract: float) -> Driven:
    """Volume and gravity read so many times what was believed, and insisted on."""
    state = day.wait(30).state
    litres = kettle_volume_l(state.batch, state.schedule, day.at)
    gravity = 1 + (gravity_now(state.batch, state.schedule, day.at) - 1) * extract / volume
    inside = state.stage is Stage.PITCH
    quantity = Quantity.FERMENTER_VOLUME if inside else Quantity.KETTLE_VOLUME
    for what, value, unit in (
        (quantity, round(volume * litres, 1), "L"),
        (Quantity.GRAVITY, round(gravity, 4), "SG"),
    ):
        day.read(what, value, unit, sample_c=20.0)
        if day.state.question is not None:
            day.command(Command.YES)
    return day


def options(day: Driven) -> tuple[Option, ...]:
    advice = day.state.advice
    wort = advice is not None and advice.finding.about in ("gravity", "volume")
    return advice.finding.options if advice is not None and wort else ()


def taken(day: Driven, option: Option) -> Driven:
    """The day with an option chosen and all its tasks done at once."""
    other = Driven(day.state, day.at).choose(option.say)
    for task in other.state.tasks:
        if task.action.do in BY_HAND:
            other.done(task.action.do)
    return other


def heading_for(state: State) -> Forecast:
    return make_forecast(state.batch, state.schedule, prospect(state), state.now_s)


def ends_as_told(option: Option, state: State) -> None:
    told = LEADS_TO.match(option.effect)
    assert told is not None, option.effect
    points, litres = 1000 * (float(told[1]) - 1), float(told[2])
    later = WATERED_LATER.search(option.effect)
    water_l = 0.0 if later is None or state.stage is Stage.WHIRLPOOL else float(later[1])
    forecast = heading_for(state)
    # What is let down later is told as things stand until the boil is over: water thins it by its
    # share. Both are told rounded, and ten grams of extract are the nearest that is weighed out.
    thinned = 1000 * (forecast.original_gravity - 1) * (litres - water_l) / litres
    rounded_l = 0.1 if water_l else 0.0
    assert thinned == pytest.approx(points, abs=0.65 + points * rounded_l / litres), option
    if not water_l:
        assert forecast.fermenter_volume_l == pytest.approx(litres, abs=0.06), option


def within_limits(action: Action, state: State) -> None:
    boil_min = boiled_min(state) + boil_left_min(state)
    minutes = action.minutes or 0.0
    if action.do is Do.BOIL_LONGER:
        assert boil_min + minutes <= min(120, state.schedule.boil_minutes + 25)
    elif action.do is Do.BOIL_SHORTER:
        assert boil_min - minutes >= 45
    elif action.do is Do.ADD:
        assert 0.96 * (action.grams or 0.0) / 1000 <= 0.15 * state.batch.extract_kg + 0.01
    elif action.do is Do.ADD_WATER:
        cold_l = kettle_volume_l(state.batch, state.schedule, state.now_s) + (action.litres or 0)
        assert volume_hot(cold_l, 95.0) <= BOIL_FILL_LIMIT * state.schedule.kettle.holds_l + 0.1
    elif action.do is Do.TOP_UP:
        assert state.batch.volume_l + (action.litres or 0) <= 1.1 * state.schedule.volume_l + 0.05


@pytest.mark.parametrize("stage", [Stage.BOIL_UP, Stage.BOIL, Stage.PITCH])
@settings(
    max_examples=12,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_whatever_is_advised_keeps_its_limits_and_its_word(
    amber: Schedule, stage: Stage, data: st.DataObject
) -> None:
    @st.composite
    def beers(draw: st.DrawFn) -> Schedule:
        return drawn(amber, draw)

    beer = data.draw(beers())
    volume, extract = data.draw(st.floats(0.88, 1.12)), data.draw(st.floats(0.82, 1.18))
    day = misread(at_stage(beer, stage), volume, extract)
    for option in options(day):
        for action in (option.action, *option.then):
            within_limits(action, day.state)
        ends_as_told(option, taken(day, option).state)


CASES = [
    (Stage.BOIL_UP, 1.06, 1.0, "boil longer"),
    (Stage.BOIL_UP, 1.0, 0.88, "add extract"),
    (Stage.BOIL_UP, 0.9, 0.85, "add extract and add water"),
    (Stage.BOIL_UP, 0.93, 1.05, "add water"),
    (Stage.PITCH, 0.95, 1.0, "top up"),
    (Stage.PITCH, 0.94, 0.86, "add extract and top up"),
]


@pytest.mark.parametrize(("stage", "volume", "extract", "say"), CASES)
def test_each_remedy_is_offered_somewhere_and_ends_as_told(
    amber: Schedule, stage: Stage, volume: float, extract: float, say: str
) -> None:
    day = misread(at_stage(amber, stage), volume, extract)
    option = next(option for option in options(day) if option.say == say)
    assert len(option.then) == say.count(" and ")
    ends_as_told(option, taken(day, option).state)


def test_too_much_wort_is_told_by_the_litres_that_go_into_the_fermenter(amber: Schedule) -> None:
    day = misread(at_stage(amber, Stage.BOIL_UP), 1.08, 0.95)
    leave = options(day)[-1]
    assert leave.say == "leave it"
    assert day.state.advice is not None
    assert day.state.advice.finding.finding.endswith("too much")
    assert ", 20 litres" in leave.effect
    ends_as_told(leave, taken(day, leave).state)


def test_wort_let_down_in_the_fermenter_ends_as_told_once_the_boil_is_over(
    amber: Schedule,
) -> None:
    full = replace(amber, kettle=replace(amber.kettle, holds_l=29.0))
    day = misread(at_stage(full, Stage.BOIL_UP), 0.98, 1.12)
    option = next(option for option in options(day) if WATERED_LATER.search(option.effect))
    cured = taken(day, option)
    for _ in range(200):
        if cured.state.stage is Stage.WHIRLPOOL:
            break
        hands = [t for t in cured.state.tasks if t.action.do in (*BY_HAND, Do.FLAMEOUT)]
        if cured.state.stage is Stage.BOIL_UP:
            cured.wait(600).command(Command.BOILING)
        elif hands:
            cured.wait(5).done(hands[0].action.do)
        else:
            cured.until(
                lambda state: any(t.action.do in (*BY_HAND, Do.FLAMEOUT) for t in state.tasks)
            )
    assert cured.state.stage is Stage.WHIRLPOOL
    ends_as_told(option, cured.state)
