"""One process with an engine in it, seen from outside: start it, ask it, end it."""

import signal
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from multiprocessing import get_context
from multiprocessing.connection import wait
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.hearing.engine_worker import Answer, Ready, Refusal, Request, serve

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

_LEAST_WAIT_S = 1.0


class ChildLost(Exception):
    """The process ended, hung or answered nonsense; the text follows the engine's name."""


class ChildRefused(Exception):
    """The engine said itself why there is no answer; ``at_start`` if it could not be made."""

    def __init__(self, text: str, *, at_start: bool) -> None:
        super().__init__(text)
        self.at_start = at_start


class Child:
    """A process just started; asked by one thread at a time, ended by any.

    Raises :class:`ChildLost` where the system starts no more processes.
    """

    def __init__(self, make: str, settings: Mapping[str, object], *, start_within_s: float) -> None:
        self._ready = False
        self._number = 0
        self._overdue = False
        self._start_within_s = start_within_s
        self._started_s = time.monotonic()
        context = get_context("spawn")
        ours, theirs = context.Pipe()
        self._pipe: Connection[Any, Any] = ours
        self._process = context.Process(
            target=serve, args=(make, dict(settings), theirs), name=f"engine {make}", daemon=True
        )
        try:
            with _interrupts_held_back():
                self._process.start()
        except OSError as error:
            ours.close()
            raise ChildLost(f"could not be started ({error})") from error
        finally:
            theirs.close()

    @property
    def pid(self) -> int | None:
        """The process's number."""
        return self._process.pid

    def ask(self, method: str, arguments: tuple[object, ...], *, within_s: float) -> object:
        """What the engine's ``method`` returns.

        Raises :class:`ChildLost` (the process is of no more use then) or :class:`ChildRefused`.
        """
        self._await_ready()
        self._number += 1
        request = Request(number=self._number, method=method, arguments=arguments)
        with self._ended_after(within_s):
            self._pipe.send(request)
            while True:
                answer = self._pipe.recv()
                if not isinstance(answer, Answer | Refusal) or answer.number > self._number:
                    raise ChildLost("gave an answer that was none")
                if answer.number == self._number:
                    break
        if isinstance(answer, Refusal):
            raise ChildRefused(answer.text, at_start=False)
        return answer.value

    def wait(self) -> None:
        """Until the process has ended, by whatever cause."""
        wait([self._process.sentinel])

    def last_words(self) -> ChildLost | ChildRefused:
        """How a process ended that nothing had been asked."""
        try:
            while not self._ready and self._pipe.poll():
                last = self._pipe.recv()
                if isinstance(last, Refusal):
                    return ChildRefused(last.text, at_start=True)
        except Exception:
            return ChildLost(self._end())
        return ChildLost(self._end())

    def kill(self) -> None:
        """End it now, whatever it is at; whoever waits for an answer is told so."""
        self._process.kill()

    def let_go(self) -> None:
        """End it and give back what it held."""
        self._process.kill()
        self._process.join(5)
        self._pipe.close()

    def resident_bytes(self) -> int | None:
        """The memory it holds now; None where the system does not tell."""
        try:
            status = Path(f"/proc/{self.pid}/status").read_text()
        except OSError:
            return None
        for line in status.splitlines():
            if line.startswith("VmRSS:"):
                return int(line.split()[1]) * 1024
        return None

    def _await_ready(self) -> None:
        if self._ready:
            return
        left_s = self._start_within_s - (time.monotonic() - self._started_s)
        with self._ended_after(max(left_s, _LEAST_WAIT_S)):
            first = self._pipe.recv()
        if isinstance(first, Refusal):
            raise ChildRefused(first.text, at_start=True)
        if not isinstance(first, Ready):
            raise ChildLost("gave an answer that was none")
        self._ready = True

    @contextmanager
    def _ended_after(self, within_s: float) -> Iterator[None]:
        """End the process when the time is over: that alone frees a send or a recv for certain."""

        def over() -> None:
            self._overdue = True
            self._process.kill()

        alarm = threading.Timer(within_s, over)
        alarm.daemon = True
        alarm.start()
        try:
            yield
        except ChildLost:
            raise
        except Exception as error:
            if self._overdue:
                raise ChildLost(f"did not answer within {within_s:.0f} s") from error
            if isinstance(error, EOFError | OSError):
                raise ChildLost(self._end()) from error
            raise ChildLost("gave an answer that was none") from error
        finally:
            alarm.cancel()

    def _end(self) -> str:
        self._process.join(1)
        code = self._process.exitcode
        if code is None:
            return "stopped listening"
        if code >= 0:
            return f"ended by itself (status {code})"
        return f"crashed ({signal.Signals(-code).name})"


@contextmanager
def _interrupts_held_back() -> Iterator[None]:
    """Start a process that Ctrl-C can't end before it has said so itself.

    A process inherits the signals that are blocked; where there is no such thing it has to do
    without.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
