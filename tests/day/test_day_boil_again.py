"""A boil paused, ended by mistake or taken up again: its minutes and its hops are kept."""

from dataclasses import replace

import pytest
from days import Driven, at_stage
from sample_files import SAMPLES
from test_day_steeping import boiled, ibu

from assistant.advice.actions import Do
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.boil_clock import boiled_min
from assistant.day.commands import Command
from assistant.day.events import Source
from assistant.day.outlook import boiled_from_min, prospect
from assistant.day.quantities import Quantity
from assistant.day.state import Fate
from assistant.schedule import Schedule, load


@pytest.fixture(scope="session")
def saltgrass() -> Schedule:
    return load(SAMPLES / "saltgrass-pale.yaml")


@pytest.fixture(scope="session")
def stout() -> Schedule:
    return load(SAMPLES / "harbour-light-stout.yaml")


def fates(day: Driven) -> list[Fate]:
    return [entry.fate for entry in day.state.additions]


def test_a_boil_taken_up_again_keeps_the_minutes_before_it(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT)
    assert prospect(day.state).doses[0].minutes == pytest.approx(60, abs=1)
    day.wait(300).command(Command.BOILING)
    assert day.state.stage is Stage.BOIL
    assert prospect(day.state).doses[0].minutes == pytest.approx(65, abs=1)
    assert boiled_min(day.state) == pytest.approx(65, abs=0.5)


def test_a_boil_ended_by_mistake_goes_on_where_it_was(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE).command(Command.ADDED)
    day.wait(30 * 60).command(Command.FLAME_OUT)
    assert day.state.additions[3].fate is Fate.LEFT_OUT
    day.wait(60).command(Command.BACK)
    assert day.state.stage is Stage.BOIL
    assert day.state.boil is not None
    assert day.state.boil.end_s - day.at == pytest.approx(30 * 60, abs=120)
    assert day.state.additions[3].fate is Fate.PENDING
    in_at_s = day.state.additions[0].in_at_s or 0
    assert boiled_from_min(day.state, in_at_s) == pytest.approx(60, abs=1)
    assert ibu(day) == pytest.approx(day.state.plan.ibu, abs=1.0)


@pytest.mark.parametrize("sample", ["amber", "saltgrass"])
def test_hops_that_were_due_when_the_heat_went_off_come_back_with_it(
    sample: str, request: pytest.FixtureRequest
) -> None:
    day = at_stage(request.getfixturevalue(sample), Stage.BOIL)
    day.until(lambda state: Fate.DUE in [entry.fate for entry in state.additions]).wait(60)
    before = ibu(day)
    day.command(Command.FLAME_OUT).wait(20).command(Command.BACK)
    assert day.state.stage is Stage.BOIL
    assert ibu(day) == pytest.approx(before, abs=1.0)
    day.wait(1)
    assert any(task.index == 0 for task in day.state.tasks)


def test_a_flame_out_before_the_boil_loses_nothing_once_it_boils(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).command(Command.FLAME_OUT)
    assert ibu(day) < 10
    day.wait(60).command(Command.BOILING)
    assert Fate.LEFT_OUT not in fates(day)
    assert ibu(day) == pytest.approx(day.state.plan.ibu, abs=0.5)


def test_what_the_brewer_left_out_stays_out(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).command(Command.MISSED, "First Gold at 10 minutes")
    day.command(Command.FLAME_OUT).wait(20).command(Command.BACK)
    assert day.state.additions[3].fate is Fate.LEFT_OUT
    assert fates(day).count(Fate.LEFT_OUT) == 1


def test_hops_left_out_with_the_boil_may_still_be_reported_in(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).wait(1800).command(Command.FLAME_OUT)
    assert day.state.additions[3].fate is Fate.LEFT_OUT
    day.command(Command.ADDED, "First Gold at 10 minutes")
    assert day.state.additions[3].fate is Fate.IN


def test_whirlpool_hops_come_back_with_the_whirlpool(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).command(Command.SKIP)
    assert day.state.stage is Stage.CHILL
    day.command(Command.BACK)
    assert day.state.stage is Stage.WHIRLPOOL
    assert day.state.additions[4].fate is not Fate.LEFT_OUT


def test_a_pause_is_no_boil(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE).command(Command.ADDED)
    day.wait(20 * 60).command(Command.PAUSE).wait(3600)
    in_at_s = day.state.additions[0].in_at_s or 0
    assert boiled_from_min(day.state, in_at_s) == pytest.approx(60, abs=0.2)
    assert boiled_min(day.state) == pytest.approx(25, abs=0.2)
    day.command(Command.CARRY_ON)
    assert boiled_from_min(day.state, in_at_s) == pytest.approx(60, abs=0.2)
    assert boiled_min(day.state) == pytest.approx(25, abs=0.2)


def test_wort_that_stands_hot_in_a_pause_goes_on_giving(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    day.until(lambda state: state.additions[0].fate is Fate.DUE).command(Command.ADDED)
    before = ibu(day.wait(20 * 60))
    day.command(Command.PAUSE)
    assert ibu(day) == pytest.approx(before, abs=0.1)
    # Half an hour from 100 °C under the lid is worth some 24 minutes of boil.
    assert before + 0.5 < ibu(day.wait(1800)) < before + 2.0


def test_going_back_past_a_second_boil_keeps_the_first(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).wait(60).command(Command.BOILING)
    day.command(Command.BACK)
    assert day.state.stage is Stage.BOIL_UP
    assert boiled_min(day.state) == pytest.approx(65, abs=0.2)


def test_a_day_that_never_boiled_has_no_bitterness(amber: Schedule) -> None:
    galley = load(SAMPLES / "galley-bitter.yaml")
    day = at_stage(galley, Stage.BOIL_UP).command(Command.ADDED).command(Command.FLAME_OUT)
    day.command(Command.SKIP).command(Command.SKIP)
    assert ibu(day) == pytest.approx(0, abs=0.2)


def test_chilled_means_cold(stout: Schedule) -> None:
    day = boiled(stout).command(Command.FLAME_OUT).wait(60).command(Command.CHILLED)
    told = ibu(day)
    assert day.state.batch.temperature_c == pytest.approx(17.0)
    assert ibu(day.wait(1200)) == pytest.approx(told, abs=0.01)


def test_the_time_before_the_transfer_counts(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).command(Command.SKIP).command(Command.SKIP)
    before = ibu(day)
    day.wait(1800)
    stood = ibu(day)
    assert stood > before + 3
    assert ibu(day.done(Do.TRANSFER)) == pytest.approx(stood, abs=0.01)


def test_a_word_that_comes_late_does_not_slow_the_chiller(stout: Schedule) -> None:
    day = boiled(stout).command(Command.FLAME_OUT).wait(180).command(Command.DONE)
    day.until(lambda state: state.stage is Stage.CHILL)
    expected = ibu(day)
    later = [replace(day).wait(hours * 3600).command(Command.CHILLED) for hours in (1, 8)]
    assert [ibu(one) for one in later] == pytest.approx([expected] * 2, abs=0.1)
    read = replace(day).wait(2 * 3600).read(Quantity.KETTLE_TEMPERATURE, 17, "degC")
    assert ibu(read) == pytest.approx(expected, abs=0.1)


def test_twelve_days_in_the_whirlpool_are_survived(stout: Schedule) -> None:
    day = boiled(stout).command(Command.FLAME_OUT).wait(12 * 86_400)
    assert day.command(Command.SKIP).state.stage is Stage.CHILL


def test_settling_counts_down_though_nobody_answers_the_steep(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).wait(150)
    day.read(Quantity.KETTLE_TEMPERATURE, 82, "degC").command(Command.ADDED)
    planned = ibu(day)
    day.until(lambda state: any(task.action.do is Do.SETTLE for task in state.tasks))
    for _ in range(12):
        assert ibu(day.wait(60)) == pytest.approx(planned, abs=0.15)


def test_stirring_without_a_steep_is_part_of_the_plan(stout: Schedule) -> None:
    day = boiled(stout).command(Command.FLAME_OUT)
    planned = ibu(day)
    for _ in range(3):
        assert ibu(day.wait(60)) == pytest.approx(planned, abs=0.1)
    assert ibu(day.command(Command.DONE)) == pytest.approx(planned, abs=0.1)


@pytest.mark.parametrize("word", [Command.SKIP, Command.CHILLED, Command.WHIRLPOOL_DONE])
def test_what_is_said_to_be_left_out_is_what_the_forecast_says(
    amber: Schedule, word: Command
) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).command(word)
    assert "First Gold at whirlpool left out" in day.said()
    assert f"{ibu(day):.0f} IBU instead of 37." in day.said()


def test_no_word_of_cold_ever_warms_the_wort(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).command(Command.SKIP)
    day.wait(3600).command(Command.BACK)
    assert "Cool to 82 degrees" not in day.said()


def test_sugar_late_in_the_boil_hardly_strengthens_it(stout: Schedule) -> None:
    # 250 g at 10 minutes is there for a ninth of the boil.
    plan = make_plan(stout)
    dry = make_plan(
        replace(stout, additions=tuple(a for a in stout.additions if a.extract is None))
    )
    risen = plan.postboil_gravity - dry.postboil_gravity
    assert plan.boil_gravity - dry.boil_gravity == pytest.approx(risen / 9, abs=0.0006)


def test_late_hops_up_a_mountain_lose_more(amber: Schedule) -> None:
    lost = []
    for altitude_m in (0.0, 3000.0):
        kettle = replace(amber.kettle, altitude_m=altitude_m)
        day = at_stage(replace(amber, kettle=kettle), Stage.BOIL)
        day.until(lambda state: state.additions[0].fate is Fate.DUE)
        day.wait(35 * 60).command(Command.ADDED)
        assert day.state.advice is not None
        leave = day.state.advice.finding.options[-1].effect
        lost.append(float(leave.split()[0]) / day.state.plan.additions[0].ibu)
    # Tinseth on minutes at 100 °C: 5 of 23 IBU lost by the sea, 6 of 17 at 3000 m.
    assert lost[1] > lost[0] + 0.04


def test_a_boil_that_has_ended_is_not_opened_again_by_a_second_word(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).wait(120).command(Command.BOILING).wait(120)
    day.command(Command.BACK).wait(1800)
    told, minutes = ibu(day), boiled_min(day.state)
    day.command(Command.FLAME_OUT)
    assert boiled_min(day.state) == pytest.approx(minutes, abs=0.1)
    assert ibu(day) == pytest.approx(told, abs=4)


def test_a_boil_that_was_none_took_nothing_away(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP)
    litres = day.state.batch.volume_l
    day.command(Command.BOILING).wait(20 * 60).command(Command.BACK)
    assert day.state.batch.volume_l == pytest.approx(litres)
    assert boiled_min(day.state) == 0


def test_a_volume_read_in_a_boil_that_was_none_stands(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).wait(300).read(Quantity.KETTLE_VOLUME, 23.0, "L")
    day.wait(600).command(Command.BACK)
    assert day.state.batch.volume_l == pytest.approx(23.0 - 2.6 * 600 / 3600, abs=0.25)


def test_a_boil_past_its_end_goes_on_until_the_heat_is_off(stout: Schedule) -> None:
    day = boiled(stout).wait(20 * 60)
    assert boiled_min(day.state) == pytest.approx(110, abs=0.2)
    in_at_s = day.state.additions[0].in_at_s or 0
    assert boiled_from_min(day.state, in_at_s) == pytest.approx(80, abs=0.5)
    before = ibu(day)
    assert ibu(day.command(Command.FLAME_OUT)) == pytest.approx(before, abs=0.3)


def test_chilled_said_in_the_boil_is_cold_at_once(amber: Schedule) -> None:
    day = boiled(amber).command(Command.CHILLED)
    steeping = day.state.batch.steeping
    assert steeping is not None
    assert steeping.temperature_c == pytest.approx(18.0)
    told = ibu(day)
    assert ibu(day.wait(1200)) == pytest.approx(told, abs=0.01)


def test_a_volume_said_of_chilled_wort_is_taken_cold(amber: Schedule) -> None:
    day = boiled(amber).command(Command.FLAME_OUT).command(Command.SKIP).wait(3600)
    day.read(Quantity.KETTLE_VOLUME, 21.5, "L", source=Source.WORDS)
    assert day.said().startswith("21.5 litres, noted.")
