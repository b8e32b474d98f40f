"""The ear: a thread that listens to the microphone and hands over what was said."""

import queue
import time
from collections.abc import Callable
from dataclasses import dataclass
from threading import Event, Lock, Thread
from types import TracebackType

from assistant.backing_off import PAUSES_S, BackingOff, Pauses
from assistant.hearing.ear.chain import Chain
from assistant.hearing.ear.device import Block
from assistant.hearing.ear.frames import SILENCE_DB
from assistant.hearing.ear.microphone import Microphone
from assistant.hearing.ear.noise_floor import LOWEST_DB
from assistant.hearing.ear.segmenter import SEGMENTING, Segmenting
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.ear.too_loud import TooLoud
from assistant.hearing.ear.trouble import Trouble
from assistant.hearing.ear.voice_activity import any_sound, webrtc_voice
from assistant.hearing.engine import RATE_HZ

UTTERANCES_WAITING = 8
"""When more wait than that the oldest goes: what was said long ago is not meant any more."""

READ_S = 0.25
JOIN_S = 5.0


@dataclass(frozen=True, kw_only=True)
class _Muting:
    at_s: float
    muted: bool
    tail_s: float | None


class Ear:
    """Listens from :meth:`start` to :meth:`close`; utterances are taken with :meth:`hear`.

    ``on_trouble``, the microphone's too, and ``on_pause`` (see
    :class:`~assistant.hearing.ear.segmenter.Segmenter`) are called from the ear's own thread and
    must return soon.
    ``now_s`` must be the clock that the microphone runs on. An ear that fails in a way nobody
    foresaw is made anew after ``pauses_s``, with its microphone.
    """

    def __init__(
        self,
        microphone: Microphone,
        *,
        on_trouble: Callable[[Trouble], None],
        segmenting: Segmenting = SEGMENTING,
        on_pause: Callable[[Utterance], None] | None = None,
        pauses_s: Pauses = PAUSES_S,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._on_trouble = on_trouble
        self._on_pause = on_pause
        self._microphone = microphone
        self._now_s = now_s
        self._said: queue.Queue[Utterance] = queue.Queue(UTTERANCES_WAITING)
        self._lock = Lock()
        self._mutings: list[_Muting] = []
        self._muting: _Muting | None = None
        self._segmenting = segmenting
        self._closing = Event()
        self._too_loud = TooLoud()
        self._backing_off = BackingOff(pauses_s, now_s=now_s)
        self._failed = self._told_no_detector = False
        self._thread = Thread(target=self._listen, name="ear", daemon=True)
        self.level_db = SILENCE_DB
        """The level of the last 30 ms in dBFS, hum cut, for a meter."""
        self.floor_db = LOWEST_DB
        """The noise floor in dBFS."""
        self.speaking = False
        """Whether somebody seems to be speaking right now."""

    def start(self) -> None:
        """Begin to listen; the microphone is opened in the ear's own thread."""
        self._thread.start()

    def hear(self, wait_s: float) -> Utterance | None:
        """The next utterance, waiting at most ``wait_s`` seconds for one; None if none came."""
        try:
            return self._said.get(timeout=wait_s) if wait_s > 0 else self._said.get_nowait()
        except queue.Empty:
            return None

    def mute(self, muted: bool, tail_s: float | None = None) -> None:
        """Stop listening while something sounds, or listen again ``tail_s`` seconds after it.

        It holds for what arrives from this moment on, however much still waits to be looked at.
        What is being said at that moment is thrown away. ``tail_s`` is the usual one if None.
        """
        with self._lock:
            self._mutings.append(_Muting(at_s=self._now_s(), muted=muted, tail_s=tail_s))

    def close(self) -> None:
        """Stop listening and let go of the microphone; to be called once, at the end."""
        self._closing.set()
        if self._thread.is_alive():
            self._thread.join(JOIN_S)
        self._microphone.close()

    def __enter__(self) -> "Ear":
        self.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _listen(self) -> None:
        while not self._closing.is_set() and not self._microphone.hopeless:
            try:
                self._listen_on()
            except Exception:
                # The day goes on without an ear, whatever it died of; the brewer must know.
                self._fails()

    def _listen_on(self) -> None:
        chain = self._chain()
        while not self._closing.is_set() and not self._microphone.hopeless:
            block = self._microphone.read(READ_S)
            if block is not None:
                self._take(chain, block)
                self._works()

    def _fails(self) -> None:
        self.speaking = False
        if not self._failed:
            self._failed = True
            self._on_trouble(Trouble.EAR_FAILED)
        with self._microphone.released():
            # Whatever it was, it may have been the stream.
            pause_s = self._backing_off.failed()
        self._closing.wait(pause_s)

    def _works(self) -> None:
        self._backing_off.works()
        if self._failed:
            self._failed = False
            self._on_trouble(Trouble.EAR_BACK)

    def _chain(self) -> Chain:
        try:
            is_voice = webrtc_voice()
        except ImportError:
            if not self._told_no_detector:
                self._told_no_detector = True
                self._on_trouble(Trouble.NO_VOICE_DETECTOR)
            is_voice = any_sound
        chain = Chain(RATE_HZ, self._segmenting, is_voice, self._on_pause)
        if self._muting is not None:
            chain.mute(self._muting.muted, self._muting.tail_s)
        return chain

    def _take(self, chain: Chain, block: Block) -> None:
        self._mute_up_to(chain, block.arrived_s)
        was_s = chain.now_s
        for utterance in chain.feed(block.sound, suspect=block.suspect):
            self._tell(self._too_loud.heard(utterance))
            self._hand_over(utterance)
        if not chain.deaf:
            self._tell(self._too_loud.room(chain.floor_db, chain.now_s - was_s))
        self.level_db, self.floor_db = chain.level_db, chain.floor_db
        self.speaking = chain.speaking

    def _mute_up_to(self, chain: Chain, arrived_s: float) -> None:
        with self._lock:
            due = [muting for muting in self._mutings if muting.at_s <= arrived_s]
            del self._mutings[: len(due)]
        for muting in due:
            self._muting = muting
            chain.mute(muting.muted, muting.tail_s)

    def _hand_over(self, utterance: Utterance) -> None:
        while True:
            try:
                self._said.put_nowait(utterance)
                return
            except queue.Full:
                self.hear(0)

    def _tell(self, trouble: Trouble | None) -> None:
        if trouble is not None:
            self._on_trouble(trouble)
