"""Slower, louder, another voice: in steps, and never past the ends."""

import pytest

from assistant.speaking.voice_settings import (
    RATES_WPM,
    VOLUMES,
    Change,
    VoiceName,
    VoiceSettings,
    english,
    settings_at,
    stepped,
)

ANNA = VoiceName(id="a", name="Anna", language="en-gb")
BERT = VoiceName(id="b", name="Bert", language="en-us")
CARLA = VoiceName(id="c", name="Carla", language="it")


@pytest.mark.parametrize(
    ("before", "change", "after"),
    [
        ({}, Change.SLOWER, {"rate_wpm": 140}),
        ({}, Change.FASTER, {"rate_wpm": 175}),
        ({}, Change.QUIETER, {"volume": 0.8}),
        ({"volume": 0.4}, Change.LOUDER, {"volume": 0.6}),
        ({"rate_wpm": 150}, Change.FASTER, {"rate_wpm": 155}),
        ({"rate_wpm": 150}, Change.SLOWER, {"rate_wpm": 140}),
    ],
)
def test_a_change_is_one_step(
    before: dict[str, float], change: Change, after: dict[str, float]
) -> None:
    assert stepped(VoiceSettings(**before), change) == VoiceSettings(**(before | after))


@pytest.mark.parametrize(
    ("change", "end"),
    [
        (Change.SLOWER, {"rate_wpm": RATES_WPM[0]}),
        (Change.FASTER, {"rate_wpm": RATES_WPM[-1]}),
        (Change.QUIETER, {"volume": VOLUMES[0]}),
        (Change.LOUDER, {"volume": VOLUMES[-1]}),
    ],
)
def test_changes_end_at_the_limits(change: Change, end: dict[str, float]) -> None:
    settings = VoiceSettings()
    for _ in range(12):
        settings = stepped(settings, change)
    assert settings == VoiceSettings(**end)


def test_the_softest_voice_can_still_be_heard() -> None:
    assert min(VOLUMES) >= 0.2


@pytest.mark.parametrize(
    ("now", "voices", "then"),
    [
        (None, [ANNA, BERT], "b"),
        ("b", [ANNA, BERT], "a"),
        ("gone", [ANNA, BERT], "b"),
        ("a", [ANNA], "a"),
        (None, [], None),
    ],
)
def test_another_voice_is_the_next_one_round(
    now: str | None, voices: list[VoiceName], then: str | None
) -> None:
    assert stepped(VoiceSettings(voice=now), Change.OTHER_VOICE, voices).voice == then


def test_only_english_voices_are_offered_the_usual_ones_first() -> None:
    scots = VoiceName(id="s", name="Scots", language="en-gb-scotland")
    shavian = VoiceName(id="x", name="Shavian", language="en-shaw")
    assert english([scots, shavian, CARLA, BERT, ANNA]) == (BERT, ANNA, scots)


@pytest.mark.parametrize(
    ("rate_step", "volume_step", "rate_wpm", "volume"),
    [(0, 0, 155, 1.0), (-1, -1, 140, 0.8), (-9, -9, 110, 0.25), (9, 9, 230, 1.0)],
)
def test_steps_from_the_usual_manner_are_settings(
    rate_step: int, volume_step: int, rate_wpm: int, volume: float
) -> None:
    assert settings_at(rate_step, volume_step) == VoiceSettings(rate_wpm=rate_wpm, volume=volume)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"rate_wpm": 30}, "a voice can't speak 30 words a minute; wanted is 80 to 450"),
        ({"volume": 1.5}, "a volume of 1.5 is no share; 0 to 1 is wanted"),
    ],
)
def test_settings_no_voice_has_are_refused(wrong: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        VoiceSettings(**wrong)
