"""The list that Vosk gets: no phrase with a word that its model lacks, decoys that fit, no more."""

import pytest

from assistant.hearing.vosk_phrases import DECOYS, UNKNOWN, phrase_list, plain, spellings


def knows(*words: str) -> "set[str]":
    return set(words)


def test_a_phrase_with_an_unknown_word_goes_whole_and_the_word_is_told() -> None:
    known = knows("start", "timer", "mash", "the")
    found = phrase_list(
        ("start the timer", "mash the krausen", "sparge", "mash"), known.__contains__
    )
    assert found.listed == ("start the timer", "mash")
    assert found.unknown == ("krausen", "sparge")


def test_a_word_that_lost_its_apostrophe_is_listed_as_the_model_writes_it() -> None:
    known = knows("what's", "left", "don't", "it's")
    found = phrase_list(("whats left", "dont", "its"), known.__contains__)
    assert found.listed == ("what's left", "don't", "it's")
    assert found.unknown == ()
    assert tuple(plain(word) for word in ("what's", "Don't", "it's")) == ("whats", "dont", "its")


@pytest.mark.parametrize(
    ("word", "written"),
    [
        ("its", "it's"),
        ("dont", "don't"),
        ("im", "i'm"),
        ("id", "i'd"),
        ("well", "we'll"),
        ("were", "we're"),
        ("ive", "i've"),
    ],
)
def test_each_kind_of_contraction_has_its_apostrophe(word: str, written: str) -> None:
    assert written in tuple(spellings(word))
    assert next(iter(spellings(word))) == word


def test_unknown_speech_has_a_word_where_the_model_has_it() -> None:
    assert phrase_list(("stop",), knows("stop", UNKNOWN).__contains__).listed == ("stop", UNKNOWN)
    assert phrase_list(("stop",), knows("stop").__contains__).listed == ("stop",)


def test_decoys_use_no_word_of_ours_and_none_the_model_lacks() -> None:
    known = knows("start", "boil", "you", "know", "and", "then")
    decoys = ("you know", "and boil", "and then", "cattle")
    assert phrase_list(("start", "boil"), known.__contains__, decoys).listed == (
        "start",
        "boil",
        "you know",
        "and then",
    )


def test_decoys_alone_are_no_list() -> None:
    assert (
        phrase_list(("sparge", ""), knows("you", "know").__contains__, ("you know",)).listed == ()
    )


def test_no_decoy_stands_twice() -> None:
    assert len(set(DECOYS)) == len(DECOYS)
