"""Salts and acid in the strike water, and the pH of the mash."""

from dataclasses import replace

import pytest
from days import Driven, at_stage, begun

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.effects import Refused, Say
from assistant.day.events import TaskDone
from assistant.day.quantities import Quantity
from assistant.day.state import Fate, TimerKind
from assistant.day.strike_water import open_minerals
from assistant.day.wording import task_words
from assistant.schedule import Schedule
from assistant.schedule.model import Water

WELL = Water(
    calcium_mg_l=60.0,
    magnesium_mg_l=5.0,
    sodium_mg_l=12.0,
    sulphate_mg_l=40.0,
    chloride_mg_l=30.0,
    alkalinity_mg_l=180.0,
    gypsum_g=4.0,
    calcium_chloride_g=0.0,
    epsom_salt_g=0.0,
    baking_soda_g=0.0,
    lactic_acid_ml=3.0,
    lactic_strength=0.88,
)


@pytest.fixture
def hard(amber: Schedule) -> Schedule:
    return replace(amber, water=WELL)


def struck(schedule: Schedule) -> Driven:
    return begun(schedule).wait(60).done(Do.FILL)


def mashing(schedule: Schedule) -> Driven:
    day = at_stage(schedule, Stage.MASH)
    return day.wait(20).read(Quantity.MASH_TEMPERATURE, 64.0, "degC")


def test_an_unknown_water_says_nothing(amber: Schedule) -> None:
    day = struck(amber)
    assert open_minerals(day.state) == []
    assert "Stir in" not in day.said()
    day = mashing(amber)
    day.until(lambda state: state.rest == 1)
    texts = [getattr(effect, "text", "") for _, effect in day.log]
    assert not any("pH" in text for text in texts)


def test_salts_and_acid_are_told_in_one_breath_with_the_caution_for_acid(hard: Schedule) -> None:
    day = struck(hard)
    assert "Stir in 4 grams of gypsum and 3 millilitres of lactic acid." in day.said()
    assert "Acid burns: goggles on" in day.said()
    assert [task.action.item for task in open_minerals(day.state)] == ["gypsum", "lactic acid"]
    # 3 mL of 88 % acid at 1.204 kg/L (CRC Handbook of Chemistry and Physics).
    assert day.state.tasks[-1].action.grams == pytest.approx(3.6, abs=0.05)


def test_one_word_says_that_they_are_in(hard: Schedule) -> None:
    day = struck(hard).command(Command.DONE)
    assert day.said() == "Gypsum and lactic acid in."
    assert open_minerals(day.state) == []
    assert day.state.stage is Stage.STRIKE


def test_a_program_may_report_them_one_by_one(hard: Schedule) -> None:
    day = struck(hard)
    for item in ("Gypsum", "Lactic acid"):
        day.done(Do.ADD)
        assert day.said() == f"{item} in."
    assert open_minerals(day.state) == []


def test_hot_water_waits_for_what_has_not_gone_in(hard: Schedule) -> None:
    day = struck(hard).wait(45 * 60)
    day.read(Quantity.WATER_TEMPERATURE, day.state.plan.strike_temperature_c, "degC")
    assert "Hot enough, heat off. Stir in the gypsum and lactic acid, then say done." in day.said()
    assert day.state.stage is Stage.STRIKE
    assert any(timer.kind is TimerKind.ASK for timer in day.state.timers)
    assert day.command(Command.DONE).state.stage is Stage.DOUGH_IN


def test_water_said_to_be_ready_waits_for_them_too(hard: Schedule) -> None:
    day = struck(hard).wait(45 * 60).command(Command.WATER_READY)
    assert day.state.stage is Stage.STRIKE
    assert day.command(Command.DONE).state.stage is Stage.DOUGH_IN


def test_done_means_the_salts_though_the_room_was_read_in_between(hard: Schedule) -> None:
    day = struck(hard).read(Quantity.ROOM_TEMPERATURE, 8.0, "degC")
    assert day.command(Command.DONE).said() == "Gypsum and lactic acid in."
    assert day.state.stage is Stage.STRIKE
    assert day.task(Do.HEAT)


def test_going_on_without_them_is_said_and_kept(hard: Schedule) -> None:
    day = struck(hard).command(Command.GRAIN_IN)
    assert "Gypsum and lactic acid left out." in day.said()
    assert [stirred.left_out for stirred in day.state.stirred] == [True, True]


def test_what_is_in_is_not_asked_for_twice(hard: Schedule) -> None:
    day = struck(hard).command(Command.DONE).wait(45 * 60).command(Command.WATER_READY)
    assert day.state.stage is Stage.DOUGH_IN
    day.command(Command.BACK)
    assert day.state.stage is Stage.STRIKE
    assert open_minerals(day.state) == []


def test_acid_that_would_turn_the_mash_sour_waits_for_a_reading(amber: Schedule) -> None:
    soft = replace(WELL, alkalinity_mg_l=10.0, lactic_acid_ml=8.0)
    day = struck(replace(amber, water=soft))
    assert [task.action.item for task in open_minerals(day.state)] == ["gypsum"]
    assert "Hold back the lactic acid until the mash is measured." in day.said()


def test_a_salt_may_be_reported_by_its_name(hard: Schedule) -> None:
    day = struck(hard).command(Command.ADDED, "Gypsum")
    assert day.said() == "Gypsum in."
    assert [task.action.item for task in open_minerals(day.state)] == ["lactic acid"]


def test_no_hop_goes_into_a_mash_by_a_slip_of_the_tongue(amber: Schedule) -> None:
    day = mashing(amber).command(Command.ADDED, "Northern Brewer")
    assert day.of(Refused)[0].text == "There is nothing to be stirred in now."
    assert day.state.additions[0].fate is Fate.PENDING


def test_acid_is_measured_in_millilitres_wherever_it_is_told(hard: Schedule) -> None:
    day = struck(hard)
    assert day.task(Do.ADD).action.millilitres is None
    assert day.state.tasks[-1].action.millilitres == 3.0
    words = [task_words(task.action, day.state.schedule.units) for task in day.state.tasks]
    assert words[1:] == ["stir in 4 grams of gypsum", "stir in 3 millilitres of lactic acid"]


def test_the_checklist_has_them_set_out(hard: Schedule) -> None:
    day = begun(hard)
    said = []
    for _ in range(9):
        said.append(day.command(Command.DONE).said())
    assert "Set out 4 grams of gypsum and 3 millilitres of lactic acid." in said


def test_the_ph_is_asked_once_and_may_be_skipped(hard: Schedule) -> None:
    day = mashing(hard)
    day.until(lambda state: any(ask.quantity is Quantity.MASH_PH for ask in state.asks))
    assert "Mash pH, of a cooled sample?" in day.said()
    assert day.command(Command.SKIP).said() == "Going on without."
    assert (day.state.stage, day.state.rest) == (Stage.MASH, 0)
    day.until(lambda state: state.rest == 1)
    asked = [effect for _, effect in day.log if "Mash pH" in getattr(effect, "text", "")]
    assert len(asked) == 1


@pytest.mark.parametrize("by_word", [True, False], ids=["by word", "by its number"])
def test_a_high_ph_is_answered_with_half_the_acid_and_measured_again(
    hard: Schedule, by_word: bool
) -> None:
    day = mashing(hard).wait(600).read(Quantity.MASH_PH, 5.8, "pH")
    assert day.state.advice is not None
    finding = day.state.advice.finding
    assert finding.finding == "pH 5.8 is high"
    assert [option.say for option in finding.options] == ["add acid", "leave it"]
    extract_kg = day.state.batch.extract_kg
    day.choose("add acid").wait(60)
    if by_word:
        day.command(Command.DONE)
    else:
        day.done(Do.ADD)
    assert day.said() == "Lactic acid in."
    assert day.state.batch.extract_kg == extract_kg
    day.until(lambda state: any(ask.quantity is Quantity.MASH_PH for ask in state.asks))
    day.read(Quantity.MASH_PH, 5.5, "pH")
    assert day.state.advice is None


def test_a_low_ph_is_answered_with_soda(hard: Schedule) -> None:
    day = mashing(hard).wait(600).read(Quantity.MASH_PH, 5.0, "pH")
    assert day.state.advice is not None
    assert day.state.advice.finding.options[0].say == "add soda"
    assert day.choose("add soda").task(Do.ADD).action.item == "baking soda"


def test_acid_on_its_way_is_not_offered_again(hard: Schedule) -> None:
    day = mashing(hard).wait(600).read(Quantity.MASH_PH, 5.8, "pH").choose("add acid")
    day.wait(60).read(Quantity.MASH_PH, 5.8, "pH")
    assert day.state.advice is None
    day.command(Command.DONE).wait(120).read(Quantity.MASH_PH, 5.8, "pH")
    assert day.state.advice is None
    day.wait(540).read(Quantity.MASH_PH, 5.7, "pH")
    assert day.state.advice is not None


def test_the_temperature_of_the_mash_comes_before_its_ph(hard: Schedule) -> None:
    day = at_stage(hard, Stage.MASH).wait(20).read(Quantity.MASH_TEMPERATURE, 61.0, "degC")
    assert day.state.advice is not None
    day.read(Quantity.MASH_PH, 5.8, "pH")
    assert day.state.advice.finding.about == "mash_temperature"
    assert any(timer.quantity is Quantity.MASH_PH for timer in day.state.timers)


def test_nothing_is_stirred_into_a_mash_that_is_nearly_over(hard: Schedule) -> None:
    day = mashing(hard).wait(35 * 60)
    day.read(Quantity.MASH_PH, 5.8, "pH")
    assert day.state.advice is None
    assert "A little high" in day.said()


@pytest.mark.parametrize(
    ("read_ph", "said"),
    [
        (5.4, "pH 5.4, noted."),
        (5.62, "pH 5.62, noted."),
    ],
)
def test_a_ph_that_acid_does_not_cure_gets_no_acid(
    hard: Schedule, read_ph: float, said: str
) -> None:
    day = mashing(hard).wait(600).read(Quantity.MASH_PH, read_ph, "pH")
    assert day.said() == said
    assert day.state.advice is None


def test_without_a_known_water_a_high_ph_is_only_remarked_on(amber: Schedule) -> None:
    day = mashing(amber).wait(600).read(Quantity.MASH_PH, 5.8, "pH")
    assert day.said().endswith("A little high: 5.2 to 5.6 is usual, in a cooled sample.")
    assert day.state.advice is None
    day.wait(60).read(Quantity.MASH_PH, 4.7, "pH")
    assert day.said().endswith("Far too low: 5.2 to 5.6 is usual, in a cooled sample.")


def test_acid_still_open_when_a_rest_ends_is_told_of(hard: Schedule) -> None:
    day = mashing(hard).wait(600).read(Quantity.MASH_PH, 5.8, "pH").choose("add acid")
    day.until(lambda state: state.rest == 1)
    texts = [getattr(effect, "text", "") for _, effect in day.log]
    assert "Lactic acid left out." in texts
    assert day.state.stirred[-1].left_out


def test_the_caution_for_acid_comes_with_the_acid(amber: Schedule) -> None:
    day = mashing(replace(amber, water=replace(WELL, lactic_acid_ml=0.0)))
    day.wait(600).read(Quantity.MASH_PH, 5.8, "pH")
    assert "Acid burns" not in day.said()
    assert "Acid burns" in day.choose("add acid").said()


def test_four_salts_and_an_acid_are_told_two_at_a_time(amber: Schedule) -> None:
    full = replace(WELL, calcium_chloride_g=3.0, epsom_salt_g=1.0, baking_soda_g=1.5)
    day = struck(replace(amber, water=full))
    told = [e.text for e in day.of(Say) if e.text.startswith("Stir in")]
    assert len(told) == 3
    assert all(len(text.split()) <= 20 for text in told)


def test_what_is_offered_for_a_ph_is_short_enough_for_the_ear(hard: Schedule) -> None:
    for read_ph in (5.8, 5.0):
        day = mashing(hard).wait(600).read(Quantity.MASH_PH, read_ph, "pH")
        offered = [e.text for e in day.of(Say) if "leave it" in e.text]
        assert len(offered) == 1
        assert len(offered[0].split()) <= 20


def test_acid_that_is_in_counts_against_what_can_be_tasted(amber: Schedule) -> None:
    # 400 mg/L in 27.3 L are 10.9 g: 10.3 mL of the acid, of which 8 are in.
    sour = replace(WELL, lactic_acid_ml=8.0, alkalinity_mg_l=400.0)
    day = struck(replace(amber, water=sour)).command(Command.DONE)
    for _ in range(60):
        if day.state.stage is Stage.MASH:
            break
        tasks = [t for t in day.state.tasks if t.action.do is not Do.HOLD]
        day.wait(60).happen(TaskDone(at=day.at, task_id=tasks[-1].id))
    day.wait(1200).read(Quantity.MASH_PH, 6.2, "pH")
    assert day.state.advice is not None
    dose = day.state.advice.finding.options[0].action
    assert dose.millilitres == pytest.approx(2.3, abs=0.2)
