"""A simulated brewer who is heard by sound: the real synthesiser, ear and recogniser."""

from collections.abc import Iterator

import pytest

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.events import DayBegan
from assistant.day.listening import Listening, listening
from assistant.day.state import new_day
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.words import understand
from assistant.rehearsal.spoken_brewer import SpokenBrewer, manner_of
from assistant.samples import rehearsed_sample
from assistant.schedule.load import load
from assistant.speaking.voice import Voice
from assistant.speaking.voice_settings import english


@pytest.fixture(scope="module")
def voice() -> Iterator[Voice]:
    made = Voice()
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


def test_a_sentence_said_again_begins_with_the_wake_word(
    brewer: SpokenBrewer, context: Listening
) -> None:
    heard = brewer.heard("what's next", context, Stage.GATHER, at=5.0, attempt=1)
    assert heard is not None
    assert heard.woken


def test_each_further_attempt_is_slower(brewer: SpokenBrewer, context: Listening) -> None:
    rates_wpm = []
    for attempt in range(3):
        brewer.heard("what's next", context, Stage.GATHER, at=5.0, attempt=attempt)
        rates_wpm.append(brewer.voice.settings.rate_wpm)
    assert rates_wpm == sorted(set(rates_wpm), reverse=True)


def test_a_brewer_speaks_with_another_voice_than_the_program(voice: Voice) -> None:
    first = english(voice.voices())[0].id
    assert all(manner_of(voice, seed).voice != first for seed in range(20))
