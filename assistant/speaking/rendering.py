"""Rendering the words of what is to be said, the next first, in a thread of its own."""

from assistant.speaking.agenda import Agenda
from assistant.speaking.figures import said
from assistant.speaking.spoken import Spoken
from assistant.speaking.troubles import Part, Troubles
from assistant.speaking.voice import Voice, VoiceFailed

LOOK_S = 1.0
"""How often a voice that failed is asked whether it is to be tried; it rests longer than that."""


class Renderer:
    """Renders what is on the agenda; what the voice fails at stays unspoken.

    A voice that failed is tried while nothing is to be said, too: a brewer who was told to watch
    the screen is to be told when that is over.
    """

    def __init__(self, agenda: Agenda, voice: Voice, troubles: Troubles) -> None:
        self._agenda, self._voice, self._troubles = agenda, voice, troubles
        self._failed = False

    def render_all(self) -> None:
        """Render until the agenda is closed: the whole of the rendering thread."""
        while not self._agenda.closed:
            item = self._agenda.take_to_render(LOOK_S if self._failed else None)
            if item is not None:
                self._agenda.rendered(item, self._rendered(item.text))
            elif self._failed and not self._agenda.closed:
                self._try_again()

    def _rendered(self, text: str) -> Spoken | None:
        try:
            spoken = self._voice.render(said(text))
        except VoiceFailed as error:
            self._fails(str(error))
            return None
        except Exception as error:
            # One sentence that nobody foresaw must not leave the day without a voice.
            self._fails(f"No voice: it has failed ({error!r}).")
            return None
        # What was said before is kept, and sounds without any voice.
        if not self._voice.gave_up:
            self._works()
        return spoken

    def _try_again(self) -> None:
        try:
            self._voice.try_again()
        except Exception:
            # That it fails has been told.
            return
        self._works()

    def _works(self) -> None:
        self._failed = False
        self._troubles.works(Part.VOICE)

    def _fails(self, why: str) -> None:
        if not self._agenda.closed:
            self._failed = True
            self._troubles.fails(Part.VOICE, why)
