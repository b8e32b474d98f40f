"""When words need the wake word, and what becomes of those that were not understood."""

from dataclasses import replace

import pytest
from hearing.listening_contexts import BOIL
from sound_rooms import heard_as

from assistant.answer_window import ANSWER_S, AnswerWindow, Outcome
from assistant.day.commands import Command
from assistant.day.events import (
    CommandGiven,
    Event,
    HeardUnsurely,
    NumberSaid,
    ReadingTaken,
    TimerRequested,
)
from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.hearing.answers import is_answer
from assistant.hearing.recogniser import Heard, Verdict

DONE = CommandGiven(at=0.0, command=Command.DONE)


def asked_at(at_s: float) -> AnswerWindow:
    """A window after a question whose last word was spoken at that moment."""
    window = AnswerWindow()
    window.asked()
    window.look(at_s, busy=False)
    return window


def outcome(window: AnswerWindow, heard: Heard, at_s: float) -> Outcome:
    return window.outcome(heard, at_s, was_open=window.is_open(at_s))


def test_nothing_was_asked_so_words_without_the_wake_word_are_nothing() -> None:
    assert outcome(AnswerWindow(), heard_as("done", DONE), 5.0) is Outcome.NOTHING


def test_the_wake_word_needs_no_question() -> None:
    assert outcome(AnswerWindow(), heard_as("kettle done", DONE, woken=True), 5.0) is (
        Outcome.HAND_ON
    )


@pytest.mark.parametrize(
    ("after_s", "wanted"),
    [
        (0.0, Outcome.HAND_ON),
        (ANSWER_S - 0.1, Outcome.HAND_ON),
        (ANSWER_S + 0.1, Outcome.NOTHING),
    ],
)
def test_an_answer_needs_no_wake_word_for_twelve_seconds(after_s: float, wanted: Outcome) -> None:
    assert ANSWER_S == 12.0
    assert outcome(asked_at(100.0), heard_as("done", DONE), 100.0 + after_s) is wanted


def test_the_twelve_seconds_begin_when_the_question_has_been_spoken() -> None:
    window = AnswerWindow()
    window.asked()
    for at_s in (1.0, 4.0, 8.0):
        window.look(at_s, busy=True)
        assert not window.is_open(at_s)
    window.look(9.0, busy=False)
    assert window.is_open(9.0 + ANSWER_S)
    assert not window.is_open(9.1 + ANSWER_S)


def test_a_pause_for_the_ear_within_a_question_opens_it_too() -> None:
    window = AnswerWindow()
    window.asked()
    window.opened(3.0)
    assert window.is_open(4.0)


def test_an_ear_that_opens_with_no_question_asked_opens_no_window() -> None:
    window = AnswerWindow()
    window.opened(3.0)
    assert not window.is_open(3.5)


def test_a_later_prompt_does_not_keep_the_window_open() -> None:
    window = asked_at(0.0)
    window.opened(11.0)
    assert not window.is_open(13.0)


def test_the_wake_word_alone_opens_the_window() -> None:
    window = AnswerWindow()
    assert outcome(window, heard_as("kettle", woken=True), 5.0) is Outcome.LISTEN
    assert outcome(window, heard_as("done", DONE), 5.0 + ANSWER_S) is Outcome.HAND_ON


def test_a_doubt_is_handed_on_like_a_meaning() -> None:
    doubt = HeardUnsurely(at=0.0, meanings=(DONE,))
    heard = Heard(
        words=("done",),
        verdict=Verdict.ASK,
        event=doubt,
        choices=(DONE,),
        woken=False,
        confidence=0.5,
        engine="told",
        seconds=1.0,
    )
    assert outcome(asked_at(0.0), heard, 1.0) is Outcome.HAND_ON


def test_words_after_the_wake_word_that_mean_nothing_are_always_told() -> None:
    window = AnswerWindow()
    mumbled = heard_as("kettle mumble", woken=True)
    assert [outcome(window, mumbled, at_s) for at_s in (1.0, 2.0)] == [Outcome.NOT_CAUGHT] * 2


def test_a_radio_after_a_question_is_told_once_that_it_was_not_caught() -> None:
    window = asked_at(0.0)
    radio = heard_as("the weather for")
    assert [outcome(window, radio, at_s) for at_s in (1.0, 2.0, 3.0)] == [
        Outcome.NOT_CAUGHT,
        Outcome.NOTHING,
        Outcome.NOTHING,
    ]


def test_asking_to_say_it_again_opens_the_window_but_owes_no_second_word() -> None:
    window = asked_at(0.0)
    radio = heard_as("the weather for")
    outcome(window, radio, 1.0)
    window.asked(again=True)
    window.look(10.0, busy=False)
    assert window.is_open(20.0)
    assert outcome(window, radio, 20.0) is Outcome.NOTHING


def test_the_next_question_is_told_again() -> None:
    window = asked_at(0.0)
    radio = heard_as("the weather for")
    outcome(window, radio, 1.0)
    window.asked()
    window.look(2.0, busy=False)
    assert outcome(window, radio, 3.0) is Outcome.NOT_CAUGHT


TIMER = TimerRequested(at=0.0, seconds=600.0, name="yeast")


def test_after_a_question_only_an_answer_goes_without_the_wake_word() -> None:
    window = asked_at(100.0)
    timer = heard_as("ten minute timer for the yeast", TIMER)
    assert window.outcome(timer, 105.0, was_open=True, answers=False) is Outcome.NOTHING
    woken = heard_as("kettle ten minute timer for the yeast", TIMER, woken=True)
    assert window.outcome(woken, 105.0, was_open=True, answers=False) is Outcome.HAND_ON


def test_after_the_wake_word_alone_anything_goes() -> None:
    window = AnswerWindow()
    called = Heard(
        words=("kettle",),
        verdict=Verdict.IGNORE,
        event=None,
        choices=(),
        woken=True,
        confidence=1.0,
        engine="told",
        seconds=1.0,
    )
    assert outcome(window, called, 50.0) is Outcome.LISTEN
    timer = heard_as("ten minute timer for the yeast", TIMER)
    assert window.outcome(timer, 55.0, was_open=True, answers=False) is Outcome.HAND_ON


def at_a_question() -> Listening:
    return replace(BOIL, asked=(Quantity.GRAVITY,))


@pytest.mark.parametrize(
    ("event", "answers"),
    [
        (NumberSaid(at=0.0, value=1.048), True),
        (ReadingTaken(at=0.0, quantity=Quantity.GRAVITY, value=1.048, unit="SG"), True),
        (ReadingTaken(at=0.0, quantity=Quantity.ROOM_TEMPERATURE, value=18.0, unit="degC"), False),
        (DONE, True),
        (CommandGiven(at=0.0, command=Command.LOUDER), False),
        (TIMER, False),
        (None, False),
        (HeardUnsurely(at=0.0, meanings=(DONE, TIMER)), False),
    ],
)
def test_what_answers_a_question(event: Event | None, answers: bool) -> None:
    assert is_answer(event, at_a_question()) is answers
