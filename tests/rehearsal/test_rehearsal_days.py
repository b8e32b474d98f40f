"""Whole days: they come to their end, every sentence is understood, and advice helps."""

from functools import cache
from pathlib import Path

import pytest

from assistant.advice.timeline import Stage
from assistant.rehearsal.day import Stuck, rehearse
from assistant.rehearsal.rehearsed import Rehearsed, Who
from assistant.rehearsal.truths import INSTRUCTIVE, Truths
from assistant.schedule import Schedule, load
from assistant.schedule.model import Moment

SAMPLES = sorted((Path(__file__).parents[2] / "schedules").glob("*.yaml"))
SEEDS = 20


@cache
def sample(path: Path) -> Schedule:
    return load(path)


@cache
def day(path: Path, follow_advice: bool) -> Rehearsed:
    return rehearse(sample(path), INSTRUCTIVE, 11, follow_advice)


every_sample = pytest.mark.parametrize("path", SAMPLES, ids=[path.stem for path in SAMPLES])
either_way = pytest.mark.parametrize("advice", [True, False], ids=["advised", "left alone"])


@every_sample
@either_way
def test_the_day_of_a_sample_is_finished_within_twelve_hours(path: Path, advice: bool) -> None:
    rehearsed = day(path, advice)
    assert rehearsed.state.stage is Stage.FINISHED
    assert rehearsed.state.now_s < 12 * 3600
    stages = [reached.stage for reached in rehearsed.state.reached]
    assert [stage for stage in Stage if stage in stages] == list(Stage)


@every_sample
@either_way
def test_every_sentence_is_understood_and_of_use(path: Path, advice: bool) -> None:
    assert day(path, advice).not_used == ()


@pytest.mark.parametrize("seed", range(SEEDS))
def test_every_sentence_of_a_drawn_day_is_understood(seed: int) -> None:
    path = SAMPLES[seed % len(SAMPLES)]
    assert rehearse(sample(path), Truths.drawn(seed), seed, True).not_used == ()


@every_sample
def test_every_addition_to_the_kettle_goes_in(path: Path) -> None:
    rehearsed = day(path, True)
    fates = [
        entry.fate.value
        for addition, entry in zip(
            rehearsed.schedule.additions, rehearsed.state.additions, strict=True
        )
        if addition.moment is not Moment.DAY
    ]
    assert set(fates) == {"in"}


def test_the_default_day_lands_about_two_degrees_cold() -> None:
    first = next(line for line in day(SAMPLES[0], True).log if "mash temperature" in line.text)
    read_c = float(first.text.split()[-1])
    assert 1.0 <= 64.0 - read_c <= 3.0


def test_left_alone_the_default_day_misses_gravity_and_volume() -> None:
    rehearsed = day(SAMPLES[0], False)
    assert rehearsed.reached.original_gravity < rehearsed.plan.original_gravity - 0.001
    assert rehearsed.reached.fermenter_volume_l < rehearsed.plan.fermenter_volume_l - 0.5


def test_one_addition_is_forgotten_for_some_minutes() -> None:
    late = [line.text for line in day(SAMPLES[0], True).log if line.text.endswith(" late.")]
    assert len(late) == 1
    assert late[0].startswith("Northern Brewer in, ")


def test_left_alone_only_leave_it_is_chosen() -> None:
    assert {answer.say for answer in day(SAMPLES[0], False).answers} == {"leave it"}


def test_the_same_seed_gives_the_same_day() -> None:
    beer = sample(SAMPLES[0])
    assert rehearse(beer, INSTRUCTIVE, 3, True).log == rehearse(beer, INSTRUCTIVE, 3, True).log
    assert rehearse(beer, INSTRUCTIVE, 3, True).log != rehearse(beer, INSTRUCTIVE, 4, True).log


def test_the_log_never_goes_back_in_time() -> None:
    moments = [line.at for line in day(SAMPLES[0], True).log]
    assert moments == sorted(moments)


def test_both_sides_speak() -> None:
    assert {line.who for line in day(SAMPLES[0], True).log} == set(Who)


@every_sample
def test_advice_ends_nearer_to_the_planned_gravity_and_volume_on_most_days(path: Path) -> None:
    beer = sample(path)
    nearer = 0
    for seed in range(SEEDS):
        off = [
            abs(rehearsed.reached.original_gravity - rehearsed.plan.original_gravity) / 0.0015
            + abs(rehearsed.reached.fermenter_volume_l - beer.volume_l) / 0.4
            for rehearsed in (rehearse(beer, Truths.drawn(seed), seed, f) for f in (False, True))
        ]
        nearer += off[1] < off[0]
    assert nearer >= 0.6 * SEEDS


@every_sample
def test_advice_holds_the_first_rest_nearer_to_its_temperature(path: Path) -> None:
    off = [
        abs(day(path, advice).reached.rests[0].mean_c - sample(path).mash[0].temperature_c)
        for advice in (False, True)
    ]
    assert off[1] < off[0]


def test_a_kettle_that_never_boils_is_told(amber: Schedule) -> None:
    with pytest.raises(Stuck, match=r"stands still in boil_up, \d+\.\d hours into the day"):
        rehearse(amber, Truths(heater=0.15), 1, True)


@every_sample
def test_left_alone_it_boils_as_long_as_scheduled(path: Path) -> None:
    assert day(path, False).boiled_s / 60 == pytest.approx(sample(path).boil_minutes, abs=2)
