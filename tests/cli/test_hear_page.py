"""Recordings to meanings, with a recogniser that hears what it is told."""

import json
import wave
from pathlib import Path

import numpy as np
import pytest

from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.events import (
    CommandGiven,
    Event,
    HeardUnsurely,
    Meaning,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    TimerRequested,
)
from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.hear_page import NO_SPEECH, hearing_context, print_heard
from assistant.hearing.engine import EngineFailed, Sound
from assistant.hearing.recogniser import Heard, Verdict
from assistant.meaning_json import meaning_json, meaning_words, unsure_words
from assistant.schedule.model import Units

GRAVITY = ReadingTaken(at=0.0, quantity=Quantity.GRAVITY, value=1.048, unit="SG")


def number(value: float) -> NumberSaid:
    return NumberSaid(at=0.0, value=value)


class Told:
    """Hears the same in every recording."""

    def __init__(
        self, event: Event | None, verdict: Verdict, choices: tuple[Meaning, ...] = ()
    ) -> None:
        self.event, self.verdict, self.choices = event, verdict, choices
        self.rates: list[int] = []

    def recognise(
        self, sound: Sound, context: Listening, at: float = 0.0, *, suspect: bool = False
    ) -> Heard:
        self.rates.append(len(sound))
        return Heard(
            words=("gravity", "one", "oh", "four", "eight"),
            verdict=self.verdict,
            event=self.event,
            choices=self.choices,
            woken=False,
            confidence=0.875,
            engine="told",
            seconds=len(sound) / 16_000,
            rejected_because="too unlike anything" if self.event is None else None,
        )


class Broken:
    def recognise(
        self, sound: Sound, context: Listening, at: float = 0.0, *, suspect: bool = False
    ) -> Heard:
        raise EngineFailed("The recogniser told hangs.")


def recording(path: Path, *, spoken: bool = True) -> str:
    """A second of something voiced between two silences, or of nothing."""
    rate_hz = 16_000
    noise = np.random.default_rng(3).standard_normal(2 * rate_hz) * 4
    if spoken:
        at = np.arange(rate_hz) / rate_hz
        vowel = sum(np.sin(2 * np.pi * 120 * k * at) / k for k in range(1, 25))
        noise[rate_hz // 2 : rate_hz // 2 + rate_hz] += (
            4_000 * vowel * (0.6 + 0.4 * np.sin(25 * at))
        )
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate_hz)
        file.writeframes(noise.clip(-32_000, 32_000).astype("<i2").tobytes())
    return str(path)


@pytest.fixture
def file(tmp_path: Path) -> str:
    pytest.importorskip("pocketsphinx")
    return recording(tmp_path / "said.wav")


def test_a_recording_is_one_json_object(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert print_heard(
        [file], hearing_context(None, None, None), Told(GRAVITY, Verdict.ACT), "told", as_json=True
    )
    told = json.loads(capsys.readouterr().out)
    assert told == {
        "file": file,
        "heard": "gravity one oh four eight",
        "meaning": {"quantity": "gravity", "value": 1.048, "unit": "SG"},
        "confidence": 0.875,
        "engine": "told",
        "seconds": 2.0,
    }


@pytest.mark.parametrize(
    ("hearing", "because"),
    [
        (
            Told(HeardUnsurely(at=0.0, meanings=(number(15.0), number(50.0))), Verdict.ASK),
            "not sure: 15 or 50?",
        ),
        (Told(None, Verdict.IGNORE), "too unlike anything"),
    ],
    ids=["unsure", "nothing"],
)
def test_what_it_would_not_act_on_has_no_meaning_and_says_why(
    file: str, hearing: Told, because: str, capsys: pytest.CaptureFixture[str]
) -> None:
    print_heard([file], hearing_context(None, None, None), hearing, "told", as_json=True)
    told = json.loads(capsys.readouterr().out)
    assert told["meaning"] is None
    assert told["rejected_because"] == because


def test_a_file_without_speech_is_no_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pytest.importorskip("pocketsphinx")
    silent = recording(tmp_path / "silent.wav", spoken=False)
    context = hearing_context(None, None, None)
    assert print_heard([silent], context, Told(GRAVITY, Verdict.ACT), "told", as_json=True)
    told = json.loads(capsys.readouterr().out)
    assert (told["heard"], told["meaning"]) == ("", None)
    assert told["rejected_because"] == NO_SPEECH


def test_files_that_cannot_be_read_are_a_line_each_and_the_others_are_heard(
    file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "letter.wav").write_text("dear brewer")
    files = [str(tmp_path / "nowhere.wav"), str(tmp_path / "letter.wav"), file]
    context = hearing_context(None, None, None)
    assert not print_heard(files, context, Told(GRAVITY, Verdict.ACT), "told", as_json=True)
    printed = capsys.readouterr()
    assert len(printed.out.splitlines()) == 1
    missing, letter = printed.err.splitlines()
    assert "nowhere.wav: there is no such file" in missing
    assert "letter.wav: this is no WAV file" in letter


def test_an_engine_that_fails_is_a_line_for_the_file(
    file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    context = hearing_context(None, None, None)
    assert not print_heard([file], context, Broken(), "told", as_json=True)
    assert capsys.readouterr().err == f"{file}: The recogniser told hangs.\n"


def test_a_person_is_told_in_two_lines(file: str, capsys: pytest.CaptureFixture[str]) -> None:
    context = hearing_context(None, None, None)
    print_heard([file], context, Told(GRAVITY, Verdict.ACT), "told", as_json=False)
    assert capsys.readouterr().out.splitlines() == [
        f'{file}: "gravity one oh four eight"',
        "  gravity 1.048; confidence 0.88, told",
    ]


@pytest.mark.parametrize(
    ("event", "told"),
    [
        (CommandGiven(at=0, command=Command.DONE), {"command": "done"}),
        (
            CommandGiven(at=0, command=Command.ADDED, subject="First Gold"),
            {"command": "it's in", "subject": "First Gold"},
        ),
        (GRAVITY, {"quantity": "gravity", "value": 1.048, "unit": "SG"}),
        (
            ReadingTaken(at=0, quantity=Quantity.GRAVITY, value=1.03, unit="SG", sample_c=25.0),
            {
                "quantity": "gravity",
                "value": 1.03,
                "unit": "SG",
                "temperature": {"value": 25.0, "unit": "degC"},
            },
        ),
        (number(66.5), {"value": 66.5}),
        (NumberSaid(at=0, value=5.0, unit="gal"), {"value": 5.0, "unit": "gal"}),
        (TimerRequested(at=0, seconds=300.0, name="tea"), {"timer": "tea", "seconds": 300.0}),
        (OptionChosen(at=0, say="boil longer"), {"option": "boil longer"}),
        (NoteTaken(at=0, text="it drips"), {"note": "it drips"}),
        (None, None),
    ],
)
def test_each_meaning_has_a_small_form(event: Event | None, told: dict[str, object] | None) -> None:
    assert meaning_json(event) == told


@pytest.mark.parametrize(
    ("meanings", "words"),
    [
        ((number(15.0), number(50.0)), "not sure: 15 or 50?"),
        ((GRAVITY,), "not sure: 1.048?"),
        (
            (CommandGiven(at=0, command=Command.DONE), number(10.0)),
            "not sure: done or 10?",
        ),
        (
            (
                TimerRequested(at=0, seconds=900.0, name="tea"),
                TimerRequested(at=0, seconds=3000.0, name="tea"),
            ),
            "not sure: tea 900 s or tea 3000 s?",
        ),
    ],
)
def test_a_doubt_is_put_in_a_few_words(meanings: tuple[Meaning, ...], words: str) -> None:
    assert unsure_words(HeardUnsurely(at=0.0, meanings=meanings)) == words


def test_a_meaning_in_words_has_its_unit() -> None:
    reading = ReadingTaken(at=0, quantity=Quantity.MASH_TEMPERATURE, value=66.5, unit="degC")
    assert meaning_words(reading) == "mash_temperature 66.5 degC"
    assert meaning_words(None) == "nothing to act on"


def test_without_a_stage_anything_of_a_day_can_be_said() -> None:
    context = hearing_context(None, None, None)
    assert set(context.likely) == set(Quantity) - {Quantity.BOILING, Quantity.SLURRY_VOLUME}
    assert {Command.GRAIN_IN, Command.FLAME_OUT, Command.PITCHED} <= context.commands
    assert (context.asked, context.units) == ((), Units.METRIC)
    assert "kettle finings" in context.additions


def test_a_stage_narrows_what_can_be_said() -> None:
    context = hearing_context("boil", None, "us")
    assert context.stage is Stage.BOIL
    assert context.units is Units.US
    assert Command.FLAME_OUT in context.commands
    assert Command.GRAIN_IN not in context.commands
    assert Quantity.MASH_PH not in context.likely


def test_what_was_asked_comes_on_top_of_the_stage() -> None:
    context = hearing_context("boil", "mash pH", None)
    assert context.asked == (Quantity.MASH_PH,)
    assert Quantity.MASH_PH in context.likely


@pytest.mark.parametrize(
    ("stage", "expect", "fault"),
    [
        ("fermentation", None, "'fermentation' is no stage; wanted is one of gather, strike"),
        (None, "colour", "'colour' is no quantity; wanted is one of water_temperature"),
    ],
)
def test_a_name_that_is_none_is_answered_with_those_there_are(
    stage: str | None, expect: str | None, fault: str
) -> None:
    with pytest.raises(ValueError, match=fault):
        hearing_context(stage, expect, None)
