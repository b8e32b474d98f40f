"""Words from the page on their way to the day: a few at a time, and none once that is over."""

import queue
import threading
from contextlib import suppress

WAITING_WORDS = 32


class TooMuch(Exception):
    """Too many words wait already."""


class Over(Exception):
    """Nobody takes words in any more."""


class Intake:
    """Where words wait; any thread may put them in and take them out."""

    def __init__(self) -> None:
        self._waiting: queue.Queue[str] = queue.Queue(maxsize=WAITING_WORDS)
        self._turn = threading.Lock()
        self._over = False

    def put(self, words: str) -> None:
        """Have words wait. Raises :class:`TooMuch` or :class:`Over`."""
        with self._turn:
            if self._over:
                raise Over
            try:
                self._waiting.put_nowait(words)
            except queue.Full:
                raise TooMuch from None

    def taken(self) -> list[str]:
        """The words that came in since the last time, the oldest first."""
        found: list[str] = []
        with suppress(queue.Empty):
            while True:
                found.append(self._waiting.get_nowait())
        return found

    def end(self) -> None:
        """From now on nothing comes in."""
        with self._turn:
            self._over = True
