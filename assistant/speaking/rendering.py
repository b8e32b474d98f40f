"""Rendering the words of what is to be said, the next first, in a thread of its own."""

from assistant.speaking.agenda import Agenda
from assistant.speaking.figures import said
from assistant.speaking.spoken import Spoken
from assistant.speaking.troubles import Part, Troubles
from assistant.speaking.voice import Voice, VoiceFailed


class Renderer:
    """Renders what is on the agenda; what the voice fails at stays unspoken."""

    def __init__(self, agenda: Agenda, voice: Voice, troubles: Troubles) -> None:
        self._agenda, self._voice, self._troubles = agenda, voice, troubles

    def render_all(self) -> None:
        """Render until the agenda is closed: the whole of the rendering thread."""
        while (item := self._agenda.take_to_render()) is not None:
            self._agenda.rendered(item, self._rendered(item.text))

    def _rendered(self, text: str) -> Spoken | None:
        try:
            spoken = self._voice.render(said(text))
        except VoiceFailed as error:
            if not self._agenda.closed:
                self._troubles.fails(Part.VOICE, str(error))
            return None
        self._troubles.works(Part.VOICE)
        return spoken
