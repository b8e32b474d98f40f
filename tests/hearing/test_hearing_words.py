"""Whatever is said is an event or a hint, harmlessly shown; notes keep the brewer's own words."""

from dataclasses import replace
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from listening_contexts import BOIL, asking

from assistant.day.commands import COMMANDS
from assistant.day.events import Event, NoteTaken
from assistant.day.quantities import Quantity
from assistant.hearing.numbers import DIGITS, TEENS, TENS
from assistant.hearing.spoken import spoken
from assistant.hearing.timers import FORM_WORDS, TIME_WORDS
from assistant.hearing.vocabulary import SUBJECTS, UNIT_WORDS
from assistant.hearing.words import NotUnderstood, understand
from assistant.schedule.model import Units

KNOWN_WORDS = sorted(
    {word for spec in COMMANDS.values() for phrase in spec.words for word in phrase.split()}
    | {word for table in (SUBJECTS, UNIT_WORDS) for phrase in table for word in phrase}
    | {word for words in FORM_WORDS.values() for phrase in words for word in phrase.split()}
    | {*DIGITS, *TEENS, *TENS, *TIME_WORDS}
    | {"hundred", "thousand", "point", "and", "a", "half", "quarter", "minus", "timer", "note"}
    | {"at", "the", "challenger", "first", "gold", "66.5", "1.048", "yeast", ","}
)


def check_event_or_hint(words: str) -> None:
    context = asking(Quantity.GRAVITY, Quantity.BOILING)
    try:
        heard: Event | NotUnderstood = understand(words, context, 1.0)
    except NotUnderstood as refused:
        heard = refused
    if isinstance(heard, NotUnderstood):
        assert str(heard).isprintable()
        assert len(str(heard)) < 500
        assert heard.hint.endswith(".")
    else:
        assert isinstance(heard, get_args(Event))
        assert heard.at == 1.0


@given(st.text(max_size=250))
def test_any_text_is_an_event_or_not_understood(words: str) -> None:
    check_event_or_hint(words)


@given(st.lists(st.sampled_from(KNOWN_WORDS), max_size=14).map(" ".join))
def test_any_order_of_known_words_is_an_event_or_not_understood(words: str) -> None:
    check_event_or_hint(words)


@given(st.text(alphabet="0123456789.,-+/:% \N{DEGREE SIGN}CFL", max_size=20))
def test_any_figures_are_an_event_or_not_understood(words: str) -> None:
    check_event_or_hint(words)


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ("note the bag tore", "the bag tore"),
        ("Note: the bag tore", "the bag tore"),
        ("note, Bag tore!", "Bag tore!"),
        ("note that the bag tore", "the bag tore"),
        ("note that's a lot of trub", "that's a lot of trub"),
        ("make a note the bag tore", "the bag tore"),
        ("Make a note that the Goldings smell of 1.048", "the Goldings smell of 1.048"),
        ("make a note of the colour", "the colour"),
        ("take a note: mash was 66,5", "mash was 66,5"),
        ("note hops are in", "hops are in"),
        ("note challenger is in", "challenger is in"),
        ("note ten minute timer", "ten minute timer"),
        ("kettle, note the Bag tore", "the Bag tore"),
        ("  note   the bag tore  ", "the bag tore"),
        ("note the bag\x1b[2J tore", "the bag\\x1b[2J tore"),
    ],
)
def test_a_note_keeps_the_words_as_given(said: str, text: str) -> None:
    assert understand(said, BOIL, 4.0) == NoteTaken(at=4.0, text=text)


@pytest.mark.parametrize("said", ["note", "note:", "make a note", "note that", "Note   "])
def test_an_empty_note_is_not_taken(said: str) -> None:
    with pytest.raises(NotUnderstood, match=r'Say the note after "note"\.$'):
        understand(said, BOIL, 0.0)


@pytest.mark.parametrize("said", ["noted", "notes on hops", "a note"])
def test_only_the_word_note_begins_a_note(said: str) -> None:
    with pytest.raises(NotUnderstood):
        understand(said, BOIL, 0.0)


def test_what_is_not_understood_is_said_back_with_what_could_be_said() -> None:
    with pytest.raises(NotUnderstood) as refused:
        understand("blorb", BOIL, 0.0)
    assert str(refused.value) == (
        'I did not understand "blorb". You can say done, what\'s next, help, or a reading such as'
        ' "mash temperature 66".'
    )
    assert refused.value.words == "blorb"


def test_the_reading_asked_for_is_the_example() -> None:
    with pytest.raises(NotUnderstood, match=r'a reading such as "kettle volume 6\.3"'):
        understand("blorb", asking(Quantity.KETTLE_VOLUME, units=Units.US), 0.0)


@pytest.mark.parametrize("said", ["", "   ", "\n"])
def test_silence_is_told_apart(said: str) -> None:
    with pytest.raises(NotUnderstood, match=r"^I heard no words\. You can say done"):
        understand(said, BOIL, 0.0)


@pytest.mark.parametrize("said", ["kettle", "...", "\x00", "\ud800", "\U0001f37a"])
def test_words_without_meaning_are_not_understood(said: str) -> None:
    with pytest.raises(NotUnderstood, match=r"^I did not understand"):
        understand(said, BOIL, 0.0)


def test_control_characters_are_spelt_out() -> None:
    with pytest.raises(NotUnderstood, match=r'understand "a\\x1b\[31mb"'):
        understand("a\x1b[31mb", BOIL, 0.0)


def test_long_words_are_cut_when_shown() -> None:
    with pytest.raises(NotUnderstood, match=rf'understand "{"b" * 57}\.\.\."'):
        understand("b" * 200, BOIL, 0.0)


def test_a_speech_is_refused_for_its_length() -> None:
    assert understand(f"note {'b' * 195}", BOIL, 0.0) == NoteTaken(at=0.0, text="b" * 195)
    with pytest.raises(NotUnderstood, match=r"Say at most 200 characters at a time\.$"):
        understand(f"note {'b' * 196}", BOIL, 0.0)


def test_names_of_the_schedule_are_shown_harmlessly() -> None:
    context = replace(BOIL, additions=("gold\x1b[2J",))
    with pytest.raises(NotUnderstood, match=r"there is gold\\x1b\[2J\."):
        understand("silver is in", context, 0.0)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("What's next?", "whats next"),
        ("what\N{RIGHT SINGLE QUOTATION MARK}s next", "whats next"),
        ("Sixty-Six", "sixty six"),
        ("top-up", "top up"),
        ("66\N{DEGREE SIGN}C", "66 degrees c"),
        ("24L", "24 l"),
        ("10-minute", "10 minute"),
        ("-2", "minus 2"),
        (".5", "0.5"),
        ("66.", "66"),
        ("1.2.3", "1.2 3"),
        ("66,5", "66 , 5"),
        ("yes, please", "yes please"),
        ("60-66", "60 - 66"),
        ("malt & hops", "malt and hops"),
        ("Mittelfr\N{LATIN SMALL LETTER U WITH DIAERESIS}h", "mittelfruh"),
        ("50%", "50 %"),
    ],
)
def test_typed_text_as_spoken_words(typed: str, words: str) -> None:
    assert " ".join(spoken(typed)) == words
