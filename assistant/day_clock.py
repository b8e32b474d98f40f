"""The clock of a live day, which nobody can set and a trial can speed up."""

import time


class DayClock:
    """Seconds since the day began, running ``speed`` times as fast as the wall from ``at`` on.

    It runs on the monotonic clock, so that setting the wall clock moves no timer.
    """

    def __init__(self, at: float, speed: float) -> None:
        self._at = at
        self._speed = speed
        self._started_s = time.monotonic()

    def at(self) -> float:
        """Now, in seconds of the day."""
        return self._at + (time.monotonic() - self._started_s) * self._speed

    def wait_s(self, due_s: float | None, longest_s: float) -> float:
        """Real seconds until ``due_s``, never negative and at most ``longest_s``."""
        if due_s is None:
            return longest_s
        return min(max((due_s - self.at()) / self._speed, 0.0), longest_s)
