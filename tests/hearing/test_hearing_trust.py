"""What several looks at one sound are worth together."""

from dataclasses import replace

import pytest
from hearing.listening_contexts import BOIL, asking

from assistant.day.commands import Command
from assistant.day.events import CommandGiven, HeardUnsurely, NumberSaid, TimerRequested
from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.hearing.engine import OPEN, Evidence, Look, Sound
from assistant.hearing.grammar.tree import Grammar
from assistant.hearing.recogniser import Recogniser, Verdict
from assistant.hearing.spoken import spoken
from assistant.hearing.trust import swapped

MASH = replace(asking(Quantity.MASH_TEMPERATURE), likely={Quantity.MASH_TEMPERATURE: (58.0, 74.0)})
DONE = CommandGiven(at=0.0, command=Command.DONE)
HOW_LONG = CommandGiven(at=0.0, command=Command.HOW_LONG)


class Looking:
    """An engine that was told what each look finds."""

    name = "told"

    def __init__(self, *looks: str) -> None:
        self.looks = looks

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        found = tuple(
            Look(by=str(place), words=spoken(words)) for place, words in enumerate(self.looks)
        )
        return Evidence(engine=self.name, seconds=1.0, looks=found)

    def close(self) -> None:
        pass


def heard(*looks: str, context: Listening = BOIL):
    return Recogniser(Looking(*looks)).recognise(None, context)


def test_looks_that_agree_are_acted_on() -> None:
    found = heard("done", "done", "done")
    assert (found.verdict, found.event) == (Verdict.ACT, DONE)


def test_other_words_for_the_same_meaning_agree() -> None:
    found = heard("sixty five", "it's sixty five", "kettle sixty five degrees", context=MASH)
    assert found.verdict is not Verdict.IGNORE
    found = heard("done", "okay", "kettle done")
    assert (found.verdict, found.event) == (Verdict.ACT, DONE)


def test_most_of_the_looks_make_a_question_with_what_the_other_heard() -> None:
    found = heard("sixty five", "sixty five", "sixty nine", context=MASH)
    assert found.verdict is Verdict.ASK
    assert [choice.value for choice in found.choices] == [65.0, 69.0]
    assert isinstance(found.event, HeardUnsurely)


def test_most_of_the_looks_are_enough_for_a_mere_query() -> None:
    assert heard("how long", "how long", "hold on").event == HOW_LONG


@pytest.mark.parametrize(
    "looks",
    [
        ("done", "skip", "back"),
        ("done", "skip", ""),
        ("", "", ""),
        ("kettle of fish", "kettle of fish", "kettle of fish"),
    ],
)
def test_what_no_two_looks_agree_on_is_left(looks: tuple[str, ...]) -> None:
    found = heard(*looks)
    assert (found.verdict, found.event, found.choices) == (Verdict.IGNORE, None, ())
    assert found.rejected_because


def test_a_teen_that_could_be_a_ty_is_asked_about() -> None:
    found = heard(*["fifteen minute timer"] * 3)
    assert found.verdict is Verdict.ASK
    assert found.choices == (
        TimerRequested(at=0.0, seconds=900.0, name="timer"),
        TimerRequested(at=0.0, seconds=3000.0, name="timer"),
    )


def test_a_teen_is_believed_where_the_ty_is_not_likely() -> None:
    found = heard(*["sixty degrees"] * 3, context=MASH)
    assert found.verdict is Verdict.ACT
    assert found.event == NumberSaid(at=0.0, value=60.0, unit="degC")


def test_an_unlikely_teen_is_asked_about_with_its_likely_ty() -> None:
    found = heard(*["sixteen degrees"] * 3, context=MASH)
    assert found.verdict is Verdict.ASK
    assert [choice.value for choice in found.choices] == [16.0, 60.0]


def test_the_wake_word_alone_wakes_and_does_nothing() -> None:
    found = heard("kettle", "kettle", "kettle")
    assert (found.woken, found.verdict, found.event) == (True, Verdict.IGNORE, None)


@pytest.mark.parametrize(
    ("words", "other"),
    [
        ("fifteen minute timer", "fifty minute timer"),
        ("forty", "fourteen"),
        ("one oh fifteen", "one oh fifty"),
        ("sixty six", None),
        ("sixty point five", "sixteen point five"),
        ("done", None),
    ],
)
def test_what_a_teen_or_a_ty_is_taken_for(words: str, other: str | None) -> None:
    assert swapped(spoken(words)) == (None if other is None else spoken(other))


def test_an_unlikely_reading_is_asked_about_however_well_it_was_heard() -> None:
    found = heard(*["eighty eight degrees"] * 3, context=MASH)
    assert found.verdict is Verdict.ASK
    assert [choice.value for choice in found.choices] == [88.0]


def test_an_engine_without_a_look_has_heard_nothing() -> None:
    assert heard().verdict is Verdict.IGNORE


class WithOpenLook(Looking):
    """A look with the grammar, and one without."""

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        by_grammar, free = (spoken(words) for words in self.looks)
        looks = (Look(by="grammar", words=by_grammar), Look(by=OPEN, words=free))
        return Evidence(engine=self.name, seconds=1.0, looks=looks)


@pytest.mark.parametrize(
    ("free", "verdict"),
    [
        ("it is sixty five degrees", Verdict.ACT),
        ("sixty nine", Verdict.ASK),
        ("see the tide", Verdict.IGNORE),
    ],
)
def test_a_grammar_is_believed_as_far_as_its_words_are_heard_without_it(
    free: str, verdict: Verdict
) -> None:
    engine = WithOpenLook("sixty five", free)
    assert Recogniser(engine).recognise(None, MASH).verdict is verdict
