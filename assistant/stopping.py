"""Ctrl-C as a question: wet hands press it too, and a day is not to end by a slip.

It never interrupts what is being done, so an event is either judged and in line for the record or
has not happened.
"""

import time
from collections.abc import Callable
from types import FrameType, TracebackType

from assistant.signals import handle

ASKED_S = 10.0
"""So long the question stands; a Ctrl-C after that asks anew."""

QUESTION = "Stop? Ctrl-C once more stops, and the day is kept. Anything else goes on."

STUCK = 3
"""With so many a program that does not come to an end by itself is broken off."""


class Stopping:
    """Takes Ctrl-C for as long as the context lasts."""

    def __init__(self, now_s: Callable[[], float] = time.monotonic) -> None:
        self._now_s = now_s
        self._presses = 0
        self._asked_at_s = float("-inf")
        self._put_back: Callable[[], None] = lambda: None

    @property
    def asked(self) -> bool:
        """Whether the question stands."""
        return self._presses > 0 and self._now_s() - self._asked_at_s < ASKED_S

    @property
    def wanted(self) -> bool:
        """Whether the brewer meant it."""
        return self._presses > 1

    def go_on(self) -> None:
        """The brewer did something else: the question is answered."""
        if not self.wanted:
            self._presses = 0

    def pressed(self, number: int = 0, frame: FrameType | None = None) -> None:
        """Ctrl-C was pressed. Raises KeyboardInterrupt where nobody seems to look."""
        if not self.asked and not self.wanted:
            self._presses = 0
            self._asked_at_s = self._now_s()
        self._presses += 1
        if self._presses >= STUCK:
            raise KeyboardInterrupt

    def __enter__(self) -> "Stopping":
        self._put_back = handle("SIGINT", self.pressed)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._put_back()
