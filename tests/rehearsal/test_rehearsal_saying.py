"""A simulated brewer whose words are not always heard: said again, answered, taken back, typed."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.day.commands import Command
from assistant.day.events import CommandGiven, Event, HeardUnsurely, OptionChosen, ReadingTaken
from assistant.day.listening import listening
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.hearing.recogniser import Heard, Verdict
from assistant.hearing.words import understand
from assistant.rehearsal.day import rehearse
from assistant.rehearsal.folding import folded, unfolded
from assistant.rehearsal.page import SEED, score
from assistant.rehearsal.rehearsed import Rehearsed, Who
from assistant.rehearsal.saying import First, Sentence
from assistant.rehearsal.truths import INSTRUCTIVE
from assistant.schedule import load

SAMPLE = Path(__file__).parents[2] / "schedules" / "breakwater-amber.yaml"

Slip = Callable[[str, State, Event, int], Event | None]
"""What is heard, of words said in a state for the n-th time, that mean an event."""


class StandIn:
    """An ear that hears all as it is meant, but for one kind of slip."""

    def __init__(self, slip: Slip) -> None:
        self.slip = slip

    def hear(self, words: str, state: State, at: float, attempt: int) -> Heard | None:
        event = self.slip(words, state, understand(words, listening(state), at), attempt)
        if event is None:
            return None
        asks = isinstance(event, HeardUnsurely)
        return Heard(
            words=tuple(words.split()),
            verdict=Verdict.ASK if asks else Verdict.ACT,
            event=event,
            choices=(),
            woken=True,
            confidence=1.0,
            engine="stand-in",
            seconds=1.0,
        )


def heard_by(slip: Slip) -> Rehearsed:
    return rehearse(load(SAMPLE), INSTRUCTIVE, SEED, True, StandIn(slip))


@pytest.fixture(scope="module")
def as_text() -> Rehearsed:
    return rehearse(load(SAMPLE), INSTRUCTIVE, SEED, True)


@pytest.fixture(scope="module")
def boil_said(as_text: Rehearsed) -> tuple[str, str]:
    """What the brewer said of the boiling wort: its volume, and its gravity right after."""
    words = [line.text for line in as_text.log if line.who is Who.BREWER]
    last = max(place for place, text in enumerate(words) if text.startswith("kettle volume"))
    assert words[last + 1].startswith("gravity 1.")
    return words[last], words[last + 1]


def firsts(day: Rehearsed) -> dict[First, int]:
    return {kind: sum(s.first is kind for s in day.sentences) for kind in First}


def said(day: Rehearsed, words: str) -> list[str]:
    """What came of each time words were said, in order."""
    return [line.note for line in day.log if line.who is Who.BREWER and line.text == words]


def test_heard_rightly_the_day_is_the_one_that_is_typed(as_text: Rehearsed) -> None:
    day = heard_by(lambda words, state, meant, attempt: meant)
    assert (day.log, day.answers, day.reached) == (as_text.log, as_text.answers, as_text.reached)
    assert {sentence.first for sentence in day.sentences} == {First.RIGHT}


@pytest.mark.parametrize(
    ("caught_at", "notes"),
    [
        (1, ["not caught", ""]),
        (2, ["not caught", "not caught", ""]),
        (3, ["not caught", "not caught", "not caught", "typed"]),
    ],
)
def test_what_is_not_caught_is_said_again_and_typed_after_the_third_time(
    as_text: Rehearsed, caught_at: int, notes: list[str]
) -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        return None if words == "hops are in" and attempt < caught_at else meant

    day = heard_by(slip)
    assert said(day, "hops are in") == notes * len(said(as_text, "hops are in"))
    assert day.reached == as_text.reached


def test_the_program_tells_that_it_did_not_catch_what_it_asked_for() -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        return None if words.startswith("gravity") and attempt == 0 else meant

    day = heard_by(slip)
    at = next(place for place, line in enumerate(day.log) if line.note == "not caught")
    assert day.log[at + 1].text == "Sorry, say that again?"


def test_a_reading_that_is_asked_about_is_answered(as_text: Rehearsed) -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        unsure = isinstance(meant, ReadingTaken) and meant.quantity is Quantity.MASH_TEMPERATURE
        return HeardUnsurely(at=meant.at, meanings=(meant,)) if unsure else meant

    day = heard_by(slip)
    asked = firsts(day)[First.ASKED]
    assert asked == sum(line.text.startswith("mash temp") for line in as_text.log if not line.why)
    assert len(said(day, "yes")) == asked
    assert day.reached == as_text.reached


def test_of_two_meanings_the_one_that_was_meant_is_chosen(as_text: Rehearsed) -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        if words != "boil longer and add extract":
            return meant
        assert isinstance(meant, OptionChosen)
        other = OptionChosen(at=meant.at, say="leave it")
        return HeardUnsurely(at=meant.at, meanings=(other, meant))

    day = heard_by(slip)
    assert said(day, "the second") == [""]
    assert day.reached == as_text.reached


def test_a_question_about_what_was_not_meant_is_answered_with_no(as_text: Rehearsed) -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        if words != "boil longer and add extract" or attempt:
            return meant
        other = OptionChosen(at=meant.at, say="leave it")
        return HeardUnsurely(at=meant.at, meanings=(other,))

    day = heard_by(slip)
    assert said(day, "no") == [""]
    assert said(day, "boil longer and add extract") == ["", ""]
    assert day.answers == as_text.answers
    assert day.reached == as_text.reached


def test_an_answer_that_is_never_caught_is_typed(as_text: Rehearsed) -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        if words == "yes":
            return None
        if words == "heat is off":
            assert isinstance(meant, CommandGiven)
            return HeardUnsurely(at=meant.at, meanings=(meant,))
        return meant

    day = heard_by(slip)
    assert said(day, "yes") == ["not caught", "not caught", "typed"]
    assert day.reached == as_text.reached


def wrong_reading(gravity: str, times: int) -> Slip:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        if words != gravity or attempt >= times:
            return meant
        return ReadingTaken(at=meant.at, quantity=Quantity.GRAVITY, value=1.045, unit="SG")

    return slip


def test_a_wrong_reading_is_taken_back_and_said_again(
    as_text: Rehearsed, boil_said: tuple[str, str]
) -> None:
    _, gravity = boil_said
    day = heard_by(wrong_reading(gravity, 1))
    assert said(day, gravity) == ["heard otherwise", ""]
    assert said(day, "undo") == [""]
    assert (day.answers, day.reached.rests) == (as_text.answers, as_text.reached.rests)


def test_a_reading_that_is_wrong_twice_is_typed(boil_said: tuple[str, str]) -> None:
    _, gravity = boil_said
    day = heard_by(wrong_reading(gravity, 2))
    assert said(day, gravity) == ["heard otherwise", "heard otherwise", "typed"]
    assert [s.typed for s in day.sentences if s.words == gravity] == [True]


def test_a_wrong_reading_that_is_read_back_alike_is_kept_and_counted(
    boil_said: tuple[str, str],
) -> None:
    _, gravity = boil_said

    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        if words != gravity:
            return meant
        assert isinstance(meant, ReadingTaken)
        return replace(meant, value=meant.value + 1e-6)

    day = heard_by(slip)
    kept = [s for s in day.sentences if s.kept_wrong]
    assert [(s.words, s.typed, s.first) for s in kept] == [(gravity, False, First.WRONG)]
    assert said(day, "undo") == []


def test_what_a_no_took_back_that_nobody_said_is_typed_again(
    as_text: Rehearsed, boil_said: tuple[str, str]
) -> None:
    volume, gravity = boil_said

    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        wrong = words == gravity and not attempt
        return CommandGiven(at=meant.at, command=Command.NO) if wrong else meant

    day = heard_by(slip)
    assert said(day, volume) == ["", "typed"]
    assert said(day, gravity)[:2] == ["heard otherwise", ""]
    assert [answer.say for answer in day.answers] == [answer.say for answer in as_text.answers]


def test_a_query_heard_in_place_of_another_word_leaves_nothing_to_take_back() -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        wrong = words == "heat is off" and not attempt
        return CommandGiven(at=meant.at, command=Command.WHERE) if wrong else meant

    day = heard_by(slip)
    assert said(day, "heat is off") == ["heard otherwise", ""]
    assert said(day, "undo") == []


def test_what_was_not_heard_as_it_was_said_is_on_the_page() -> None:
    def slip(words: str, state: State, meant: Event, attempt: int) -> Event | None:
        return None if words == "hops are in" and not attempt else meant

    log = heard_by(slip).log
    for rows in (folded(log), unfolded(log)):
        assert "hops are in (not caught)" in [words for row in rows for words in row.brewer]


def test_the_score_counts_each_sentence_once() -> None:
    sentences = (
        Sentence(words="a", first=First.RIGHT),
        Sentence(words="b", first=First.RIGHT, kept_wrong=True),
        Sentence(words="c", first=First.NOT_CAUGHT, typed=True),
    )
    assert score(sentences) == (
        "3 sentences spoken: 2 right at once, 0 asked about, 1 not caught, 0 heard wrong; "
        "1 wrong and kept, 1 typed in the end."
    )
