"""``kettleside check``: the parts of the voice, one after another, with what to do about each.

It asks nothing of the keyboard, so that it can run anywhere; what is missing is one line that names
what to install, and the parts after it are tried all the same.
"""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from assistant.day.listening import Listening
from assistant.ear_words import meter
from assistant.engines import VOSK, open_engine
from assistant.hear_page import hearing_context
from assistant.hearing.contract import Hearing
from assistant.hearing.ear.device import NoStream, choose, microphones
from assistant.hearing.ear.ear import Ear
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.ear.trouble import Trouble
from assistant.hearing.engine import RATE_HZ, EngineFailed, Sound
from assistant.hearing.engine_process import EngineProcess
from assistant.hearing.models import ModelsUnreadable, best_model, places
from assistant.hearing.recogniser import Heard, Recogniser, Verdict
from assistant.meaning_json import meaning_words
from assistant.native_noise import native_noise_dropped
from assistant.sound_devices import SoundDevices
from assistant.speaking.announcer import Announcer
from assistant.speaking.chimes import Chime
from assistant.speaking.devices import NoLoudspeaker
from assistant.speaking.voice import Voice, VoiceFailed
from assistant.speaking.waiting import Urgency
from assistant.text_lines import plain

SENTENCE = "Hello. This is the voice of your brew day. Gravity 1.048."
SAYINGS = (
    "kettle, gravity one oh four eight",
    "kettle, mash temperature sixty six point five",
    "kettle, what's next",
)
"""What the brewer is asked to say: a gravity, a temperature and a question."""

METER_S = 4.0
METER_STEP_S = 0.25
OPENING_S = 3.0
ANSWER_S = 10.0
SPEAKING_S = 20.0

QUIET_FLOOR_DB = -75.0
LOUD_FLOOR_DB = -35.0
"""Outside of these a microphone is likely turned too low, or the room too loud for words."""


@dataclass(frozen=True, kw_only=True)
class CheckTimes:
    """How long each part lasts, in seconds, none negative."""

    opening_s: float = OPENING_S
    meter_s: float = METER_S
    answer_s: float = ANSWER_S
    speaking_s: float = SPEAKING_S


def check_all(
    console: Console,
    engine_name: str | None = None,
    data: Path | None = None,
    times: CheckTimes | None = None,
) -> None:
    """Try all the parts, telling on the console; never raises for what is missing."""
    tell = _teller(console)
    with native_noise_dropped(), _engine(engine_name, data, tell) as engine:
        hearing = None if engine is None else Recogniser(engine)
        if engine is not None and hearing is not None:
            if _answers(hearing, tell):
                _tell_what_lacks(engine, tell)
            else:
                hearing = None
        check_devices(console, hearing, times or CheckTimes())


def check_devices(
    console: Console, hearing: Hearing | None, times: CheckTimes, voice: Voice | None = None
) -> None:
    """Try the voice, the loudspeaker and the microphone, and have sayings heard by ``hearing``."""
    tell = _teller(console)
    voice = voice or Voice()
    troubles: list[Trouble] = []
    devices = SoundDevices(on_trouble=troubles.append)
    announcer = Announcer(voice, devices.output)
    devices.is_quiet = lambda: not announcer.busy
    try:
        _check_voice(voice, tell)
        _check_loudspeaker(devices, announcer, tell, times)
        ear = Ear(devices.microphone, on_trouble=troubles.append)
        announcer.on_mute(ear.mute)
        with ear:
            if _check_microphone(devices, ear, troubles, console, times):
                _check_hearing(ear, hearing, tell, times)
    finally:
        announcer.close()
    tell("", "A whole day can be brewed by the keyboard too.")


def _teller(console: Console) -> Callable[[str, str], None]:
    def tell(part: str, text: str) -> None:
        told = plain(f"{part:<13}{text}" if part else text)
        console.print(told, markup=False, soft_wrap=True)

    return tell


@contextmanager
def _engine(
    name: str | None, data: Path | None, tell: Callable[[str, str], None]
) -> Iterator[EngineProcess | None]:
    try:
        engine = open_engine(name, data)
    except EngineFailed as error:
        tell("recogniser", str(error))
        yield None
        return
    tell("recogniser", engine.name)
    tell("model", _model_words(engine.name, data))
    try:
        yield engine
    finally:
        engine.close()


def _model_words(engine: str, data: Path | None) -> str:
    try:
        model = best_model(data)
    except ModelsUnreadable as error:
        return str(error)
    if engine == VOSK:
        return str(model)
    if model is not None:
        return f"Those in its packages. For {model.name} install Vosk: pip install vosk"
    return (
        "Those in its packages. Vosk takes others: `kettleside model list` shows them, and "
        f"`kettleside model fetch NAME` puts one into {places(data)[0]}"
    )


def _tell_what_lacks(engine: EngineProcess, tell: Callable[[str, str], None]) -> None:
    try:
        for each in engine.lacking():
            tell("", f"It hears less surely than it could: {each}")
    except EngineFailed as error:
        tell("recogniser", str(error))


def _answers(hearing: Hearing, tell: Callable[[str, str], None]) -> bool:
    """Whether the engine starts and answers; half a second of silence costs nothing."""
    import numpy as np

    silence: Sound = np.zeros(RATE_HZ // 2, dtype=np.int16)
    try:
        hearing.recognise(silence, hearing_context(None, None, None), at=0.0)
    except EngineFailed as error:
        tell("recogniser", str(error))
        return False
    return True


def _check_voice(voice: Voice, tell: Callable[[str, str], None]) -> None:
    try:
        voice.render("one")
    except VoiceFailed as error:
        tell("voice", str(error))
        return
    tell("voice", voice.engine or "works")


def _check_loudspeaker(
    devices: SoundDevices,
    announcer: Announcer,
    tell: Callable[[str, str], None],
    times: CheckTimes,
) -> None:
    """Sound a chime and a sentence."""
    troubles: list[str] = []
    announcer.on_trouble(troubles.append)
    try:
        names = devices.names()
        devices.output.open()
    except NoLoudspeaker as error:
        tell("loudspeaker", str(error))
        return
    devices.output.close()
    tell("loudspeaker", f"a chime and a sentence now, on the usual one of: {', '.join(names)}")
    announcer.say(SENTENCE, Urgency.QUESTION, lead=Chime.HEADS_UP)
    said = announcer.finish(times.speaking_s)
    for trouble in dict.fromkeys(troubles):
        tell("loudspeaker", trouble)
    if said and not troubles:
        tell("", f'             Did you hear "{SENTENCE}"? If not, turn it up, or choose another')
        tell("", "             as the usual one in the system's sound settings.")


def _check_microphone(
    devices: SoundDevices,
    ear: Ear,
    troubles: list[Trouble],
    console: Console,
    times: CheckTimes,
) -> bool:
    """Show the level for a while, then the noise floor; whether there is a microphone."""
    tell = _teller(console)
    waited_s = 0.0
    while waited_s < times.opening_s and not devices.microphone.open and not troubles:
        time.sleep(METER_STEP_S)
        waited_s += METER_STEP_S
    if not devices.microphone.open:
        tell("microphone", (troubles[-1] if troubles else Trouble.NO_MICROPHONE).line)
        return False
    tell("microphone", f"{_microphone_names()}. Its level for a few seconds; say nothing:")
    for _ in range(round(times.meter_s / METER_STEP_S)):
        bar = meter(ear.level_db, ear.floor_db)
        if console.is_terminal:
            console.print(f"             {bar} {ear.level_db:4.0f} dB", end="\r", markup=False)
        time.sleep(METER_STEP_S)
    tell("", f"             {meter(ear.level_db, ear.floor_db)} {_floor_words(ear.floor_db)}")
    for trouble in dict.fromkeys(troubles):
        tell("microphone", trouble.line)
    return True


def _microphone_names() -> str:
    try:
        used = choose(None).name
        others = [found.name for found in microphones() if found.name != used]
    except NoStream as error:
        return str(error)
    return f"{used} (others: {', '.join(others)})" if others else used


def _floor_words(floor_db: float) -> str:
    words = f"noise floor {floor_db:.0f} dB of the loudest the microphone takes"
    if floor_db > LOUD_FLOOR_DB:
        return f"{words}: loud. Turn its input down, or bring it nearer to you."
    if floor_db < QUIET_FLOOR_DB:
        return f"{words}: very quiet. If it hears nothing, turn its input up."
    return f"{words}: fine."


def _check_hearing(
    ear: Ear, hearing: Hearing | None, tell: Callable[[str, str], None], times: CheckTimes
) -> None:
    if hearing is None:
        return
    context = hearing_context(None, None, None)
    while ear.hear(0) is not None:
        # What was said before is no answer.
        continue
    for saying in SAYINGS:
        tell("hearing", f"Say: {saying}")
        utterance = ear.hear(times.answer_s)
        if utterance is None:
            tell("", "             I heard nobody speak. Speak up, or look at the microphone.")
            continue
        tell("", f"             {_heard_words(hearing, utterance, context)}")


def _heard_words(hearing: Hearing, utterance: Utterance, context: Listening) -> str:
    try:
        heard = hearing.recognise(utterance.sound, context, at=0.0, suspect=utterance.suspect)
    except EngineFailed as error:
        return str(error)
    return f"{_words(heard)} It stood {utterance.above_noise_db:.0f} dB out of the noise."


def _words(heard: Heard) -> str:
    if not heard.words:
        return "I made no words of that."
    told = f'I heard "{" ".join(heard.words)}"'
    if heard.verdict is Verdict.ACT:
        wake = "" if heard.woken else ", but no wake word before it"
        return f"{told}: {meaning_words(heard.event)}{wake}."
    if heard.verdict is Verdict.ASK:
        return f"{told}, and would ask which you meant."
    return f"{told}, and would do nothing."
