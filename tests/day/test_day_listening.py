"""What words can mean at a moment: the bounds of readings, what waits for an answer, commands."""

from dataclasses import replace

import pytest
from days import Driven, at_stage, begun

from assistant.advice.timeline import Stage
from assistant.day.commands import COMMANDS, Command
from assistant.day.events import CommandGiven, NumberSaid, ReadingTaken
from assistant.day.listening import READ_IN, Listening, listening
from assistant.day.plausible import LIKELY, likely
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import Ask
from assistant.schedule import Schedule
from assistant.schedule.model import Units

CHOOSING = {Command.FIRST, Command.SECOND, Command.THIRD}


def mash(value: float) -> ReadingTaken:
    return ReadingTaken(at=0, quantity=Quantity.MASH_TEMPERATURE, value=value, unit="degC")


@pytest.fixture
def in_mash(amber: Schedule) -> Driven:
    return at_stage(amber, Stage.MASH).wait(60)


def test_a_context_needs_no_more_than_the_stage_and_the_names() -> None:
    plain = Listening(
        stage=Stage.BOIL, units=Units.METRIC, asked=(), options=(), additions=(), timers=()
    )
    assert (plain.likely, plain.expected, plain.doubt) == ({}, {}, ())
    assert not plain.question
    assert not plain.checklist
    assert plain.commands == set(Command)


@pytest.mark.parametrize("stage", Stage, ids=lambda stage: stage.value)
def test_bounds_are_those_a_reading_is_judged_by(amber: Schedule, stage: Stage) -> None:
    state = at_stage(amber, stage).state
    context = listening(state)
    assert set(context.likely) == {*READ_IN[stage], *context.asked} - {Quantity.BOILING}
    for quantity, (low, high) in context.likely.items():
        judged = likely(state, quantity)
        assert judged is not None
        assert (low, high) == (judged.low, judged.high)
        assert low < high
        assert context.expected.get(quantity) == judged.expected


def test_every_quantity_with_bounds_is_read_at_some_stage() -> None:
    assert {quantity for read in READ_IN.values() for quantity in read} == set(LIKELY)
    # Slurry is read of a beer that is packaged, weeks later.
    assert set(LIKELY) == set(QUANTITIES) - {Quantity.BOILING, Quantity.SLURRY_VOLUME}


def test_a_quantity_that_is_asked_for_has_its_bounds_wherever_that_is(in_mash: Driven) -> None:
    assert Quantity.FERMENTER_VOLUME not in listening(in_mash.state).likely
    ask = Ask(id=99, quantity=Quantity.FERMENTER_VOLUME, unit="L", why="out of order")
    early = replace(in_mash.state, asks=(ask,))
    assert listening(early).likely[Quantity.FERMENTER_VOLUME] == (16, 24)


def test_of_a_kettle_over_its_brim_no_volume_is_likely(amber: Schedule) -> None:
    day = begun(amber).read(Quantity.KETTLE_VOLUME, 43, "L").command(Command.YES)
    context = listening(day.state)
    assert Quantity.KETTLE_VOLUME not in context.likely
    assert Quantity.KETTLE_VOLUME not in context.expected


def test_what_is_expected_is_the_plan_in_the_unit_kept(in_mash: Driven) -> None:
    context = listening(in_mash.state)
    assert context.expected[Quantity.MASH_TEMPERATURE] == 64
    low, high = context.likely[Quantity.MASH_TEMPERATURE]
    assert low < 64 < high
    assert not low < 15 < high


def test_a_question_waits_for_yes_or_no(in_mash: Driven) -> None:
    assert not listening(in_mash.state).question
    assert listening(in_mash.read(Quantity.MASH_TEMPERATURE, 40, "degC").state).question
    assert not listening(in_mash.command(Command.YES).state).question


def test_is_it_boiling_waits_for_yes_or_no(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP)
    day.until(lambda state: any(ask.quantity is Quantity.BOILING for ask in state.asks))
    assert listening(day.state).question


def test_a_doubt_is_told_with_its_meanings(in_mash: Driven) -> None:
    in_mash.unsure(mash(60), mash(63))
    context = listening(in_mash.state)
    assert [meaning.value for meaning in context.doubt] == [60, 63]  # type: ignore[union-attr]
    assert not context.question
    assert context.commands & CHOOSING == {Command.FIRST, Command.SECOND}
    in_mash.unsure(mash(63))
    context = listening(in_mash.state)
    assert len(context.doubt) == 1
    assert context.question
    assert not context.commands & CHOOSING
    in_mash.wait(60)
    assert listening(in_mash.state).doubt == ()
    assert not listening(in_mash.state).question


def test_which_of_two_is_no_yes_or_no_though_a_question_waits_behind_it(in_mash: Driven) -> None:
    in_mash.read(Quantity.MASH_TEMPERATURE, 40, "degC")
    in_mash.unsure(NumberSaid(at=0, value=60), NumberSaid(at=0, value=63))
    assert not listening(in_mash.state).question


def test_three_meanings_can_be_chosen_by_their_place(in_mash: Driven) -> None:
    in_mash.unsure(mash(60), mash(63), CommandGiven(at=0, command=Command.BACK))
    assert listening(in_mash.state).commands >= CHOOSING


@pytest.mark.parametrize("stage", Stage, ids=lambda stage: stage.value)
def test_commands_are_those_of_the_stage(amber: Schedule, stage: Stage) -> None:
    commands = listening(at_stage(amber, stage).state).commands
    assert commands == {
        command
        for command, spec in COMMANDS.items()
        if stage in spec.stages and command not in CHOOSING
    }
    assert Command.UNDO in commands
    assert Command.STOP in commands


def test_the_checklist_is_told_while_it_is_gone_through(amber: Schedule) -> None:
    day = begun(amber)
    assert listening(day.state).checklist
    for _ in range(20):
        day.command(Command.DONE)
    assert not listening(day.state).checklist
