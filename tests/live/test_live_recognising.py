"""Words that may be at their end are recognised early, and nobody is told before they are."""

import queue
from collections.abc import Iterator

import numpy as np
import pytest
from hearing.listening_contexts import BOIL, asking

from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.engine import EngineFailed, Sound
from assistant.hearing.recogniser import Heard, Verdict
from assistant.recognising import Fault, Recognising
from assistant.spoken_moment import SpokenMoment

WAIT_S = 5.0


class Counting:
    """Hears how long a sound is, counts, and fails at sounds of the lengths it is told."""

    def __init__(self) -> None:
        self.sizes: queue.SimpleQueue[int] = queue.SimpleQueue()
        self.fails_at: set[int] = set()

    def recognise(
        self, sound: Sound, context: Listening, at: float, *, suspect: bool = False
    ) -> Heard:
        self.sizes.put(sound.size)
        if sound.size in self.fails_at:
            raise EngineFailed("it failed")
        return Heard(
            words=(str(sound.size),),
            verdict=Verdict.IGNORE,
            event=None,
            choices=(),
            woken=False,
            confidence=0.0,
            engine="counting",
            seconds=1.0,
        )


class Told:
    """Keeps what it is told."""

    def __init__(self) -> None:
        self.words: queue.SimpleQueue[str] = queue.SimpleQueue()

    def heard(self, heard: Heard, spoken: SpokenMoment) -> None:
        assert not spoken.early
        self.words.put(" ".join(heard.words))

    def failed(self, why: str, spoken: SpokenMoment, fault: Fault) -> None:
        self.words.put(why)

    def works_again(self) -> None:
        self.words.put("back")


def moment(
    size: int, *, ended_s: float = 2.0, early: bool = False, context: Listening = BOIL
) -> SpokenMoment:
    utterance = Utterance(
        sound=np.zeros(size, np.int16),
        started_s=1.0,
        ended_s=ended_s,
        from_s=0.7,
        level_db=-20.0,
        noise_db=-50.0,
    )
    return SpokenMoment(utterance=utterance, at=2.0, context=context, was_open=True, early=early)


@pytest.fixture
def told() -> Told:
    return Told()


@pytest.fixture
def hearing() -> Counting:
    return Counting()


@pytest.fixture
def recognising(hearing: Counting, told: Told) -> Iterator[Recognising]:
    made = Recognising(hearing, told)
    made.start()
    yield made
    made.close()


def test_what_was_recognised_early_is_not_recognised_again(
    recognising: Recognising, hearing: Counting, told: Told
) -> None:
    recognising.take(moment(100, early=True))
    assert hearing.sizes.get(timeout=WAIT_S) == 100
    recognising.take(moment(120))
    assert told.words.get(timeout=WAIT_S) == "100"
    assert hearing.sizes.empty()
    assert told.words.empty()


@pytest.mark.parametrize(
    "final",
    [moment(150, ended_s=3.0), moment(150, context=asking(Quantity.GRAVITY))],
    ids=["went on", "other"],
)
def test_words_that_went_on_or_may_mean_something_else_are_recognised_anew(
    recognising: Recognising, hearing: Counting, told: Told, final: SpokenMoment
) -> None:
    recognising.take(moment(100, early=True))
    assert hearing.sizes.get(timeout=WAIT_S) == 100
    recognising.take(final)
    assert told.words.get(timeout=WAIT_S) == "150"


def test_of_a_failure_at_early_words_nobody_is_told(
    recognising: Recognising, hearing: Counting, told: Told
) -> None:
    hearing.fails_at = {100}
    recognising.take(moment(100, early=True))
    assert hearing.sizes.get(timeout=WAIT_S) == 100
    recognising.take(moment(120))
    assert told.words.get(timeout=WAIT_S) == "120"
