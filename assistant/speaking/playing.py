"""Playing what is to be said, one item after another, with the ear's turns between them."""

import threading
import time

from assistant.speaking.agenda import LOOK_S, Agenda
from assistant.speaking.chimes import chime_sound
from assistant.speaking.devices import NoLoudspeaker
from assistant.speaking.loudspeaker import End, Loudspeaker
from assistant.speaking.spoken import at_volume
from assistant.speaking.troubles import Part, Troubles
from assistant.speaking.voice import Voice
from assistant.speaking.waiting import LISTENING_GAP_S, MANNERS, Item, Urgency

WORDS_WITHIN_S = 8.0
"""Words that come later after their chime stay on the screen: the next chime must not wait."""

SOFTEST_CALL = 0.5
"""Chimes that call the brewer follow the volume down to here: a reminder unheard is one lost."""


class Player:
    """Plays what is on the agenda. The loudspeaker is touched by the playing thread alone.

    :meth:`end_turn` may be called from any thread. Of the voice only its volume is asked.
    """

    def __init__(
        self, agenda: Agenda, voice: Voice, loudspeaker: Loudspeaker, troubles: Troubles
    ) -> None:
        self._agenda, self._voice = agenda, voice
        self._loudspeaker, self._troubles = loudspeaker, troubles
        self._turn_over = threading.Event()
        self._gap_urgency = Urgency.ALARM

    def end_turn(self) -> None:
        """The brewer has been heard: what waits for the ear's turn to pass need not wait longer."""
        self._turn_over.set()
        self._agenda.wake()

    def play_all(self) -> None:
        """Play until the agenda is closed: the whole of the playing thread."""
        try:
            while not self._agenda.closed:
                try:
                    if self._loudspeaker.keep():
                        self._troubles.works(Part.LOUDSPEAKER)
                    self._play_next()
                except NoLoudspeaker as error:
                    self._lose(str(error))
                except Exception as error:
                    # One fault that nobody foresaw must not leave the day without a sound.
                    self._lose(f"No sound: the loudspeaker has failed ({error!r}).")
        finally:
            self._loudspeaker.lose()

    def _lose(self, why: str) -> None:
        self._loudspeaker.lose()
        self._troubles.fails(Part.LOUDSPEAKER, why)

    def _play_next(self) -> None:
        item = self._next()
        if item is None:
            self._loudspeaker.mute(False)
            return
        end: End | None = None
        try:
            end = self._sound(item)
        finally:
            lost = end is None and MANNERS[item.urgency].cuts_in
            self._agenda.ended(item, cut_short=end is End.OUTRANKED or lost)

    def _next(self) -> Item | None:
        if self._loudspeaker.is_there:
            return self._agenda.begin(self._is_the_ears_turn)
        if self._loudspeaker.is_opening:
            self._agenda.wait(LOOK_S)
            return None
        # It stands on the screen, and once there is sound again it would be about the past.
        self._agenda.drop_all(max(self._loudspeaker.until_next_try_s, LOOK_S))
        return None

    def _is_the_ears_turn(self, item: Item) -> bool:
        if self._turn_over.is_set():
            self._turn_over.clear()
            self._loudspeaker.end_gap()
        waits = item.urgency <= self._gap_urgency and not MANNERS[item.urgency].answers
        return waits and self._loudspeaker.in_gap

    def _sound(self, item: Item) -> End:
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
        until_s = time.monotonic() + WORDS_WITHIN_S
        while not item.rendered and time.monotonic() < until_s:
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
        goes_on = self._agenda.goes_on
        settled = self._loudspeaker.settle(self._look_for_alarms)
        if settled is not End.DONE or (goes_on and not gap_s and not self._loudspeaker.in_gap):
            return end
        self._loudspeaker.mute(False)
        if gap_s and not item.is_answer:
            self._gap_urgency = Urgency.ALARM if end is End.HUSHED else item.urgency
            self._turn_over.clear()
            self._loudspeaker.keep_gap(gap_s)
        return end

    def _look(self) -> End | None:
        return self._watch(hushable=True)

    def _look_for_alarms(self) -> End | None:
        return self._watch(hushable=False)

    def _watch(self, *, hushable: bool) -> End | None:
        """Wait a moment for a reason to end what sounds; let answers sound on top of it."""
        end = self._agenda.watch(hushable=hushable)
        answer = self._agenda.take_answer()
        if answer is not None:
            volume = self._voice.settings.volume
            self._loudspeaker.sound_on_top(at_volume(chime_sound(answer), volume))
        return end
