"""The speaking half of a live day: effects to sentences, and troubles of the voice to news."""

import threading
from collections.abc import Callable, Iterable, Mapping

from assistant.backing_off import PAUSES_S, Pauses
from assistant.day.effects import Effect, Hushed, Refused, Say, VoiceChanged, Why
from assistant.day.events import EarTroubled, Trouble
from assistant.day.manner import VoiceManner
from assistant.speaking.announcer import Announcer
from assistant.speaking.output import Output
from assistant.speaking.voice import Voice, VoiceFailed
from assistant.speaking.voice_settings import english, settings_at
from assistant.speaking.waiting import Urgency
from assistant.voice_news import News

URGENCIES: Mapping[Why, Urgency] = {
    Why.REMINDER: Urgency.ALARM,
    Why.WARNING: Urgency.WARNING,
    Why.QUESTION: Urgency.QUESTION,
    Why.READBACK: Urgency.READBACK,
    Why.CAUTION: Urgency.PROMPT,
    Why.ANSWER: Urgency.PROMPT,
    Why.PROMPT: Urgency.PROMPT,
}


class LiveSpeech:
    """Speaks on an output. ``tell`` takes the news, ``at`` tells the seconds of the day, and
    ``mute`` shuts and opens the ear; both are called from threads of the announcer.
    """

    def __init__(
        self,
        output: Output,
        *,
        at: Callable[[], float],
        tell: Callable[[News], None],
        mute: Callable[[bool], None],
        voice: Voice | None = None,
        pauses_s: Pauses = PAUSES_S,
    ) -> None:
        self._at, self._tell, self._tell_mute = at, tell, mute
        self._voice = voice or Voice()
        self._sounded = self._told_silent = False
        self.announcer = Announcer(self._voice, output, pauses_s=pauses_s)
        self.announcer.on_mute(self._mute)
        self.announcer.on_trouble(self._in_trouble)
        self.announcer.on_recovery(self._is_back)

    def start(self, manner: VoiceManner) -> None:
        """Open the loudspeaker, and speak in this manner."""
        if manner != VoiceManner():
            self._change(manner)
        self.announcer.start()

    def follow(self, effect: Effect, *, heard: bool) -> None:
        """Speak an effect, or speak otherwise from now on; ``heard`` has a refusal spoken too."""
        match effect:
            case Say():
                self.announcer.say(effect.text, URGENCIES[effect.why])
            case Refused() if heard:
                self.announcer.say(effect.text, Urgency.PROMPT)
            case VoiceChanged():
                self._change(effect.manner)
            case Hushed():
                self.announcer.hush()

    def foresee(self, texts: Iterable[str]) -> None:
        """Have these rendered while nothing else is, so that they can be said at once."""
        self.announcer.warm(texts)

    def _change(self, manner: VoiceManner) -> None:
        if manner.voice_index == 0:
            self.announcer.set(settings_at(manner.rate_step, manner.volume_step))
            return
        # Which voices there are only the synthesiser tells, and it may have to be started first.
        threading.Thread(target=self._change_voice, args=(manner,), daemon=True).start()

    def _change_voice(self, manner: VoiceManner) -> None:
        try:
            names = english(self._voice.voices())
        except VoiceFailed:
            # Whatever is said next tells of it.
            return
        voice = names[manner.voice_index % len(names)].id if names else None
        self.announcer.set(settings_at(manner.rate_step, manner.volume_step, voice))

    def _mute(self, muted: bool) -> None:
        self._sounded = self._sounded or muted
        self._tell_mute(muted)

    def _in_trouble(self, text: str) -> None:
        """A voice that was never there is told in a line, and not as a loss."""
        event = None
        if self._sounded and not self._told_silent:
            self._told_silent = True
            event = EarTroubled(at=self._at(), trouble=Trouble.VOICE_GONE)
        self._tell(News(event=event, line=text))

    def _is_back(self, text: str) -> None:
        """Without a loudspeaker a voice is of no use, nor the other way round."""
        event = None
        if self._told_silent and not self.announcer.fails:
            self._told_silent = False
            event = EarTroubled(at=self._at(), trouble=Trouble.VOICE_BACK)
        self._tell(News(event=event, line=text))
