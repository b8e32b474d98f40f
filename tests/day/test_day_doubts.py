"""Words heard unsurely: asked about in few words, never on the record before an answer."""

import itertools
from dataclasses import replace

import pytest
from days import Driven, at_stage

from assistant.advice.actions import Do
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.doubt_words import doubt_words, length_words
from assistant.day.effects import Refused, Say, Why
from assistant.day.events import (
    CommandGiven,
    DayResumed,
    Meaning,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    Source,
    TimerRequested,
)
from assistant.day.listening import listening
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.day.turn import MOST_WORDS
from assistant.hearing.words import understand
from assistant.schedule import Schedule


def number(value: float, unit: str | None = None) -> NumberSaid:
    return NumberSaid(at=0, value=value, unit=unit)


def mash(value: float, unit: str = "degC") -> ReadingTaken:
    return ReadingTaken(at=0, quantity=Quantity.MASH_TEMPERATURE, value=value, unit=unit)


def kettle(value: float) -> ReadingTaken:
    return ReadingTaken(at=0, quantity=Quantity.KETTLE_TEMPERATURE, value=value, unit="degC")


def gravity(value: float, sample_c: float | None = None) -> ReadingTaken:
    return ReadingTaken(at=0, quantity=Quantity.GRAVITY, value=value, unit="SG", sample_c=sample_c)


def ph(value: float) -> ReadingTaken:
    return ReadingTaken(at=0, quantity=Quantity.MASH_PH, value=value, unit="pH")


def given(command: Command, subject: str | None = None) -> CommandGiven:
    return CommandGiven(at=0, command=command, subject=subject)


def timer(seconds: float, name: str = "timer") -> TimerRequested:
    return TimerRequested(at=0, seconds=seconds, name=name)


def brewing(day: Driven) -> tuple[object, ...]:
    """What of a day is more than words."""
    state = day.state
    return (state.readings, state.stage, state.rest, state.timers, state.tasks, state.history)


@pytest.fixture
def in_mash(amber: Schedule) -> Driven:
    return at_stage(amber, Stage.MASH).wait(60)


@pytest.mark.parametrize(
    ("meanings", "words"),
    [
        ((number(15), number(50)), "15 or 50? Say one five, or five oh."),
        ((number(30), number(13)), "30 or 13? Say three oh, or one three."),
        ((number(15), number(55)), "15 or 55?"),
        ((number(12), number(20)), "12 or 20?"),
        (
            (number(15.5), number(50.5)),
            "15.5 or 50.5? Say one five point five, or five oh point five.",
        ),
        ((mash(15), mash(50)), "15 or 50? Say one five, or five oh."),
        ((mash(66.5),), "66.5? Yes or no."),
        ((number(66.5),), "66.5? Yes or no."),
        ((kettle(66.5),), "Kettle temperature 66.5? Yes or no."),
        ((kettle(13), kettle(30)), "Kettle temperature 13 or 30? Say one three, or three oh."),
        ((mash(66), kettle(66)), "Mash temperature 66 or kettle temperature 66?"),
        ((mash(150, "degF"), mash(66)), "150 degrees Fahrenheit or 66?"),
        (
            (gravity(1.015), gravity(1.05)),
            "Gravity 1.015 or 1.050? Say one oh one five, or one oh five oh.",
        ),
        ((gravity(1.04, 30.0),), "Gravity 1.040 at 30 degrees? Yes or no."),
        ((ph(5.14), ph(5.4)), "pH 5.14 or pH 5.4? Say five point one four, or five point four oh."),
        ((number(60), number(62), number(66)), "60, 62 or 66?"),
        ((given(Command.SKIP),), "Skip? Yes or no."),
        ((given(Command.BAG_OUT), given(Command.BACK)), "Bag is out or back?"),
        ((given(Command.UNDO),), "Undo? Yes or no."),
        ((given(Command.NO),), "Undo? Yes or no."),
        ((given(Command.SLOWER),), "Slower? Yes or no."),
        ((timer(900),), "A timer of 15 minutes? Yes or no."),
        ((timer(900, "yeast"),), "15 minutes for yeast? Yes or no."),
        ((timer(900), timer(3000)), "15 minutes or 50 minutes? Say one five, or five oh."),
        ((timer(900, "yeast"), timer(900, "oven")), "15 minutes for yeast or 15 minutes for oven?"),
        ((number(15), timer(900)), "15 or a timer of 15 minutes?"),
        ((mash(66), given(Command.SKIP)), "66 or skip?"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_the_question_is_the_shortest_that_tells_them_apart(
    in_mash: Driven, meanings: tuple[Meaning, ...], words: str
) -> None:
    in_mash.command(Command.QUIETER)
    before = brewing(in_mash)
    assert in_mash.unsure(*meanings).said() == words
    assert in_mash.of(Say)[0].why is Why.QUESTION
    assert brewing(in_mash) == before


def test_a_reading_that_was_asked_for_needs_no_name(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).wait(30).unsure(gravity(1.044))
    assert day.said() == "1.044? Yes or no."


def test_a_boil_is_asked_about_in_a_word(amber: Schedule) -> None:
    boiling = ReadingTaken(at=0, quantity=Quantity.BOILING, value=1.0, unit="1")
    day = at_stage(amber, Stage.BOIL_UP).wait(60).unsure(boiling)
    assert day.said() == "Boiling? Yes or no."
    assert day.command(Command.YES).state.stage is Stage.BOIL


def test_below_nought_the_digits_say_so(amber: Schedule) -> None:
    state = at_stage(amber, Stage.STRIKE).state
    words = doubt_words(state, (number(-13), number(-30)))
    assert words == "-13 or -30? Say minus one three, or minus three oh."


def test_figures_alike_are_told_apart_by_their_units(amber: Schedule) -> None:
    state = at_stage(amber, Stage.STRIKE).state
    words = doubt_words(state, (number(24, "degC"), number(24, "L")))
    assert words == "24 degrees Celsius or 24 litres?"


def test_an_addition_is_asked_about_by_its_name(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).wait(30)
    day.unsure(given(Command.ADDED, "Northern Brewer"), given(Command.MISSED, "Northern Brewer"))
    assert day.said() == "Northern Brewer is in or missed Northern Brewer?"


def test_an_option_is_asked_about_in_its_words(in_mash: Driven) -> None:
    in_mash.read(Quantity.MASH_TEMPERATURE, 61, "degC")
    in_mash.unsure(OptionChosen(at=0, say="heat"))
    assert in_mash.said() == "Heat? Yes or no."
    assert in_mash.command(Command.YES).task(Do.HEAT_FOR)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (45, "45 seconds"),
        (60, "1 minute"),
        (90, "90 seconds"),
        (150, "2 minutes 30 seconds"),
        (900, "15 minutes"),
        (3600, "1 hour"),
        (5400, "90 minutes"),
        (6600, "1 hour 50 minutes"),
        (12.5, "12.5 seconds"),
    ],
)
def test_a_timer_is_asked_about_to_the_second(seconds: float, words: str) -> None:
    assert length_words(seconds) == words


@pytest.mark.parametrize(("teen", "ty"), [(n, (n - 10) * 10) for n in range(13, 20)])
def test_the_digits_it_proposes_are_understood_as_the_figures(
    in_mash: Driven, teen: int, ty: int
) -> None:
    in_mash.unsure(number(teen), number(ty))
    one, other = in_mash.said().split(" Say ")[1].rstrip(".").split(", or ")
    context = listening(in_mash.state)
    assert understand(one, context, 0.0) == number(teen)
    assert understand(other, context, 0.0) == number(ty)


def test_the_digits_of_a_gravity_are_understood_as_the_gravity(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).wait(30).unsure(gravity(1.015), gravity(1.05))
    one, other = day.said().split(" Say ")[1].rstrip(".").split(", or ")
    context = listening(day.state)
    assert understand(one, context, 0.0) == number(1.015)
    assert understand(other, context, 0.0) == number(1.05)


def read(state: State) -> list[tuple[Quantity, float]]:
    return [(reading.quantity, reading.value) for reading in state.readings]


@pytest.mark.parametrize(
    ("answer", "value"),
    [
        (number(60), 60),
        (number(63), 63),
        (number(63, "degC"), 63),
        (mash(63), 63),
        (given(Command.FIRST), 60),
        (given(Command.SECOND), 63),
    ],
    ids=["first figure", "second figure", "with its unit", "in full", "the first", "the second"],
)
def test_one_of_two_readings_is_taken_by_its_figure_or_its_place(
    in_mash: Driven, answer: Meaning, value: float
) -> None:
    in_mash.unsure(mash(60), mash(63)).wait(5)
    in_mash.happen(replace(answer, at=in_mash.at))
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, value)]
    assert in_mash.state.readings[0].at == in_mash.at
    assert in_mash.state.doubt is None


def test_yes_takes_the_only_meaning(in_mash: Driven) -> None:
    in_mash.unsure(mash(63)).wait(5).command(Command.YES)
    assert in_mash.said().startswith("63, noted.")
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 63)]


def test_yes_to_two_asks_again_which(in_mash: Driven) -> None:
    asked = in_mash.unsure(mash(60), mash(63)).said()
    in_mash.wait(50).command(Command.YES)
    assert in_mash.said() == asked
    assert in_mash.state.readings == ()
    in_mash.wait(50).command(Command.FIRST)
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 60)]


def test_the_third_of_two_asks_again_which(in_mash: Driven) -> None:
    asked = in_mash.unsure(mash(60), mash(63)).said()
    assert in_mash.command(Command.THIRD).said() == asked


def test_a_figure_that_two_of_them_share_asks_again_which(in_mash: Driven) -> None:
    asked = in_mash.unsure(mash(63), kettle(63)).said()
    assert in_mash.number(63).said() == asked
    in_mash.happen(replace(kettle(63), at=in_mash.at))
    assert read(in_mash.state) == [(Quantity.KETTLE_TEMPERATURE, 63)]


def test_a_reading_said_in_full_tells_what_a_bare_number_was(in_mash: Driven) -> None:
    in_mash.unsure(number(60), number(63)).happen(replace(kettle(63), at=in_mash.at))
    assert read(in_mash.state) == [(Quantity.KETTLE_TEMPERATURE, 63)]
    assert in_mash.state.doubt is None


def test_a_reading_said_again_is_that_reading_with_its_sample(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL_UP).wait(30).unsure(number(1.039), gravity(1.039, 40.0))
    day.happen(replace(gravity(1.039), at=day.at))
    assert day.state.readings[0].sample_c == 40
    assert day.state.doubt is None


def test_another_number_in_a_unit_of_its_own_is_not_forced_on_the_quantity(
    in_mash: Driven,
) -> None:
    in_mash.unsure(mash(60), mash(63)).number(24, "L")
    assert in_mash.of(Refused)[0].text == "24 of what? Say for example: mash temperature 24."
    assert in_mash.state.open_doubt() is not None


def test_no_drops_it(in_mash: Driven) -> None:
    before = brewing(in_mash)
    in_mash.unsure(mash(63)).wait(5).command(Command.NO)
    assert in_mash.said() == "Say it again, please."
    assert brewing(in_mash) == before
    assert in_mash.state.doubt is None


@pytest.mark.parametrize("command", [Command.UNDO, Command.SKIP], ids=["undo", "skip"])
def test_undo_and_skip_drop_it_and_nothing_else(in_mash: Driven, command: Command) -> None:
    in_mash.read(Quantity.KETTLE_TEMPERATURE, 63, "degC")
    before = brewing(in_mash)
    in_mash.unsure(mash(63)).wait(5).command(command)
    assert in_mash.said() == "Dropped."
    assert brewing(in_mash) == before
    assert in_mash.state.doubt is None


def test_after_a_minute_without_an_answer_it_is_dropped_in_silence(in_mash: Driven) -> None:
    in_mash.unsure(mash(63)).wait(59.9)
    assert in_mash.state.open_doubt() is not None
    in_mash.wait(0.1)
    assert in_mash.effects == ()
    assert in_mash.state.open_doubt() is None
    in_mash.command(Command.YES)
    assert in_mash.of(Refused)[0].text == "There was no question."
    assert in_mash.state.readings == ()


def test_what_was_confirmed_is_not_asked_about_again_however_unlikely(in_mash: Driven) -> None:
    in_mash.unsure(mash(40)).command(Command.YES)
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 40)]
    assert in_mash.state.question is None


def test_another_number_is_judged_as_any_other(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL).wait(60).unsure(kettle(98), kettle(99)).number(97)
    assert read(day.state) == [(Quantity.KETTLE_TEMPERATURE, 97)]
    day.unsure(kettle(98), kettle(99)).number(30)
    assert day.state.question is not None
    assert day.state.doubt is None


def test_something_else_said_takes_its_place(in_mash: Driven) -> None:
    in_mash.unsure(mash(63)).wait(5)
    in_mash.happen(NoteTaken(at=in_mash.at, text="the bag tore"))
    assert in_mash.said() == "Noted."
    assert in_mash.state.doubt is None
    assert in_mash.command(Command.YES).of(Refused)


@pytest.mark.parametrize(
    "command",
    [
        Command.REPEAT,
        Command.HOW_LONG,
        Command.WHERE,
        Command.HELP,
        Command.WHY,
        Command.QUIETER,
        Command.STOP,
    ],
    ids=lambda command: command.value,
)
def test_a_question_between_leaves_it_open(in_mash: Driven, command: Command) -> None:
    in_mash.unsure(mash(63)).command(command).wait(5).command(Command.YES)
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 63)]


def test_a_sensor_between_leaves_it_open(in_mash: Driven) -> None:
    in_mash.unsure(mash(63)).read(Quantity.KETTLE_TEMPERATURE, 64, "degC", source=Source.SENSOR)
    in_mash.command(Command.YES)
    assert [value for _, value in read(in_mash.state)] == [64, 63]


def test_undo_means_what_came_after_the_doubt(in_mash: Driven) -> None:
    in_mash.unsure(mash(63)).command(Command.QUIETER).command(Command.UNDO)
    assert in_mash.said() == "Taken back: quieter."
    assert in_mash.state.doubt is None


def test_it_is_repeated_and_told_to_who_asks_where_we_are(in_mash: Driven) -> None:
    in_mash.unsure(mash(60), mash(63))
    assert in_mash.command(Command.REPEAT).said() == "60 or 63?"
    assert in_mash.command(Command.WHERE).said() == "The mash, beta: 60 or 63?"
    assert (
        in_mash.command(Command.HELP).said().startswith("You can say: the first, the second, no, ")
    )
    in_mash.unsure(mash(63))
    assert in_mash.command(Command.WHERE).said() == "The mash, beta: 63? Yes or no."
    assert in_mash.command(Command.HELP).said().startswith("You can say: yes, no, ")


def test_a_day_resumed_within_the_minute_still_waits_for_the_answer(in_mash: Driven) -> None:
    in_mash.unsure(mash(63)).wait(20).happen(DayResumed(at=in_mash.at))
    assert "The mash, beta: 63? Yes or no." in in_mash.said()
    in_mash.command(Command.YES)
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 63)]


def test_yes_answers_what_was_asked_last(amber: Schedule) -> None:
    def asked(state: State) -> bool:
        return any(ask.quantity is Quantity.BOILING for ask in state.asks)

    asked_at = at_stage(amber, Stage.BOIL_UP).until(asked).at
    day = at_stage(amber, Stage.BOIL_UP)
    day.wait(asked_at - day.at - 5).unsure(given(Command.BACK)).wait(5)
    assert day.said() == "Is it boiling?"
    assert day.state.doubt is None
    assert day.command(Command.YES).state.stage is Stage.BOIL


def test_an_open_question_outlives_a_doubt_about_something_else(in_mash: Driven) -> None:
    in_mash.read(Quantity.MASH_TEMPERATURE, 40, "degC").unsure(ph(5.4)).command(Command.YES)
    assert read(in_mash.state) == [(Quantity.MASH_PH, 5.4)]
    assert in_mash.state.question is not None
    in_mash.command(Command.YES)
    assert read(in_mash.state)[1:] == [(Quantity.MASH_TEMPERATURE, 40)]


def test_an_open_question_is_over_once_its_reading_is_taken(in_mash: Driven) -> None:
    in_mash.read(Quantity.MASH_TEMPERATURE, 40, "degC").unsure(mash(63)).command(Command.YES)
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 63)]
    assert in_mash.state.question is None


@pytest.mark.parametrize("answer", [Command.YES, Command.NO], ids=["yes", "no"])
def test_an_answer_heard_unsurely_is_asked_for_again(in_mash: Driven, answer: Command) -> None:
    in_mash.read(Quantity.MASH_TEMPERATURE, 40, "degC").unsure(given(answer))
    assert in_mash.said() == "Yes or no?"
    in_mash.command(Command.YES)
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 40)]


def test_an_unsure_answer_leaves_the_doubt_open_another_minute(in_mash: Driven) -> None:
    in_mash.unsure(mash(63)).wait(50).unsure(given(Command.YES), given(Command.NO))
    assert in_mash.said() == "Yes or no?"
    in_mash.wait(50).command(Command.YES)
    assert read(in_mash.state) == [(Quantity.MASH_TEMPERATURE, 63)]


def test_an_unsure_place_asks_which_again(in_mash: Driven) -> None:
    asked = in_mash.unsure(mash(60), mash(63)).said()
    assert in_mash.unsure(given(Command.SECOND)).said() == asked


def test_the_first_of_nothing_is_refused(in_mash: Driven) -> None:
    in_mash.command(Command.FIRST)
    assert in_mash.of(Refused)[0].text == "The first of what? Say it in full."


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (Command.HOW_LONG, "Beta rest, 39 minutes left."),
        (Command.WHATS_NEXT, "Beta rest in 39 minutes."),
    ],
    ids=lambda value: value.value if isinstance(value, Command) else "",
)
def test_a_question_heard_unsurely_is_simply_answered(
    in_mash: Driven, command: Command, words: str
) -> None:
    assert in_mash.unsure(given(command)).said() == words
    assert in_mash.state.doubt is None


def test_what_could_not_be_used_is_not_asked_about(in_mash: Driven) -> None:
    in_mash.unsure(mash(300), mash(63))
    assert in_mash.said() == "63? Yes or no."
    in_mash.unsure(mash(63), given(Command.CARRY_ON))
    assert in_mash.said() == "63? Yes or no."


def test_where_nothing_could_be_used_the_likeliest_says_why(in_mash: Driven) -> None:
    before = in_mash.state
    in_mash.unsure(mash(300), given(Command.CARRY_ON))
    assert in_mash.of(Refused)[0].text == "300 degC can't be a mash temperature."
    in_mash.unsure()
    assert in_mash.of(Refused)[0].text == "I could make nothing of that."
    assert in_mash.state == before


def test_nothing_is_asked_before_the_day_begins_or_after_it(amber: Schedule) -> None:
    over = at_stage(amber, Stage.FINISHED).unsure(mash(63))
    assert over.of(Refused)[0].text == "The day is finished."
    early = Driven(new_day(amber, make_plan(amber))).unsure(given(Command.YES))
    assert early.of(Refused)[0].text == "The day has not begun. Say start."


def test_the_same_thing_twice_is_asked_about_once(in_mash: Driven) -> None:
    assert in_mash.unsure(mash(63), mash(63)).said() == "63? Yes or no."


def test_long_names_are_not_all_said(in_mash: Driven) -> None:
    names = ["a b c d e f g h i j", "k l m n o p q r s t", "u v w x y z a b c d"]
    in_mash.unsure(*(timer(900, name) for name in names))
    assert len(in_mash.said().split()) <= MOST_WORDS
    assert in_mash.state.doubt is not None
    assert len(in_mash.state.doubt.meanings) == 1


def test_a_timer_is_taken_by_its_figure(in_mash: Driven) -> None:
    in_mash.unsure(timer(900, "yeast"), timer(3000, "yeast")).wait(5).number(50)
    taken = in_mash.state.timer("yeast")
    assert taken is not None
    assert taken.due_s == in_mash.at + 3000
    assert in_mash.said() == "Yeast, 50 minutes left."


def test_a_timer_said_again_is_taken(in_mash: Driven) -> None:
    in_mash.unsure(timer(900, "yeast"), timer(3000, "yeast"))
    in_mash.happen(TimerRequested(at=in_mash.at, seconds=900, name="timer"))
    assert in_mash.state.timer("yeast") is not None
    assert in_mash.state.timer("timer") is None


def test_a_command_is_taken_by_saying_it_again(in_mash: Driven) -> None:
    in_mash.unsure(given(Command.SKIP), given(Command.BAG_OUT)).command(Command.BAG_OUT)
    assert in_mash.state.stage is Stage.BOIL_UP


def test_what_was_taken_is_taken_back_in_one_step_and_not_asked_about_again(
    in_mash: Driven,
) -> None:
    in_mash.read(Quantity.KETTLE_TEMPERATURE, 63, "degC")
    before = brewing(in_mash)
    in_mash.unsure(mash(60), mash(63)).wait(5).command(Command.SECOND).wait(5)
    in_mash.command(Command.UNDO)
    assert in_mash.said() == "Taken back: mash temperature 63."
    assert brewing(in_mash) == before
    assert in_mash.state.doubt is None
    assert in_mash.command(Command.UNDO).said() == "Taken back: kettle temperature 63."
    assert in_mash.state.doubt is None


def test_undo_heard_unsurely_takes_back_once_confirmed(in_mash: Driven) -> None:
    in_mash.read(Quantity.MASH_TEMPERATURE, 63, "degC").unsure(given(Command.NO))
    assert in_mash.said() == "Undo? Yes or no."
    assert in_mash.command(Command.YES).said() == "Taken back: mash temperature 63."
    assert in_mash.state.readings == ()


LONG_TIMER = timer(900, "the second kettle of water")
ANYTHING = (
    number(63),
    mash(63),
    kettle(63),
    gravity(1.05, 40.0),
    ph(5.4),
    LONG_TIMER,
    given(Command.SKIP),
    given(Command.CANCEL_TIMER, LONG_TIMER.name),
)


@pytest.mark.parametrize(
    "meanings", list(itertools.combinations(ANYTHING, 3)), ids=lambda meanings: ""
)
def test_no_question_is_longer_than_an_ear_takes_in(
    in_mash: Driven, meanings: tuple[Meaning, ...]
) -> None:
    in_mash.happen(replace(LONG_TIMER, at=in_mash.at)).unsure(*meanings)
    assert 1 <= len(in_mash.said().split()) <= MOST_WORDS
