"""The closed-loop benchmark judges by the truth, and a kettle that is as its card lands as planned.

Its modules are scripts beside one another, so their folder is put on the path.
"""

import sys
from dataclasses import replace
from pathlib import Path

import pytest

BENCH = Path(__file__).parents[1] / "bench"
sys.path.insert(0, str(BENCH))

import closed_loop  # noqa: E402
from loop_beers import beers, of_one_kettle  # noqa: E402
from loop_day import DayResult, LoopDay, Setting  # noqa: E402
from loop_heatings import Heating, Heatings  # noqa: E402
from loop_truth import Rested, plan_ibu, rest_error  # noqa: E402

from assistant.advice.actions import Action, Do  # noqa: E402
from assistant.advice.plan import make_plan  # noqa: E402
from assistant.advice.timeline import Stage  # noqa: E402
from assistant.day.state import Task, new_day  # noqa: E402
from assistant.rehearsal.structure import Structure  # noqa: E402
from assistant.rehearsal.truths import Truths  # noqa: E402
from assistant.schedule import Schedule  # noqa: E402

BEERS = beers()
every_beer = pytest.mark.parametrize("name", BEERS)


def played(name: str, *, follow_advice: bool = False, lid_off: float = 2.5) -> DayResult:
    return LoopDay(
        Setting(
            seed=1,
            name=name,
            schedule=BEERS[name],
            truths=Truths(),
            structure=Structure(lid_off=lid_off),
            follow_advice=follow_advice,
        )
    ).run()


@every_beer
def test_a_kettle_as_its_card_that_loses_nothing_more_without_its_lid_lands_on_the_plan(
    name: str,
) -> None:
    day = played(name, lid_off=1.0)
    assert day.stuck == ""
    assert day.refused == ()
    assert abs(day.gravity_points) < 0.3
    # The readings scatter, and by them it is said where to stop running off.
    assert abs(day.volume_l) < 0.35


def test_steam_off_the_open_kettle_is_what_the_plan_leaves_out() -> None:
    day = played("amber")
    assert -0.6 < day.volume_l < -0.2
    assert 0.4 < day.gravity_points < 1.2


@every_beer
def test_bitterness_as_planned_is_the_plans_but_for_first_wort_hops(name: str) -> None:
    beer = BEERS[name]
    plan = make_plan(beer)
    assert plan_ibu(beer, plan) == pytest.approx(plan.ibu, rel=0.02 if "galley" in name else 1e-6)


def test_brews_one_after_another_are_of_one_kettle() -> None:
    kettles = {beer.kettle for beer in of_one_kettle().values()}
    assert len(kettles) == 1
    assert len(of_one_kettle()) >= 4


def test_a_rest_counts_from_when_it_was_reached_until_it_is_over() -> None:
    # Five minutes 2 K too hot after one of heating, and five just right: by hand.
    rest = Rested(wanted_c=70.0, began_s=0.0, over_s=660.0, landed=False)
    trace = [(0.0, 65.0), (60.0, 70.0), (360.0, 72.0), (660.0, 70.0), (700.0, 50.0)]
    assert rest_error([rest], trace) == pytest.approx((4.0 * 300 / 600) ** 0.5)


def test_the_rest_the_grain_goes_in_at_counts_from_its_start() -> None:
    rest = Rested(wanted_c=66.0, began_s=0.0, over_s=200.0, landed=True)
    assert rest_error([rest], [(0.0, 64.0), (100.0, 64.0), (200.0, 64.0)]) == pytest.approx(2.0)


def heating(beer: Schedule, to_c: float) -> Heatings:
    heatings = Heatings(100.0)
    state = new_day(beer, make_plan(beer))
    task = Task(id=1, action=Action(do=Do.HEAT, to_c=to_c, power=1.0))
    striking = replace(state, stage=Stage.STRIKE, tasks=(task,))
    heatings.said(Stage.STRIKE, "Full power, heat to 60 degrees. About 12 minutes.", 0.0)
    heatings.passed(striking, [(60.0 * minute, 40.0 + 2 * minute) for minute in range(1, 11)])
    return heatings


def test_a_time_that_is_told_is_judged_by_when_the_water_truly_is_hot(amber: Schedule) -> None:
    heatings = heating(amber, 60.0)
    assert heatings.strike_s == 600.0
    ((percent, settled),) = heatings.errors(Heating.STRIKE_SPOKEN)
    assert percent == pytest.approx(20.0)
    assert not settled


def test_water_left_just_short_of_its_target_would_have_come_there(amber: Schedule) -> None:
    heatings = heating(amber, 60.4)
    assert heatings.strike_s is None
    heatings.stage(Stage.MASH, [(60.0 * minute, 40.0 + 2 * minute) for minute in range(1, 11)])
    assert heatings.strike_s == pytest.approx(612.0)


def test_a_day_that_breaks_is_told_of_and_the_others_go_on(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def break_when_mashed(day: LoopDay, stage: Stage, at: float) -> None:
        if stage is Stage.LIFT and day.setting.seed == 1:
            raise ValueError("no such rest")

    monkeypatch.setattr(LoopDay, "_stage", break_when_mashed)
    closed_loop.main(["--days", "2", "--jobs", "1", "--list"])
    printed = capsys.readouterr().out
    assert printed.count("stuck: seed 1") == 2
    assert "no such rest" in printed


def test_the_table_tells_both_ways_and_pairs_them(capsys: pytest.CaptureFixture[str]) -> None:
    closed_loop.main(["--days", "2", "--jobs", "1", "--brews", "2"])
    printed = capsys.readouterr().out
    assert "brew 2" in printed
    assert "advice taken" in printed
    assert "left alone" in printed
    assert "The advised day of a pair was nearer in" in printed
