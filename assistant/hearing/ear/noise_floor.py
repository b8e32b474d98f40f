"""How loud the room is when nobody speaks, followed as it changes.

The floor is a low percentile of the levels of the last seconds: speech has gaps, so a fifth of the
frames are noise even while somebody talks (minimum statistics in its simplest form: R. Martin,
"Noise power spectral density estimation based on optimal smoothing and minimum statistics", IEEE
Transactions on Speech and Audio Processing 9(5), 2001). A sound that is loud but hardly changes is
no speech, and becomes the floor within a second: a tone, a tap that was opened, a hood switched on.
"""

from bisect import bisect_left, insort
from collections import deque

import numpy as np

from assistant.hearing.ear.frames import frames_in

LOWEST_DB = -75.0
"""Below this a floor says nothing of the room: a microphone that is muted, or digital silence."""

WINDOW_S = 4.0
FLOOR_PERCENT = 20
SPREAD_PERCENTS = (5, 25)
"""Between these lies one standard deviation of a Gaussian, untouched by speech above them."""

STEADY_S = 0.9
STEADY_DB = 1.6
"""The standard deviation of the levels over ``STEADY_S`` below which nobody can be speaking."""


class NoiseFloor:
    """The running noise floor of a stream of frames, each told by its level in dBFS."""

    def __init__(self) -> None:
        self._levels_db: deque[float] = deque(maxlen=frames_in(WINDOW_S))
        self._sorted_db: list[float] = []

    @property
    def level_db(self) -> float:
        """The floor in dBFS, never below :data:`LOWEST_DB`."""
        return max(self._percentile_db(FLOOR_PERCENT), LOWEST_DB)

    @property
    def spread_db(self) -> float:
        """How much the noise goes up and down from frame to frame: about a standard deviation."""
        low, high = SPREAD_PERCENTS
        return max(self._percentile_db(high), LOWEST_DB) - max(self._percentile_db(low), LOWEST_DB)

    def feed(self, level_db: float) -> bool:
        """Take in the level of one more frame; whether a loud steady sound became the floor."""
        if len(self._levels_db) == self._levels_db.maxlen:
            del self._sorted_db[bisect_left(self._sorted_db, self._levels_db[0])]
        self._levels_db.append(level_db)
        insort(self._sorted_db, level_db)
        last_db = list(self._levels_db)[-frames_in(STEADY_S) :]
        risen = (
            len(last_db) == frames_in(STEADY_S)
            and min(last_db) > self.level_db + STEADY_DB
            and float(np.std(last_db)) < STEADY_DB
        )
        if risen:
            self._levels_db.clear()
            self._levels_db.extend(last_db)
            self._sorted_db = sorted(last_db)
        return risen

    def _percentile_db(self, percent: int) -> float:
        if not self._sorted_db:
            return LOWEST_DB
        return self._sorted_db[len(self._sorted_db) * percent // 100]
