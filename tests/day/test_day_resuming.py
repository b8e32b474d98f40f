"""A day whose program was killed goes on: all that is open is told again, nothing as if new."""

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.effects import (
    AdviceOffered,
    AskOpened,
    Refused,
    Say,
    StageBegan,
    TaskOpened,
    TimerChanged,
    TimerNews,
    Why,
)
from assistant.day.events import DayResumed, TimerRequested
from assistant.day.quantities import Quantity
from assistant.schedule import Schedule


def resumed(day: Driven, after_s: float, *, unsure: bool = False) -> Driven:
    return day.happen(DayResumed(at=day.at + after_s, unsure=unsure))


def sentences(day: Driven) -> list[str]:
    return [effect.text for effect in day.of(Say)]


@pytest.fixture
def boiling(amber: Schedule) -> Driven:
    """A boil whose first addition has just been announced as due."""
    day = at_stage(amber, Stage.BOIL)
    while not any(
        isinstance(effect, TimerChanged) and effect.state is TimerNews.DUE for effect in day.effects
    ):
        day.wait(10)
    return day


def test_everything_open_is_told_again(boiling: Driven) -> None:
    tasks = {task.id for task in boiling.state.tasks}
    asks = {ask.id for ask in boiling.state.asks}
    resumed(boiling, 10)
    assert [effect.stage for effect in boiling.of(StageBegan)] == [Stage.BOIL]
    assert {effect.id for effect in boiling.of(TaskOpened)} == tasks
    assert {effect.id for effect in boiling.of(AskOpened)} == asks


def test_what_was_announced_before_is_still_due_and_not_new(boiling: Driven) -> None:
    resumed(boiling, 10)
    assert "Still due: Northern Brewer." in sentences(boiling)
    assert not any("Northern Brewer now" in text for text in sentences(boiling))
    assert TimerNews.DUE not in [effect.state for effect in boiling.of(TimerChanged)]


def test_what_falls_due_meanwhile_is_told_once_with_how_late_it_is(amber: Schedule) -> None:
    day = begun(amber).happen(TimerRequested(at=0, seconds=60, name="yeast"))
    resumed(day, 360)
    assert sentences(day)[0] == "Yeast: time is up. Due 5 minutes ago."
    assert sum("yeast" in text.lower() for text in sentences(day)) == 2, "and as the last on record"
    assert not any(text.startswith("Still due") for text in sentences(day))


def test_the_last_thing_on_record_is_told_with_its_age(amber: Schedule) -> None:
    day = begun(amber).wait(60).read(Quantity.ROOM_TEMPERATURE, 18.5, "degC").wait(60)
    resumed(day, 180)
    assert sentences(day)[0] == ("I'm back. Last on record, 4 minutes ago: room temperature 18.5.")


def test_a_day_with_nothing_on_record_yet_tells_where_it_is(amber: Schedule) -> None:
    assert not any("I'm back" in text for text in sentences(resumed(begun(amber), 5)))


def test_words_that_may_have_been_lost_with_the_program_are_told_as_said_before(
    amber: Schedule,
) -> None:
    day = at_stage(amber, Stage.STRIKE).wait(10)
    spoken = day.state.spoken
    assert f"Said before: {spoken}" in sentences(resumed(day, 20))


def test_words_of_long_ago_are_not_told_again(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE).wait(10)
    assert not any(text.startswith("Said before") for text in sentences(resumed(day, 3600)))


def test_an_open_choice_is_put_again(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60).read(Quantity.MASH_TEMPERATURE, 59, "degC")
    assert day.state.advice is not None
    resumed(day, 30)
    assert len(day.of(AdviceOffered)) == 1
    assert day.of(Say)[-1].why is Why.QUESTION
    assert day.of(Say)[-1].text.startswith("5 degrees cold. Heat ")
    day.choose(day.state.advice.finding.recommended)
    assert not day.of(Refused)


def test_a_clock_set_back_while_the_program_was_off_is_owned_up_to(amber: Schedule) -> None:
    words = sentences(resumed(begun(amber), 0, unsure=True))
    assert any("clock was set back" in text for text in words)
    assert not any("clock was set back" in text for text in sentences(resumed(begun(amber), 0)))


def test_all_tasks_are_named_to_who_comes_back(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE)
    told = " ".join(sentences(resumed(day, 300)))
    assert day.task(Do.HEAT) is not None
    assert "Also open: " in told or len(day.state.tasks) + len(day.state.asks) == 1


def test_every_sentence_of_a_return_fits_the_ear(boiling: Driven) -> None:
    for text in sentences(resumed(boiling, 200, unsure=True)):
        assert len(text.split()) <= 20, text
