"""``kettleside hear``: what the recogniser makes of recordings."""

import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from assistant.advice.timeline import Stage
from assistant.day.commands import COMMANDS
from assistant.day.events import HeardUnsurely
from assistant.day.listening import CHOOSING, READ_IN, Listening
from assistant.day.quantities import Quantity
from assistant.day.wording import addition_names
from assistant.engines import open_engine
from assistant.hearing.contract import Hearing
from assistant.hearing.ear.files import RecordingFault, read_wav
from assistant.hearing.ear.recording import whole
from assistant.hearing.ear.speech import IsVoice
from assistant.hearing.ear.voice_activity import any_sound, webrtc_voice
from assistant.hearing.engine import EngineFailed
from assistant.hearing.recogniser import Heard, Recogniser, Verdict
from assistant.meaning_json import meaning_json, meaning_words, unsure_words
from assistant.samples import rehearsed_sample
from assistant.schedule import ScheduleError, load
from assistant.schedule.model import Units
from assistant.text_lines import plain

NO_SPEECH = "no speech was found"

TIMERS = ("boil", "mash", "chiller", "yeast")
"""Names of timers that run on most days, for what asks after one of them."""

USUAL: Mapping[Quantity, tuple[float, float]] = {
    Quantity.WATER_TEMPERATURE: (5.0, 90.0),
    Quantity.MASH_TEMPERATURE: (40.0, 80.0),
    Quantity.KETTLE_TEMPERATURE: (5.0, 103.0),
    Quantity.ROOM_TEMPERATURE: (0.0, 40.0),
    Quantity.TOP_UP_TEMPERATURE: (0.0, 30.0),
    Quantity.FERMENTER_TEMPERATURE: (5.0, 35.0),
    Quantity.KETTLE_VOLUME: (3.0, 100.0),
    Quantity.FERMENTER_VOLUME: (2.0, 80.0),
    Quantity.GRAVITY: (0.998, 1.110),
    Quantity.BRIX: (0.0, 27.0),
    Quantity.MASH_PH: (4.8, 6.2),
    Quantity.SLURRY_VOLUME: (50.0, 1000.0),
    Quantity.BOILING: (0.0, 1.0),
}
"""What nearly any beer at a kettle keeps to, in the units kept: the beer of a recording is unknown,
and a figure outside is doubted, not refused."""


BREWING = tuple(q for q in Quantity if q not in (Quantity.BOILING, Quantity.SLURRY_VOLUME))
"""What is read on a brew day, but for the boil, which has words of its own."""


def hearing_context(stage: str | None, expect: str | None, units: str | None) -> Listening:
    """What is listened for at a stage, after a question for ``expect``, in units.

    Without a stage it is all that can be said on a brew day. Readings are likely in the bounds that
    nearly any beer keeps to. Raises ValueError for a name that is none, with
    those there are.
    """
    asked = () if expect is None else (_quantity(expect),)
    at = None if stage is None else _stage(stage)
    readings = READ_IN[at] if at else BREWING
    return Listening(
        stage=at or Stage.MASH,
        units=Units(units or Units.METRIC.value),
        asked=asked,
        options=(),
        additions=_additions(),
        timers=TIMERS,
        likely={quantity: USUAL[quantity] for quantity in (*asked, *readings)},
        question=Quantity.BOILING in asked,
        commands=frozenset(
            command
            for command, spec in COMMANDS.items()
            if command not in CHOOSING and (at is None or at in spec.stages)
        ),
    )


def hear_files(
    files: Sequence[str],
    context: Listening,
    engine_name: str | None = None,
    data: Path | None = None,
    *,
    as_json: bool,
) -> bool:
    """Print what was heard in each file; whether all of them could be heard.

    A file that can't be is a line on standard error, and the others are heard all the same. Raises
    :class:`~assistant.hearing.engine.EngineFailed` where there is no engine.
    """
    engine = open_engine(engine_name, data)
    try:
        return print_heard(files, context, Recogniser(engine), engine.name, as_json=as_json)
    finally:
        engine.close()


def print_heard(
    files: Sequence[str], context: Listening, hearing: Hearing, engine: str, *, as_json: bool
) -> bool:
    """As :func:`hear_files`, with a recogniser that is there already."""
    all_read = True
    for file in files:
        try:
            told = hear_file(file, context, hearing, engine)
        except RecordingFault as fault:
            click.echo(plain(str(fault)), err=True)
            all_read = False
            continue
        except EngineFailed as failure:
            click.echo(plain(f"{file}: {failure}"), err=True)
            all_read = False
            continue
        if as_json:
            told.pop("words")
            click.echo(json.dumps(told))
        else:
            click.echo("\n".join(map(plain, _lines(told))))
    return all_read


def hear_file(file: str, context: Listening, hearing: Hearing, engine: str) -> dict[str, Any]:
    """What was heard in one file, as its JSON object; ``words`` tells the meaning to a person.

    Raises :class:`RecordingFault` for a file that can't be read, and
    :class:`~assistant.hearing.engine.EngineFailed`.
    """
    recording = read_wav(Path(file))
    spoken = whole(recording.sound, recording.rate_hz, is_voice=_voice_detector())
    told: dict[str, Any] = {
        "file": file,
        "heard": "",
        "meaning": None,
        "confidence": 0.0,
        "engine": engine,
        "seconds": round(recording.length_s, 2),
        "words": meaning_words(None),
    }
    if spoken is None:
        return {**told, "rejected_because": NO_SPEECH}
    heard = hearing.recognise(spoken.sound, context, at=0.0, suspect=spoken.suspect)
    told |= {
        "heard": " ".join(heard.words),
        "confidence": round(heard.confidence, 3),
        "engine": heard.engine,
    }
    if heard.verdict is Verdict.ACT:
        return told | {"meaning": meaning_json(heard.event), "words": meaning_words(heard.event)}
    return told | {"rejected_because": _why_not(heard)}


def _why_not(heard: Heard) -> str:
    if isinstance(heard.event, HeardUnsurely):
        return unsure_words(heard.event)
    return heard.rejected_because or "it means nothing here"


def _lines(told: dict[str, Any]) -> Iterator[str]:
    yield f'{told["file"]}: "{told["heard"]}"' if told["heard"] else f"{told['file']}: no words"
    because = told.get("rejected_because")
    meaning = told["words"] if because is None else f"{told['words']} ({because})"
    yield f"  {meaning}; confidence {told['confidence']:.2f}, {told['engine']}"


def _additions() -> tuple[str, ...]:
    try:
        return addition_names(load(rehearsed_sample()))
    except ScheduleError:
        return ()


def _voice_detector() -> IsVoice:
    try:
        return webrtc_voice()
    except ImportError:
        return any_sound


def _quantity(name: str) -> Quantity:
    try:
        return Quantity(_key(name))
    except ValueError:
        raise ValueError(_no_such(name, "quantity", [each.value for each in Quantity])) from None


def _stage(name: str) -> Stage:
    try:
        return Stage(_key(name))
    except ValueError:
        raise ValueError(_no_such(name, "stage", [each.value for each in Stage])) from None


def _key(name: str) -> str:
    return "_".join(name.strip().casefold().replace("-", " ").split())


def _no_such(name: str, what: str, names: Sequence[str]) -> str:
    return f"{name!r} is no {what}; wanted is one of {', '.join(names)}"
