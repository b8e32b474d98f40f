"""A brewer who asks why is told the reason for the last advice, and nothing else changes."""

from dataclasses import replace

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.timeline import Stage
from assistant.day.commands import COMMANDS, Command
from assistant.day.effects import Say, Why
from assistant.day.listening import listening
from assistant.day.quantities import Quantity
from assistant.day.state import Fate
from assistant.day.turn import Turn
from assistant.day.undo import ONLY_NOW
from assistant.hearing.words import understand
from assistant.schedule import Schedule

NO_ADVICE = "I have given no advice yet."


def asked_why(day: Driven) -> str:
    return day.command(Command.WHY).said()


@pytest.fixture
def cold_mash(amber: Schedule) -> Driven:
    day = at_stage(amber, Stage.MASH).wait(60)
    return day.read(Quantity.MASH_TEMPERATURE, 61, "degC")


def test_before_any_advice_there_is_no_reason_to_tell(amber: Schedule) -> None:
    assert asked_why(begun(amber)) == NO_ADVICE


def test_the_reason_is_that_of_the_advice_on_offer(cold_mash: Driven) -> None:
    assert cold_mash.state.advice is not None
    assert asked_why(cold_mash) == cold_mash.state.advice.finding.why


def test_the_reason_can_still_be_had_once_the_advice_is_answered(cold_mash: Driven) -> None:
    why = asked_why(cold_mash)
    assert asked_why(cold_mash.choose("leave it").wait(300)) == why


def test_of_two_pieces_of_advice_the_later_is_explained(cold_mash: Driven) -> None:
    first = asked_why(cold_mash)
    cold_mash.choose("leave it").wait(60).read(Quantity.MASH_TEMPERATURE, 61.1, "degC")
    assert asked_why(cold_mash) == first
    day = cold_mash.until(lambda state: state.rest == 1).wait(60)
    day.read(Quantity.MASH_TEMPERATURE, 75, "degC")
    assert day.state.advice is not None
    assert asked_why(day) == day.state.advice.finding.why != first


def test_asking_changes_nothing_but_the_last_thing_said(cold_mash: Driven) -> None:
    before = cold_mash.state
    cold_mash.command(Command.WHY)
    assert replace(cold_mash.state, spoken=before.spoken) == before
    assert len(cold_mash.state.history) == len(before.history)
    assert Command.WHY in ONLY_NOW


def test_taking_the_reading_back_takes_its_reason_back(cold_mash: Driven) -> None:
    assert asked_why(cold_mash.command(Command.UNDO)) == NO_ADVICE


def test_taking_the_answer_back_leaves_the_reason(cold_mash: Driven) -> None:
    why = asked_why(cold_mash)
    assert asked_why(cold_mash.choose("heat").wait(10).command(Command.UNDO)) == why


def test_late_hops_are_explained_by_the_boil_they_miss(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE)
    day.wait(35 * 60).command(Command.ADDED)
    assert day.state.advice is not None
    more = day.state.advice.finding.options[0].phrase.removeprefix("add ")
    assert asked_why(day).startswith("The hops boil 25 minutes, not 60: ")
    assert asked_why(day).endswith(f" of 23 IBU; the rest takes {more}.")


def test_hops_that_make_up_for_others_are_explained_by_their_sum(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE)
    day.wait(25 * 60).command(Command.ADDED)
    assert asked_why(day) == (
        "It was heading for 34 IBU instead of 37; with these weights it comes to 37."
    )


def test_hops_still_out_are_explained_by_all_that_is_to_go_in(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE)
    day.wait(40 * 60).command(Command.MISSED)
    assert day.state.advice is not None
    now = day.state.advice.finding.options[0].phrase.removeprefix("add ")
    assert asked_why(day).endswith(f" of 23 IBU; all 23 take {now.removesuffix(' now')}.")


def test_a_finding_that_is_only_told_has_its_reason_too(amber: Schedule) -> None:
    day = at_stage(amber, Stage.PITCH).wait(60)
    day.read(Quantity.FERMENTER_TEMPERATURE, 12, "degC")
    assert day.state.advice is None
    assert asked_why(day) != NO_ADVICE


def test_a_finding_without_a_reason_is_told_again(amber: Schedule) -> None:
    leave = Option(say="leave it", phrase="leave it", action=Action(do=Do.LEAVE_IT), effect="so")
    turn = Turn(begun(amber).state, 5.0)
    turn.advise(Finding(about="x", finding="2 off", options=(leave,), recommended="leave it"))
    assert turn.state.reason == "2 off."


def test_a_correction_nobody_was_asked_about_can_be_explained(amber: Schedule) -> None:
    turn = Turn(begun(amber).state, 5.0)
    turn.explain("The room read 12, not 18: the strike is 1 degree hotter.")
    assert turn.effects == []
    day = Driven(turn.state, at=5.0).command(Command.WHY)
    assert day.effects == (
        Say(text="The room read 12, not 18: the strike is 1 degree hotter.", why=Why.ANSWER),
    )


def test_help_names_it_where_there_is_something_to_explain(cold_mash: Driven) -> None:
    asked = cold_mash.command(Command.HELP).said()
    assert asked.startswith("You can say: heat, boiling water, leave it, why, ")
    assert ", why" in cold_mash.choose("leave it").command(Command.HELP).said()


def test_help_does_not_name_it_before_there_is_advice(amber: Schedule) -> None:
    assert "why" not in at_stage(amber, Stage.MASH).command(Command.HELP).said()


@pytest.mark.parametrize("stage", Stage, ids=lambda stage: stage.value)
@pytest.mark.parametrize("words", COMMANDS[Command.WHY].words)
def test_it_is_understood_and_answered_at_every_stage(
    amber: Schedule, stage: Stage, words: str
) -> None:
    day = at_stage(amber, stage)
    event = understand(words, listening(day.state), day.at)
    assert day.happen(event).said() == NO_ADVICE
