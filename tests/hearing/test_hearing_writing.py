"""The model that writes: how a sentence may be written down, and how unlikely that is."""

import random
from dataclasses import replace

import numpy as np
import pytest
from hearing.listening_contexts import BOIL, asking
from hearing.sampling import sampled
from speech.noises import in_quiet
from speech.voices import Half, available, render

from assistant.day.events import Event, TimerRequested
from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.hearing.engine import RATE_HZ, Sound
from assistant.hearing.grammar.sentences import grammar_of
from assistant.hearing.spoken import spoken
from assistant.hearing.words import NotUnderstood, understand
from assistant.hearing.writing.forms import MOST, written_forms
from assistant.hearing.writing.likelihood import MOST_TEXTS, Writing
from assistant.hearing.writing.model import UNHEARD, WritingModel
from assistant.hearing.writing.spectrum import BANDS, spectrum
from assistant.schedule.model import Units

needs_a_voice = pytest.mark.skipif(
    not available(Half.TUNE), reason="no synthesizer here: install espeak-ng"
)

FORMS = [
    ("one oh four eight", {"1048", "One oh four eight", "1.048"}),
    ("one point oh five zero", {"1.050", "One point oh five zero"}),
    ("a hundred and fifty two", {"152", "A hundred and fifty two"}),
    ("sixty six and a half", {"66.5", "Sixty six and a half", "66 and a half"}),
    ("point nine", {"0.9", "Point nine"}),
    ("minus four", {"-4", "Minus four"}),
    ("kettle done", {"Kettle done"}),
    ("p h five point two", {"pH 5.2", "pH five point two"}),
    ("that's done", {"That's done"}),
    ("eight litres", {"8 litres", "8 liters", "Eight litres", "Eight liters"}),
]


@pytest.mark.parametrize(("words", "forms"), FORMS, ids=[words for words, _ in FORMS])
def test_a_sentence_may_be_written_in_words_and_in_figures(words: str, forms: set[str]) -> None:
    assert forms <= set(written_forms(spoken(words)))


def nameless(event: Event) -> Event:
    """A timer's name may have numbers in it too, and is kept as it was written."""
    return replace(event, name=None) if isinstance(event, TimerRequested) else event


@pytest.mark.parametrize(
    "context",
    [
        BOIL,
        asking(Quantity.GRAVITY),
        asking(Quantity.MASH_TEMPERATURE),
        asking(Quantity.KETTLE_VOLUME, units=Units.US),
        asking(Quantity.MASH_PH),
    ],
    ids=["boil", "gravity", "mash temperature", "gallons", "pH"],
)
def test_however_a_sentence_is_written_it_reads_as_what_was_said(context: Listening) -> None:
    root, source = grammar_of(context).root, random.Random(5)
    read = 0
    for _ in range(400):
        words = sampled(root, source)
        forms = written_forms(words)
        assert 1 <= len(forms) == len(set(forms)) <= MOST
        try:
            meaning = understand(" ".join(words), context, 0.0)
        except NotUnderstood:
            continue
        for form in forms:
            written = understand(form, context, 0.0)
            assert nameless(written) == nameless(meaning), f"{words} as {form}"
            read += 1
    assert read > 300


def tone(frequency_hz: float) -> Sound:
    time_s = np.arange(RATE_HZ) / RATE_HZ
    return np.round(8000 * np.sin(2 * np.pi * frequency_hz * time_s)).astype(np.int16)


def test_a_higher_tone_is_in_a_higher_band() -> None:
    loudest = [
        int(spectrum(tone(hertz), 1.0)[:, 20:80].mean(axis=1).argmax())
        for hertz in (300, 1000, 3000, 6000)
    ]
    assert loudest == sorted(set(loudest))


def test_a_spectrum_has_a_hundred_frames_a_second_and_silence_after_the_sound() -> None:
    found = spectrum(tone(1000), 2.5)
    assert found.shape == (BANDS, 250)
    assert found[:, 120:].max() == found.min() < found[:, :90].max()


@pytest.fixture(scope="module")
def writing() -> Writing:
    pytest.importorskip("ctranslate2")
    return Writing()


@needs_a_voice
@pytest.mark.parametrize(
    ("said", "others"),
    [
        ("gravity one oh four eight", ["gravity one oh four five", "gravity one oh five eight"]),
        ("mash temperature sixty six", ["mash temperature sixty five", "done"]),
        ("hops are in", ["hops are out", "undo", "finings are in"]),
        ("set a timer for fifteen minutes", ["set a timer for fifty minutes"]),
    ],
)
def test_what_was_said_is_likelier_to_be_written_than_its_like(
    said: str, others: list[str], writing: Writing
) -> None:
    sound = in_quiet(render(available(Half.TUNE)[-1], said), seed=3)
    itself, *rest = writing.unwritten(sound, [spoken(text) for text in (said, *others)])
    assert itself is not None
    assert all(other is not None and other > itself + 2.0 for other in rest)


@needs_a_voice
def test_the_beginning_of_what_was_said_is_less_likely_than_the_whole(writing: Writing) -> None:
    sound = in_quiet(render(available(Half.TUNE)[-1], "sixty six and a half degrees"), seed=4)
    sentences = [spoken("sixty six and a half degrees"), spoken("sixty six")]
    whole, beginning = writing.unwritten(sound, sentences)
    assert whole is not None
    assert beginning is not None
    assert whole < beginning


@needs_a_voice
def test_talk_that_is_not_for_us_would_not_be_written_as_anything_of_ours(
    writing: Writing,
) -> None:
    sound = in_quiet(render(available(Half.TUNE)[-1], "we could have lunch in the garden"), seed=5)
    found = writing.unwritten(sound, [spoken("heat"), spoken("one oh four eight")])
    assert all(one is not None and one > 10.0 for one in found)


def test_no_more_is_weighed_than_there_is_time_for(writing: Writing) -> None:
    sentences = [spoken(f"gravity one point oh {word}") for word in ("four", "five")] * 40
    found = writing.unwritten(np.zeros(RATE_HZ, np.int16), sentences)
    assert len(found) == len(sentences)
    weighed = [one for one in found if one is not None]
    assert 0 < len(weighed) < MOST_TEXTS
    assert found[len(weighed) :] == [None] * (len(found) - len(weighed))


def test_a_sound_of_any_length_is_heard() -> None:
    pytest.importorskip("ctranslate2")
    model = WritingModel()
    for length_s in (0.1, 40.0):
        encoded = model.encode(np.zeros(round(length_s * RATE_HZ), np.int16))
        (found,) = model.likelihoods(encoded, ["Sixty six."])
        assert np.log(UNHEARD) * 10 <= found < 0.0
