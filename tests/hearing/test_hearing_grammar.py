"""What can be said is what is understood, for every moment of a day and every engine's form."""

import itertools
import random
import re

import pytest
from hearing.sampling import sampled
from speech.corpus import utterances
from speech.moments import states
from speech.voices import Half

from assistant.advice.timeline import Stage
from assistant.day.listening import Listening, listening
from assistant.hearing.grammar.automaton import automaton
from assistant.hearing.grammar.jsgf import jsgf
from assistant.hearing.grammar.phrases import phrases
from assistant.hearing.grammar.sentences import grammar_of
from assistant.hearing.grammar.tree import Either, Grammar, Maybe, Say, Then, say
from assistant.hearing.spoken import Words, spoken
from assistant.hearing.vocabulary import WAKE_WORD
from assistant.hearing.words import NotUnderstood, understand
from assistant.schedule.model import Units

MOMENTS = [
    pytest.param(listening(state), id=f"{units.value}-{place}-{state.stage.value}")
    for units in Units
    for place, state in enumerate(states(units)[::14])
]
SAMPLES = 60

MUST_NOT = (
    "cattle done",
    "kettle of fish",
    "the kettle is on",
    "mash temperature",
    "mash temperature sixty six point",
    "sixty sixty",
    "fifteen fifty minute timer",
    "ten minute",
    "did you see the match",
    "i am done with it",
    "no way",
    "yes dear",
    "stop it now",
    "a hundred and",
    "point point five",
    "minus minus two",
)


@pytest.mark.parametrize("context", MOMENTS)
def test_whatever_can_be_said_is_understood(context: Listening) -> None:
    source = random.Random(7)
    grammar = grammar_of(context)
    for _ in range(SAMPLES):
        words = sampled(grammar.root, source)
        assert grammar.accepts(words)
        if words in ((), (WAKE_WORD,)):
            continue
        understand(" ".join(words), context, 0.0)


@pytest.mark.parametrize("context", MOMENTS[::6])
@pytest.mark.parametrize("sentence", MUST_NOT)
def test_what_is_not_for_it_can_be_neither_said_nor_understood(
    sentence: str, context: Listening
) -> None:
    assert not grammar_of(context).accepts(spoken(sentence))
    with pytest.raises(NotUnderstood):
        understand(sentence, context, 0.0)


@pytest.mark.parametrize("half", Half)
def test_every_usual_sentence_can_be_said_at_its_moment(half: Half) -> None:
    refused = [
        said.words
        for said in utterances(half)
        if not grammar_of(said.listening).accepts(spoken(said.words))
    ]
    assert refused == []


def test_a_grammar_is_narrowed_to_the_stage() -> None:
    stages = {state.stage: listening(state) for state in states(Units.METRIC)}
    pitched = spoken("pitched")
    assert not grammar_of(stages[Stage.MASH]).accepts(pitched)
    assert grammar_of(stages[Stage.PITCH]).accepts(pitched)


TREE = Grammar(
    Then(
        (
            Maybe(say("kettle"), 0.3),
            Either(
                (
                    (1.0, say("go on")),
                    (2.0, say("go back")),
                    (1.0, say("go")),
                    (1.0, Then((say("mash"), Either(((1.0, say("one")), (3.0, say("two"))))))),
                )
            ),
            Maybe(Say(("now",)), 0.5),
        )
    )
)
SENTENCES = {
    spoken(f"{wake} {said} {now}")
    for wake in ("", "kettle")
    for said in ("go on", "go back", "go", "mash one", "mash two")
    for now in ("", "now")
}


def _walked(arcs: tuple, state: int, final: int) -> set[Words]:
    found = {()} if state == final else set()
    for start, end, _, word in arcs:
        if start == state:
            head = () if word is None else (word,)
            found |= {(*head, *rest) for rest in _walked(arcs, end, final)}
    return found


def test_the_automaton_says_just_what_the_grammar_says() -> None:
    built = automaton(TREE)
    assert _walked(built.arcs, 0, built.final) == SENTENCES
    assert all(TREE.accepts(words) for words in SENTENCES)


def test_the_ways_out_of_each_state_share_its_probability() -> None:
    built = automaton(TREE)
    for state in {arc[0] for arc in built.arcs}:
        assert sum(arc[2] for arc in built.arcs if arc[0] == state) == pytest.approx(1.0)


def test_its_jsgf_names_each_equal_part_once() -> None:
    text = jsgf(TREE)
    assert text.startswith("#JSGF V1.0;\n")
    assert text.count("/1/ go on") == 1
    named = set(re.findall(r"<(part\d+)> =", text))
    assert set(re.findall(r"<(part\d+)>", text)) == named


def test_pocketsphinx_reads_its_jsgf() -> None:
    pocketsphinx = pytest.importorskip("pocketsphinx")
    decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL")
    decoder.add_jsgf_string("moment", jsgf(TREE))
    decoder.activate_search("moment")


def test_vosk_gets_every_sentence_or_pieces_with_every_pair_of_neighbours() -> None:
    assert {spoken(phrase) for phrase in phrases(TREE)} >= SENTENCES - {()}
    context = MOMENTS[3].values[0]
    grammar = grammar_of(context)
    listed = phrases(grammar)
    pairs = {pair for p in listed for pair in zip(p.split(), p.split()[1:], strict=False)}
    source = random.Random(3)
    for _ in range(SAMPLES):
        words = sampled(grammar.root, source)
        assert set(itertools.pairwise(words)) <= pairs
