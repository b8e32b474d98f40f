"""The clock of a live day, which nobody can set and a trial can speed up.

Within one run of the program a clock counts that no one sets and no sleep stops; between two runs
there is only the wall clock to go by.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass

from assistant.day.events import ClockJumped, Jump

ASLEEP_S = 10.0
"""The loop looks at the clock twice a second: after such a gap it was not let run at all."""

SET_S = 2.0
"""A wall clock that differs so much from one look to the next was set, and not just corrected."""


@dataclass(frozen=True, kw_only=True)
class Clocks:
    """The computer's clocks: ``steady_s`` counts on through a sleep, ``wall_s`` is Unix time."""

    steady_s: Callable[[], float]
    wall_s: Callable[[], float] = time.time


def _steady_s() -> Callable[[], float]:
    """A monotonic clock that counts while the computer sleeps, where the system has one.

    Linux calls it CLOCK_BOOTTIME (clock_gettime(2)). On a Mac CLOCK_MONOTONIC is one
    (clock_gettime_nsec_np(3)), while Python's own monotonic clock stops; on Windows that counts on.
    """
    for name in ("CLOCK_BOOTTIME", "CLOCK_MONOTONIC"):
        number = getattr(time, name, None)
        if number is not None:
            return lambda: time.clock_gettime(number)
    return time.monotonic


COMPUTER = Clocks(steady_s=_steady_s())


class DayClock:
    """Seconds since the day began, running ``speed`` times as fast as the wall from ``at`` on."""

    def __init__(self, at: float, speed: float, clocks: Clocks = COMPUTER) -> None:
        self._at = at
        self._speed = speed
        self._clocks = clocks
        self._started_s = clocks.steady_s()
        self._looked_s: float | None = None
        self._offset_s = 0.0

    def at(self) -> float:
        """Now, in seconds of the day."""
        return self._at + (self._clocks.steady_s() - self._started_s) * self._speed

    def wall_s(self) -> float:
        """Now, in Unix seconds, as the computer has it."""
        return self._clocks.wall_s()

    def wait_s(self, due_s: float | None, longest_s: float) -> float:
        """Real seconds until ``due_s``, never negative and at most ``longest_s``."""
        if due_s is None:
            return longest_s
        return min(max((due_s - self.at()) / self._speed, 0.0), longest_s)

    def jumps(self) -> tuple[ClockJumped, ...]:
        """What happened to the computer's clocks since the last look; to be called often.

        Before the first look the program is still starting, which may take its time.
        """
        steady_s, at = self._clocks.steady_s(), self.at()
        before_s, self._looked_s = self._looked_s, steady_s
        offset_s = self._clocks.wall_s() - steady_s
        set_s, self._offset_s = offset_s - self._offset_s, offset_s
        if before_s is None:
            return ()
        slept_s, found = steady_s - before_s, []
        if slept_s >= ASLEEP_S:
            found.append(ClockJumped(at=at, jump=Jump.SLEPT, seconds=slept_s))
        if abs(set_s) >= SET_S:
            found.append(ClockJumped(at=at, jump=Jump.SET, seconds=set_s))
        return tuple(found)


@dataclass(frozen=True, kw_only=True)
class Bridge:
    """Where a day goes on: at which of its seconds, and whether that is only a guess."""

    at: float
    unsure: bool


def bridged(last: tuple[float, float] | None, wall_s: float) -> Bridge:
    """Where a day goes on at ``wall_s`` after its ``last`` row, given as day and wall seconds.

    A wall clock that now shows an earlier time was set back, or has no battery: how long the
    program was gone can't be told then, and the day goes on from its last row.
    """
    if last is None:
        return Bridge(at=0.0, unsure=False)
    at, before_s = last
    gone_s = wall_s - before_s
    return Bridge(at=at + max(gone_s, 0.0), unsure=gone_s < -SET_S)
