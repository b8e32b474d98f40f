"""The live voice with a true recogniser, put together for a day or for a check of the devices."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from assistant.engines import open_engine
from assistant.hearing.engine import EngineFailed
from assistant.hearing.recogniser import Recogniser
from assistant.kept_audio import KeptAudio
from assistant.live_voice import LiveVoice


@dataclass(frozen=True, kw_only=True)
class VoiceWanted:
    """What the brewer asked for: an ``engine`` by name or None for the best there is, the folder
    to ``keep`` what is said in, or None, and the ``data`` folder, if one was named.
    """

    engine: str | None = None
    keep: Path | None = None
    data: Path | None = None


@contextmanager
def live_voice(
    wanted: VoiceWanted, at: Callable[[], float]
) -> Iterator[tuple[LiveVoice, tuple[str, ...]]]:
    """A voice for as long as the context lasts, not started, and what is missing, in lines.

    ``at`` tells the seconds of the day. Without a recogniser it only speaks.
    """
    keep = None if wanted.keep is None else KeptAudio(wanted.keep)
    try:
        engine = open_engine(wanted.engine, wanted.data)
    except EngineFailed as error:
        voice = LiveVoice(at=at, hearing=None, keep=keep)
        try:
            yield voice, (str(error),)
        finally:
            voice.close()
        return
    voice = LiveVoice(at=at, hearing=Recogniser(engine), prepare=engine.warm, keep=keep)
    try:
        yield voice, ()
    finally:
        # The engine first: a request that hangs in it is what a thread would be waited for.
        engine.close()
        voice.close()
