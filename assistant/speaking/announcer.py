"""Who speaks when: the one place that says things aloud, in threads of its own.

Nobody who has something to say waits: it is put in line, the most urgent first. An alarm cuts
short what matters less, which is said again from its beginning afterwards. Words are rendered in a
second thread, so that a voice that fails holds up no chime. Without a loudspeaker or a voice the
day goes on in silence and both are tried again.
"""

import threading
from collections import deque
from collections.abc import Callable, Iterable
from enum import Enum
from typing import Any

from assistant.speaking.chimes import Chime, chime_sound
from assistant.speaking.devices import NoLoudspeaker
from assistant.speaking.figures import said
from assistant.speaking.loudspeaker import RETRY_S, End, Loudspeaker
from assistant.speaking.output import Output
from assistant.speaking.spoken import Spoken, at_volume
from assistant.speaking.voice import Voice, VoiceFailed
from assistant.speaking.voice_settings import VoiceSettings
from assistant.speaking.waiting import (
    CHIME_URGENCY,
    LISTENING_GAP_S,
    MANNERS,
    Item,
    Urgency,
    WaitingLine,
)

LOOK_S = 0.01
"""How often a sounding track is looked at; less than the blocks of most devices."""

IDLE_S = 0.5
"""How often a silent loudspeaker is looked at."""

SOFTEST_CALL = 0.5
"""Chimes that call the brewer follow the volume down to here: a reminder unheard is one lost."""

ENDING_S = 3.0


class Part(Enum):
    """A part of the speaking that can fail by itself, and what is said when it is back."""

    LOUDSPEAKER = "Sound is back."
    VOICE = "The voice is back."


class Announcer:
    """Says and chimes; every method returns at once, from any thread, but finish and close.

    It owns the voice and the output from now on. The callbacks are called from its threads; they
    must not call back into it and wait.
    """

    def __init__(self, voice: Voice, output: Output, *, retry_s: float = RETRY_S) -> None:
        self._voice = voice
        self._loudspeaker = Loudspeaker(output, self._tell_mute, retry_s=retry_s)
        self._changed = threading.Condition()
        self._line = WaitingLine()
        self._current: Item | None = None
        self._answering: deque[Chime] = deque(maxlen=2)
        self._hushed = self._closed = self._started = False
        self._turn_over = False
        self._gap_urgency = Urgency.ALARM
        self._failing: set[Part] = set()
        self._mute_callback: Callable[[bool], object] = _nobody
        self._trouble_callback: Callable[[str], object] = _nobody
        self._recovery_callback: Callable[[str], object] = _nobody
        self._threads = [
            threading.Thread(target=self._play_all, name="announcer", daemon=True),
            threading.Thread(target=self._render_all, name="announcer rendering", daemon=True),
        ]

    def on_mute(self, callback: Callable[[bool], object]) -> None:
        """Call this with True before sound begins and with False once it has left the device."""
        self._mute_callback = callback

    def on_trouble(self, callback: Callable[[str], object]) -> None:
        """Call this with one line where the loudspeaker or the voice fails, once each time."""
        self._trouble_callback = callback

    def on_recovery(self, callback: Callable[[str], object]) -> None:
        """Call this with one line when what failed is back."""
        self._recovery_callback = callback

    def start(self) -> None:
        """Open the loudspeaker; the first thing said does it too."""
        with self._changed:
            self._start()

    def say(self, text: str, urgency: Urgency, *, lead: Chime | None = None) -> None:
        """Say a text as it stands on the screen.

        ``lead`` is a chime in place of the usual one before words of that urgency. What is
        sounding or waiting already is not said twice.
        """
        with self._changed:
            current = self._current
            sounding = current is not None and current.text == text and not self._hushed
            if self._closed or sounding or not text.strip():
                return
            chime = lead or MANNERS[urgency].lead
            self._line.add(Item(urgency=urgency, text=text, chime=chime))
            self._start()

    def chime(self, kind: Chime) -> None:
        """Sound a chime: in its turn if it calls the brewer, at once if it answers one."""
        with self._changed:
            if self._closed:
                return
            if kind in CHIME_URGENCY:
                self._line.add(Item(urgency=CHIME_URGENCY[kind], chime=kind))
            else:
                self._answering.append(kind)
            self._start()

    def hush(self) -> None:
        """Drop what sounds now and what waits, but for alarms and warnings not heard yet."""
        with self._changed:
            self._line.hush()
            self._answering.clear()
            self._hushed = self._current is not None
            self._changed.notify_all()

    def end_turn(self) -> None:
        """The brewer has been heard: what waits for the ear's turn to pass need not wait longer."""
        with self._changed:
            self._turn_over = True
            self._changed.notify_all()

    def set(self, settings: VoiceSettings) -> None:
        """Speak so from the next sentence on."""
        with self._changed:
            self._voice.set(settings)
            self._line.render_again()
            self._changed.notify_all()

    def warm(self, texts: Iterable[str]) -> None:
        """Have these texts, as they stand on the screen, ready to be said at once."""
        self._voice.warm([said(text) for text in texts])

    @property
    def busy(self) -> bool:
        """Whether something sounds or is about to; not while only the ear's turn is kept."""
        with self._changed:
            return self._is_busy()

    def finish(self, timeout_s: float) -> bool:
        """Wait until all is said, ``timeout_s`` seconds at most; whether it was."""
        with self._changed:
            return self._changed.wait_for(lambda: not self._is_busy(), timeout_s)

    def close(self) -> None:
        """Fall silent and let go of the loudspeaker and the voice."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()
        self._voice.close()
        if self._started:
            for thread in self._threads:
                thread.join(ENDING_S)

    def _start(self) -> None:
        if not self._started and not self._closed:
            self._started = True
            for thread in self._threads:
                thread.start()
        self._changed.notify_all()

    def _is_busy(self) -> bool:
        return self._current is not None or len(self._line) > 0 or len(self._answering) > 0

    def _tell_mute(self, muted: bool) -> None:
        self._mute_callback(muted)

    def _fails(self, part: Part, text: str) -> None:
        if part not in self._failing:
            self._failing.add(part)
            self._trouble_callback(text)

    def _works(self, part: Part) -> None:
        if part in self._failing:
            self._failing.remove(part)
            self._recovery_callback(part.value)

    def _render_all(self) -> None:
        while True:
            with self._changed:
                item = self._to_render()
                while item is None and not self._closed:
                    self._changed.wait()
                    item = self._to_render()
                if item is None or self._closed:
                    return
                settings = self._voice.settings
            spoken = self._rendered(item.text)
            with self._changed:
                # What still waits is rendered once more if the manner changed meanwhile.
                if settings == self._voice.settings or item is self._current or spoken is None:
                    item.spoken, item.rendered = spoken, True
                self._changed.notify_all()

    def _to_render(self) -> Item | None:
        if self._current is not None and not self._current.rendered:
            return self._current
        return self._line.first_to_render

    def _rendered(self, text: str) -> Spoken | None:
        try:
            spoken = self._voice.render(said(text))
        except VoiceFailed as error:
            if not self._closed:
                self._fails(Part.VOICE, str(error))
            return None
        self._works(Part.VOICE)
        return spoken

    def _play_all(self) -> None:
        try:
            while not self._closed:
                try:
                    if self._loudspeaker.keep():
                        self._works(Part.LOUDSPEAKER)
                    item = self._next()
                    if item is not None:
                        self._sound(item)
                    else:
                        self._loudspeaker.mute(False)
                except NoLoudspeaker as error:
                    self._fails(Part.LOUDSPEAKER, str(error))
        finally:
            self._loudspeaker.lose()

    def _next(self) -> Item | None:
        """What is to sound now; None after a moment, or where it is not its turn yet."""
        with self._changed:
            if not self._loudspeaker.is_there:
                self._drop_unheard()
                return None
            if self._answering:
                item = Item(urgency=Urgency.PROMPT, chime=self._answering.popleft())
            else:
                first = self._line.first
                if first is None or not first.ready:
                    self._changed.wait(IDLE_S)
                    return None
                if self._is_the_ears_turn(first):
                    self._changed.wait(LOOK_S)
                    return None
                item = first
                self._line.remove(item)
            self._current, self._hushed = item, False
            return item

    def _is_the_ears_turn(self, item: Item) -> bool:
        if self._turn_over:
            self._turn_over = False
            self._loudspeaker.end_gap()
        waits = item.urgency <= self._gap_urgency and not MANNERS[item.urgency].answers
        return waits and self._loudspeaker.in_gap

    def _drop_unheard(self) -> None:
        """It stands on the screen, and once there is sound again it would be about the past."""
        self._line = WaitingLine()
        self._answering.clear()
        self._changed.notify_all()
        self._changed.wait(max(self._loudspeaker.until_next_try_s, LOOK_S))

    def _sound(self, item: Item) -> None:
        end: End | None = None
        try:
            end = self._sound_parts(item)
        finally:
            with self._changed:
                self._current = None
                cut_short = end is End.OUTRANKED or (end is None and MANNERS[item.urgency].cuts_in)
                if cut_short and not self._hushed and not item.is_answer:
                    self._line.again(item)
                self._changed.notify_all()

    def _sound_parts(self, item: Item) -> End:
        if item.is_silent:
            return End.DONE
        if not item.is_answer:
            self._loudspeaker.end_gap()
        item.begun = True
        end = End.DONE
        if item.chime is not None:
            volume = self._voice.settings.volume
            gain = volume if item.is_answer else max(volume, SOFTEST_CALL)
            end = self._loudspeaker.sound(at_volume(chime_sound(item.chime), gain), self._look)
        if end is End.DONE and not item.rendered:
            end = self._wait_for_words(item)
        if end is End.DONE and item.spoken is not None:
            end = self._loudspeaker.sound(item.spoken, self._look)
        return self._leave(item, end)

    def _wait_for_words(self, item: Item) -> End:
        """The ear need not be shut while a voice that failed is started again."""
        self._loudspeaker.settle(self._look)
        self._loudspeaker.mute(False)
        while not item.rendered:
            end = self._look()
            if end is not None:
                return end
            self._loudspeaker.keep()
        return End.DONE

    def _leave(self, item: Item, end: End) -> End:
        """Open the ear and give it its turn, unless something else sounds at once."""
        if end in (End.OUTRANKED, End.CLOSED):
            return end
        gap_s = LISTENING_GAP_S if end is End.HUSHED else MANNERS[item.urgency].gap_s
        with self._changed:
            goes_on = self._line.first is not None and self._line.first.ready
        settled = self._loudspeaker.settle(self._look_for_alarms)
        if settled is not End.DONE or (goes_on and not gap_s and not self._loudspeaker.in_gap):
            return end
        self._loudspeaker.mute(False)
        if gap_s and not item.is_answer:
            self._gap_urgency = Urgency.ALARM if end is End.HUSHED else item.urgency
            self._turn_over = False
            self._loudspeaker.keep_gap(gap_s)
        return end

    def _look(self) -> End | None:
        return self._watch(hushable=True)

    def _look_for_alarms(self) -> End | None:
        return self._watch(hushable=False)

    def _watch(self, *, hushable: bool) -> End | None:
        """Wait a moment for a reason to end what sounds; let answers sound on top of it."""
        with self._changed:
            end = self._why_to_end(hushable)
            if end is None and not self._answering:
                self._changed.wait(LOOK_S)
                end = self._why_to_end(hushable)
            answer = self._answering.popleft() if self._answering else None
        if answer is not None:
            volume = self._voice.settings.volume
            self._loudspeaker.sound_on_top(at_volume(chime_sound(answer), volume))
        return end

    def _why_to_end(self, hushable: bool) -> End | None:
        if self._closed:
            return End.CLOSED
        first, current = self._line.first, self._current
        if first is not None and current is not None and first.outranks(current):
            return End.OUTRANKED
        return End.HUSHED if hushable and self._hushed else None


def _nobody(_: Any) -> None:
    """Nobody wants to know."""
