"""Commands, one by one: what each does where it makes sense, and what it says where it does not."""

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.commands import COMMANDS, Command
from assistant.day.effects import AskOpened, Refused
from assistant.day.quantities import Quantity
from assistant.day.state import Fate
from assistant.schedule import Schedule


def test_no_two_commands_share_a_word() -> None:
    words = [word for spec in COMMANDS.values() for word in spec.words]
    assert len(words) == len(set(words))


def test_every_command_says_what_it_means() -> None:
    assert all(spec.meaning and spec.words for spec in COMMANDS.values())


def test_yes_to_is_it_boiling_starts_the_boil(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP)
    day.until(lambda state: any(ask.quantity is Quantity.BOILING for ask in state.asks))
    assert day.said() == "Is it boiling?"
    assert day.command(Command.YES).state.stage is Stage.BOIL


def test_no_to_is_it_boiling_asks_again_when_it_should_be_there(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP)
    day.until(lambda state: any(ask.quantity is Quantity.BOILING for ask in state.asks))
    day.command(Command.NO)
    assert day.said() == "I'll ask again in 1 minute."
    weaker = day.state.schedule.kettle.heater.efficiency
    assert weaker < amber.kettle.heater.efficiency
    day.wait(70)
    assert day.said() == "Is it boiling?"
    day.read(Quantity.BOILING, 0, "1")
    assert day.said() == "I'll ask again in 1 minute."
    assert day.read(Quantity.BOILING, 1, "1").state.stage is Stage.BOIL


def test_a_thermometer_at_the_boiling_point_is_a_boil(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).wait(1200)
    day.read(Quantity.KETTLE_TEMPERATURE, 96, "degC")
    assert day.state.stage is Stage.BOIL_UP
    assert day.wait(200).read(Quantity.KETTLE_TEMPERATURE, 99.6, "degC").state.stage is Stage.BOIL


def test_yes_to_advice_takes_what_was_recommended(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60).read(Quantity.MASH_TEMPERATURE, 61, "degC")
    day.command(Command.YES)
    assert day.task(Do.HEAT_FOR)


def test_yes_to_nothing_is_refused(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).command(Command.YES)
    assert day.of(Refused)[0].text == "There was no question."


def test_done_after_a_remedy_means_the_remedy(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).wait(60)
    day.read(Quantity.KETTLE_VOLUME, 24.2, "L").read(Quantity.GRAVITY, 1.039, "SG")
    day.choose("add extract").wait(40).command(Command.DONE)
    assert day.state.stage is Stage.BOIL_UP
    assert day.said() == "Extract in."
    assert [task.action.do for task in day.state.tasks] == [Do.HEAT]


def test_done_with_nothing_at_hand_tells_how_long(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60).command(Command.DONE)
    assert day.said() == "Beta rest, 39 minutes left."


def test_done_goes_on_without_readings_it_was_waiting_for(amber: Schedule) -> None:
    day = at_stage(amber, Stage.TRANSFER).wait(60).done(Do.TRANSFER).command(Command.DONE)
    assert "Going on without." in day.said()
    assert day.state.stage is Stage.PITCH


def test_hops_are_in_means_the_hops_that_fell_due_last(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[3].fate is Fate.DUE).command(Command.HOPS_IN)
    fates = [entry.fate for entry in day.state.additions]
    assert fates == [Fate.DUE, Fate.DUE, Fate.DUE, Fate.IN, Fate.PENDING]


def test_an_addition_can_go_in_by_name_before_it_is_due(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).wait(60).command(Command.ADDED, "Northern Brewer")
    assert day.said() == "Northern Brewer in, 4 minutes early."
    assert day.state.timer("Northern Brewer") is None


def test_an_addition_that_is_in_cannot_go_in_again(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).command(Command.ADDED, "Northern Brewer")
    day.command(Command.ADDED, "Northern Brewer")
    assert day.of(Refused)[0].text == "Northern Brewer is not due."


def test_missed_hops_that_are_hardly_late_are_still_worth_adding(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE).command(Command.MISSED)
    assert day.said() == "Little is lost. Add the Northern Brewer now, or say skip."
    day.command(Command.SKIP)
    assert day.state.additions[0].fate is Fate.LEFT_OUT


def test_skip_drops_a_question_before_anything_else(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60).read(Quantity.MASH_TEMPERATURE, 40, "degC")
    day.command(Command.SKIP)
    assert day.said() == "Dropped."
    assert day.state.rest == 0


def test_skip_of_the_heat_for_a_rest_begins_the_rest(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).command(Command.SKIP)
    assert day.command(Command.SKIP).task(Do.HOLD)
    assert day.state.rest == 1


def test_skip_leaves_even_advice_that_offers_no_leaving(amber: Schedule) -> None:
    day = at_stage(amber, Stage.PITCH).wait(60).done(Do.AERATE)
    day.read(Quantity.FERMENTER_TEMPERATURE, 32, "degC").command(Command.SKIP)
    assert day.task(Do.PITCH)


def test_wort_too_cold_for_the_yeast_is_only_told(amber: Schedule) -> None:
    day = at_stage(amber, Stage.PITCH).wait(60)
    day.read(Quantity.FERMENTER_TEMPERATURE, 12, "degC")
    assert "6 degrees too cold. Let it warm up with the yeast in." in day.said()
    assert day.state.advice is None


def test_pause_twice_and_carrying_on_for_nothing_are_refused(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).command(Command.PAUSE).command(Command.PAUSE)
    assert day.of(Refused)[0].text == "The clock stands already. Say carry on."
    day.command(Command.CARRY_ON).command(Command.CARRY_ON)
    assert day.of(Refused)[0].text == "No clock is paused."


def test_a_timer_nobody_set_cannot_be_cancelled(amber: Schedule) -> None:
    day = begun(amber).command(Command.CANCEL_TIMER, "oven")
    assert day.of(Refused)[0].text == "There is no such timer of yours."


def test_the_lid_is_noted_and_the_air_is_done(amber: Schedule) -> None:
    assert at_stage(amber, Stage.BOIL).command(Command.LID_OFF).said() == "Lid off, noted."
    day = at_stage(amber, Stage.PITCH).command(Command.AERATED)
    assert not any(task.action.do is Do.AERATE for task in day.state.tasks)


def test_back_at_the_very_start_is_refused(amber: Schedule) -> None:
    day = begun(amber).command(Command.BACK)
    assert day.of(Refused)[0].text == "This is where the day begins."


def test_options_says_the_open_advice_again(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60).read(Quantity.MASH_TEMPERATURE, 61, "degC")
    said = day.said().split("noted. ")[1]
    assert day.wait(30).command(Command.OPTIONS).said() == said
    assert day.command(Command.REPEAT).said() == said


def test_boiling_again_after_flameout_takes_five_minutes(amber: Schedule) -> None:
    day = at_stage(amber, Stage.WHIRLPOOL).wait(60).command(Command.BOILING)
    assert day.state.boil is not None
    assert day.state.boil.end_s - day.at == 300


def test_top_up_water_read_warm_tells_what_it_makes(amber: Schedule) -> None:
    from sample_files import SAMPLES

    from assistant.schedule import load

    day = at_stage(load(SAMPLES / "galley-bitter.yaml"), Stage.TRANSFER).wait(60).done(Do.TRANSFER)
    day.read(Quantity.TOP_UP_TEMPERATURE, 10, "degC")
    assert "That makes" in day.said()


def test_a_room_that_is_read_takes_the_cards_place(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE).read(Quantity.ROOM_TEMPERATURE, 22, "degC")
    assert day.state.schedule.kettle.room_c == 22


def test_ph_out_of_range_is_told(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).wait(60).read(Quantity.MASH_PH, 5.8, "pH")
    assert "A little high: 5.2 to 5.6 is usual, in a cooled sample." in day.said()


def test_a_volume_in_the_fermenter_means_the_wort_is_there(amber: Schedule) -> None:
    day = at_stage(amber, Stage.TRANSFER).wait(600).read(Quantity.FERMENTER_VOLUME, 19.8, "L")
    assert not any(task.action.do is Do.TRANSFER for task in day.state.tasks)
    assert [ask.quantity for ask in day.state.asks] == [Quantity.GRAVITY]


def test_chilling_asks_until_it_is_cold(amber: Schedule) -> None:
    day: Driven = at_stage(amber, Stage.CHILL)
    day.until(lambda state: bool(state.asks))
    assert day.of(AskOpened)[0].quantity is Quantity.KETTLE_TEMPERATURE
    day.read(Quantity.KETTLE_TEMPERATURE, 24, "degC")
    assert day.state.stage is Stage.CHILL
    assert "more." in day.said()
    day.until(lambda state: bool(state.asks)).read(Quantity.KETTLE_TEMPERATURE, 18.2, "degC")
    assert day.state.stage is Stage.TRANSFER


@pytest.mark.parametrize("stage", list(Stage)[:-1], ids=lambda stage: stage.value)
def test_where_are_we_and_how_long_have_an_answer_everywhere(amber: Schedule, stage: Stage) -> None:
    day = at_stage(amber, stage)
    for command in (Command.WHERE, Command.HOW_LONG, Command.WHATS_NEXT, Command.HELP):
        assert day.command(command).said()
        assert len(day.said().split()) <= 30


def test_done_long_after_a_rest_is_over_means_the_task_that_followed(amber: Schedule) -> None:
    day = at_stage(amber, Stage.LIFT).wait(600).command(Command.DONE)
    assert day.state.stage is Stage.BOIL_UP


def test_yeast_is_not_offered_into_wort_last_known_as_hot(amber: Schedule) -> None:
    day = at_stage(amber, Stage.CHILL).wait(60).read(Quantity.KETTLE_TEMPERATURE, 60, "degC")
    day.command(Command.TRANSFERRED).wait(901)
    assert day.state.stage is Stage.PITCH
    day.done(Do.AERATE).wait(3000)
    assert not any(task.action.do is Do.PITCH for task in day.state.tasks)
    day.read(Quantity.FERMENTER_TEMPERATURE, 19, "degC")
    assert day.task(Do.PITCH)


def test_what_comes_next_in_a_longer_boil_is_said_as_a_sentence(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: any(task.index is not None for task in state.tasks))
    day.command(Command.ADDED).wait(25 * 60)
    day.read(Quantity.KETTLE_VOLUME, 23.4, "L").read(Quantity.GRAVITY, 1.046, "SG")
    day.choose("boil longer")
    assert day.said().startswith("Boil ")
    assert " Kettle finings in " in day.said()
