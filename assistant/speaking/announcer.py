"""Who speaks when: the one place that says things aloud, in threads of its own.

Nobody who has something to say waits: it is put in line, the most urgent first. An alarm cuts
short what matters less, which is said again from its beginning afterwards. Words are rendered in a
second thread, so that a voice that fails holds up no chime. Without a loudspeaker or a voice the
day goes on in silence and both are tried again.
"""

import threading
from collections.abc import Callable, Iterable

from assistant.backing_off import PAUSES_S, Pauses
from assistant.speaking.agenda import Agenda
from assistant.speaking.chimes import Chime
from assistant.speaking.figures import said
from assistant.speaking.loudspeaker import Loudspeaker
from assistant.speaking.output import Output
from assistant.speaking.playing import Player
from assistant.speaking.rendering import Renderer
from assistant.speaking.troubles import Troubles
from assistant.speaking.voice import Voice
from assistant.speaking.voice_settings import VoiceSettings
from assistant.speaking.waiting import Urgency

ENDING_S = 3.0


class Announcer:
    """Says and chimes; every method returns at once, from any thread, but finish and close.

    It owns the voice and the output from now on. The callbacks are called from its threads; they
    must not call back into it and wait. What those threads share is the :class:`Agenda`.
    """

    def __init__(self, voice: Voice, output: Output, *, pauses_s: Pauses = PAUSES_S) -> None:
        self._voice = voice
        self._agenda = Agenda()
        self._troubles = Troubles()
        self._mute_callback: Callable[[bool], object] = lambda _: None
        loudspeaker = Loudspeaker(output, self._tell_mute, pauses_s=pauses_s)
        self._player = Player(self._agenda, voice, loudspeaker, self._troubles)
        renderer = Renderer(self._agenda, voice, self._troubles)
        self._threads = [
            threading.Thread(target=self._player.play_all, name="announcer", daemon=True),
            threading.Thread(target=renderer.render_all, name="announcer rendering", daemon=True),
        ]
        self._started, self._starting = False, threading.Lock()

    def on_mute(self, callback: Callable[[bool], object]) -> None:
        """Call this with True before sound begins and with False once it has left the device."""
        self._mute_callback = callback

    def on_trouble(self, callback: Callable[[str], object]) -> None:
        """Call this with one line where the loudspeaker or the voice fails, once each time."""
        self._troubles.on_trouble(callback)

    def on_recovery(self, callback: Callable[[str], object]) -> None:
        """Call this with one line when what failed is back."""
        self._troubles.on_recovery(callback)

    def start(self) -> None:
        """Open the loudspeaker; the first thing said does it too."""
        with self._starting:
            if not self._started and not self._agenda.closed:
                self._started = True
                for thread in self._threads:
                    thread.start()

    def say(self, text: str, urgency: Urgency, *, lead: Chime | None = None) -> None:
        """Say a text as it stands on the screen.

        ``lead`` is a chime in place of the usual one before words of that urgency. What is
        sounding or waiting already is not said twice.
        """
        if text.strip():
            self._agenda.say(text, urgency, lead=lead)
            self.start()

    def chime(self, kind: Chime) -> None:
        """Sound a chime: in its turn if it calls the brewer, at once if it answers one."""
        self._agenda.chime(kind)
        self.start()

    def hush(self) -> None:
        """Drop what sounds now and what waits, but for alarms and warnings not heard yet."""
        self._agenda.hush()

    def end_turn(self) -> None:
        """The brewer has been heard: what waits for the ear's turn to pass need not wait longer."""
        self._player.end_turn()

    def set(self, settings: VoiceSettings) -> None:
        """Speak so from the next sentence on."""
        self._voice.set(settings)
        self._agenda.render_again()

    def warm(self, texts: Iterable[str]) -> None:
        """Have these texts, as they stand on the screen, ready to be said at once."""
        self._voice.warm([said(text) for text in texts])

    @property
    def fails(self) -> bool:
        """Whether the loudspeaker or the voice fails now, as was told."""
        return self._troubles.any

    @property
    def busy(self) -> bool:
        """Whether something sounds or is about to; not while only the ear's turn is kept."""
        return self._agenda.busy

    def finish(self, timeout_s: float) -> bool:
        """Wait until all is said, ``timeout_s`` seconds at most; whether it was."""
        return self._agenda.finish(timeout_s)

    def close(self) -> None:
        """Fall silent and let go of the loudspeaker and the voice."""
        self._agenda.close()
        self._voice.close()
        # A start under way ends first, or threads that have not begun would be waited for.
        with self._starting:
            started = self._started
        if started:
            for thread in self._threads:
                thread.join(ENDING_S)

    def _tell_mute(self, muted: bool) -> None:
        self._mute_callback(muted)
