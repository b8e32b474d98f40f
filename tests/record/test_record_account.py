"""The account of a day: what it came to and why, what the way there told, what it taught."""

from dataclasses import replace
from itertools import pairwise

import pytest
from reported_days import BEGAN, rehearsed
from small_day import SMALL_SCHEDULE, Brewed, morning, small_schedule, whole_day

from assistant.advice.learned import Trait
from assistant.advice.plan import make_plan
from assistant.day.commands import Command
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    HeardUnsurely,
    NoteTaken,
    NumberSaid,
    ReadingTaken,
    Source,
)
from assistant.day.quantities import Quantity
from assistant.day.state import Fate, new_day
from assistant.record.errors import RecordError
from assistant.record.journal import Day, DayStatus
from assistant.record.reporting.account import Account, Cause, Deviation, Figure, Known, Off
from assistant.record.reporting.deviation_words import found_and_meant
from assistant.record.reporting.followed import Answer
from assistant.record.reporting.following import followed_through
from assistant.record.reporting.making import account_of_events
from assistant.record.reporting.through_the_day import planned_c, through_the_day
from assistant.schedule import load_text
from assistant.schedule.model import Units

DAY = Day(
    id=1,
    began_wall=BEGAN,
    schedule_path="/beers/beer.yaml",
    beer="a beer",
    status=DayStatus.FINISHED,
)


def account(day: Brewed) -> Account:
    return account_of_events(DAY, day.schedule, day.events)


@pytest.fixture(scope="module")
def small() -> Account:
    return account(whole_day(small_schedule()))


@pytest.fixture(scope="module")
def amber() -> Account:
    day = rehearsed()
    return account_of_events(DAY, day.schedule, day.events)


def figure(of: Account, which: Figure) -> tuple[float, float]:
    found = next(outcome for outcome in of.outcomes if outcome.figure is which)
    assert found.planned is not None
    assert found.reached is not None
    return found.planned, found.reached


# What it came to, and why


@pytest.mark.parametrize("sample", ["breakwater-amber", "saltgrass-pale", "harbour-light-stout"])
@pytest.mark.parametrize("advice", [True, False])
def test_the_reasons_add_up_to_what_the_beer_is_off(sample: str, advice: bool) -> None:
    day = rehearsed(sample, follow_advice=advice)
    told = account_of_events(DAY, day.schedule, day.events)
    planned_l, reached_l = figure(told, Figure.VOLUME)
    planned_sg, reached_sg = figure(told, Figure.GRAVITY)
    planned_ibu, ibu = figure(told, Figure.BITTERNESS)
    moved_l = sum(reason.volume_l for reason in told.reasons)
    moved_sg = sum(reason.gravity for reason in told.reasons)
    moved_ibu = sum(reason.ibu for reason in told.reasons)
    # A cause that moved next to nothing has no line.
    assert moved_l == pytest.approx(reached_l - planned_l, abs=0.15)
    assert moved_sg == pytest.approx(reached_sg - planned_sg, abs=0.0006)
    assert moved_ibu == pytest.approx(ibu - planned_ibu, abs=0.6)


def test_what_no_figure_explains_is_little(amber: Account) -> None:
    rest = next(reason for reason in amber.reasons if reason.cause is Cause.REST)
    assert abs(rest.volume_l) < 0.5
    assert abs(rest.gravity) < 0.001


def test_a_kettle_that_boils_off_more_takes_volume_and_gives_gravity(amber: Account) -> None:
    boil_off = next(reason for reason in amber.reasons if reason.cause is Cause.BOIL_OFF)
    assert boil_off.planned == pytest.approx(2.6)
    assert boil_off.was is not None
    assert boil_off.was > 2.9
    # Half a litre an hour for 65 minutes.
    assert boil_off.volume_l == pytest.approx(-(boil_off.was - 2.6) * 65 / 60, abs=0.01)
    assert boil_off.gravity > 0


def test_what_advice_had_added_is_a_reason_of_its_own(amber: Account) -> None:
    causes = {reason.cause: reason for reason in amber.reasons}
    extract = causes[Cause.ADDED_EXTRACT]
    assert extract.was == pytest.approx(0.17 * 0.96, abs=0.01)
    assert extract.gravity > 0
    assert causes[Cause.ADDED_WATER].volume_l == pytest.approx(0.6, abs=0.05)
    assert causes[Cause.TOP_UP].volume_l == pytest.approx(0.6, abs=0.05)


def test_what_was_poured_in_goes_with_what_poured_it_and_with_nothing_else() -> None:
    day = rehearsed()
    _, whole = followed_through(day.schedule, day.events)
    poured = whole.poured[0]
    until = [event for event in day.events if event.at <= poured.at_s]
    note = NoteTaken(at=poured.at_s, text="in the same second")
    undo = CommandGiven(at=poured.at_s + 1.0, command=Command.UNDO)
    _, without_the_note = followed_through(day.schedule, [*until, note, undo])
    assert without_the_note.poured == (poured,)
    _, without_it = followed_through(day.schedule, [*until, undo])
    assert without_it.poured == ()


def test_a_moment_that_was_late_names_the_stages_that_took_longer(amber: Account) -> None:
    boil = next(moment for moment in amber.milestones if moment.name == "Boil")
    ((stage, longer_s),) = boil.because
    assert stage.value == "boil_up"
    assert longer_s == pytest.approx(567, abs=30)


# What the way there told


def test_a_reading_that_was_taken_back_stands_with_when(small: Account) -> None:
    (back,) = [seen for seen in small.readings if seen.taken_back_s is not None]
    assert back.reading.quantity is Quantity.MASH_PH
    assert (back.reading.at, back.taken_back_s) == (65 * 60.0, 66 * 60.0)
    (undone,) = small.taken_back
    assert (undone.what, undone.done_s, undone.at_s) == ("mash pH 5.4", 65 * 60.0, 66 * 60.0)


def test_readings_that_happen_again_after_an_undo_are_not_taken_back() -> None:
    day = morning(small_schedule())
    day.read(130.2, Quantity.ROOM_TEMPERATURE, 18.0, "degC")
    for second in range(120):
        # A sensor's oldest readings can't be taken back by themselves: they come again.
        warm = ReadingTaken(
            at=7820.0 + second,
            quantity=Quantity.KETTLE_TEMPERATURE,
            value=99.0,
            unit="degC",
            source=Source.SENSOR,
        )
        day.happen(warm)
    for second in range(101):
        day.happen(CommandGiven(at=7950.0 + second, command=Command.UNDO))
    told = account(day)
    kept = [seen.reading for seen in told.readings if seen.taken_back_s is None]
    assert kept == list(day.state.readings)
    warm_ones = [s for s in told.readings if s.reading.quantity is Quantity.KETTLE_TEMPERATURE]
    assert [seen.taken_back_s is None for seen in warm_ones] == [True] * 20 + [False] * 100
    assert [back.what for back in told.taken_back][-1] == "room temperature 18"
    (room,) = [s for s in told.readings if s.reading.quantity is Quantity.ROOM_TEMPERATURE]
    assert room.taken_back_s == 8050.0


def test_undone_twice_the_one_before_is_taken_back_too() -> None:
    day = morning(small_schedule())
    day.read(131, Quantity.KETTLE_TEMPERATURE, 99.5, "degC")
    day.read(132, Quantity.KETTLE_TEMPERATURE, 99.0, "degC")
    day.say(133, Command.UNDO)
    day.say(134, Command.UNDO)
    back = [seen for seen in account(day).readings if seen.taken_back_s is not None][-2:]
    assert [(seen.reading.said, seen.taken_back_s) for seen in back] == [
        (99.5, 134 * 60.0),
        (99.0, 133 * 60.0),
    ]


@pytest.mark.parametrize(
    ("answer", "came_of_it"),
    [
        pytest.param(Command.YES, Answer.YES, id="yes"),
        pytest.param(Command.NO, Answer.NO, id="no"),
        pytest.param(None, Answer.OPEN, id="nothing yet"),
    ],
)
def test_an_unlikely_reading_was_asked_about(answer: Command | None, came_of_it: Answer) -> None:
    day = morning(small_schedule())
    day.happen(ReadingTaken(at=7860.0, quantity=Quantity.GRAVITY, value=1.09, unit="SG"))
    if answer is not None:
        day.happen(CommandGiven(at=7870.0, command=answer))
    asked = account(day).asked[-1]
    assert asked.text.startswith("1.090? I expected about")
    assert asked.answer is came_of_it
    assert asked.answered_s == (None if answer is None else 7870.0)


def test_words_heard_unsurely_were_asked_about() -> None:
    day = morning(small_schedule())
    room = ReadingTaken(at=7860.0, quantity=Quantity.ROOM_TEMPERATURE, value=18.0, unit="degC")
    day.happen(HeardUnsurely(at=7860.0, meanings=(room,)))
    day.happen(CommandGiven(at=7865.0, command=Command.YES))
    day.happen(HeardUnsurely(at=7900.0, meanings=(room,)))
    day.happen(CommandGiven(at=7905.0, command=Command.NO))
    day.happen(HeardUnsurely(at=7910.0, meanings=(room,)))
    day.happen(NoteTaken(at=8400.0, text="long after"))
    answers = [asked.answer for asked in account(day).asked[-3:]]
    assert answers == [Answer.YES, Answer.NO, Answer.DROPPED]


def test_where_a_reading_came_from_is_told() -> None:
    day = morning(small_schedule())
    day.happen(
        ReadingTaken(
            at=7860.0,
            quantity=Quantity.KETTLE_TEMPERATURE,
            value=99.0,
            unit="degC",
            source=Source.SENSOR,
        )
    )
    sources = [seen.source for seen in account(day).readings]
    assert sources[-1] is Source.SENSOR
    assert set(sources[:-1]) == {Source.WORDS}


def test_the_temperature_is_believed_from_the_start_until_the_kettle_is_empty(
    amber: Account,
) -> None:
    warm = [b for b in amber.believed if b.temperature_c is not None]
    assert warm[0].at_s == 0.0
    assert max(b.temperature_c or 0.0 for b in warm) == pytest.approx(100.0, abs=1.5)
    transferred = next(s.until_s for s in amber.stages if s.stage.value == "transfer")
    assert warm[-1].at_s <= transferred
    assert max(b.at_s - a.at_s for a, b in pairwise(warm)) <= 120.0


def test_rests_are_told_as_they_were_held(amber: Account) -> None:
    assert [rest.rest for rest in amber.held] == ["beta", "alpha", "mash-out"]
    for rest in amber.held:
        assert rest.lowest_c <= rest.mean_c <= rest.highest_c
        assert rest.mean_c == pytest.approx(rest.wanted_c, abs=0.5)


def test_a_rest_that_was_left_by_a_slip_is_one_and_the_slip_none() -> None:
    two_rests = SMALL_SCHEDULE.replace(
        "{rest: single, at: 66 degC, for: 60 min}",
        "{rest: beta, at: 64 degC, for: 40 min}, {rest: alpha, at: 70 degC, for: 20 min}",
    )
    schedule = load_text(two_rests, "slipway.yaml")
    day = Brewed(schedule=schedule, state=new_day(schedule, make_plan(schedule)))
    day.happen(DayBegan(at=0.0))
    day.say(10, Command.SKIP)
    day.read(40, Quantity.WATER_TEMPERATURE, 68.0, "degC")
    day.say(48, Command.GRAIN_IN)
    day.read(52, Quantity.MASH_TEMPERATURE, 64.0, "degC")
    day.say(60, Command.SKIP)
    day.read(62, Quantity.MASH_TEMPERATURE, 69.9, "degC")
    assert [rest.rest for rest in account(day).held] == ["beta", "alpha"]
    day.say(70, Command.UNDO)
    day.say(71, Command.UNDO)
    day.say(80, Command.BAG_OUT)
    (beta,) = account(day).held
    assert (beta.rest, beta.from_s) == ("beta", 48 * 60.0)
    assert 79 * 60.0 < beta.until_s <= 80 * 60.0
    assert beta.highest_c < 68.5


def test_a_gap_of_days_is_looked_at_only_so_often() -> None:
    day = morning(small_schedule())
    before = len(account(day).believed)
    day.happen(NoteTaken(at=day.state.now_s + 14 * 86400.0, text="back from the sea"))
    assert len(account(day).believed) - before < 60


def test_what_advice_was_offered_stands_beside_what_was_chosen(amber: Account) -> None:
    first = amber.advice[0]
    assert (first.chosen, first.recommended) == ("heat", "heat")
    assert first.options == ("heat", "boiling water", "leave it")
    assert first.at_s < (first.chosen_s or 0.0)


def test_advice_that_nobody_answered_is_told_as_that() -> None:
    day = morning(small_schedule())
    unanswered = [advice for advice in account(day).advice if advice.chosen is None]
    assert day.state.advice is not None
    assert unanswered[-1].finding == day.state.advice.finding.finding


# The additions


def test_the_bitterness_of_the_additions_adds_up(amber: Account, small: Account) -> None:
    for told in (amber, small):
        planned, reached = figure(told, Figure.BITTERNESS)
        assert sum(line.ibu or 0.0 for line in told.additions) == pytest.approx(reached)
        assert sum(line.planned_ibu or 0.0 for line in told.additions) == pytest.approx(planned)


def test_hops_that_went_in_late_gave_less_by_themselves(small: Account) -> None:
    target = small.additions[0]
    assert (target.planned_boiled_min, target.boiled_min) == (45.0, 40.0)
    assert target.time_ibu is not None
    assert -2.0 < target.time_ibu < -0.5
    assert (target.planned_g, target.weight_g) == (22.0, 24.0)


def test_finings_bring_no_bitterness_and_can_be_left_out(small: Account) -> None:
    finings = small.additions[1]
    assert (finings.fate, finings.ibu, finings.in_s) == (Fate.LEFT_OUT, None, None)


# What there is to learn


def test_deviations_are_told_with_what_they_meant(small: Account) -> None:
    found = {(each.off, each.name): each for each in small.deviations}
    assert found[(Off.REST, "single")].was == pytest.approx(64.8, abs=0.1)
    assert found[(Off.LESS_BOIL, "Target")].ibu == pytest.approx(small.additions[0].time_ibu)
    assert found[(Off.LEFT_OUT, "kettle finings")].ibu is None
    assert (found[(Off.CHANGED, "Target")].ibu or 0.0) > 2.0
    boil_off = found[(Off.KETTLE, "boil_off_l_h")]
    assert boil_off.volume_l is not None
    assert boil_off.volume_l < -0.5


def test_what_went_in_on_time_is_not_called_early_where_the_boil_was_longer() -> None:
    day = morning(small_schedule())
    day.take_advice(131, "leave it")
    day.say(145, Command.ADDED, "Target")
    day.say(178, Command.ADDED, "kettle finings")
    day.say(205, Command.FLAME_OUT)
    words = [" ".join(found_and_meant(each, Units.METRIC)) for each in account(day).deviations]
    (target,) = [told for told in words if told.startswith("Target had")]
    (finings,) = [told for told in words if told.startswith("Kettle finings")]
    assert target.startswith(
        "Target had 60 minutes of boil instead of 45 minutes: 15 minutes more. By itself that made"
    )
    assert finings == (
        "Kettle finings had 27 minutes of boil instead of 12 minutes: 15 minutes more. "
        "It brings no bitterness."
    )


def test_a_stage_that_was_only_told_of_afterwards_is_not_called_short(small: Account) -> None:
    assert not [each for each in small.deviations if each.name in ("lift", "pitch")]


def test_a_day_that_has_only_begun_has_nothing_to_learn_from() -> None:
    told = account_of_events(DAY, small_schedule(), [DayBegan(at=0.0)])
    assert told.deviations == ()


def test_what_the_kettle_taught_stands_beside_the_card(amber: Account) -> None:
    taught = {each.trait: each for each in amber.taught}
    assert set(taught) == set(Trait)
    assert amber.brews == 1
    boil_off = taught[Trait.BOIL_OFF]
    assert (boil_off.card, boil_off.before) == pytest.approx((2.6, 2.6))
    assert boil_off.spread < boil_off.before_spread


def test_a_heater_is_told_against_what_was_expected_of_it_and_not_against_its_card() -> None:
    slower_than_its_card = Deviation(
        off=Off.KETTLE,
        name="heater_efficiency",
        trait=Trait.HEATER,
        planned=0.7,
        was=0.8,
        unit="share",
    )
    found, meant = found_and_meant(slower_than_its_card, Units.METRIC)
    assert found == "Heater's power used: 80 %, where 70 % was expected."
    assert meant == "Heating goes faster than it was reckoned to."


@pytest.mark.parametrize(
    ("units", "words"),
    [
        (Units.METRIC, "64.7 degrees instead of 66 degrees: 1.3 degrees too cool."),
        (Units.US, "148.5 degrees instead of 150.8 degrees: 2.3 degrees too cool."),
    ],
)
def test_how_far_a_rest_was_off_is_the_difference_of_the_figures_beside_it(
    units: Units, words: str
) -> None:
    cool = Deviation(off=Off.REST, name="single", planned=66.0, was=64.7, unit="degC")
    assert words in found_and_meant(cool, units)[0]


# Days that are hardly any


def test_nothing_is_told_as_reached_before_there_is_wort_in_the_fermenter(small: Account) -> None:
    begun = account_of_events(DAY, small_schedule(), [DayBegan(at=0.0)])
    assert {outcome.known for outcome in begun.outcomes} == {Known.EXPECTED}
    assert {outcome.known for outcome in account(morning(small_schedule())).outcomes} == {
        Known.EXPECTED
    }
    assert [outcome.known for outcome in small.outcomes] == [
        Known.READ,
        Known.READ,
        Known.RECKONED,
        Known.EXPECTED,
        Known.IN_FERMENTER,
    ]


def test_a_day_without_an_event_has_its_plan_and_no_course() -> None:
    told = account_of_events(DAY, small_schedule(), ())
    assert told.believed == ()
    assert told.taught == ()
    assert through_the_day(told) == ()
    assert figure(told, Figure.VOLUME) == pytest.approx((18.0, 18.0))


def test_a_day_that_a_driver_began_late_has_its_plan_from_then() -> None:
    began_s = 5000.0
    told = account_of_events(DAY, small_schedule(), [DayBegan(at=began_s)])
    assert told.began_s == began_s
    assert told.planned_course[0].at_s == began_s
    assert planned_c(told.planned_course, 100.0) is None


def test_events_that_lead_nowhere_are_a_fault_of_the_record() -> None:
    with pytest.raises(RecordError):
        account_of_events(DAY, small_schedule(), [DayBegan(at=1e12)])


def test_the_same_events_in_other_units_are_the_same_day() -> None:
    day = whole_day(small_schedule())
    metric = account(day)
    us = account_of_events(DAY, day.schedule, day.events, Units.US)
    assert us.schedule.units is Units.US
    assert us.readings == metric.readings
    assert us.outcomes == metric.outcomes
    assert replace(us.schedule, units=Units.METRIC) == metric.schedule


def test_a_bare_number_means_what_it_meant_on_the_day() -> None:
    day = morning(small_schedule())
    assert any(isinstance(event, NumberSaid) for event in day.events)
    us = account_of_events(DAY, day.schedule, day.events, Units.US)
    gravity = [s.reading.value for s in us.readings if s.reading.quantity is Quantity.GRAVITY]
    assert gravity == [1.04]


@pytest.mark.parametrize(
    ("planned", "was", "meant"),
    [
        pytest.param(66.0, 64.0, "drier", id="a little cool"),
        pytest.param(66.0, 69.0, "fuller, and a little less alcohol", id="a little warm"),
        pytest.param(66.0, 45.0, "Too cold for most of the starch", id="far too cold"),
        pytest.param(70.0, 80.0, "end the enzymes' work", id="far too hot"),
        pytest.param(52.0, 49.0, "makes little difference", id="a rest for something else"),
    ],
)
def test_a_rest_off_its_temperature_meant_what_a_brewer_expects(
    planned: float, was: float, meant: str
) -> None:
    off = Deviation(off=Off.REST, name="single", planned=planned, was=was, unit="degC")
    assert meant in found_and_meant(off, Units.METRIC)[1]
