"""The stages, what leads from one to the next, and what is said on the way."""

import itertools
from dataclasses import replace

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.effects import AskOpened, Refused, Say, StageBegan, TaskOpened, Why
from assistant.day.events import DayResumed
from assistant.day.quantities import Quantity
from assistant.day.stages import TRANSITIONS, Trigger
from assistant.day.state import Fate
from assistant.schedule import Schedule


def test_every_stage_but_the_last_leads_on_when_completed_and_when_skipped() -> None:
    order = list(Stage)
    for stage, after in itertools.pairwise(order):
        assert TRANSITIONS[stage][Trigger.COMPLETED] is after
        assert TRANSITIONS[stage][Trigger.SKIPPED] is after


def test_a_finished_day_leads_nowhere() -> None:
    assert TRANSITIONS[Stage.FINISHED] == {}


def test_every_stage_but_the_first_and_last_goes_back_to_the_one_before() -> None:
    order = list(Stage)
    for before, stage in itertools.pairwise(order[:-1]):
        assert TRANSITIONS[stage][Trigger.WENT_BACK] is before


def test_reports_only_ever_lead_forward_but_a_boil_taken_up_again() -> None:
    order = list(Stage)
    for stage, row in TRANSITIONS.items():
        for trigger, to in row.items():
            back = trigger is Trigger.WENT_BACK or (
                stage is Stage.WHIRLPOOL and trigger is Trigger.BOILING
            )
            assert (order.index(to) < order.index(stage)) is back


def test_a_whole_day_passes_every_stage_in_order(amber: Schedule) -> None:
    day = at_stage(amber, Stage.FINISHED)
    seen = [effect.stage for _, effect in day.log if isinstance(effect, StageBegan)]
    assert list(dict.fromkeys(seen)) == list(Stage)


def test_each_rest_of_the_mash_is_told_by_its_name(amber: Schedule) -> None:
    day = at_stage(amber, Stage.LIFT)
    rests = [e.rest for _, e in day.log if isinstance(e, StageBegan) and e.stage is Stage.MASH]
    assert rests == [rest.name for rest in amber.mash]


def test_nothing_is_longer_than_twenty_words(amber: Schedule) -> None:
    day = at_stage(amber, Stage.FINISHED)
    words = {
        effect.text: len(effect.text.split()) for _, effect in day.log if isinstance(effect, Say)
    }
    assert {text: count for text, count in words.items() if count > 20} == {}


def test_each_caution_is_spoken_once_a_day_even_when_a_stage_comes_twice(amber: Schedule) -> None:
    day = at_stage(amber, Stage.DOUGH_IN)
    day.command(Command.BACK).command(Command.WATER_READY)
    cautions = [e.text for _, e in day.log if isinstance(e, Say) and e.why is Why.CAUTION]
    assert len(cautions) == len(set(cautions)) == 2


def test_the_bags_weight_is_said_before_it_is_lifted(amber: Schedule) -> None:
    day = at_stage(amber, Stage.LIFT)
    assert "The bag weighs about 11 kilos" in " ".join(
        e.text for _, e in day.log if isinstance(e, Say)
    )


@pytest.mark.parametrize(
    ("stage", "command", "leads_to"),
    [
        (Stage.STRIKE, Command.WATER_READY, Stage.DOUGH_IN),
        (Stage.STRIKE, Command.GRAIN_IN, Stage.MASH),
        (Stage.MASH, Command.BAG_OUT, Stage.BOIL_UP),
        (Stage.LIFT, Command.BOILING, Stage.BOIL),
        (Stage.BOIL_UP, Command.BOILING, Stage.BOIL),
        (Stage.BOIL, Command.FLAME_OUT, Stage.WHIRLPOOL),
        (Stage.WHIRLPOOL, Command.WHIRLPOOL_DONE, Stage.CHILL),
        (Stage.WHIRLPOOL, Command.CHILLED, Stage.TRANSFER),
        (Stage.CHILL, Command.TRANSFERRED, Stage.TRANSFER),
        (Stage.PITCH, Command.PITCHED, Stage.CLEAN),
        (Stage.CLEAN, Command.CLEANED, Stage.FINISHED),
    ],
    ids=lambda value: value.value,
)
def test_the_program_follows_what_the_brewer_says_has_happened(
    amber: Schedule, stage: Stage, command: Command, leads_to: Stage
) -> None:
    assert at_stage(amber, stage).command(command).state.stage is leads_to


def test_a_report_out_of_place_is_refused_in_words(amber: Schedule) -> None:
    day = begun(amber).command(Command.FLAME_OUT)
    assert day.of(Refused)[0].text == '"flame out" has no place in getting ready.'
    assert day.state.stage is Stage.GATHER


def test_skip_in_the_mash_goes_to_the_next_rest(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).command(Command.SKIP)
    assert (day.state.stage, day.state.rest) == (Stage.MASH, 1)
    # By hand: 2.5 kW for the 8 s that are still in the metal are 0.16 K of 126 kJ/K.
    assert day.task(Do.HEAT).action.to_c == pytest.approx(
        amber.mash[1].temperature_c - 0.16, abs=0.02
    )


def test_back_in_the_mash_returns_to_the_rest_before(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH).command(Command.SKIP).command(Command.BACK)
    assert (day.state.stage, day.state.rest) == (Stage.MASH, 0)


def test_skipping_the_boil_tells_what_was_left_out_and_what_it_costs(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).command(Command.FLAME_OUT)
    assert "4 additions left out: 6 IBU instead of 37." in day.said()


def test_hops_for_the_whirlpool_are_left_out_when_it_is_skipped(amber: Schedule) -> None:
    day = at_stage(amber, Stage.WHIRLPOOL).command(Command.CHILLED)
    assert day.state.additions[-1].fate is Fate.LEFT_OUT


def test_going_back_from_a_boil_that_was_none_takes_its_clock_away(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).command(Command.BACK)
    assert day.state.stage is Stage.BOIL_UP
    assert day.state.boil is None
    assert not day.state.batch.boiling


def test_the_checklist_is_answered_item_by_item(amber: Schedule) -> None:
    day = begun(amber)
    assert "all here?" in day.said()
    assert day.command(Command.DONE).said().startswith("Weigh ")
    for _ in range(6):
        if "fill" in day.said():
            break
        day.command(Command.DONE)
    assert day.said() == "Now fill 27.3 litres of water."
    assert day.command(Command.DONE).state.stage is Stage.STRIKE


def test_whoever_fills_the_kettle_at_once_need_not_answer_the_checklist(amber: Schedule) -> None:
    assert begun(amber).wait(60).done(Do.FILL).state.stage is Stage.STRIKE


def test_hold_and_boil_end_with_their_clock_not_with_done(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH)
    day.done(Do.HOLD)
    assert (day.state.stage, day.state.rest) == (Stage.MASH, 0)
    day.wait(amber.mash[0].minutes * 60)
    assert day.state.rest == 1


def test_a_heat_ends_with_a_temperature_at_its_target(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE).wait(2700)
    target_c = day.task(Do.HEAT).action.to_c
    assert target_c is not None
    day.read(Quantity.WATER_TEMPERATURE, target_c - 4, "degC")
    assert day.state.stage is Stage.STRIKE
    day.wait(200).read(Quantity.WATER_TEMPERATURE, target_c, "degC")
    assert day.state.stage is Stage.DOUGH_IN


def test_the_strike_water_is_asked_for_shortly_before_it_should_be_hot(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE)
    began, planned_min = day.at, day.state.plan.strike_heat_minutes
    # Where it begins is asked at once, and on the way what the heater does; then it is known when.
    for share, read_c in ((0.0, 11.0), (0.4, 34.3), (0.9, 64.8)):
        day.until(lambda state: bool(state.asks))
        assert day.state.asks[0].quantity is Quantity.WATER_TEMPERATURE
        assert (day.at - began) / 60 == pytest.approx(share * planned_min, abs=0.07 * planned_min)
        day.number(read_c)
    day.until(lambda state: state.stage is Stage.DOUGH_IN)
    assert (day.at - began) / 60 == pytest.approx(planned_min, abs=1.5)


def test_a_stage_with_a_reading_it_needs_goes_on_without_after_a_while(amber: Schedule) -> None:
    day = at_stage(amber, Stage.TRANSFER).wait(300).done(Do.TRANSFER)
    assert {ask.quantity for ask in day.of(AskOpened)} == {
        Quantity.FERMENTER_VOLUME,
        Quantity.GRAVITY,
    }
    assert day.state.stage is Stage.TRANSFER
    day.wait(901)
    assert day.state.stage is Stage.PITCH


def test_a_choice_nobody_makes_is_to_leave_it(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE).wait(2700).read(Quantity.WATER_TEMPERATURE, 75, "degC")
    assert day.state.advice is not None
    day.wait(901)
    assert "Leaving it." in day.said()
    assert day.state.stage is Stage.DOUGH_IN


def test_wort_reported_in_the_fermenter_is_still_read_and_topped_up() -> None:
    from sample_files import SAMPLES

    from assistant.schedule import load

    bitter = load(SAMPLES / "galley-bitter.yaml")
    day = at_stage(bitter, Stage.CHILL).wait(900).command(Command.TRANSFERRED)
    assert day.said().endswith("Fermenter volume, and gravity?")
    day.read(Quantity.FERMENTER_VOLUME, 5.4, "L").read(Quantity.GRAVITY, 1.052, "SG")
    # 5.4 litres are a little less than was thought to have come over.
    assert day.task(Do.TOP_UP).action.litres == pytest.approx(7.0 - 5.4, abs=0.15)


def test_the_yeast_waits_for_air_and_a_temperature(amber: Schedule) -> None:
    day = at_stage(amber, Stage.PITCH).wait(300).done(Do.AERATE)
    assert not any(task.action.do is Do.PITCH for task in day.state.tasks)
    day.read(Quantity.FERMENTER_TEMPERATURE, 19, "degC")
    assert day.of(TaskOpened)[0].action.do is Do.PITCH


def test_a_day_nobody_closes_is_finished_after_half_an_hour_of_cleaning(amber: Schedule) -> None:
    day = at_stage(amber, Stage.CLEAN).wait(1801)
    assert day.state.stage is Stage.FINISHED
    assert "on record" in day.said()


def test_nothing_is_done_before_the_day_has_begun(amber: Schedule) -> None:
    from assistant.advice.plan import make_plan
    from assistant.day.state import new_day

    day = Driven(new_day(amber, make_plan(amber))).command(Command.DONE)
    assert day.of(Refused)[0].text == "The day has not begun. Say start."


@pytest.mark.parametrize("days_later", [20, 400])
def test_a_boil_that_was_left_for_weeks_can_be_gone_on_with(
    amber: Schedule, days_later: int
) -> None:
    vigorous = replace(amber, kettle=replace(amber.kettle, boil_off_l_h=12.0))
    day = at_stage(vigorous, Stage.BOIL)
    day.happen(DayResumed(at=day.at + days_later * 86_400)).command(Command.FLAME_OUT)
    assert day.state.stage is Stage.WHIRLPOOL
