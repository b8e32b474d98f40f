"""Sensors that report by themselves: they answer what is asked, and nobody hears more of them."""

from itertools import pairwise

import pytest
from days import Driven, at_stage, begun
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.advice.actions import Do
from assistant.advice.batch import Place
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.effects import AdviceOffered, ReadingJudged, Refused, Say, Why
from assistant.day.events import (
    DayResumed,
    NoteTaken,
    ReadingTaken,
    SensorsTroubled,
    SensorTrouble,
    Source,
)
from assistant.day.quantities import Quantity
from assistant.day.sensor_state import Sensing
from assistant.day.streaming import ACTS_EVERY_S, DOUBTED_AGAIN_S, STALLED, wanted
from assistant.day.unrest import RESTS_S
from assistant.schedule import Schedule

KETTLE, MASH = Quantity.KETTLE_TEMPERATURE, Quantity.MASH_TEMPERATURE
GONE, BACK = SensorTrouble.GONE, SensorTrouble.BACK


def shows(day: Driven, value: float, quantity: Quantity = KETTLE, unit: str = "degC") -> Driven:
    return day.read(quantity, value, unit, source=Source.STREAM)


def in_a_rest(amber: Schedule) -> Driven:
    """The first rest, its landing read and nothing asked."""
    day = at_stage(amber, Stage.MASH)
    rest_c = amber.mash[0].temperature_c
    shows(day, rest_c)
    assert not day.state.asks
    return day


def rest_c(day: Driven) -> float:
    return day.state.schedule.mash[day.state.rest].temperature_c


def accepted(day: Driven) -> bool:
    return day.of(ReadingJudged)[0].accepted


def test_what_is_asked_is_answered_by_the_sensor_and_read_back(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH)
    assert [ask.quantity for ask in day.state.asks] == [MASH]
    shows(day, 63.4)
    assert "63.4, noted." in day.said()
    assert not day.state.asks


def test_what_nobody_asked_for_is_on_record_and_believed_without_a_word(amber: Schedule) -> None:
    day = in_a_rest(amber)
    before_c, readings = day.state.batch.temperature_c, len(day.state.readings)
    day.wait(30)
    shows(day, rest_c(day) + 0.4)
    assert accepted(day)
    assert len(day.state.readings) == readings + 1
    assert day.state.batch.temperature_c > before_c
    assert day.said() == ""


@pytest.mark.parametrize(
    ("stage", "name"),
    [
        (Stage.STRIKE, Quantity.WATER_TEMPERATURE),
        (Stage.MASH, MASH),
        (Stage.BOIL_UP, KETTLE),
        (Stage.CHILL, KETTLE),
    ],
)
@pytest.mark.parametrize("sent", [KETTLE, MASH, Quantity.WATER_TEMPERATURE])
def test_one_probe_reads_water_mash_and_wort_in_turn(
    amber: Schedule, stage: Stage, name: Quantity, sent: Quantity
) -> None:
    day = at_stage(amber, stage)
    shows(day, round(day.state.batch.temperature_c, 1), sent)
    assert accepted(day)
    assert day.state.readings[-1].quantity is name


def test_a_probe_in_the_empty_kettle_says_nothing_of_the_beer(amber: Schedule) -> None:
    day = at_stage(amber, Stage.PITCH)
    assert day.state.batch.place is Place.FERMENTER
    before = day.state
    shows(day, 55.0)
    assert not accepted(day)
    assert day.state == before


def test_a_mash_that_is_off_is_told_at_most_every_five_minutes(amber: Schedule) -> None:
    day = in_a_rest(amber)
    day.wait(ACTS_EVERY_S)
    told_at = []
    for number in range(40):
        day.wait(30)
        shows(day, rest_c(day) + 2.0 + 0.1 * (number % 3))
        if day.of(AdviceOffered):
            told_at.append(day.at)
    assert told_at
    assert all(later - earlier >= ACTS_EVERY_S for earlier, later in pairwise(told_at))


def test_heating_is_followed_in_silence_until_it_is_there(amber: Schedule) -> None:
    day = at_stage(amber, Stage.STRIKE)
    to_c = day.task(Do.HEAT).action.to_c or 0.0
    warm_c = round(day.state.batch.temperature_c, 1)
    shows(day, warm_c)
    while warm_c + 2 < to_c:
        warm_c += 0.7
        day.wait(30)
        shows(day, round(warm_c, 1))
        assert accepted(day)
        assert day.said() == ""
    day.wait(30)
    shows(day, to_c)
    assert day.state.stage is Stage.DOUGH_IN


def test_a_kettle_on_the_heat_that_gets_no_warmer_is_told_of_every_half_hour(
    amber: Schedule,
) -> None:
    day = at_stage(amber, Stage.STRIKE)
    began_s, told_at = day.at, []
    for number in range(140):
        shows(day.wait(30), 11.0 + number % 3 / 10)
        if STALLED in day.said():
            told_at.append(day.at - began_s)
    assert told_at == [600.0, 2400.0, 4200.0]


def test_without_heat_nobody_wants_it_warmer(amber: Schedule) -> None:
    day = in_a_rest(amber)
    for _ in range(50):
        shows(day.wait(20), rest_c(day))
        assert STALLED not in day.said()


@pytest.mark.parametrize(
    ("quantity", "value", "unit"),
    [
        (Quantity.KETTLE_VOLUME, 26.0, "L"),
        (Quantity.GRAVITY, 1.040, "SG"),
        (Quantity.BRIX, 10.2, "brix"),
        (Quantity.TOP_UP_TEMPERATURE, 9.0, "degC"),
        (Quantity.MASH_PH, 5.9, "pH"),
    ],
)
def test_what_wants_a_stirred_sample_or_a_level_kettle_is_acted_on_when_asked_only(
    amber: Schedule, quantity: Quantity, value: float, unit: str
) -> None:
    day = in_a_rest(amber)
    batch = day.state.batch
    for _ in range(30):
        day.wait(20)
        if day.state.stage is Stage.MASH and not day.state.asks:
            shows(day, value, quantity, unit)
            assert not any(
                isinstance(effect, Say) and effect.why is not Why.QUESTION for effect in day.effects
            )
    assert day.state.batch.volume_l == pytest.approx(batch.volume_l, abs=0.2)
    assert day.state.batch.extract_kg == batch.extract_kg


def test_what_can_hardly_be_is_asked_about_once_until_it_was_likely_for_a_while(
    amber: Schedule,
) -> None:
    day = in_a_rest(amber)
    questions = []
    for number in range(20):
        day.wait(30)
        shows(day, 25.0 + number / 10)
        assert not accepted(day)
        questions += [effect for effect in day.of(Say) if effect.why is Why.QUESTION]
    assert len(questions) == 1
    assert "25 degrees? I expected about" in questions[0].text
    shows(day.wait(30), rest_c(day))
    assert day.state.question is None
    shows(day.wait(30), 25.0)
    assert day.said() == ""
    shows(day.wait(30), rest_c(day))
    shows(day.wait(RESTS_S), rest_c(day))
    shows(day.wait(10), 25.0)
    assert "Yes or no?" in day.said()


def test_after_half_an_hour_it_is_asked_about_again(amber: Schedule) -> None:
    day = in_a_rest(amber)
    shows(day, 25.0)
    assert day.said()
    day.command(Command.NO)
    shows(day.wait(DOUBTED_AGAIN_S - 1), 25.0)
    assert not any(effect.why is Why.QUESTION and "25" in effect.text for effect in day.of(Say))
    shows(day.wait(1), 25.0)
    assert "25 degrees?" in day.said()


def test_yes_puts_what_was_asked_about_on_record_and_no_wants_it_by_hand(amber: Schedule) -> None:
    day = shows(in_a_rest(amber), 50.0).command(Command.YES)
    assert day.state.readings[-1].value == 50.0
    other = shows(in_a_rest(amber), 50.0).command(Command.NO)
    assert [ask.quantity for ask in other.state.asks] == [MASH]
    shows(other.wait(5), 50.0)
    assert other.said() == ""


def test_what_no_thermometer_can_show_is_told_once_and_never_refused(amber: Schedule) -> None:
    day = in_a_rest(amber)
    shows(day, -127.0)
    assert day.said() == "-127 degC can't be a mash temperature. Look at its sensor."
    for _ in range(9):
        shows(day.wait(30), -127.0)
        assert day.said() == ""
        assert not day.of(Refused)
        assert not accepted(day)


def test_a_sensor_never_talks_over_the_question_of_a_reading_said_aloud(amber: Schedule) -> None:
    day = in_a_rest(amber)
    day.read(MASH, 51.0, "degC", source=Source.WORDS)
    question = day.state.question
    assert question is not None
    shows(day.wait(5), 25.0)
    shows(day.wait(5), rest_c(day))
    assert day.state.question == question
    day.command(Command.YES)
    assert day.state.readings[-1].value == 51.0


def test_undo_takes_back_what_the_brewer_did_and_leaves_the_silent_readings(
    amber: Schedule,
) -> None:
    day = in_a_rest(amber)
    day.happen(NoteTaken(at=day.at, text="a thick mash"))
    for _ in range(3):
        shows(day.wait(30), rest_c(day))
    readings = day.state.readings
    day.command(Command.UNDO)
    assert day.state.notes == ()
    assert day.state.readings == readings


def test_undo_takes_back_what_a_sensor_was_read_back_for(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH)
    shows(day, 63.4).command(Command.UNDO)
    assert "Taken back: kettle temperature 63.4" in day.said()
    assert [ask.quantity for ask in day.state.asks] == [MASH]


def test_the_pipe_is_answered_every_time_as_before(amber: Schedule) -> None:
    day = in_a_rest(amber)
    for _ in range(3):
        day.wait(30).read(MASH, 25.0, "degC", source=Source.SENSOR)
        assert not accepted(day)
        assert "Yes or no?" in day.said()


def test_all_names_of_the_kettles_thermometer_are_wanted_where_one_is(amber: Schedule) -> None:
    day = at_stage(amber, Stage.MASH)
    assert {KETTLE, MASH, Quantity.WATER_TEMPERATURE} <= wanted(day.state)
    assert not wanted(in_a_rest(amber).state)


@settings(max_examples=40)
@given(
    values=st.lists(
        st.one_of(st.floats(-130, 150), st.sampled_from([-127.0, 85.0, 63.0, 63.5])), max_size=60
    )
)
def test_whatever_a_sensor_shows_little_is_said_of_it(amber: Schedule, values: list[float]) -> None:
    day = in_a_rest(amber)
    doubts = 0
    for value in values:
        shows(day.wait(10), value)
        assert not day.of(Refused)
        assert len(day.of(ReadingJudged)) == 1
        doubts += sum("Look at its sensor" in say.text for say in day.of(Say))
        doubts += sum("Yes or no?" in say.text for say in day.of(Say))
    assert doubts <= 2


def befell(
    day: Driven, trouble: SensorTrouble, quantity: Quantity | None = None, after_s: float = 1000
) -> Driven:
    day.wait(after_s)
    return day.happen(SensorsTroubled(at=day.at, trouble=trouble, quantity=quantity))


@pytest.mark.parametrize(
    ("trouble", "over", "quantity", "said", "said_over"),
    [
        (
            GONE,
            BACK,
            None,
            "The sensors can't be reached. Read by hand.",
            "The sensors are back.",
        ),
        (
            SensorTrouble.SILENT,
            SensorTrouble.HEARD_AGAIN,
            KETTLE,
            "The kettle temperature sensor is silent. Read by hand.",
            "The kettle temperature sensor is back.",
        ),
    ],
)
def test_a_trouble_of_the_sensors_is_told_once_and_its_end_once(
    amber: Schedule,
    trouble: SensorTrouble,
    over: SensorTrouble,
    quantity: Quantity | None,
    said: str,
    said_over: str,
) -> None:
    day = begun(amber)
    assert befell(day, over, quantity).said() == ""
    spoken = day.state.spoken
    assert befell(day, trouble, quantity).said() == said
    assert befell(day, trouble, quantity, 1).said() == ""
    assert befell(day, over, quantity).said() == said_over
    assert day.state.spoken == spoken
    assert day.state.sensing.silent == ()
    assert not day.state.sensing.gone
    assert len(day.state.incidents) == 2


def test_sensors_that_come_and_go_are_told_as_that_and_then_no_more(amber: Schedule) -> None:
    day, said = begun(amber), []
    for _ in range(10):
        for trouble in (GONE, BACK):
            befell(day, trouble, after_s=5)
            said += [say.text for say in day.of(Say)]
    assert (
        said[:4]
        == [
            "The sensors can't be reached. Read by hand.",
            "The sensors are back.",
        ]
        * 2
    )
    assert said[4:] == ["The sensors come and go. Read by hand."]


def test_who_comes_back_to_a_day_is_told_anew_what_is_gone(amber: Schedule) -> None:
    day = befell(begun(amber), GONE)
    day.happen(DayResumed(at=day.at))
    assert day.state.sensing == Sensing()
    assert "can't be reached" in befell(day, GONE).said()


def test_a_trouble_of_the_sensors_leaves_a_doubt_open(amber: Schedule) -> None:
    day = in_a_rest(amber)
    heard = (
        ReadingTaken(at=day.at, quantity=MASH, value=63.0, unit="degC"),
        ReadingTaken(at=day.at, quantity=MASH, value=63.5, unit="degC"),
    )
    day.unsure(*heard)
    doubt = day.state.open_doubt()
    assert doubt is not None
    assert befell(day, GONE, after_s=1).state.open_doubt() == doubt


def test_the_state_of_a_sensor_is_nothing_undo_brings_back(amber: Schedule) -> None:
    day = in_a_rest(amber)
    day.happen(NoteTaken(at=day.at, text="so far so good"))
    shows(day.wait(30), 25.0)
    day.command(Command.UNDO)
    assert day.state.question is None
    shows(day.wait(30), 25.0)
    assert day.said() == ""
