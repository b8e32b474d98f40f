"""How often a sensor's messages become readings: seldom, and at once where one is wanted."""

from collections import deque
from collections.abc import Mapping
from statistics import median

FRESH_S = 10.0
"""A message older than this is no reading of now."""

SMOOTHED = 5
"""The median of so many messages, or of three, or one: a single spike is nobody's reading, and of
a sensor that is quick five messages are still now."""

TOLD_AFTER_S = 300.0
"""What does not move is told again after so long, or after ``every`` where that is longer."""

SILENT_TIMES, SILENT_S = 10.0, 300.0
"""A sensor is silent after ten times its ``every``, and never sooner than in five minutes."""

GRAINS: Mapping[str, float] = {
    "degC": 0.1,
    "degF": 0.2,
    "L": 0.1,
    "gal": 0.03,
    "SG": 0.0005,
    "degP": 0.1,
    "brix": 0.1,
    "pH": 0.02,
}
"""What moves by no more than this has not moved, by unit; common practice, no source."""


class Paced:
    """The messages of one sensor on their way to being readings, values all in ``unit``.

    Times are seconds of one clock that never goes back.
    """

    def __init__(self, *, every_s: float, unit: str, from_s: float) -> None:
        self._every_s = every_s
        self._grain = GRAINS.get(unit, 0.0)
        self._came: deque[tuple[float, float]] = deque(maxlen=SMOOTHED)
        self._heard_s = from_s
        self._told: tuple[float, float] | None = None
        self.silent = False
        """Whether it was found silent and has not been heard since."""

    def came(self, value: float, now_s: float) -> bool:
        """A message came; tells whether the sensor had been silent until now."""
        was_silent, self.silent = self.silent, False
        self._came.append((value, now_s))
        self._heard_s = now_s
        return was_silent

    def waits_from(self, now_s: float) -> None:
        """Nothing could be heard until now: silence is counted from here."""
        self._heard_s = now_s

    def fell_silent(self, now_s: float) -> bool:
        """Whether it falls silent at this moment."""
        longest_s = max(SILENT_TIMES * self._every_s, SILENT_S)
        if self.silent or now_s - self._heard_s < longest_s:
            return False
        self.silent = True
        return True

    def due(self, now_s: float, *, wanted: bool) -> float | None:
        """The reading to take now, if there is one; one that is ``wanted`` need not have moved."""
        if self._told is not None and now_s - self._told[1] < self._every_s:
            return None
        fresh = [value for value, at_s in self._came if now_s - at_s <= FRESH_S]
        if not fresh:
            return None
        odd = len(fresh) - 1 + len(fresh) % 2
        value = median(fresh[-odd:])
        if self._told is not None and not wanted:
            still = abs(value - self._told[0]) <= self._grain
            if still and now_s - self._told[1] < max(TOLD_AFTER_S, self._every_s):
                return None
        self._told = (value, now_s)
        self._came.clear()
        return value
