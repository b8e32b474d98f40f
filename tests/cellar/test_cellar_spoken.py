"""The usual sentences of a visit, spoken by the true voice and heard by the true recogniser."""

from collections.abc import Iterator

import pytest
from beers import Tended, beer, schedule_with, tended

from assistant.advice.timeline import Stage
from assistant.cellar.events import Errand
from assistant.cellar.listening import listening
from assistant.day.commands import Command
from assistant.day.events import HeardUnsurely
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.recogniser import Recogniser
from assistant.hearing.words import NotUnderstood, understand
from assistant.rehearsal.spoken_brewer import SpokenBrewer
from assistant.speaking.voice import Voice, VoiceFailed

HOPS = "  - {add: Bramling, kind: hops, weight: 30 g, alpha: 6 %, at: day 4}\n"


def tending() -> Tended:
    return tended(schedule_with(additions=HOPS), beer(1.050, 1.012)).visit(4.2)


def packaging() -> Tended:
    found = tended(of=beer(1.050, 1.012)).gravity(8, 1.012).gravity(11, 1.012)
    return found.visit(14, Errand.PACKAGE)


def primed() -> Tended:
    return packaging().gravity(14, 1.012).warm(14, 20).volume(19)


def packed() -> Tended:
    return primed().say(Command.PACKAGED)


MOMENTS = {"tending": tending, "packaging": packaging, "primed": primed, "packed": packed}


@pytest.fixture(scope="module")
def brewer() -> Iterator[SpokenBrewer]:
    voice = Voice()
    try:
        voice.voices()
    except VoiceFailed as error:
        voice.close()
        pytest.skip(f"no synthesiser: {error}")
    engine = EngineProcess("pocketsphinx")
    yield SpokenBrewer(voice, Recogniser(engine), seed=5)
    engine.close()
    voice.close()


SENTENCES = [
    ("tending", "gravity one oh one two"),
    ("tending", "beer temperature nineteen and a half"),
    ("tending", "hops are in"),
    ("tending", "what's next"),
    ("tending", "done"),
    ("packaging", "fermenter volume eighteen point five litres"),
    ("packaging", "one oh one two"),
    ("primed", "packaged"),
    ("packed", "slurry two hundred millilitres"),
    # Heard as a hundred, as long as no grammar went past 250.
    ("packed", "slurry five hundred millilitres"),
    ("packed", "three hundred millilitres"),
    ("packed", "no"),
]


@pytest.mark.parametrize(("moment", "words"), SENTENCES)
def test_a_sentence_of_a_visit_is_heard_as_it_is_understood(
    brewer: SpokenBrewer, moment: str, words: str
) -> None:
    state = MOMENTS[moment]().state
    context = listening(state)
    heard = brewer.heard(words, context, Stage.FINISHED, at=state.now_s)
    assert heard is not None
    event = heard.event
    # In the noise of a kitchen it may be asked about first.
    likeliest = event.meanings[0] if isinstance(event, HeardUnsurely) else event
    assert likeliest == understand(words, context, state.now_s)


@pytest.mark.parametrize("moment", MOMENTS)
def test_what_help_names_can_be_said(moment: str) -> None:
    found = MOMENTS[moment]()
    context = listening(found.state)
    said = found.say(Command.HELP).said()
    examples = {
        "a gravity": "gravity 1.012",
        "brix or beer temperature": "beer temperature 19",
        "beer temperature or fermenter volume": "fermenter volume 19 litres",
        "slurry": "slurry 200 millilitres",
        "note": "note it smells of pears",
    }
    for name in said.removeprefix("Say ").removesuffix(".").split(", "):
        words = examples.get(name, name)
        try:
            understand(words, context, 0.0)
        except NotUnderstood as error:
            raise AssertionError(f"help says {name!r}") from error


@pytest.mark.parametrize("words", ["boiling", "whirlpool done", "timer ten minutes", "pitched"])
def test_what_belongs_to_a_brew_day_is_answered_and_changes_nothing(words: str) -> None:
    found = tending()
    before = found.state
    try:
        found.happen(understand(words, listening(before), before.now_s))
    except NotUnderstood:
        return
    assert found.refused()
    assert found.state == before
