"""An engine in a process of its own: when that hangs or crashes, the brew day goes on.

Both engines are native code that can end its process or never return. So a request has a time
limit, after which the process is ended; a process that ended is replaced, at once and unasked; and
a request that was lost with it is made once more. An engine that keeps failing is left alone for
a while, and whoever asks is told so instead of waiting.
"""

import atexit
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from types import NoneType
from typing import TypeVar

from assistant.backing_off import BackingOff, Pauses
from assistant.hearing.engine import RATE_HZ, EngineFailed, Evidence, Sound
from assistant.hearing.engine_child import Child, ChildLost, ChildRefused
from assistant.hearing.grammar.tree import Grammar

_Answered = TypeVar("_Answered")


@dataclass(frozen=True, kw_only=True)
class Patience:
    """How long an engine may take, and how often it may fail; times in seconds, above 0.

    It has ``start_s`` to load its model, and ``answer_s`` for an answer and ``answer_per_s`` more
    for each second of sound. ``failures`` in a row within ``failures_within_s`` put it to rest for
    the first of ``rests_s``, and each failure after that for the next, until it answers. A start
    loads a whole model, so the rests are long.
    """

    start_s: float = 30.0
    answer_s: float = 3.0
    answer_per_s: float = 2.0
    failures: int = 3
    failures_within_s: float = 60.0
    rests_s: Pauses = (60.0, 120.0, 240.0)


class EngineProcess:
    """The engine called ``make`` ("vosk", "pocketsphinx" or ``module:name``), in its own process.

    ``settings`` go to the engine as they are. The process starts at the first request or
    :meth:`warm`, and never outlives its parent.
    """

    def __init__(
        self,
        make: str,
        *,
        patience: Patience | None = None,
        clock: Callable[[], float] = time.monotonic,
        **settings: object,
    ) -> None:
        self.name = make
        self._settings = settings
        self._patience = patience or Patience()
        self._clock = clock
        self._lock = threading.Lock()
        self._child: Child | None = None
        self._failed_at_s: deque[float] = deque(maxlen=self._patience.failures)
        self._resting = BackingOff(self._patience.rests_s, now_s=clock)
        self._has_rested = False
        self._why = ""
        self._closed = False
        atexit.register(self.close)

    @property
    def pid(self) -> int | None:
        """The number of the process; None while there is none."""
        child = self._child
        return None if child is None else child.pid

    def warm(self) -> None:
        """Start loading the model, without waiting for it; a failure shows at the next request."""
        with self._lock:
            self._start_unasked()

    def hear(self, sound: Sound, grammar: Grammar) -> Evidence:
        """The looks at a sound; :class:`EngineFailed` where the engine failed twice, or rests."""
        return self._asked("hear", (sound, grammar), self._within_s(sound), Evidence)

    def glance(self, sound: Sound, grammar: Grammar) -> Evidence | None:
        """A first look at a sound, as :class:`~assistant.hearing.engine.Glancing` says."""
        return self._asked("glance", (sound, grammar), self._within_s(sound), (Evidence, NoneType))

    def _within_s(self, sound: Sound) -> float:
        return self._patience.answer_s + self._patience.answer_per_s * len(sound) / RATE_HZ

    def unknown_words(self, grammar: Grammar) -> tuple[str, ...]:
        """The words of a grammar that the engine's model lacks, where the engine can tell.

        Raises :class:`EngineFailed`.
        """
        return self._asked("unknown_words", (grammar,), self._patience.answer_s, tuple)

    def lacking(self) -> tuple[str, ...]:
        """What would make hearing surer and is not there; starts the engine.

        Raises :class:`EngineFailed`.
        """
        return self._asked("lacking", (), self._patience.answer_s, tuple)

    def resident_bytes(self) -> int | None:
        """The memory the process holds; None without one, or where the system does not tell."""
        child = self._child
        return None if child is None else child.resident_bytes()

    def close(self) -> None:
        """End the process for good, in the midst of a request too."""
        self._closed = True
        while not self._lock.acquire(timeout=0.05):
            if (child := self._child) is not None:
                child.kill()
        try:
            self._drop()
        finally:
            self._lock.release()
        atexit.unregister(self.close)

    def _asked(
        self,
        method: str,
        arguments: tuple[object, ...],
        within_s: float,
        wanted: type[_Answered] | tuple[type[_Answered], ...],
    ) -> _Answered:
        with self._lock:
            for _ in range(2):
                self._check_open()
                try:
                    answer = self._running().ask(method, arguments, within_s=within_s)
                    if not isinstance(answer, wanted):
                        raise ChildLost("gave an answer that was none")
                except ChildRefused as refused:
                    if refused.at_start:
                        self._drop()
                        self._note(refused)
                    raise EngineFailed(str(refused)) from None
                except ChildLost as lost:
                    self._drop()
                    self._note(lost)
                except BaseException:
                    # Ctrl-C may have left half an answer in the pipe.
                    self._drop()
                    raise
                else:
                    self._failed_at_s.clear()
                    self._has_rested = False
                    self._resting.works()
                    return answer
            self._check_open()
            raise EngineFailed(
                f"The recogniser {self.name} {self._why}, twice. Say it again, or type it."
            )

    def _check_open(self) -> None:
        if self._closed:
            raise EngineFailed(f"The recogniser {self.name} has been closed.")
        if (left_s := self._resting.due_in_s) > 0:
            raise EngineFailed(f"{self._why} It is tried again in {left_s:.0f} s; type meanwhile.")

    def _running(self) -> Child:
        if self._child is None:
            self._child = Child(self.name, self._settings, start_within_s=self._patience.start_s)
            threading.Thread(target=self._watch, args=(self._child,), daemon=True).start()
        return self._child

    def _watch(self, child: Child) -> None:
        """Replace a process that dies while nothing is asked of it."""
        child.wait()
        with self._lock:
            if self._child is child:
                how = child.last_words()
                self._drop()
                self._note(how)
                self._start_unasked()

    def _start_unasked(self) -> None:
        if self._closed or self._resting.due_in_s > 0:
            return
        try:
            self._running()
        except ChildLost as lost:
            self._note(lost)

    def _drop(self) -> None:
        child, self._child = self._child, None
        if child is not None:
            child.let_go()

    def _note(self, failure: ChildLost | ChildRefused) -> None:
        """Count a failure. An engine that says why it can't be made is believed at once."""
        now_s = self._clock()
        self._failed_at_s.append(now_s)
        patience = self._patience
        self._why = str(failure)
        if isinstance(failure, ChildRefused):
            self._rest()
        elif (
            len(self._failed_at_s) == patience.failures
            and now_s - self._failed_at_s[0] <= patience.failures_within_s
        ):
            self._rest()
            self._why = (
                f"The recogniser {self.name} failed {patience.failures} times "
                f"(the last time it {failure})."
            )
        elif self._has_rested:
            self._rest()
            self._why = f"The recogniser {self.name} fails still (it {failure})."

    def _rest(self) -> None:
        self._has_rested = True
        self._resting.failed()
