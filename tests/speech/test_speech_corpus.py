"""What the hearing is measured with: fair halves, all there is to say, noises as loud as told."""

import numpy as np
import pytest

from assistant.day.commands import Command
from assistant.day.events import CommandGiven, NumberSaid, ReadingTaken
from assistant.day.quantities import Quantity
from assistant.hearing.numbers import parse_number
from assistant.hearing.spoken import spoken
from assistant.hearing.vocabulary import WAKE_WORD
from assistant.hearing.words import NotUnderstood, understand
from assistant.schedule.model import Units
from speech.bystanders import not_for_us
from speech.corpus import FIGURES, Kind, utterances
from speech.noises import NOISES, in_quiet, mix, reverberant
from speech.prose import SENTENCES
from speech.sayings import figure_forms, gravity_forms
from speech.voices import (
    PAD_S,
    RATE_HZ,
    SPEECH_LEVEL_DB,
    VOICES,
    Half,
    as_said,
    available,
    is_speech,
    render,
    voices_of,
)

ON_A_VISIT = (Command.PACKAGED, Quantity.SLURRY_VOLUME)
"""What is said of a beer after its brew day; how that is heard is tested with the visits to it."""

HALVES = pytest.mark.parametrize("half", Half, ids=lambda half: half.value)
needs_a_voice = pytest.mark.skipif(
    not all(available(half) for half in Half), reason="no synthesizer here: install espeak-ng"
)


def level_db(samples: np.ndarray) -> float:
    return float(10 * np.log10(np.mean(np.asarray(samples, dtype=np.float64) ** 2)))


def test_no_speaker_is_in_both_halves() -> None:
    tune, held = ({VOICES[name].speaker for name in voices_of(half)} for half in Half)
    assert not tune & held


@HALVES
def test_each_half_has_every_sort_of_synthesizer(half: Half) -> None:
    by = {VOICES[name].by for name in voices_of(half)}
    assert {"espeak", "flite"} <= by
    assert by & {"piper", "festival"}


@HALVES
def test_each_half_says_every_command(half: Half) -> None:
    events = [said.event for said in utterances(half)]
    said = {event.command for event in events if isinstance(event, CommandGiven)}
    assert said == set(Command).difference(ON_A_VISIT)


@HALVES
@pytest.mark.parametrize("units", Units, ids=lambda units: units.value)
def test_each_half_reads_every_quantity_named_and_bare(half: Half, units: Units) -> None:
    said = [one for one in utterances(half) if one.listening.units is units]
    named = {one.event.quantity for one in said if isinstance(one.event, ReadingTaken)}
    asked = {
        quantity
        for one in said
        if isinstance(one.event, NumberSaid | ReadingTaken) and one.kind is Kind.NUMBER
        for quantity in one.listening.asked
    }
    on_the_day = set(Quantity).difference(ON_A_VISIT)
    assert named == on_the_day
    assert on_the_day - {Quantity.BOILING} <= asked


@HALVES
def test_what_is_said_means_what_it_says_and_fits_its_moment(half: Half) -> None:
    said = utterances(half)
    assert len(said) >= 300
    for one in said:
        assert understand(one.words, one.listening, 0.0) == one.event
        if isinstance(one.event, CommandGiven):
            assert one.event.command in one.listening.commands, one.words


def test_the_halves_read_different_figures() -> None:
    tune, held = (
        {(one.words, one.listening.units) for one in utterances(half) if one.kind in FIGURES}
        for half in Half
    )
    assert len(tune & held) < 0.15 * len(tune)


@pytest.mark.parametrize("thousandths", range(1001, 1151))
def test_every_form_of_a_gravity_is_that_gravity(thousandths: int) -> None:
    forms = gravity_forms(thousandths)
    points = forms.pop("in points", None)
    for words in forms.values():
        assert parse_number(spoken(words)) in (thousandths, thousandths / 1000), words
    if points is not None:
        assert parse_number(spoken(points.removesuffix(" points"))) == thousandths - 1000


@pytest.mark.parametrize("hundredths", [-550, -200, 525, 1300, 5000, 6650, 10500, 15200, 15225])
def test_every_form_of_a_figure_is_that_figure(hundredths: int) -> None:
    forms = figure_forms(hundredths / 100)
    assert len(set(forms.values())) == len(forms)
    for words in forms.values():
        assert parse_number(spoken(words)) == hundredths / 100, words


def test_nobody_else_says_the_wake_word_or_says_a_thing_twice() -> None:
    assert len(set(SENTENCES)) == len(SENTENCES) >= 150
    assert not [sentence for sentence in SENTENCES if WAKE_WORD in sentence]


def test_what_is_not_for_us_means_nothing_at_any_moment() -> None:
    moments = {one.listening.stage: one.listening for one in utterances(Half.TUNE)}
    for moment in moments.values():
        for sentence in SENTENCES:
            with pytest.raises(NotUnderstood):
                understand(sentence, moment, 0.0)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("mash pH five point four", "mash p h five point four"),
        ("sixty-six and a half", "sixty six and a half"),
        ("SG ten forty eight", "s g ten forty eight"),
        ("it's in", "it's in"),
    ],
)
def test_words_are_given_to_a_synthesizer_as_they_are_said(text: str, said: str) -> None:
    assert as_said(text) == said


@needs_a_voice
@HALVES
def test_speech_is_at_its_level_with_a_pause_either_side(half: Half) -> None:
    sound = render(available(half)[0], "mash temperature sixty six")
    pad = round(PAD_S * RATE_HZ)
    assert level_db(sound[is_speech(sound)] / 32768) == pytest.approx(SPEECH_LEVEL_DB, abs=0.2)
    assert not sound[:pad].any()
    assert not sound[-pad:].any()


@needs_a_voice
@pytest.mark.parametrize("snr_db", [20.0, 5.0])
@pytest.mark.parametrize("name", NOISES)
def test_a_noise_is_as_far_below_the_speech_as_told(name: str, snr_db: float) -> None:
    speech = render(available(Half.TUNE)[0], "gravity one oh four eight")
    noise = NOISES[name](len(speech) / RATE_HZ + 0.1, 4)
    mixed = mix(speech, noise, snr_db, floor_seed=None)
    added = mixed.astype(np.float64) - speech
    found_db = level_db(speech[is_speech(speech)]) - level_db(added)
    assert found_db == pytest.approx(snr_db, abs=0.2)


@pytest.mark.parametrize("name", [name for name in NOISES if name != "babble"])
def test_a_seed_makes_one_noise_and_another_seed_another(name: str) -> None:
    once, again, other = (NOISES[name](0.5, seed) for seed in (1, 1, 2))
    assert np.array_equal(once, again)
    assert not np.allclose(once, other)
    assert len(once) == RATE_HZ // 2


@needs_a_voice
def test_no_room_is_digitally_silent() -> None:
    speech = render(available(Half.TUNE)[0], "done")
    quiet = in_quiet(speech, seed=1)
    assert np.mean(quiet == 0) < 0.05
    assert len(quiet) == len(speech) == len(reverberant(speech, seed=1))


@needs_a_voice
def test_people_talk_for_as_long_as_is_wanted_and_the_same_every_time() -> None:
    talked = [(one.voice, one.text, one.length_s) for one in not_for_us(3, 0.2)]
    assert talked == [(one.voice, one.text, one.length_s) for one in not_for_us(3, 0.2)]
    assert 12.0 <= sum(length_s for *_, length_s in talked) < 12.0 + talked[-1][2]


@needs_a_voice
def test_the_halves_overhear_other_people_saying_other_things() -> None:
    tune, held = (list(not_for_us(3, 0.3, half)) for half in Half)
    assert not {one.text for one in tune} & {one.text for one in held}
    assert not {one.voice for one in tune} & {one.voice for one in held}
