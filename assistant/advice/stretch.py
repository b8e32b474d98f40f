"""The kettle's temperature as stretches from one moment to another, and those as points."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.advice.after_boil import Leg

PIECES_A_FOLD, MOST_PIECES = 10.0, 16
"""A curve is drawn in so many pieces for each fold of its exponential, within half a degree."""

FOLDS_OF_A_LINE = 0.02
"""What bends less than this is a straight line to any eye."""


@dataclass(frozen=True, kw_only=True)
class Point:
    """The kettle's temperature, °C, at a moment in seconds from the start of the day."""

    at_s: float
    temperature_c: float


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """Content of the kettle on its way from one temperature to another.

    ``folds`` is the time it takes over the time constant it has: 0 where it goes straight there,
    and the more, the more of the way lies at its beginning.
    """

    from_s: float
    until_s: float
    from_c: float
    to_c: float
    folds: float = 0.0

    def points(self) -> tuple[Point, ...]:
        """Points on the way, the last of them its end and the first after its beginning.

        Source: Newton's law of cooling, with or without a constant source of heat.
        """
        bends = self.folds > FOLDS_OF_A_LINE and self.from_c != self.to_c
        pieces = min(math.ceil(PIECES_A_FOLD * self.folds) + 1, MOST_PIECES) if bends else 1
        whole = -math.expm1(-self.folds) if bends else 1.0
        inner = [
            Point(
                at_s=self.from_s + share * (self.until_s - self.from_s),
                temperature_c=self.from_c
                + (self.to_c - self.from_c) * -math.expm1(-self.folds * share) / whole,
            )
            for share in (piece / pieces for piece in range(1, pieces))
        ]
        return (*inner, Point(at_s=self.until_s, temperature_c=self.to_c))


def points_along(stretches: Iterable[Stretch]) -> tuple[Point, ...]:
    """The points of stretches that follow one another, from the beginning of the first."""
    found: list[Point] = []
    for stretch in stretches:
        if not found:
            found.append(Point(at_s=stretch.from_s, temperature_c=stretch.from_c))
        found += stretch.points()
    return tuple(found)


def folds_of_leg(leg: Leg) -> float:
    """How much a leg of cooling bends: the folds by which it comes nearer to what takes its heat.

    Source: Newton's law of cooling.
    """
    far_k, near_k = leg.from_c - leg.toward_c, leg.to_c - leg.toward_c
    return math.log(far_k / near_k) if far_k > near_k > 0 else 0.0


def folds_of_heating(minutes: float, *, loss_w_k: float, capacity_j_k: float) -> float:
    """How much so many minutes of the same power bend by what the kettle loses to the room.

    Source: Newton's law of cooling with a constant source.
    """
    return 60 * minutes * loss_w_k / max(capacity_j_k, 1.0)
