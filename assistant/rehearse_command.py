"""``kettleside rehearse``: the brewer heard by sound where there is a voice and a recogniser."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console

from assistant.day.listening import listening
from assistant.day.state import State
from assistant.engines import POCKETSPHINX, open_engine
from assistant.hearing.engine import EngineFailed
from assistant.hearing.recogniser import Heard, Recogniser
from assistant.rehearsal.page import SEED, clock, rehearse_command
from assistant.rehearsal.saying import Ear
from assistant.rehearsal.spoken_brewer import SpokenBrewer
from assistant.schedule.model import Schedule
from assistant.speaking.voice import Voice, VoiceFailed

AS_TEXT = "Rehearsed as text:"
"""How the line begins that tells why nothing was spoken."""


class BrewerHeard:
    """Hears a spoken brewer say words in a state; ``tell`` is given the seconds of the day."""

    def __init__(self, brewer: SpokenBrewer, tell: Callable[[float], None]) -> None:
        self._brewer, self._tell = brewer, tell

    def hear(self, words: str, state: State, at: float, attempt: int) -> Heard | None:
        """See :class:`~assistant.rehearsal.saying.Ear`."""
        self._tell(at)
        return self._brewer.heard(words, listening(state), state.stage, at, attempt)


def rehearse_by_sound(
    schedule: Schedule, console: Console, errors: Console, everything: bool = False
) -> None:
    """Rehearse a schedule by sound and print its day, or as text after a line on ``errors``.

    Raises :class:`~assistant.rehearsal.day.Stuck` if a day does not end.
    """
    try:
        with _ear(errors) as ear:
            rehearse_command(schedule, console, everything, ear)
    except (VoiceFailed, EngineFailed) as error:
        errors.print(f"{AS_TEXT} {error}", markup=False, soft_wrap=True)
        rehearse_command(schedule, console, everything)


@contextmanager
def _ear(errors: Console) -> Iterator[Ear]:
    voice, engine = Voice(), open_engine(POCKETSPHINX)
    try:
        engine.warm()
        brewer = SpokenBrewer(voice, Recogniser(engine), SEED)
        with _progress(errors) as tell:
            yield BrewerHeard(brewer, tell)
    finally:
        engine.close()
        voice.close()


@contextmanager
def _progress(errors: Console) -> Iterator[Callable[[float], None]]:
    if not errors.is_terminal:
        yield lambda at: None
        return
    with errors.status("Rehearsing by sound") as status:
        yield lambda at: status.update(f"Rehearsing by sound: {clock(at)} into the day")
