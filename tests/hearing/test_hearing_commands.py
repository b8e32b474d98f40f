"""Every command is known by each of its words, and the things it names by theirs."""

from dataclasses import replace

import pytest
from listening_contexts import BOIL

from assistant.advice.timeline import Stage
from assistant.day.commands import COMMANDS, Command
from assistant.day.events import CommandGiven, OptionChosen
from assistant.hearing.commands import NAMED_BY
from assistant.hearing.spoken import spoken
from assistant.hearing.words import NotUnderstood, understand

PHRASES = [(words, command) for command, spec in COMMANDS.items() for words in spec.words]
PLAIN = [(words, command) for words, command in PHRASES if "*" not in words]
NAMING = [(words, command) for words, command in PHRASES if "*" in words]


@pytest.mark.parametrize(("words", "command"), PLAIN, ids=[words for words, _ in PLAIN])
def test_each_phrase_is_its_command(words: str, command: Command) -> None:
    assert understand(words, BOIL, 5.0) == CommandGiven(at=5.0, command=command)


@pytest.mark.parametrize(("words", "command"), PLAIN, ids=[words for words, _ in PLAIN])
def test_case_punctuation_and_the_wake_word_do_not_matter(words: str, command: Command) -> None:
    typed = f'Kettle, "{words.upper().replace(chr(39), chr(0x2019))}"!'
    # "Kettle finings" is a name, so with the wake word before it "finings" would be that item.
    context = replace(BOIL, additions=("Challenger",))
    assert understand(typed, context, 5.0) == CommandGiven(at=5.0, command=command)


@pytest.mark.parametrize(("words", "command"), NAMING, ids=[words for words, _ in NAMING])
def test_each_phrase_with_a_name_is_its_command_with_the_name(words: str, command: Command) -> None:
    name = "yeast" if NAMED_BY[command][0] == "timer" else "Challenger"
    assert understand(words.replace("*", name), BOIL, 5.0) == CommandGiven(
        at=5.0, command=command, subject=name
    )


def test_no_two_commands_share_a_phrase() -> None:
    said = [spoken(words) for words, _ in PHRASES]
    assert len(set(said)) == len(said)


@pytest.mark.parametrize("stage", Stage, ids=lambda stage: stage.value)
def test_a_command_is_understood_at_every_stage(stage: Stage) -> None:
    heard = understand("bag is out", replace(BOIL, stage=stage), 0.0)
    assert heard == CommandGiven(at=0.0, command=Command.BAG_OUT)


@pytest.mark.parametrize(
    ("said", "command", "subject"),
    [
        ("hops are in", Command.HOPS_IN, None),
        ("finings are in", Command.ADDED, "kettle finings"),
        ("the hops are in", Command.HOPS_IN, None),
        ("yeast is in", Command.PITCHED, None),
        ("the bag is out", Command.BAG_OUT, None),
        ("challenger is in", Command.ADDED, "Challenger"),
        ("the Challenger is in", Command.ADDED, "Challenger"),
        ("kettle finings are in", Command.ADDED, "kettle finings"),
        ("east kent goldings are in", Command.ADDED, "East Kent Goldings"),
        ("goldings are in", Command.ADDED, "East Kent Goldings"),
        ("east kent are in", Command.ADDED, "East Kent Goldings"),
        ("added the goldings", Command.ADDED, "East Kent Goldings"),
        ("added first gold at ten minutes", Command.ADDED, "First Gold at 10 minutes"),
        ("first gold at 10 minutes is in", Command.ADDED, "First Gold at 10 minutes"),
        ("whirlpool is in", Command.ADDED, "First Gold at whirlpool"),
        ("missed the hops", Command.MISSED, None),
        ("missed challenger", Command.MISSED, "Challenger"),
        ("forgot the kettle finings", Command.MISSED, "kettle finings"),
        ("leave out first gold at whirlpool", Command.MISSED, "First Gold at whirlpool"),
        ("how long for the boil", Command.HOW_LONG, "boil"),
        ("how long for goldings", Command.HOW_LONG, "East Kent Goldings"),
        ("how long for the chiller", Command.HOW_LONG, "wort chiller"),
        ("cancel the timer", Command.CANCEL_TIMER, None),
        ("cancel the yeast timer", Command.CANCEL_TIMER, "yeast"),
        ("cancel yeast timer", Command.CANCEL_TIMER, "yeast"),
    ],
)
def test_the_most_particular_meaning_wins(said: str, command: Command, subject: str | None) -> None:
    assert understand(said, BOIL, 0.0) == CommandGiven(at=0.0, command=command, subject=subject)


def test_of_hops_that_go_in_twice_the_portion_on_the_clock_is_meant() -> None:
    boiling = replace(BOIL, timers=("boil", "First Gold at 10 minutes"))
    assert understand("first gold is in", boiling, 0.0) == CommandGiven(
        at=0.0, command=Command.ADDED, subject="First Gold at 10 minutes"
    )


def test_accents_need_not_be_typed() -> None:
    context = replace(BOIL, additions=("Mittelfr\N{LATIN SMALL LETTER U WITH DIAERESIS}h",))
    heard = understand("mittelfruh is in", context, 0.0)
    assert heard == CommandGiven(at=0.0, command=Command.ADDED, subject=context.additions[0])


@pytest.mark.parametrize(
    ("said", "hint"),
    [
        (
            "first gold is in",
            "There is more than one: say First Gold at 10 minutes or First Gold at whirlpool.",
        ),
        (
            "unobtainium is in",
            'There is no addition called "unobtainium"; there is Challenger, East Kent Goldings,'
            " First Gold at 10 minutes, First Gold at whirlpool or kettle finings.",
        ),
        ("missed chall", 'There is no addition called "chall"; there is'),
        ("goldings kent are in", 'There is no addition called "goldings kent"; there is'),
        ("ten minutes is in", 'There is no addition called "ten minutes"; there is'),
        ("at is in", 'There is no addition called "at"; there is'),
        ("cancel the challenger timer", 'There is no timer called "challenger"; there is boil'),
        ("how long for the mash", 'There is no timer called "the mash"; there is boil'),
    ],
)
def test_a_name_that_is_none_or_several_is_told(said: str, hint: str) -> None:
    with pytest.raises(NotUnderstood) as raised:
        understand(said, BOIL, 0.0)
    assert raised.value.hint.startswith(hint)


def test_with_no_timer_there_is_none_to_name() -> None:
    with pytest.raises(NotUnderstood, match=r'There is no timer called "yeast", nor any other\.$'):
        understand("cancel the yeast timer", replace(BOIL, timers=()), 0.0)


def test_many_names_are_not_all_told() -> None:
    many = replace(BOIL, additions=tuple(f"hop {letter}" for letter in "abcdefgh"))
    with pytest.raises(NotUnderstood, match=r"there is hop a, hop b, .* hop f and more"):
        understand("mystery is in", many, 0.0)


@pytest.mark.parametrize(
    "said",
    [
        "dun",
        "done done",
        "the done",
        "not done",
        "boil",
        "it is boiling over",
        "hops",
        "hops are out",
        "is in",
        "are in",
        "cancel",
        "cancel everything",
        "yes no",
        "what is next week",
        "do ne",
        "start",
    ],
)
def test_words_near_a_command_are_none(said: str) -> None:
    with pytest.raises(NotUnderstood):
        understand(said, BOIL, 0.0)


@pytest.mark.parametrize("said", ["leave it", "Leave it.", "kettle, leave it"])
def test_an_option_on_offer_is_chosen_by_its_words(said: str) -> None:
    context = replace(BOIL, options=("boil longer", "leave it"))
    assert understand(said, context, 2.0) == OptionChosen(at=2.0, say="leave it")


def test_an_option_comes_before_a_command_with_the_same_words() -> None:
    context = replace(BOIL, options=("skip it",))
    assert understand("skip it", context, 0.0) == OptionChosen(at=0.0, say="skip it")
    assert understand("skip it", BOIL, 0.0) == CommandGiven(at=0.0, command=Command.SKIP)


@pytest.mark.parametrize("said", ["leave", "boil a bit longer", "boil longer please"])
def test_part_of_an_option_chooses_nothing(said: str) -> None:
    with pytest.raises(NotUnderstood):
        understand(said, replace(BOIL, options=("boil longer", "leave it")), 0.0)


def test_an_option_no_longer_on_offer_is_not_understood() -> None:
    with pytest.raises(NotUnderstood):
        understand("boil longer", BOIL, 0.0)
