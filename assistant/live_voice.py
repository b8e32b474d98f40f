"""The voice of a live day: what the day says goes to the loudspeaker, what is said to the day.

It runs beside the loop of the day in threads of its own and never touches the day: the loop hands
over the effects of each event, and takes from here what was heard.
"""

import queue
import threading
import time
from collections.abc import Callable

from assistant.answer_window import AnswerWindow, Outcome
from assistant.backing_off import PAUSES_S, Pauses
from assistant.day import events
from assistant.day.effects import (
    AdviceOffered,
    AskOpened,
    Effect,
    Hushed,
    Refused,
    Say,
    Why,
)
from assistant.day.events import EarTroubled, Event
from assistant.hearing.answers import is_answer
from assistant.hearing.contract import Hearing
from assistant.hearing.ear.ear import Ear
from assistant.hearing.ear.microphone import Microphone
from assistant.hearing.ear.segmenter import EARLY_S, SEGMENTING
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.ear.trouble import Trouble
from assistant.hearing.recogniser import Heard
from assistant.kept_audio import KeptAudio
from assistant.live_speech import LiveSpeech
from assistant.recognising import LOOK_S, Fault, Recognising
from assistant.sound_devices import SoundDevices
from assistant.speaking.chimes import Chime
from assistant.speaking.output import STALLED_S
from assistant.speaking.voice import Voice
from assistant.spoken_moment import Contexts, SpokenMoment
from assistant.talk import Talk
from assistant.voice_news import EarNews, EarStatus, News

JOIN_S = 3.0


class LiveVoice:
    """Speaks and hears from :meth:`start` to :meth:`close`; no other method waits but finish.

    ``at`` tells the seconds of the day. Without a ``hearing`` it only speaks. ``prepare`` is called
    once there is a microphone, to have the engine load its model. ``keep`` keeps every utterance.
    ``now_s`` must be the clock that the microphone runs on. Any part that dies is tried again after
    ``pauses_s``; a device that moves no sound for ``stalled_s`` has died.
    """

    def __init__(
        self,
        *,
        at: Callable[[], float],
        hearing: Hearing | None,
        prepare: Callable[[], None] = lambda: None,
        voice: Voice | None = None,
        keep: KeptAudio | None = None,
        pauses_s: Pauses = PAUSES_S,
        stalled_s: float = STALLED_S,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._at, self._now_s = at, now_s
        self._prepare, self._keep = prepare, keep
        self._news: queue.SimpleQueue[News] = queue.SimpleQueue()
        self._recognising = (
            None if hearing is None else Recognising(hearing, self, pauses_s=pauses_s, now_s=now_s)
        )
        self._lock = threading.Lock()
        self._window = AnswerWindow()
        self._contexts = Contexts()
        self._closing = threading.Event()
        self._muted = self._listened = self._failed_before = False
        self._ear_news = EarNews()
        devices = SoundDevices(
            on_trouble=self._ear_in_trouble, pauses_s=pauses_s, stalled_s=stalled_s
        )
        self._microphone: Microphone = devices.microphone
        self._ear = Ear(
            devices.microphone,
            on_trouble=self._ear_in_trouble,
            on_pause=self._paused,
            pauses_s=pauses_s,
            now_s=now_s,
        )
        self._speech = LiveSpeech(
            devices.output,
            at=at,
            tell=self._news.put,
            mute=self._mute,
            voice=voice,
            pauses_s=pauses_s,
        )
        self._announcer = self._speech.announcer
        devices.is_quiet = lambda: not self._announcer.busy
        self._thread = threading.Thread(target=self._attend, name="attending", daemon=True)

    def start(self, talk: Talk) -> None:
        """Begin to listen and to speak, as the talk goes then."""
        self._remember(talk)
        self._speech.start(talk.manner)
        if self._recognising is not None:
            self._ear.start()
            self._recognising.start()
        self._thread.start()

    def follow(
        self, event: Event | None, effects: tuple[Effect, ...], talk: Talk, *, heard: bool
    ) -> None:
        """Speak what an event came to; from now on ``talk`` tells what can be said.

        ``heard`` tells that the event came from here, so that a refusal of it is spoken too.
        """
        self._remember(talk)
        with self._lock:
            for effect in effects:
                self._speech.follow(effect, heard=heard)
            if any(_asks(effect) for effect in effects):
                self._window.asked(again=isinstance(event, EarTroubled))
            elif heard and talk.waiting:
                self._window.asked()
        if heard and not any(isinstance(effect, Say | Refused | Hushed) for effect in effects):
            self._announcer.chime(Chime.HEARD)
        if effects:
            self._speech.foresee(talk.foresee())

    def news(self) -> list[News]:
        """What was heard and what went wrong since the last time, the oldest first."""
        found = []
        while True:
            try:
                found.append(self._news.get_nowait())
            except queue.Empty:
                return found

    @property
    def status(self) -> EarStatus:
        """What the ear does now."""
        with self._lock:
            awaiting = self._window.is_open(self._now_s())
        return EarStatus(
            deaf=not self._hears or not self._microphone.open,
            muted=self._muted,
            awaiting=awaiting,
            speaking=self._ear.speaking,
            level_db=self._ear.level_db,
            floor_db=self._ear.floor_db,
        )

    def finish(self, timeout_s: float) -> bool:
        """Wait until all is said, ``timeout_s`` seconds at most; whether it was."""
        return self._announcer.finish(timeout_s)

    def close(self) -> None:
        """Fall silent, stop listening, and let go of both devices."""
        self._closing.set()
        self._announcer.close()
        self._ear.close()
        if self._recognising is not None:
            self._recognising.close()
        if self._thread.is_alive():
            self._thread.join(JOIN_S)

    def heard(self, heard: Heard, spoken: SpokenMoment) -> None:
        """See :class:`~assistant.recognising.Listener`."""
        self._failed_before = False
        self._keep_sound(spoken, f"{heard.verdict.value} {' '.join(heard.words)}")
        with self._lock:
            outcome = self._window.outcome(
                heard,
                self._now_s(),
                was_open=spoken.was_open,
                answers=is_answer(heard.event, spoken.context),
            )
        words = " ".join(heard.words)
        match outcome:
            case Outcome.HAND_ON:
                self._announcer.end_turn()
                self._news.put(News(event=heard.event, words=words))
            case Outcome.LISTEN:
                self._announcer.chime(Chime.LISTENING)
                self._news.put(News(words=words))
            case Outcome.NOT_CAUGHT:
                self._not_caught(spoken, words)
            case Outcome.NOTHING:
                return

    def failed(self, why: str, spoken: SpokenMoment, fault: Fault) -> None:
        """See :class:`~assistant.recognising.Listener`."""
        self._keep_sound(spoken, "failed")
        first, self._failed_before = not self._failed_before, True
        gone = None
        if fault is Fault.GONE:
            gone = EarTroubled(at=self._at(), trouble=events.Trouble.RECOGNISER_GONE)
        self._news.put(News(event=gone, line=why))
        # Who was told to use the keys is not asked to say it again.
        if fault is Fault.SAY_AGAIN and (first or spoken.was_open):
            self._not_caught(spoken)

    def works_again(self) -> None:
        """See :class:`~assistant.recognising.Listener`."""
        back = EarTroubled(at=self._at(), trouble=events.Trouble.RECOGNISER_BACK)
        self._news.put(News(event=back, line="The recogniser is back."))

    @property
    def _hears(self) -> bool:
        return self._recognising is not None and not self._recognising.gone

    def _remember(self, talk: Talk) -> None:
        with self._lock:
            self._contexts.hold(talk.context, self._now_s())

    def _mute(self, muted: bool) -> None:
        self._ear.mute(muted)
        self._muted = muted
        if not muted:
            with self._lock:
                self._window.opened(self._now_s())

    def _ear_in_trouble(self, trouble: Trouble) -> None:
        self._news.put(self._ear_news.of(trouble, self._at(), ever_worked=self._listened))

    def _attend(self) -> None:
        """Take what the ear cut out as soon as it is there, so that its moment is known."""
        while not self._closing.is_set():
            try:
                self._attend_once()
            except Exception as error:
                # One moment that nobody foresaw must not leave the day deaf.
                self._news.put(News(line=f"What was said has been lost ({error!r}). Type it."))

    def _attend_once(self) -> None:
        if self._recognising is None:
            utterance = None
            self._closing.wait(LOOK_S)
        else:
            utterance = self._ear.hear(LOOK_S)
        with self._lock:
            self._window.look(self._now_s(), busy=self._announcer.busy)
        if not self._listened and self._microphone.open:
            self._listened = True
            self._prepare()
        if self._recognising is not None and utterance and not utterance.too_long:
            self._recognising.take(self._moment(utterance, SEGMENTING.end_after_s))

    def _paused(self, utterance: Utterance) -> None:
        if self._recognising is not None:
            self._recognising.take(self._moment(utterance, EARLY_S, early=True))

    def _moment(self, utterance: Utterance, pause_s: float, *, early: bool = False) -> SpokenMoment:
        """The moment of words that ended ``pause_s`` ago."""
        began_s = self._now_s() - pause_s - utterance.ended_s + utterance.started_s
        with self._lock:
            return SpokenMoment(
                utterance=utterance,
                at=self._at() - pause_s,
                context=self._contexts.at(began_s),
                was_open=self._window.is_open(began_s),
                early=early,
            )

    def _not_caught(self, spoken: SpokenMoment, words: str = "") -> None:
        self._announcer.chime(Chime.NOT_HEARD)
        self._announcer.end_turn()
        trouble = EarTroubled(at=spoken.at, trouble=events.Trouble.NOT_CAUGHT)
        self._news.put(News(event=trouble, words=f"{words}?"))

    def _keep_sound(self, spoken: SpokenMoment, told: str) -> None:
        if self._keep is None:
            return
        try:
            self._keep.keep(spoken.utterance.sound, spoken.at, told)
        except OSError as error:
            self._keep = None
            self._news.put(News(line=f"What is said can't be kept any more: {error.strerror}."))


def _asks(effect: Effect) -> bool:
    if isinstance(effect, Say):
        return effect.why is Why.QUESTION
    return isinstance(effect, AskOpened | AdviceOffered)
