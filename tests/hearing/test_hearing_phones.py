"""Sentences found by their phones: the search against plain reckoning, the rivals, the model."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from speech.noises import in_quiet
from speech.voices import Half, available, render

from assistant.hearing.grammar.automaton import automaton
from assistant.hearing.grammar.tree import Grammar, Maybe, any_of, either, say, then
from assistant.hearing.phones.candidates import PhoneHearing, chained
from assistant.hearing.phones.graph import graph_of
from assistant.hearing.phones.model import STEP_S, PhoneModel
from assistant.hearing.phones.rivals import Acceptor, rivals
from assistant.hearing.phones.search import best_sentence, likeliest_at_all, scores_at
from assistant.hearing.phones.symbols import IPA, phones_of
from assistant.hearing.spoken import Words, spoken

COLUMNS = {"a": 1, "b": 2, "c": 3}
SAID = {
    "ab": (("a", "b"),),
    "aa": (("a", "a"),),
    "cab": (("c", "a", "b"), ("c", "b")),
    "c": (("c",),),
}

frames_of_three = st.integers(1, 9).flatmap(
    lambda steps: st.lists(
        st.lists(st.floats(-8, 0), min_size=4, max_size=4), min_size=steps, max_size=steps
    )
)
sentences = st.lists(
    st.lists(st.sampled_from(sorted(SAID)), min_size=1, max_size=3).map(tuple),
    min_size=1,
    max_size=4,
    unique=True,
)


def plain_score(words: Words, frames: np.ndarray) -> float:
    """The likeliest path of one sentence, reckoned place by place in the plainest way."""
    best = -np.inf
    ways: list[tuple[tuple[str, ...], ...]] = [()]
    for word in words:
        ways = [(*before, way) for before in ways for way in SAID[word]]
    for pronounced in ways:
        # Between words a phone may follow its like at once; within a word nothing lies between.
        states: list[tuple[int, bool, bool]] = [(0, True, False)]
        for way in pronounced:
            for place, phone in enumerate(way):
                same = place > 0 and way[place - 1] == phone
                states += [(COLUMNS[phone], False, same), (0, True, False)]
        score = np.full(len(states), -np.inf)
        score[0] = 0.0
        for frame in frames:
            new = np.full(len(states), -np.inf)
            for here, (column, is_nothing, same) in enumerate(states):
                before = [score[here]]
                if here >= 1:
                    before.append(score[here - 1])
                if here >= 2 and not is_nothing and not same:
                    before.append(score[here - 2])
                new[here] = max(before) + frame[column]
            score = new
        best = max(best, score[-1], score[-2])
    return float(best)


@given(frames_of_three, sentences)
def test_the_score_of_a_sentence_is_that_of_its_likeliest_path(
    rows: list[list[float]], said: list[Words]
) -> None:
    frames = np.array(rows, np.float32)
    chains = chained(said)
    graph = graph_of(chains.automaton, SAID.__getitem__, COLUMNS, 0.0)
    scores = scores_at(graph, frames)[list(chains.ends)]
    for words, score in zip(said, scores, strict=True):
        plain = plain_score(words, frames)
        if plain > -1e9:
            assert score == pytest.approx(plain, abs=1e-3)
            assert score <= likeliest_at_all(frames) + 1e-3
        else:
            assert score < -1e9


@given(frames_of_three, sentences)
def test_the_sentence_found_is_the_one_with_the_best_score(
    rows: list[list[float]], said: list[Words]
) -> None:
    frames = np.array(rows, np.float32)
    grammar = Grammar(any_of(said))
    graph = graph_of(automaton(grammar), SAID.__getitem__, COLUMNS, 0.0)
    found = best_sentence(graph, frames)
    scores = {words: plain_score(words, frames) for words in said}
    if max(scores.values()) < -1e9:
        assert found is None
    else:
        assert found is not None
        assert scores[found] == pytest.approx(max(scores.values()), abs=1e-3)


def test_what_the_grammar_makes_likely_is_found_where_the_sound_tells_nothing() -> None:
    grammar = Grammar(either([say("ab"), say("ab"), say("ab"), say("c")]))
    frames = np.full((6, 4), -1.0, np.float32)
    graph = graph_of(automaton(grammar), SAID.__getitem__, COLUMNS, 1.0)
    assert best_sentence(graph, frames) == ("ab",)


def test_no_sound_is_no_sentence() -> None:
    graph = graph_of(automaton(Grammar(say("ab"))), SAID.__getitem__, COLUMNS, 1.0)
    assert best_sentence(graph, np.zeros((0, 4), np.float32)) is None


DEGREES = Grammar(
    then(
        Maybe(say("mash")),
        any_of(spoken(words) for words in ("sixty five", "sixty", "fifteen", "fifty five")),
        Maybe(say("degrees")),
    )
)


def test_the_rivals_of_a_sentence_differ_by_a_word_and_can_be_said() -> None:
    acceptor = Acceptor(automaton(DEGREES))
    found = rivals([spoken("sixty five degrees")], acceptor)
    assert found[0] == spoken("sixty five degrees")
    assert {" ".join(words) for words in found[1:]} == {
        "sixty degrees",
        "fifty five degrees",
        "sixty five",
        "mash sixty five degrees",
    }
    for words in found:
        assert DEGREES.accepts(words)


def test_every_phone_of_the_dictionary_has_its_symbol() -> None:
    pocketsphinx = pytest.importorskip("pocketsphinx")
    pytest.importorskip("hama")
    columns = PhoneModel().columns
    assert set(IPA.values()) <= set(columns)
    path = f"{pocketsphinx.get_model_path()}/en-us/cmudict-en-us.dict"
    with open(path, encoding="utf-8") as lines:
        used = {phone for line in lines for phone in line.split()[1:]}
    assert all(set(phones_of([phone])) <= set(columns) for phone in used)


@pytest.fixture(scope="module")
def hearing() -> PhoneHearing:
    pytest.importorskip("hama")
    ways = {
        "mash": "M AE SH",
        "sixty": "S IH K S T IY",
        "fifty": "F IH F T IY",
        "fifteen": "F IH F T IY N",
        "five": "F AY V",
        "degrees": "D IH G R IY Z",
    }
    return PhoneHearing(lambda word: (phones_of(ways[word].split()),))


def voices() -> list[str]:
    return [str(voice) for voice in available(Half.TUNE)]


@pytest.mark.parametrize("words", ["mash sixty five degrees", "fifteen degrees", "fifty five"])
def test_what_most_voices_say_is_the_least_strange(hearing: PhoneHearing, words: str) -> None:
    if not voices():
        pytest.skip("no synthesiser is installed")
    first = []
    for voice in voices():
        sound = in_quiet(render(voice, words), seed=1)
        found = hearing.candidates({"raw": sound}, DEGREES, lambda: automaton(DEGREES))
        strange = [one.strangeness for one in found]
        assert all(before <= after for before, after in pairwise(strange))
        assert all(one.strangeness >= 0 for one in found)
        first.append(" ".join(found[0].words))
    assert first.count(words) > len(first) / 2


def test_a_sound_has_a_row_each_step() -> None:
    pytest.importorskip("hama")
    model = PhoneModel()
    second = np.random.default_rng(1).normal(0, 300, 16_000).astype(np.int16)
    assert len(model.frames(second)) == pytest.approx(1 / STEP_S, abs=2)
    assert len(model.frames(second[:100])) == 0
