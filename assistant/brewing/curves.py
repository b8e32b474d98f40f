"""One sum for a figure and for a whole curve of them.

A `Figure` is a float or a numpy array of floats, and a sum gives back what it was given: a float
for a float, a curve for a curve. A `numpy.float64` is a float too, and may come back as one. The
functions here are those of `math` that have to know which of the two they were given.
"""

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Curve = NDArray[np.float64]
"""A row of figures, such as the temperatures of a cooling wort."""

Choice = NDArray[np.bool_]
"""A yes or no for each figure of a curve."""

Figure = TypeVar("Figure", float, Curve)
"""A figure, or a curve of them."""


def exp(value: Figure) -> Figure:
    """e to the power of `value`."""
    return np.exp(value) if isinstance(value, np.ndarray) else math.exp(value)


def expm1(value: Figure) -> Figure:
    """e to the power of `value`, less 1, exact near zero."""
    return np.expm1(value) if isinstance(value, np.ndarray) else math.expm1(value)


def log1p(value: Figure) -> Figure:
    """Natural logarithm of 1 and `value`, which must be above -1; exact near zero."""
    return np.log1p(value) if isinstance(value, np.ndarray) else math.log1p(value)


def sqrt(value: Figure) -> Figure:
    """The root of `value`, which must not be negative."""
    return np.sqrt(value) if isinstance(value, np.ndarray) else math.sqrt(value)


def power(value: Figure, exponent: float) -> Figure:
    """`value`, which must not be negative, to the power of `exponent`."""
    return np.power(value, exponent) if isinstance(value, np.ndarray) else math.pow(value, exponent)


def held(value: Figure, low: float, high: float) -> Figure:
    """`value` where it lies from `low` to `high`, else the nearer of the two."""
    return (
        np.clip(value, low, high) if isinstance(value, np.ndarray) else min(max(value, low), high)
    )


def highest(value: float | Curve) -> float:
    """The highest figure of a curve; a figure itself."""
    if isinstance(value, np.ndarray):
        return float(np.max(value, initial=-math.inf))
    return value


def swapped(value: Figure, where: bool | Choice, by: float) -> Figure:
    """`value`, but `by` wherever `where` holds."""
    if isinstance(value, np.ndarray):
        return np.where(where, by, value)
    return by if where else value
