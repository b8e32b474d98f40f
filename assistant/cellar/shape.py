"""How the fermentable extract of a beer goes with time, as a generalised logistic.

Gravity falls as a logistic of time: slowly while the yeast wakes and grows, fast, and slowly again
as the sugar runs out (R. A. Speers, P. Rogers and B. Smith, J. Inst. Brew. 109 (2003) 229-235).
Real curves are seldom symmetric, and where the figure for that goes into the logistic's exponent it
bends both ends at once (compared for ale, lager and whisky in Fermentation 7 (2021) 13). So the
logistic is turned round here, into the time a share of the extract takes to go, and each of its
parts gets a figure of its own: the growth of the yeast, a steady fall while it is full of sugar,
and the tail, which is what decides when a beer has finished.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Row = NDArray[np.float64]

_HALF: Final = 0.5
_LN_2: Final = math.log(2.0)
_STEPS: Final = 10
_CLOSE: Final = 1e-6
_LEAST_DAY: Final = 1e-9
_LOWEST, _HIGHEST = -60.0, 500.0


@dataclass(frozen=True, kw_only=True)
class Shape:
    """The times, in days, that the parts of a fermentation take; every one above 0.

    A share `gone` of what will ferment takes ``growth_days`` for each e-fold of yeast and its
    work, which start at ``awake`` of what they become; ``steady_days`` for a fall as even as water
    from a tap; and ``tail_days`` for each e-fold of what is left. With no steady days and growth
    as long as tail it is the logistic, begun at the pitching of the yeast. The figures may be
    columns, one row for each of many shapes.
    """

    growth_days: Row
    steady_days: Row
    tail_days: Row
    awake: Row

    def day_when(self, gone: Row, left: Row) -> Row:
        """Days until the share `gone`, 0 to below 1, is gone; `left` is 1 less that, above 0."""
        growth = self.growth_days * np.log1p(gone / self.awake)
        return growth + self.steady_days * gone - self.tail_days * np.log(left)

    def gone(self, day: Row) -> Row:
        """Share of what will ferment that has gone by `day`, 0 or later, counted from pitching.

        Newton's method on the logarithms of the days, begun at or before the answer by two
        bounds, one close at the start of a fermentation and one at its end.
        """
        # Takes a third of a second to import, which whoever draws no curve has no use for.
        from scipy.special import expit

        day = np.maximum(day, _LEAST_DAY)
        logit = np.log(day / (self.growth_days / self.awake + self.steady_days + self.tail_days))
        even = self.growth_days * np.log1p(1.0 / self.awake) + self.steady_days
        tails = np.maximum((day - even) / self.tail_days, _LEAST_DAY)
        logit = np.maximum(logit, tails + np.log(-np.expm1(-tails)))
        for _ in range(_STEPS):
            logit = np.clip(logit, _LOWEST, _HIGHEST)
            gone, left = expit(logit), expit(-logit)
            growth = self.growth_days * np.log1p(gone / self.awake)
            reached = growth + self.steady_days * gone + self.tail_days * np.logaddexp(0.0, logit)
            slope = left * (self.growth_days / (self.awake + gone) + self.steady_days)
            step = np.log(day / reached) * reached / (gone * (slope + self.tail_days))
            logit = logit + step
            if np.abs(step).max(initial=0.0) < _CLOSE:
                break
        return np.asarray(expit(np.clip(logit, _LOWEST, _HIGHEST)), dtype=np.float64)

    def speed(self, gone: Row) -> Row:
        """Share that goes per day when the share `gone` has gone."""
        left = 1.0 - gone
        slope = left * (self.growth_days / (self.awake + gone) + self.steady_days)
        return left / (slope + self.tail_days)


def shape_of(half_day: Row, steady: Row, tail: Row, awake: Row) -> Shape:
    """The shape that has half of what will ferment gone on `half_day`.

    `steady` is how long that part has taken by then, over the time of growth; `tail` is an e-fold
    of the tail over one of growth, 1 for the logistic; `awake` is as in `Shape`. All are above 0.
    """
    folds = np.log1p(_HALF / awake)
    growing = half_day / (1.0 + steady + tail * _LN_2 / folds)
    return Shape(
        growth_days=growing / folds,
        steady_days=growing * steady / _HALF,
        tail_days=growing * tail / folds,
        awake=awake,
    )
