"""A simulated brewer who is heard by sound: the real synthesiser, ear and recogniser."""

import io
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import count

import pytest
from rich.console import Console

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, DayBegan
from assistant.day.listening import Listening, listening
from assistant.day.state import State, new_day
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.recogniser import Heard, Recogniser, Verdict
from assistant.hearing.words import understand
from assistant.rehearsal.day import rehearse
from assistant.rehearsal.page import SEED, rehearse_command
from assistant.rehearsal.saying import First
from assistant.rehearsal.spoken_brewer import SpokenBrewer, manner_of
from assistant.rehearsal.truths import INSTRUCTIVE
from assistant.rehearse_command import BrewerHeard, rehearse_by_sound
from assistant.samples import rehearsed_sample
from assistant.schedule.load import load
from assistant.speaking.voice import Voice, VoiceFailed
from assistant.speaking.voice_settings import english


@pytest.fixture(scope="module")
def voice() -> Iterator[Voice]:
    made = Voice()
    try:
        made.voices()
    except VoiceFailed as error:
        made.close()
        pytest.skip(f"no synthesiser: {error}")
    yield made
    made.close()


@pytest.fixture(scope="module")
def brewer(voice: Voice) -> Iterator[SpokenBrewer]:
    engine = EngineProcess("pocketsphinx")
    yield SpokenBrewer(voice, Recogniser(engine), seed=11)
    engine.close()


@pytest.fixture(scope="module")
def context() -> Listening:
    schedule = load(rehearsed_sample())
    state, _ = advance(new_day(schedule, make_plan(schedule)), DayBegan(at=0.0))
    return listening(state)


@pytest.mark.parametrize("words", ["what's next", "how long"])
def test_a_sentence_spoken_in_a_quiet_room_is_heard_as_it_is_understood(
    brewer: SpokenBrewer, context: Listening, words: str
) -> None:
    heard = brewer.heard(words, context, Stage.GATHER, at=5.0, attempt=1)
    assert heard is not None
    assert heard.event == understand(words, context, 5.0)


@pytest.mark.parametrize(("doubt", "attempt", "woken"), [(0, 0, True), (1, 0, False), (1, 1, True)])
def test_only_the_first_answer_to_a_doubt_goes_without_the_wake_word(
    brewer: SpokenBrewer, context: Listening, doubt: int, attempt: int, woken: bool
) -> None:
    undo = CommandGiven(at=5.0, command=Command.UNDO)
    asked = replace(context, question=bool(doubt), doubt=(undo,) * doubt)
    heard = brewer.heard("what's next", asked, Stage.GATHER, at=5.0, attempt=attempt)
    assert heard is not None
    assert heard.woken is woken


class FirstWords:
    """The true ear for so many sentences, and then one that hears all as it is meant."""

    def __init__(self, brewer: SpokenBrewer, sentences: int) -> None:
        self.true = BrewerHeard(brewer, lambda at: None)
        self.sentences = sentences
        self.calls = count()

    def hear(self, words: str, state: State, at: float, attempt: int) -> Heard | None:
        if next(self.calls) < self.sentences:
            return self.true.hear(words, state, at, attempt)
        return Heard(
            words=(),
            verdict=Verdict.ACT,
            event=understand(words, listening(state), at),
            choices=(),
            woken=True,
            confidence=1.0,
            engine="none",
            seconds=0.0,
        )


def test_the_first_sentences_of_a_day_are_heard_by_sound(brewer: SpokenBrewer) -> None:
    schedule = load(rehearsed_sample())
    day = rehearse(schedule, INSTRUCTIVE, SEED, True, FirstWords(brewer, 9))
    typed = rehearse(schedule, INSTRUCTIVE, SEED, True)
    assert not any(sentence.kept_wrong for sentence in day.sentences[:9])
    assert sum(sentence.first is First.RIGHT for sentence in day.sentences[:9]) >= 7
    assert day.reached == typed.reached


def test_without_a_voice_the_day_is_rehearsed_as_text_after_one_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    broken = partial(Voice, worker=("false",))
    monkeypatch.setattr("assistant.rehearse_command.Voice", broken)
    pages = {name: Console(width=100, file=io.StringIO()) for name in ("sound", "text", "errors")}
    schedule = load(rehearsed_sample())
    rehearse_by_sound(schedule, pages["sound"], pages["errors"])
    rehearse_command(schedule, pages["text"])
    printed = {name: page.file.getvalue() for name, page in pages.items()}  # type: ignore[attr-defined]
    assert printed["sound"] == printed["text"]
    assert printed["errors"].startswith("Rehearsed as text: ")


def test_each_further_attempt_is_slower(brewer: SpokenBrewer, context: Listening) -> None:
    rates_wpm = []
    for attempt in range(3):
        brewer.heard("what's next", context, Stage.GATHER, at=5.0, attempt=attempt)
        rates_wpm.append(brewer.voice.settings.rate_wpm)
    assert rates_wpm == sorted(set(rates_wpm), reverse=True)


def test_a_brewer_speaks_with_another_voice_than_the_program(voice: Voice) -> None:
    first = english(voice.voices())[0].id
    assert all(manner_of(voice, seed).voice != first for seed in range(20))
