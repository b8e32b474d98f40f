"""PocketSphinx hears: synthetic brewers, people, and nothing at all."""

import random
from pathlib import Path

import numpy as np
import pytest
from hearing.listening_contexts import BOIL, asking
from speech.noises import in_quiet
from speech.voices import Half, available, render

from assistant.day.events import CommandGiven, NoteTaken
from assistant.day.quantities import Quantity
from assistant.hearing.ear.files import read_wav
from assistant.hearing.engine import Candidate, Sound
from assistant.hearing.grammar.lexicon import BRITISH, LETTERS, PRONUNCIATIONS
from assistant.hearing.grammar.sentences import grammar_of
from assistant.hearing.grammar.tree import Grammar, Maybe, any_of, either, say, then
from assistant.hearing.letter_sounds import arpabet, sounded
from assistant.hearing.numbers import DIGITS
from assistant.hearing.recogniser import Recogniser, Verdict
from assistant.hearing.scales import BY_WRITING_TOO
from assistant.hearing.spoken import Words, spoken
from assistant.hearing.suppression import suppressed

pocketsphinx = pytest.importorskip("pocketsphinx")
from assistant.hearing.pocketsphinx_engine import PocketSphinxEngine  # noqa: E402

PEOPLE = Path("/usr/share/pocketsphinx/test/data")
"""Recordings of people that come with Debian's package pocketsphinx-testdata."""

CARDS_SAID = {
    "001": "ten of clubs",
    "002": "four queen of clubs",
    "003": "seven of clubs",
    "004": "five five",
    "005": "eight of spades four of clubs seven of hearts",
}

ARPABET = frozenset(
    [
        "AA",
        "AE",
        "AH",
        "AO",
        "AW",
        "AY",
        "B",
        "CH",
        "D",
        "DH",
        "EH",
        "ER",
        "EY",
        "F",
        "G",
        "HH",
        "IH",
        "IY",
        "JH",
        "K",
        "L",
        "M",
        "N",
        "NG",
        "OW",
        "OY",
        "P",
        "R",
        "S",
        "SH",
        "T",
        "TH",
        "UH",
        "UW",
        "V",
        "W",
        "Y",
        "Z",
        "ZH",
    ]
)


@pytest.fixture(scope="module")
def engine() -> PocketSphinxEngine:
    return PocketSphinxEngine()


def voices() -> list[str]:
    return [str(getattr(voice, "id", voice)) for voice in available(Half.TUNE)]


def test_a_synthetic_brewer_is_heard(engine: PocketSphinxEngine) -> None:
    if not voices():
        pytest.skip("no synthesiser is installed")
    recogniser = Recogniser(engine)
    context = asking(Quantity.MASH_TEMPERATURE)
    results = [
        recogniser.recognise(in_quiet(render(voice, "kettle what's next"), seed=1), context)
        for voice in voices()
    ]
    right = [r for r in results if isinstance(r.event, CommandGiven) and r.woken]
    assert len(right) > len(results) / 2


@pytest.mark.parametrize("kind", ["digital silence", "white noise", "a click"])
def test_what_is_no_speech_is_never_acted_on(engine: PocketSphinxEngine, kind: str) -> None:
    sound = {
        "digital silence": np.zeros(16_000, np.int16),
        "white noise": np.random.default_rng(2).normal(0, 800, 16_000).astype(np.int16),
        "a click": np.pad(np.full(40, 9000, np.int16), (8000, 8000)),
    }[kind]
    assert Recogniser(engine).recognise(sound, BOIL).verdict is not Verdict.ACT


@pytest.mark.parametrize(
    ("said", "text"),
    [
        ("kettle note the mash was too thick", "the mash was too thick"),
        ("kettle note that the old scale is wrong", "the old scale is wrong"),
    ],
)
def test_a_note_is_taken_down_in_words_of_no_grammar(
    said: str, text: str, engine: PocketSphinxEngine
) -> None:
    voice = "piper-joe"
    if voice not in available(Half.TUNE):
        pytest.skip("no piper-tts here")
    heard = Recogniser(engine).recognise(in_quiet(render(voice, said), seed=2), BOIL)
    assert heard.verdict is Verdict.ACT
    assert isinstance(heard.event, NoteTaken)
    assert heard.event.dictated
    assert text in heard.event.text


def test_without_the_model_that_writes_two_go_on() -> None:
    engine = PocketSphinxEngine(writing=False)
    if not (voices := available(Half.TUNE)):
        pytest.skip("no synthesiser is installed")
    sound = in_quiet(render(voices[-1], "kettle what's next"), seed=1)
    grammar = grammar_of(BOIL)
    assert engine.glance(sound, grammar) is None
    found = engine.hear(sound, grammar)
    assert found.written == ""
    assert all(one.unwritten is None for one in found.candidates)
    assert isinstance(Recogniser(engine).recognise(sound, BOIL).event, CommandGiven)
    engine.close()


def test_when_the_model_that_writes_fails_the_others_go_on() -> None:
    engine = PocketSphinxEngine()
    if not (voices := available(Half.TUNE)):
        pytest.skip("no synthesiser is installed")
    sound = in_quiet(render(voices[-1], "kettle what's next"), seed=1)
    engine._writing._model = None  # type: ignore[union-attr]
    heard = Recogniser(engine).recognise(sound, BOIL)
    assert isinstance(heard.event, CommandGiven)
    assert [one.split(" (")[0] for one in engine.lacking()] == ["the model that writes has failed"]
    engine.close()


@pytest.mark.parametrize("said", ["note that i used the old scale", "kettle louder"])
def test_a_note_needs_the_wake_word_and_its_own(said: str, engine: PocketSphinxEngine) -> None:
    if not (voices := available(Half.TUNE)):
        pytest.skip("no synthesiser is installed")
    heard = Recogniser(engine).recognise(in_quiet(render(voices[-1], said), seed=2), BOIL)
    assert not isinstance(heard.event, NoteTaken)


needs_people = pytest.mark.skipif(
    not PEOPLE.exists(), reason="needs Debian's pocketsphinx-testdata"
)


def likeliest(engine: PocketSphinxEngine, sound: Sound, grammar: Grammar) -> Words:
    found = engine.hear(sound, grammar).candidates
    vote = BY_WRITING_TOO.vote_worth

    def cost(one: Candidate) -> float:
        return one.strangeness + (one.unwritten or 0.0) - vote * one.votes

    return min(found, key=cost).words


@needs_people
@pytest.mark.parametrize(("name", "said"), CARDS_SAID.items())
def test_a_person_who_names_cards_is_heard(
    engine: PocketSphinxEngine, name: str, said: str
) -> None:
    ranks = spoken("ace two three four five six seven eight nine ten jack queen king lady")
    suits = ("hearts", "spades", "diamonds", "clubs")
    rank, suit = any_of((rank,) for rank in ranks), any_of((suit,) for suit in suits)
    card = then(rank, Maybe(say("of")), suit)
    grammar = Grammar(
        either([then(card, card, card), then(card, card), card, then(rank, card), then(rank, rank)])
    )
    heard = likeliest(engine, read_wav(PEOPLE / "cards" / f"{name}.wav").sound, grammar)
    # A short "of" between two words is easily swallowed, and makes no other card.
    assert [word for word in heard if word != "of"] == [
        word for word in spoken(said) if word != "of"
    ]


@needs_people
def test_a_person_who_says_digits_is_heard(engine: PocketSphinxEngine) -> None:
    sound = np.fromfile(PEOPLE / "tidigits" / "dhd.2934z.raw", np.int16)
    digit = any_of((word,) for word in DIGITS)
    grammar = Grammar(then(digit, digit, digit, digit, Maybe(digit)))
    assert likeliest(engine, sound, grammar) == spoken("two nine three four zero")


@needs_people
@pytest.mark.parametrize("part", range(5))
def test_a_person_who_reads_a_novel_is_not_for_us(engine: PocketSphinxEngine, part: int) -> None:
    recording = sorted((PEOPLE / "librivox").glob("*.wav"))[part]
    assert Recogniser(engine).recognise(read_wav(recording).sound, BOIL).verdict is Verdict.IGNORE


def test_without_the_phone_model_the_looks_have_to_agree() -> None:
    engine = PocketSphinxEngine(phones=False)
    grammar = Grammar(any_of(spoken(words) for words in ("stop", "what's next", "mash is done")))
    if not voices():
        pytest.skip("no synthesiser is installed")
    evidence = engine.hear(in_quiet(render(voices()[0], "what's next"), seed=1), grammar)
    assert not evidence.candidates
    assert len(evidence.looks) == 3
    assert spoken("what's next") in [look.words for look in evidence.looks]
    engine.close()


def test_the_lexicon_is_written_in_arpabet() -> None:
    for table in (PRONUNCIATIONS, BRITISH, LETTERS):
        for ways in table.values():
            assert all(set(way.split()) <= ARPABET for way in ways)


def test_a_name_in_no_dictionary_gets_a_pronunciation() -> None:
    assert (
        arpabet("s\N{MODIFIER LETTER VERTICAL LINE}a\N{LATIN LETTER SMALL CAPITAL I}ts")
        == "S AY T S"
    )
    pytest.importorskip("espeakng_loader")
    for name in ("zelvonka", "hallertau", "brimstedt"):
        ways = sounded(name)
        assert ways
        assert all(set(way.split()) <= ARPABET for way in ways)


def test_a_grammar_with_an_unheard_of_name_can_be_heard_with(engine: PocketSphinxEngine) -> None:
    pytest.importorskip("espeakng_loader")
    noise = np.random.default_rng(4).normal(0, 30, 8000).astype(np.int16)
    engine.hear(noise, Grammar(any_of([spoken("zelvonka is in"), spoken("done")])))


def test_many_grammars_after_one_another_do_no_harm(engine: PocketSphinxEngine) -> None:
    noise = np.random.default_rng(5).normal(0, 30, 8000).astype(np.int16)
    for number in range(30):
        engine.hear(noise, Grammar(any_of([("done",), ("skip",) * (number + 1)])))


def test_suppression_lowers_steady_noise_and_leaves_speech() -> None:
    source = np.random.default_rng(6)
    noise = source.normal(0, 600, 32_000)
    tone = np.where(
        (np.arange(32_000) > 12_000) & (np.arange(32_000) < 20_000),
        6000 * np.sin(2 * np.pi * 500 * np.arange(32_000) / 16_000),
        0,
    )
    clean = suppressed((noise + tone).astype(np.int16), 40.0).astype(float)
    assert clean[:8000].std() < 0.35 * noise.std()
    assert clean[13_000:19_000].std() == pytest.approx(tone[13_000:19_000].std(), rel=0.15)


@pytest.mark.parametrize("length", [0, 1, 100, 511, 512, 513, 5000])
def test_suppression_keeps_the_length_of_any_sound(length: int) -> None:
    sound = random.Random(1).choices(range(-2000, 2000), k=length)
    assert len(suppressed(np.array(sound, np.int16), 30.0)) == length
