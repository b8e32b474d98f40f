"""When to try again what failed: after pauses that grow, and soon again once it worked for a while.

Every part that can die is tried again in this manner. What works for a moment only is not worked
yet: a loose plug would be tried as often as it lets go.
"""

import time
from collections.abc import Callable

Pauses = tuple[float, ...]
"""Seconds between one failure and the next attempt, 0 or more; the last goes on for ever."""

PAUSES_S: Pauses = (1.0, 2.0, 4.0, 8.0, 15.0, 30.0)
"""A part that is plugged in again is found within half a minute, and costs nothing until then."""

STEADY_S = 20.0
"""What has worked for so long is well; its next failure is the first of a new row."""


class BackingOff:
    """Counts the failures of one part in a row. Not thread-safe: it belongs to who tries."""

    def __init__(
        self,
        pauses_s: Pauses = PAUSES_S,
        *,
        steady_s: float = STEADY_S,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._pauses_s, self._steady_s, self._now_s = pauses_s, steady_s, now_s
        self._failures = 0
        self._works_since_s: float | None = None
        self._next_s = float("-inf")

    @property
    def due_in_s(self) -> float:
        """Seconds until it may be tried again; 0 where that is now."""
        return max(self._next_s - self._now_s(), 0.0)

    def failed(self) -> float:
        """It failed, or broke; the pause from now on, in seconds."""
        now_s, since_s = self._now_s(), self._works_since_s
        if since_s is not None and now_s - since_s >= self._steady_s:
            self._failures = 0
        pause_s = self._pauses_s[min(self._failures, len(self._pauses_s) - 1)]
        self._failures += 1
        self._works_since_s = None
        self._next_s = now_s + pause_s
        return pause_s

    def works(self) -> None:
        """It works at this moment."""
        if self._works_since_s is None:
            self._works_since_s = self._now_s()

    def try_now(self) -> None:
        """It may be tried at once: it was not it that failed."""
        self._next_s = float("-inf")
