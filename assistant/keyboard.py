"""The keyboard of a live day: keys from a terminal, or whole lines from anything else.

Keys are read one by one without being echoed, while timers go on. Whatever ends the day, an
error or a signal to stop, the terminal is given back as it was found.
"""

import os
import queue
import sys
import threading
import time
from contextlib import ExitStack, suppress
from io import TextIOWrapper, UnsupportedOperation
from types import FrameType, TracebackType
from typing import Protocol, TextIO

from assistant.keys import LONGEST_LINE, Key, KeyDecoder, Line
from assistant.keys import LineEditor as LineEditor
from assistant.signals import handle

AT_ONCE = 100
"""Lines handed over by one reading at most, so that a long file does not hold up the clock."""

LEAVING = ("SIGTERM", "SIGHUP")


class KeySource(Protocol):
    """Where keys come from; ``ended`` once no more will."""

    @property
    def ended(self) -> bool:
        """Whether the input is at its end and everything in it has been read."""
        ...

    def read(self, timeout_s: float) -> list[Key]:
        """The keys since the last reading, waiting up to ``timeout_s`` seconds for the first."""
        ...

    def open(self) -> None:
        """Begin to take what comes."""
        ...

    def close(self) -> None:
        """Give back what was taken."""
        ...


class PlainLines:
    """Lines of a file, a pipe or a service, read beside the loop so that timers never wait.

    A context manager like :class:`Keyboard`; what is longer than a line can be is cut.
    """

    def __init__(self, stream: TextIO | None = None) -> None:
        self._stream = sys.stdin if stream is None else stream
        self._lines: queue.Queue[str | None] = queue.Queue(maxsize=AT_ONCE)
        self._ended = False

    def __enter__(self) -> "PlainLines":
        self.open()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @property
    def ended(self) -> bool:
        """Whether every line has been read and no more will come."""
        return self._ended

    def read(self, timeout_s: float) -> list[Key]:
        """The lines since the last reading, waiting up to ``timeout_s`` seconds for the first."""
        if self._ended:
            time.sleep(max(timeout_s, 0.0))
            return []
        found: list[Key] = []
        with suppress(queue.Empty):
            line = self._lines.get(timeout=max(timeout_s, 0.0))
            while line is not None:
                found.append(Line(text=line))
                if len(found) == AT_ONCE:
                    return found
                line = self._lines.get_nowait()
            self._ended = True
        return found

    def open(self) -> None:
        """Begin to read."""
        if isinstance(self._stream, TextIOWrapper):
            with suppress(UnsupportedOperation):
                self._stream.reconfigure(errors="replace")
        threading.Thread(target=self._follow, daemon=True, name="lines").start()

    def close(self) -> None:
        """Nothing to give back: the reader ends with its input or with the program."""

    def _follow(self) -> None:
        with suppress(OSError, ValueError, AttributeError):
            inside = False
            while piece := self._stream.readline(LONGEST_LINE):
                if not inside:
                    self._lines.put(piece.rstrip("\r\n"))
                inside = not piece.endswith("\n")
        self._lines.put(None)


if sys.platform == "win32":
    import msvcrt

    GLANCE_S = 0.02
    WINDOWS_KEYS = {"H": "\x1b[A", "P": "\x1b[B"}
    """The second character of the arrow keys up and down, as the C runtime's getwch gives it."""

    class TerminalKeys:
        """Keys of a Windows console, from memory of its manual and unchecked."""

        def __init__(self, stream: TextIO) -> None:
            self._decoder = KeyDecoder()
            self.ended = False

        def read(self, timeout_s: float) -> list[Key]:
            """The keys since the last reading, waiting up to ``timeout_s`` seconds."""
            until_s = time.monotonic() + timeout_s
            while not msvcrt.kbhit():
                if time.monotonic() >= until_s:
                    return []
                time.sleep(GLANCE_S)
            found: list[Key] = []
            while msvcrt.kbhit():
                character = msvcrt.getwch()
                if character in "\x00\xe0":
                    character = WINDOWS_KEYS.get(msvcrt.getwch(), "")
                found += self._decoder.feed_text(character)
            return found

        def open(self) -> None:
            """Nothing to begin: a console gives its keys at once."""

        def close(self) -> None:
            """Nothing to give back."""

else:
    import select
    import termios

    class TerminalKeys:
        """Keys of a terminal, which has a mode of its own from open to close."""

        def __init__(self, stream: TextIO) -> None:
            self._descriptor = stream.fileno()
            self._decoder = KeyDecoder()
            self._found = termios.tcgetattr(self._descriptor)
            self._undo = ExitStack()
            self.ended = False

        def open(self) -> None:
            """Take the terminal, and again after the program was stopped and goes on."""
            self._undo.callback(handle("SIGCONT", lambda number, frame: self._take()))
            self._take()

        def read(self, timeout_s: float) -> list[Key]:
            """The keys since the last reading, waiting up to ``timeout_s`` seconds."""
            if self.ended:
                time.sleep(max(timeout_s, 0.0))
                return []
            ready, _, _ = select.select([self._descriptor], [], [], max(timeout_s, 0.0))
            if not ready:
                self._decoder.pause()
                return []
            try:
                data = os.read(self._descriptor, 4096)
            except OSError:
                data = b""
            self.ended = not data
            return self._decoder.feed(data)

        def close(self) -> None:
            """Give the terminal back as it was found, if it is still there."""
            self._undo.close()
            with suppress(termios.error):
                termios.tcsetattr(self._descriptor, termios.TCSANOW, self._found)

        def _take(self) -> None:
            """No echo, no waiting for Enter, and no key that stops the clock.

            Ctrl-Z would suspend the day with its timers, Ctrl-S hold the screen and Ctrl-backslash
            end it without a word; wet hands find them all.
            """
            with suppress(termios.error):
                mode = termios.tcgetattr(self._descriptor)
                mode[0] = mode[0] & ~termios.IXON | termios.ICRNL
                mode[3] = mode[3] & ~(termios.ECHO | termios.ICANON) | termios.ISIG
                mode[6] = list(mode[6])
                mode[6][termios.VMIN], mode[6][termios.VTIME] = 1, 0
                off = os.fpathconf(self._descriptor, "PC_VDISABLE").to_bytes(1, "little")
                mode[6][termios.VSUSP] = mode[6][termios.VQUIT] = off
                termios.tcsetattr(self._descriptor, termios.TCSANOW, mode)


class Keyboard:
    """Keys while the context lasts: from the terminal, or lines where there is none.

    SIGTERM and SIGHUP end the program by SystemExit with status 128 and the signal's number, as
    a shell would have it, so that every open context closes.
    """

    def __init__(self, stream: TextIO | None = None) -> None:
        self._stream = stream
        self._source: KeySource | None = None
        self._undo = ExitStack()

    def __enter__(self) -> "Keyboard":
        stream = sys.stdin if self._stream is None else self._stream
        terminal = stream is not None and stream.isatty()
        self._source = TerminalKeys(stream) if terminal else PlainLines(stream)
        with ExitStack() as undo:
            undo.callback(self._source.close)
            for name in LEAVING:
                undo.callback(handle(name, _leave, only_default=True))
            self._source.open()
            self._undo = undo.pop_all()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._undo.close()

    @property
    def ended(self) -> bool:
        """Whether no more will come: the input is at its end, or the terminal is gone."""
        return self._source is None or self._source.ended

    def read(self, timeout_s: float) -> list[Key]:
        """The keys since the last reading, waiting up to ``timeout_s`` seconds for the first.

        Ctrl-C raises KeyboardInterrupt where nobody has taken it (:mod:`assistant.stopping`).
        """
        return [] if self._source is None else self._source.read(timeout_s)


def _leave(number: int, frame: FrameType | None) -> None:
    raise SystemExit(128 + number)
