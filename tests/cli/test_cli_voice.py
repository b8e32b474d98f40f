"""The commands that hear and speak: their options, and how they end without a device."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from sample_files import SAMPLES

from assistant.engines import NO_ENGINE, NO_MODEL, NO_VOSK, open_engine
from assistant.hearing.ear.files import read_wav
from assistant.hearing.engine import EngineFailed
from assistant.kept_audio import KeptAudio
from assistant.speaking.spoken import Spoken
from assistant.speaking.voice import Voice, VoiceFailed

AMBER = str(SAMPLES / "breakwater-amber.yaml")


def kettleside(*words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words],
        input=typed,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={"PATH": "/usr/bin:/bin", "COLUMNS": "100", "HOME": "/nowhere"},
    )


@pytest.mark.parametrize("command", ["hear", "check", "model"])
def test_every_command_has_help(command: str) -> None:
    done = kettleside(command, "--help")
    assert done.returncode == 0
    assert done.stdout.startswith(f"Usage: python -m assistant {command}")


def test_the_models_can_be_listed() -> None:
    done = kettleside("model", "list")
    assert done.returncode == 0
    assert "small-en-us" in done.stdout


def test_a_day_with_its_clock_sped_up_is_silent_and_says_so(tmp_path: Path) -> None:
    done = kettleside(
        *("brew", AMBER, "--speed", "60", "--no-board", "--data", str(tmp_path)), typed="help\n"
    )
    assert done.returncode == 0
    assert done.stderr.splitlines() == [
        "At this speed nothing is spoken or heard, since a voice keeps real time; --voice insists."
    ]


def test_without_a_voice_nothing_is_told_of_devices(tmp_path: Path) -> None:
    done = kettleside(
        *("brew", AMBER, "--no-voice", "--no-board", "--data", str(tmp_path)), typed="help\n"
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_an_engine_asked_for_by_name_that_is_not_there_ends_it(tmp_path: Path) -> None:
    models = tmp_path / "models"
    models.mkdir()
    if _vosk_model_there():
        pytest.skip("a model of Vosk's is installed here")
    done = kettleside("brew", AMBER, "--engine", "vosk", "--data", str(tmp_path), typed="help\n")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"{NO_MODEL}\n"


def _vosk_model_there() -> bool:
    from assistant.hearing.models import best_model

    return best_model() is not None


def test_hearing_needs_a_file() -> None:
    assert kettleside("hear").returncode == 2


@pytest.mark.parametrize(
    ("option", "fault"),
    [("--stage", "'cellar' is no stage"), ("--expect", "'cellar' is no quantity")],
)
def test_a_stage_or_a_quantity_that_is_none_is_refused(option: str, fault: str) -> None:
    done = kettleside("hear", "said.wav", option, "cellar")
    assert done.returncode == 2
    assert fault in done.stderr
    assert "Traceback" not in done.stderr


@pytest.fixture
def spoken(tmp_path: Path) -> Path:
    """A command by the true synthesiser, as a WAV file."""
    pytest.importorskip("pocketsphinx")
    voice = Voice()
    try:
        said: Spoken = voice.render("what's next")
    except VoiceFailed as error:
        pytest.skip(str(error))
    finally:
        voice.close()
    path = tmp_path / "whats-next.wav"
    _write(path, said)
    return path


def _write(path: Path, said: Spoken) -> None:
    import wave

    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(said.rate_hz)
        file.writeframes(said.sound.astype("<i2").tobytes())


def test_recordings_are_heard_by_the_true_recogniser_and_bad_ones_told(spoken: Path) -> None:
    done = kettleside("hear", "nowhere.wav", str(spoken), "--json", "--engine", "pocketsphinx")
    assert done.returncode == 2
    assert done.stderr == "nowhere.wav: there is no such file.\n"
    [told] = [json.loads(line) for line in done.stdout.splitlines()]
    assert {"file", "heard", "meaning", "confidence", "engine", "seconds"} <= set(told)
    assert (told["file"], told["engine"]) == (str(spoken), "pocketsphinx")
    assert 0 <= told["confidence"] <= 1


def test_without_a_model_the_engine_is_the_one_that_needs_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("pocketsphinx")
    monkeypatch.setattr("assistant.engines.best_model", lambda data: None)
    engine = open_engine(None, tmp_path)
    assert engine.name == "pocketsphinx"
    engine.close()


def test_with_a_model_it_is_the_one_that_takes_models(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("vosk")
    monkeypatch.setattr("assistant.engines.best_model", lambda data: Path("vosk-model-x"))
    engine = open_engine()
    assert engine.name == "vosk"
    engine.close()


@pytest.mark.parametrize(
    ("wanted", "model", "installed", "told"),
    [
        ("vosk", None, ("vosk", "pocketsphinx"), NO_MODEL),
        ("vosk", Path("model"), ("pocketsphinx",), NO_VOSK),
        ("pocketsphinx", None, ("vosk",), NO_ENGINE),
        (None, None, ("vosk",), NO_ENGINE),
        (None, Path("model"), (), NO_ENGINE),
    ],
)
def test_what_is_missing_is_told_with_what_to_do(
    wanted: str | None,
    model: Path | None,
    installed: tuple[str, ...],
    told: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("assistant.engines.best_model", lambda data: model)
    monkeypatch.setattr("assistant.engines.find_spec", lambda name: name in installed or None)
    with pytest.raises(EngineFailed) as failed:
        open_engine(wanted)
    assert str(failed.value) == told


def test_each_kept_utterance_has_a_file_of_its_own(tmp_path: Path) -> None:
    import numpy as np

    kept = KeptAudio(tmp_path / "new" / "folder")
    sound = np.arange(1_600, dtype=np.int16)
    for told in ("act what's next", "act what's next", "ignore "):
        kept.keep(sound, 61.25, told)
    files = sorted((tmp_path / "new" / "folder").iterdir())
    assert [file.name for file in files] == [
        "000061.2-act-what-s-next-2.wav",
        "000061.2-act-what-s-next.wav",
        "000061.2-ignore.wav",
    ]
    assert np.array_equal(read_wav(files[0]).sound, sound)
