"""Since when a beer's gravity has stood still."""

from collections.abc import Sequence
from typing import Final

from assistant.cellar.curve import GravityPoint

WITHIN: Final = 0.001
"""Gravity that differs by no more has not moved: a hydrometer's mark."""

# Two readings a mark apart must count as that, whatever the last bit of their difference.
_ROUNDING: Final = 1e-9


def steady_since(points: Sequence[GravityPoint], within: float = WITHIN) -> float | None:
    """The day from which on all readings lie within `within` of each other, or None.

    `points` are readings of one instrument, a hydrometer, in any order; the caller leaves out the
    others, for a refractometer in beer errs by more than is asked here. A single reading stands
    still with nothing, so fewer than two steady ones give None. `within` is a difference of
    gravity, 0 or more. That a gravity which has not moved for some days has finished is common
    practice, no source; how many days are wanted is the caller's to say.
    """
    ordered = sorted(points, key=lambda point: point.day, reverse=True)
    if len(ordered) < 2:
        return None
    low = high = ordered[0].gravity
    since = None
    for point in ordered[1:]:
        low, high = min(low, point.gravity), max(high, point.gravity)
        if high - low > within + _ROUNDING:
            break
        since = point.day
    return since
