"""Single utterances out of a stream: speech in every noise of a brew day, and noise without any."""

import numpy as np
import pytest
from room_sounds import (
    NEEDS_ESPEAK,
    SPEECH_RMS,
    boil,
    fan,
    heard,
    placed,
    room,
    sound,
    spans,
    spoken,
    tone,
)

from assistant.hearing.ear.chain import Chain
from assistant.hearing.ear.frames import FRAME_S, FRAME_SAMPLES, Framer
from assistant.hearing.ear.hum import HumCut
from assistant.hearing.ear.segmenter import (
    LEAD_S,
    TRAIL_S,
    Segmenter,
    Segmenting,
)
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.engine import RATE_HZ

SAID = (
    (3.0, "mash temperature sixty six point five"),
    (7.0, "yes"),
    (9.0, "ten minute timer for the yeast"),
)
LENGTH_S = 13.0


def said_spans() -> list[tuple[float, float]]:
    return [(at_s, at_s + spoken(words).size / RATE_HZ) for at_s, words in SAID]


def noise(kind: str, below_speech_db: float) -> np.ndarray:
    rms = SPEECH_RMS * 10 ** (-below_speech_db / 20)
    return {"boil": boil, "fan": fan}[kind](LENGTH_S, rms)


@NEEDS_ESPEAK
@pytest.mark.parametrize(
    ("background", "within_s"),
    [
        ("quiet", 0.06),
        ("boil 20", 0.2),
        ("boil 10", 0.3),
        ("boil 5", 0.4),
        ("fan 20", 0.2),
        ("fan 10", 0.3),
        ("fan 5", 0.3),
    ],
)
def test_each_sentence_is_one_utterance(background: str, within_s: float) -> None:
    samples = placed(LENGTH_S, *SAID) + room(LENGTH_S)
    if background != "quiet":
        kind, below_db = background.split()
        samples = samples + noise(kind, float(below_db))
    utterances = heard(samples)
    found = spans(utterances)
    assert len(found) == len(SAID)
    for (started_s, ended_s), (start_s, end_s) in zip(found, said_spans(), strict=True):
        assert started_s == pytest.approx(start_s, abs=within_s)
        assert ended_s == pytest.approx(end_s, abs=within_s)
    for utterance, (start_s, end_s) in zip(utterances, said_spans(), strict=True):
        assert utterance.from_s < start_s
        assert utterance.from_s + utterance.length_s > end_s
        assert not utterance.suspect
        assert not utterance.too_long


@NEEDS_ESPEAK
def test_the_sound_is_the_streams_own_with_room_noise_around_it() -> None:
    samples = placed(LENGTH_S, *SAID) + room(LENGTH_S)
    hum_cut = HumCut()
    stream = np.concatenate([hum_cut.filter(frame) for frame in Framer().feed(sound(samples))])
    for utterance in heard(samples):
        assert utterance.started_s - utterance.from_s >= LEAD_S
        ended_s = utterance.from_s + utterance.length_s
        assert ended_s - utterance.ended_s == pytest.approx(TRAIL_S, abs=FRAME_S)
        start = round(utterance.from_s * RATE_HZ)
        there = stream[start : start + utterance.sound.size]
        assert np.array_equal(utterance.sound, there)


@NEEDS_ESPEAK
def test_levels_of_speech_and_noise_are_told() -> None:
    quiet = heard(placed(LENGTH_S, *SAID) + room(LENGTH_S))
    loud = heard(placed(LENGTH_S, *SAID) + noise("fan", 10))
    assert all(utterance.above_noise_db > 35 for utterance in quiet)
    assert all(11 < utterance.above_noise_db < 16 for utterance in loud)


@pytest.mark.parametrize(
    "samples",
    [
        np.zeros(10 * RATE_HZ),
        room(10),
        boil(20, 300),
        boil(20, 3000, seed=5),
        fan(20, 1000),
        room(20) + tone(20, 50, 8000),
        np.concatenate((room(3), room(10) + tone(10, 1000, 8000))),
        np.concatenate((boil(5, 100), boil(10, 1000, seed=8))),
        np.concatenate((fan(5, 100), fan(10, 1000, seed=8))),
    ],
    ids=[
        "digital silence",
        "quiet room",
        "boil",
        "loud boil",
        "fan",
        "hum",
        "a beep without end",
        "a boil that is there at once",
        "a fan switched on",
    ],
)
def test_noise_without_speech_is_no_utterance(samples: np.ndarray) -> None:
    assert heard(samples) == []


@pytest.mark.parametrize("rises_in_s", [0.2, 1.0])
def test_a_boil_that_begins_is_no_utterance(rises_in_s: float) -> None:
    at_s = np.arange(20 * RATE_HZ) / RATE_HZ
    gain_db = np.clip((at_s - 6) / rises_in_s * 20, 0, 20)
    assert heard(boil(20, 80) * 10 ** (gain_db / 20)) == []


@pytest.mark.parametrize(("on_s", "every_s"), [(0.5, 1.0), (0.1, 0.2), (0.2, 0.4)])
def test_a_beeping_alarm_is_no_utterance(on_s: float, every_s: float) -> None:
    at_s = np.arange(12 * RATE_HZ) / RATE_HZ
    beeps = tone(12, 2000, 6000) * ((at_s > 2) & (at_s % every_s < on_s))
    assert heard(beeps + room(12)) == []


@NEEDS_ESPEAK
def test_speech_out_of_digital_silence_is_heard() -> None:
    assert len(heard(placed(LENGTH_S, *SAID))) == len(SAID)


@NEEDS_ESPEAK
def test_speech_over_a_loud_hum_is_heard() -> None:
    hum = tone(LENGTH_S, 50, 6000)
    assert len(heard(placed(LENGTH_S, *SAID) + room(LENGTH_S) + hum)) == len(SAID)


@NEEDS_ESPEAK
def test_speech_after_a_boil_began_is_heard() -> None:
    begun = np.concatenate((boil(1, 15), boil(LENGTH_S - 1, 150)))
    assert len(heard(placed(LENGTH_S, *SAID) + begun)) == len(SAID)


@NEEDS_ESPEAK
@pytest.mark.parametrize(
    ("segmenting", "pause_s", "count"),
    [
        (Segmenting(), 0.4, 1),
        (Segmenting(), 0.7, 2),
        (Segmenting(end_after_s=0.36), 0.25, 1),
        (Segmenting(end_after_s=0.36), 0.5, 2),
        (Segmenting(end_after_s=1.2), 1.0, 1),
    ],
)
def test_a_pause_ends_an_utterance_where_it_is_long_enough(
    segmenting: Segmenting, pause_s: float, count: int
) -> None:
    second_s = 2.0 + spoken("fifteen").size / RATE_HZ + pause_s
    samples = placed(6.0, (2.0, "fifteen"), (second_s, "undo")) + room(6.0)
    assert len(heard(samples, segmenting)) == count


@NEEDS_ESPEAK
def test_an_utterance_comes_as_soon_as_its_pause_is_over() -> None:
    samples = placed(6.0, (2.0, "skip")) + room(6.0)
    end_s = 2.0 + spoken("skip").size / RATE_HZ
    upto = sound(samples)[: round((end_s + Segmenting().end_after_s + 0.1) * RATE_HZ)]
    segmenter = Segmenter(lambda frame: True)
    told = [
        segmenter.feed(upto[at : at + FRAME_SAMPLES])
        for at in range(0, upto.size - FRAME_SAMPLES, FRAME_SAMPLES)
    ]
    assert len([utterance for utterance in told if utterance]) == 1


@NEEDS_ESPEAK
def test_talk_without_end_is_cut_off_once_and_then_ignored_to_its_end() -> None:
    phrase = spoken("mash temperature sixty six point five")
    talk = np.concatenate((room(2)[: 2 * RATE_HZ], *[phrase] * 6, np.zeros(3 * RATE_HZ)))
    samples = talk + room(talk.size / RATE_HZ)
    utterances = heard(np.concatenate((samples, placed(3.0, (0.5, "undo")) + room(3.0))))
    assert [utterance.too_long for utterance in utterances] == [True, False]
    assert utterances[0].length_s == pytest.approx(Segmenting().longest_s, abs=0.1)
    assert utterances[1].length_s < 2


@NEEDS_ESPEAK
def test_clipped_speech_is_suspect() -> None:
    utterances = heard(placed(LENGTH_S, *SAID) * 20 + room(LENGTH_S))
    assert [utterance.suspect for utterance in utterances] == [True] * len(SAID)


def clicks(*marked: int, muted: range = range(0), frames: int = 200) -> list[tuple[bool, bool]]:
    """Loud noise bursts of a third of a second that every detector takes for a voice.

    Frames 60 to 70 and 120 to 130 are loud; those ``marked`` lost samples.
    """
    chance = np.random.default_rng(11)
    segmenter = Segmenter(lambda frame: True)
    told = []
    for at in range(frames):
        if at in (muted.start, muted.stop) and muted:
            segmenter.mute(at == muted.start)
        loud = 60 <= at < 71 or 120 <= at < 131
        frame = sound(chance.standard_normal(FRAME_SAMPLES) * (3000 if loud else 10))
        utterance = segmenter.feed(frame, suspect=at in marked)
        if utterance is not None:
            told.append((utterance.started_s > 100 * FRAME_S, utterance.suspect))
    return told


def test_lost_samples_make_only_their_own_utterance_suspect() -> None:
    assert clicks() == [(False, False), (True, False)]
    assert clicks(65) == [(False, True), (True, False)]
    assert clicks(125) == [(False, False), (True, True)]
    assert clicks(5, 95, 190) == [(False, False), (True, False)]


def test_what_sounds_while_muted_is_not_heard() -> None:
    assert clicks(muted=range(50, 90)) == [(True, False)]


def test_what_is_being_said_when_muted_is_thrown_away() -> None:
    assert clicks(muted=range(66, 80)) == [(True, False)]


def test_in_the_tail_after_being_muted_nothing_is_heard() -> None:
    assert clicks(muted=range(45, 56)) == [(True, False)]
    assert clicks(muted=range(20, 30)) == [(False, False), (True, False)]


@pytest.mark.parametrize(("tail_s", "count"), [(0.0, 2), (0.2, 2), (0.5, 1), (None, 1)])
def test_the_tail_can_be_set(tail_s: float | None, count: int) -> None:
    chance = np.random.default_rng(12)
    segmenter = Segmenter(lambda frame: True)
    told = 0
    for at in range(160):
        if at in (40, 50):
            segmenter.mute(at == 40, tail_s)
        loud = 58 <= at < 66 or 110 <= at < 120
        frame = sound(chance.standard_normal(FRAME_SAMPLES) * (3000 if loud else 10))
        told += segmenter.feed(frame) is not None
    assert told == count


def test_time_goes_on_while_muted() -> None:
    segmenter = Segmenter(lambda frame: True)
    segmenter.mute(True)
    for _ in range(100):
        segmenter.feed(np.zeros(FRAME_SAMPLES, np.int16))
    assert segmenter.now_s == pytest.approx(3.0)
    assert segmenter.deaf


def test_loud_frames_without_a_voice_are_no_utterance() -> None:
    chance = np.random.default_rng(13)
    for share, count in ((10, 0), (2, 1)):
        asked = iter(range(10_000))
        segmenter = Segmenter(lambda frame, asked=asked, share=share: next(asked) % share == 0)
        told = 0
        for at in range(120):
            rms = 3000 if 60 <= at < 80 else 10
            frame = sound(chance.standard_normal(FRAME_SAMPLES) * rms)
            told += segmenter.feed(frame) is not None
        assert told == count


@pytest.mark.parametrize(
    "settings",
    [
        {"end_after_s": 0.1},
        {"end_after_s": 2.0},
        {"shortest_s": 0.0},
        {"longest_s": 0.5},
        {"tail_s": -0.1},
        {"tail_s": 9.0},
    ],
)
def test_settings_that_make_no_sense_are_refused(settings: dict[str, float]) -> None:
    (name,) = settings
    with pytest.raises(ValueError, match=f"{name} is .* wanted"):
        Segmenting(**settings)


@NEEDS_ESPEAK
def test_what_may_be_at_its_end_is_told_early_and_comes_again_at_its_end() -> None:
    samples = placed(6.0, (2.0, "mash temperature sixty six point five")) + room(6.0)
    early: list[Utterance] = []
    chain = Chain(is_voice=lambda frame: True, on_pause=early.append)
    (final,) = [*chain.feed(sound(samples)), *chain.flush()]
    assert [(one.started_s, one.ended_s) for one in early] == [(final.started_s, final.ended_s)]
    shared = early[0].length_s
    assert final.length_s - 0.2 < shared <= final.length_s
    assert np.array_equal(early[0].sound, final.sound[: early[0].sound.size])


@NEEDS_ESPEAK
def test_what_went_on_after_a_pause_was_told_early_in_vain() -> None:
    second_s = 2.0 + spoken("fifteen").size / RATE_HZ + 0.42
    samples = placed(6.0, (2.0, "fifteen"), (second_s, "minutes")) + room(6.0)
    early: list[Utterance] = []
    chain = Chain(is_voice=lambda frame: True, on_pause=early.append)
    (final,) = [*chain.feed(sound(samples)), *chain.flush()]
    assert len(early) == 2
    assert early[0].ended_s < final.ended_s
    assert early[1].ended_s == final.ended_s
