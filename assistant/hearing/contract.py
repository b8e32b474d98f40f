"""What the program needs of a recogniser, so that anything that hears can take its place."""

from typing import Protocol

from assistant.day.listening import Listening
from assistant.hearing.engine import Sound
from assistant.hearing.recogniser import Heard


class Hearing(Protocol):
    """Makes a meaning of a sound; a :class:`~assistant.hearing.recogniser.Recogniser` is one."""

    def recognise(
        self, sound: Sound, context: Listening, at: float, *, suspect: bool = False
    ) -> Heard:
        """What a sound means in this context, as an event at ``at`` seconds of the day.

        A ``suspect`` sound has lost samples or its peaks, so that no figure in it is acted on
        unasked. Raises :class:`EngineFailed`.
        """
        ...
