"""Timers: near, due, repeated until acknowledged, together when they coincide, late after a gap."""

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.effects import Refused, Say, TimerChanged, TimerNews, Why
from assistant.day.events import TimerRequested
from assistant.day.state import Fate, Phase
from assistant.day.timers import next_due_s
from assistant.schedule import Schedule


def news(day: Driven, name: str) -> list[tuple[float, str]]:
    return [
        (at, effect.state.value)
        for at, effect in day.log
        if isinstance(effect, TimerChanged) and effect.name == name
    ]


@pytest.fixture
def boil(amber: Schedule) -> Driven:
    day = at_stage(amber, Stage.BOIL)
    day.log.clear()
    return day


def test_an_addition_is_near_due_and_repeated_at_30_60_and_120_s_and_every_two_minutes(
    boil: Driven,
) -> None:
    due_s = boil.state.timer("Northern Brewer").due_s  # type: ignore[union-attr]
    boil.until(lambda state: state.now_s >= due_s + 360)
    assert [(at - due_s, state) for at, state in news(boil, "Northern Brewer")] == [
        (-120, "soon"),
        (0, "due"),
        (30, "late"),
        (60, "late"),
        (120, "late"),
        (240, "late"),
        (360, "late"),
    ]


def test_the_heads_up_says_what_to_weigh_out(boil: Driven) -> None:
    boil.until(lambda state: state.timer("Northern Brewer").phase is Phase.SOON)  # type: ignore[union-attr]
    assert boil.said() == "Northern Brewer in 2 minutes: weigh out 24 grams."


def test_it_is_quiet_once_the_hops_are_in(boil: Driven) -> None:
    boil.until(lambda state: state.additions[0].fate is Fate.DUE)
    boil.wait(20).command(Command.ADDED)
    assert boil.said() == "Northern Brewer in."
    assert boil.state.timer("Northern Brewer") is None
    assert boil.state.additions[0].in_at_s == boil.at


def test_two_that_fall_together_are_said_in_one_breath(boil: Driven) -> None:
    for index in (0, 1):
        boil.until(lambda state, index=index: state.additions[index].fate is Fate.DUE)
        boil.command(Command.ADDED)
    boil.until(lambda state: state.additions[2].fate is Fate.DUE)
    reminders = [e.text for e in boil.of(Say) if e.why is Why.REMINDER]
    assert reminders == ["Now: 2 grams of yeast nutrient and 18 grams of First Gold."]


def test_one_that_falls_within_15_s_of_another_is_said_with_it(amber: Schedule) -> None:
    day = begun(amber)
    for seconds, name in ((100, "yeast"), (114, "dog"), (140, "oven")):
        day.happen(TimerRequested(at=0, seconds=seconds, name=name))
    day.wait(100)
    assert day.said() == "Yeast: time is up. Dog: time is up."


def test_after_a_gap_each_is_said_once_with_how_late_it_is(amber: Schedule) -> None:
    day = begun(amber).happen(TimerRequested(at=0, seconds=60, name="yeast"))
    day.wait(600)
    assert day.said() == "Yeast: time is up. Due 9 minutes ago."
    assert next_due_s(day.state) == 630


def test_the_end_of_the_boil_moves_every_addition_still_to_come(boil: Driven) -> None:
    before = {timer.name: timer.due_s for timer in boil.state.timers}
    from assistant.day.additions import move_boil_end
    from assistant.day.turn import Turn

    turn = Turn(boil.state, boil.at)
    move_boil_end(turn, 600)
    after = {timer.name: timer.due_s for timer in turn.state.timers}
    assert {name: after[name] - due_s for name, due_s in before.items()} == dict.fromkeys(
        before, 600
    )


def test_timers_of_ones_own_go_on_through_the_stages(amber: Schedule) -> None:
    day = begun(amber).happen(TimerRequested(at=0, seconds=600, name="yeast"))
    assert day.said() == "Yeast, 10 minutes left."
    day.wait(30).done(Do.FILL)
    day.wait(30).command(Command.HOW_LONG, "yeast")
    assert day.said() == "Yeast, 9 minutes left."
    day.command(Command.CANCEL_TIMER, "yeast")
    assert day.said() == "Yeast cancelled."


def test_a_second_timer_of_one_name_gets_a_number(amber: Schedule) -> None:
    day = begun(amber)
    day.happen(TimerRequested(at=0, seconds=60, name="yeast"))
    day.happen(TimerRequested(at=0, seconds=90, name="yeast"))
    assert [timer.name for timer in day.state.timers] == ["yeast", "yeast 2"]


@pytest.mark.parametrize("seconds", [0.0, -5.0, 90_000.0])
def test_a_timer_of_no_sensible_length_is_refused(amber: Schedule, seconds: float) -> None:
    day = begun(amber).happen(TimerRequested(at=0, seconds=seconds, name="yeast"))
    assert day.of(Refused)[0].text == "A timer runs from one second to 24 hours."


def test_a_paused_rest_stands_still_and_goes_on_where_it_stood(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(600).command(Command.PAUSE)
    day.wait(1200).command(Command.HOW_LONG)
    assert day.said() == "Beta rest paused at 30 minutes."
    day.command(Command.CARRY_ON)
    assert day.said() == "Beta rest, 30 minutes left."
    day.wait(1799)
    assert day.state.rest == 0
    day.wait(1)
    assert day.state.rest == 1


def test_a_paused_boil_boils_nothing_off(boil: Driven) -> None:
    from assistant.advice.batch import volume_now_l

    kettle = boil.state.schedule.kettle
    boil.command(Command.PAUSE)
    before_l = volume_now_l(boil.state.batch, kettle, boil.at)
    boil.wait(1800)
    assert volume_now_l(boil.state.batch, kettle, boil.at) == before_l
    boil.command(Command.CARRY_ON).wait(1800)
    assert volume_now_l(boil.state.batch, kettle, boil.at) == pytest.approx(
        before_l - kettle.boil_off_l_h / 2
    )


def test_no_clock_to_pause_is_said(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).command(Command.PAUSE)
    assert day.of(Refused)[0].text == "No clock is running that could be paused."


def test_the_end_of_the_boil_insists_until_the_heat_is_off(boil: Driven) -> None:
    boil.until(lambda state: any(task.action.do is Do.FLAMEOUT for task in state.tasks))
    assert "The boil is over: heat off." in boil.said()
    boil.wait(30)
    assert "The boil is over: heat off. Due 30 seconds ago." in boil.said()
    boil.command(Command.DONE)
    while boil.state.stage is Stage.BOIL:
        boil.command(Command.DONE)
    assert boil.state.stage is Stage.WHIRLPOOL
    assert news(boil, "boil")[-1][1] == TimerNews.DONE.value


def test_a_coil_goes_in_a_quarter_of_an_hour_before_the_end(boil: Driven) -> None:
    boil.until(
        lambda state: any(t.name == "chiller" and t.phase is Phase.DUE for t in state.timers)
    )
    assert boil.state.boil is not None
    assert boil.state.boil.end_s - boil.at == 900
