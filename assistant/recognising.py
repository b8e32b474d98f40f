"""Utterances to words, one after another in a thread, and what becomes of a recogniser that fails.

A sound that it fails at is one thing, a recogniser that is gone another: so after a failure it is
tried with a silence. Where it fails at that too it is gone, which is told once, and it is tried
again now and then; a brewer who was told to use the keys would never find out that it is back.

What may be at its end is recognised before it is known to be, so that the answer comes sooner;
where it went on, that was for nothing.
"""

import queue
import threading
import time
from collections.abc import Callable
from enum import Enum, auto
from typing import Protocol

import numpy as np

from assistant.backing_off import PAUSES_S, BackingOff, Pauses
from assistant.hearing.contract import Hearing
from assistant.hearing.engine import RATE_HZ, EngineFailed, Sound
from assistant.hearing.recogniser import Heard
from assistant.spoken_moment import SpokenMoment

LOOK_S = 0.1
"""How often an idle thread looks around."""

UTTERANCES_WAITING = 4
"""While the recogniser is busy; what is older than that is not meant any more."""

SILENCE: Sound = np.zeros(RATE_HZ // 2, np.int16)

JOIN_S = 3.0


class Fault(Enum):
    """What it means that an utterance was not recognised."""

    SAY_AGAIN = auto()
    """The recogniser works; it was this sound, or a moment."""

    GONE = auto()
    """The recogniser works no more; told once until it is back."""

    STILL_GONE = auto()


class Listener(Protocol):
    """Who is told what was recognised; called from the thread that recognises."""

    def heard(self, heard: Heard, spoken: SpokenMoment) -> None:
        """An utterance was recognised."""
        ...

    def failed(self, why: str, spoken: SpokenMoment, fault: Fault) -> None:
        """An utterance was not recognised; ``why`` is one line."""
        ...

    def works_again(self) -> None:
        """A recogniser that was gone is back."""
        ...


class Recognising:
    """Recognises what it is given from :meth:`start` to :meth:`close`.

    ``tried_s`` is how often a recogniser that is gone is tried, in seconds above 0.
    """

    def __init__(
        self,
        hearing: Hearing,
        listener: Listener,
        *,
        pauses_s: Pauses = PAUSES_S,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._hearing, self._listener = hearing, listener
        self._backing_off = BackingOff(pauses_s, now_s=now_s)
        self._waiting: queue.Queue[SpokenMoment] = queue.Queue(UTTERANCES_WAITING)
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._run, name="recognising", daemon=True)
        self._last: SpokenMoment | None = None
        self._early: tuple[SpokenMoment, Heard] | None = None
        self.gone = False
        """Whether the recogniser failed at a silence, and has not worked since."""

    def start(self) -> None:
        """Begin to recognise."""
        self._thread.start()

    def take(self, spoken: SpokenMoment) -> None:
        """Recognise this in its turn; where too many wait the oldest is dropped.

        Of what is early nobody is told before it is taken again, at its end.
        """
        while True:
            try:
                self._waiting.put_nowait(spoken)
                return
            except queue.Full:
                self._next(0.0)

    def close(self) -> None:
        """Recognise no more."""
        self._closing.set()
        if self._thread.is_alive():
            self._thread.join(JOIN_S)

    def _next(self, wait_s: float) -> SpokenMoment | None:
        try:
            return self._waiting.get(timeout=wait_s) if wait_s > 0 else self._waiting.get_nowait()
        except queue.Empty:
            return None

    def _run(self) -> None:
        while not self._closing.is_set():
            spoken = self._next(LOOK_S)
            if spoken is not None and spoken.early:
                self._recognise_early(spoken)
            elif spoken is not None:
                self._last = spoken
                self._recognise(spoken)
            elif self._is_to_be_tried and self._last and self._hears_silence(self._last):
                self._works()

    @property
    def _is_to_be_tried(self) -> bool:
        return self.gone and not self._backing_off.due_in_s

    def _recognise_early(self, spoken: SpokenMoment) -> None:
        if self.gone or not self._waiting.empty():
            return
        try:
            self._early = (spoken, self._heard(spoken))
        except Exception:
            # It is tried again at its end, and then told of.
            self._early = None

    def _heard(self, spoken: SpokenMoment) -> Heard:
        utterance = spoken.utterance
        return self._hearing.recognise(
            utterance.sound, spoken.context, spoken.at, suspect=utterance.suspect
        )

    def _recognise(self, spoken: SpokenMoment) -> None:
        early, self._early = self._early, None
        try:
            if early is not None and early[0].is_the_same(spoken):
                heard = early[1]
            else:
                heard = self._heard(spoken)
        except EngineFailed as error:
            self._failed(spoken, str(error))
        except Exception as error:
            # One sound that nobody foresaw must not leave the day without an ear.
            self._failed(spoken, f"The recogniser failed ({error!r}). Type it instead.")
        else:
            self._works()
            self._hand_on(heard, spoken)

    def _hand_on(self, heard: Heard, spoken: SpokenMoment) -> None:
        try:
            self._listener.heard(heard, spoken)
        except Exception as error:
            why = f"What was heard has been lost ({error!r}). Type it instead."
            self._listener.failed(why, spoken, Fault.SAY_AGAIN)

    def _failed(self, spoken: SpokenMoment, why: str) -> None:
        if self.gone:
            self._listener.failed(why, spoken, Fault.STILL_GONE)
        elif self._hears_silence(spoken):
            self._listener.failed(why, spoken, Fault.SAY_AGAIN)
        else:
            self.gone = True
            self._listener.failed(why, spoken, Fault.GONE)

    def _works(self) -> None:
        self._backing_off.works()
        if self.gone:
            self.gone = False
            self._listener.works_again()

    def _hears_silence(self, like: SpokenMoment) -> bool:
        try:
            self._hearing.recognise(SILENCE, like.context, like.at)
        except Exception:
            self._backing_off.failed()
            return False
        return True
