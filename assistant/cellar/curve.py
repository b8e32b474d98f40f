"""The curve fitted to the gravity readings of a fermenting beer, and the day it should finish.

What is believed before any reading weighs in the fit as the readings do, each as much as it is
worth: so with no reading the curve is the expectation, and with many it is the beer's own. The
range of the finish holds what the shapes that go with the readings make of it, and how far a beer
strays from any shape in the time that hasn't been read yet.
"""

import functools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from assistant.brewing.errors import GRAVITY, Bounds, require
from assistant.cellar.shape import Row, Shape, shape_of

FINISHED_WITHIN: Final = 0.001
"""A beer has finished once its gravity is this close to its final one: a hydrometer's mark."""

USUAL_FINAL_SPREAD: Final = 0.002
"""How far the final gravity of a beer strays from its yeast's, a standard deviation: 3 % of
attenuation in a beer of 1.050 to 1.060, for the mash, the pitch and the batch of yeast; common
practice, no source."""

DAY: Final[Bounds] = (0.0, 1000.0, "days")
ORIGINAL: Final[Bounds] = (1.005, GRAVITY[1], "")
SPREAD: Final[Bounds] = (0.0001, 0.05, "")
SCHEDULED_DAYS: Final[Bounds] = (0.5, 366.0, "days")
FERMENTING_C: Final[Bounds] = (0.0, 45.0, "°C")

_LEAST_FALL: Final = 0.002
_POINTS: Final = 1000.0

# Common practice, no source: an ale at 19 °C takes about six days, and thrice as long at 9 °C;
# a schedule leaves nearly as long again for the beer to clear. They count for as much as each
# other, and half of the extract has gone before half of the time.
_USUAL_DAYS, _USUAL_C = 6.0, 19.0
_SLOWER_PER_10_K: Final = 3.0
_OF_SCHEDULE: Final = 0.6
_HALF_OF_FINISH: Final = 0.45
_HALF_SPREAD: Final = 0.35

# Logarithms of the figures of `shape_of`, with their standard deviations. The logistic is the
# likeliest: little of a steady part, and growth as long as tail. They are wide enough for
# Gompertz's curve and the kinetics of beer in the tests.
_SHAPE: Final = (-3.0, 0.0, -3.6)
_SHAPE_SPREAD: Final = (1.4, 0.5, 0.7)

# No form knows the tail before it is read: the time still to go strays by so much, a standard
# deviation of its logarithm. Measured in the tests; it makes the range hold what it should.
_REST_SPREAD: Final = 0.25

# What the form itself errs by, in gravity: up to 0.0004 in the tests, and of one sign for days.
_FORM_SPREAD: Final = 0.0006

# A figure that strays this many spreads (squared) counts for half of what it would: a mistyped
# reading must not bend the curve, and a beer that sticks must be believed against its yeast.
_READING_DOUBTED: Final = 8.0
_FINAL_DOUBTED: Final = 4.0

# Of: original gravity, ln(fall of gravity), ln(half day), and the logarithms of the shape.
_LOWEST: Final = np.array([0.97, math.log(0.0005), math.log(0.01), -8.0, -6.0, -9.0])
_HIGHEST: Final = np.array([1.2, math.log(0.22), math.log(500.0), 5.0, 5.0, 0.5])
_SCALE: Final = np.array([0.001, 0.05, 0.2, 0.5, 0.5, 0.5])
_STEP: Final = np.array([1e-6, 1e-4, 1e-4, 1e-3, 1e-3, 1e-3])
_MOST_TRIES: Final = 80

_NODES: Final = 512
_WIDER: Final = 1.3
_LEAST_INFORMATION: Final = 1e-9
_TENTHS: Final = np.array([0.1, 0.9])


@dataclass(frozen=True, kw_only=True)
class GravityPoint:
    """A gravity read `day` days after the yeast was pitched.

    `day` is 0 to 1000; `gravity` is at 20/20 °C, 0.98 to 1.15, with the alcohol in a refractometer
    allowed for; `spread`, 0.0001 to 0.05, is the standard deviation of the reading: about 0.001 by
    hydrometer, 0.002 to 0.003 by refractometer in beer (common practice, no source).
    """

    day: float
    gravity: float
    spread: float


@dataclass(frozen=True, kw_only=True)
class Expected:
    """What is believed of a fermentation before any reading.

    `original_gravity`, 1.005 to 1.15, and `final_gravity`, 0.98 to 0.002 below the original, come
    with their standard deviations, 0.0001 to 0.05; `days`, 0.5 to 366, is what the schedule gives
    for fermentation, and `temperature_c`, 0 to 45 °C, the middle of the wanted range.
    """

    original_gravity: float
    original_spread: float
    final_gravity: float
    final_spread: float
    days: float
    temperature_c: float


@dataclass(frozen=True, kw_only=True)
class Curve:
    """A fermentation as it is believed to go, in days since the yeast was pitched.

    It has finished on `finish_day`, when this curve comes within 0.001 of `final_gravity`; a
    beginning within 0.001 has finished on day 0. Each `low` and `high` leave the truth a chance of
    one in ten either side. Half of the fall has gone on `midpoint_day`.
    """

    original_gravity: float
    final_gravity: float
    final_low: float
    final_high: float
    midpoint_day: float
    shape: Shape
    finish_day: float
    finish_low: float
    finish_high: float

    def gravity_at(self, day: float) -> float:
        """Gravity on `day`, 0 to 1000; raises `OutOfRange` outside that."""
        return self.original_gravity - self._fall * self._gone(day)

    def fall_per_day(self, day: float) -> float:
        """Gravity points (0.001) that go per day on `day`, 0 to 1000; raises `OutOfRange`."""
        speed = self.shape.speed(np.array([self._gone(day)]))
        return _POINTS * self._fall * float(speed[0])

    @property
    def _fall(self) -> float:
        return self.original_gravity - self.final_gravity

    def _gone(self, day: float) -> float:
        require("day", day, *DAY)
        return float(self.shape.gone(np.array([day]))[0])


def fitted_curve(points: Sequence[GravityPoint], expected: Expected) -> Curve:
    """The likeliest curve for what has been read and what was expected, with its ranges.

    `points` may come in any order, and be none: then it is the expectation alone. Raises
    `OutOfRange` for a value outside what `GravityPoint` and `Expected` say.
    Source: the largest posterior probability by least squares, and the ranges by importance
    sampling around it (A. Gelman and others, Bayesian Data Analysis, 3rd edition, 10.4; from
    memory), at the nodes of a Kronecker sequence, so nothing is left to chance.
    """
    _require_sound(points, expected)
    misses = _misses(points, expected)
    best = _likeliest(misses, expected)
    spread_out, rest, weights = _believed(misses, best)
    last_read = max((point.day for point in points), default=0.0)
    finishes = _strayed(_finishes(spread_out), last_read, rest)
    finals = _finals(spread_out)
    finish, final = float(_finishes(best)[0]), float(_finals(best))
    finish_low, finish_high = _tenths(finishes, weights)
    final_low, final_high = _tenths(finals, weights)
    return Curve(
        original_gravity=float(best[0]),
        final_gravity=final,
        final_low=min(final_low, final),
        final_high=max(final_high, final),
        midpoint_day=math.exp(best[2]),
        shape=_shape(best),
        finish_day=finish,
        finish_low=min(finish_low, finish),
        finish_high=max(finish_high, finish),
    )


def _require_sound(points: Sequence[GravityPoint], expected: Expected) -> None:
    original = expected.original_gravity
    require("expected original gravity", original, *ORIGINAL)
    require("spread of the original gravity", expected.original_spread, *SPREAD)
    highest = original - _LEAST_FALL
    require("expected final gravity", expected.final_gravity, GRAVITY[0], highest)
    require("spread of the final gravity", expected.final_spread, *SPREAD)
    require("days of fermentation", expected.days, *SCHEDULED_DAYS)
    require("fermentation temperature", expected.temperature_c, *FERMENTING_C)
    for point in points:
        require("day of a reading", point.day, *DAY)
        require("gravity", point.gravity, *GRAVITY)
        require("spread of a reading", point.spread, *SPREAD)


def _expected_half_day(expected: Expected) -> float:
    warmer = (expected.temperature_c - _USUAL_C) / 10.0
    usual = _USUAL_DAYS * _SLOWER_PER_10_K**-warmer
    return _HALF_OF_FINISH * math.sqrt(usual * _OF_SCHEDULE * expected.days)


def _centre(expected: Expected) -> Row:
    fall = expected.original_gravity - expected.final_gravity
    half = _expected_half_day(expected)
    return np.array([expected.original_gravity, math.log(fall), math.log(half), *_SHAPE])


def _misses(points: Sequence[GravityPoint], expected: Expected) -> Callable[[Row], Row]:
    """How many spreads a curve is off; squared and added up, how unlikely it is."""
    days = np.array([point.day for point in points])
    read = np.array([point.gravity for point in points])
    spreads = np.hypot(np.array([point.spread for point in points]), _FORM_SPREAD)
    centre = np.delete(_centre(expected), 1)
    firm = np.array([expected.original_spread, _HALF_SPREAD, *_SHAPE_SPREAD])

    def misses(figures: Row) -> Row:
        original = figures[..., :1]
        fall = np.exp(figures[..., 1:2])
        final = (original - fall - expected.final_gravity) / expected.final_spread
        readings = (original - fall * _shape(figures).gone(days) - read) / spreads
        others = (np.concatenate([original, figures[..., 2:]], axis=-1) - centre) / firm
        final, readings = _doubted(final, _FINAL_DOUBTED), _doubted(readings, _READING_DOUBTED)
        return np.concatenate([final, readings, others], axis=-1)

    return misses


def _doubted(missed: Row, doubted: float) -> Row:
    return np.sign(missed) * np.sqrt(doubted * np.log1p(missed**2 / doubted))


def _shape(figures: Row) -> Shape:
    columns = np.exp(figures[..., 2:])
    return shape_of(columns[..., :1], columns[..., 1:2], columns[..., 2:3], columns[..., 3:4])


def _finals(figures: Row) -> Row:
    return np.asarray(figures[..., 0] - np.exp(figures[..., 1]), dtype=np.float64)


def _finishes(figures: Row) -> Row:
    left = np.minimum(FINISHED_WITHIN / np.exp(figures[..., 1:2]), 1.0)
    return _shape(figures).day_when(1.0 - left, left)[..., 0:1].reshape(-1)


def _strayed(finishes: Row, last_read: float, rest: Row) -> Row:
    to_go = np.maximum(finishes - last_read, 0.0)
    return np.asarray(finishes + to_go * np.expm1(_REST_SPREAD * rest), dtype=np.float64)


def _slopes(misses: Callable[[Row], Row], figures: Row) -> Row:
    steps = np.diag(_STEP)
    return ((misses(figures + steps) - misses(figures - steps)) / (2.0 * _STEP[:, None])).T


def _likeliest(misses: Callable[[Row], Row], expected: Expected) -> Row:
    # Takes half a second to import, which whoever fits no curve has no use for.
    from scipy.optimize import least_squares

    def slopes(figures: Row) -> Row:
        return _slopes(misses, figures)

    fit = least_squares(
        misses,
        np.clip(_centre(expected), _LOWEST + _STEP, _HIGHEST - _STEP),
        jac=slopes,
        bounds=(_LOWEST, _HIGHEST),
        x_scale=_SCALE,
        max_nfev=_MOST_TRIES,
    )
    return np.asarray(fit.x, dtype=np.float64)


def _believed(misses: Callable[[Row], Row], best: Row) -> tuple[Row, Row, Row]:
    """Curves that stand for all believed, how each strays from then on, and how likely it is."""
    slopes = _slopes(misses, best) * _SCALE
    values, vectors = np.linalg.eigh(slopes.T @ slopes)
    reach = vectors / np.sqrt(np.maximum(values, _LEAST_INFORMATION))
    nodes, rest = _nodes()[:, :-1], _nodes()[:, -1]
    figures = best + _SCALE * (_WIDER * nodes @ reach.T)
    inside = ((figures > _LOWEST) & (figures < _HIGHEST)).all(axis=1)
    figures, nodes = figures[inside], nodes[inside]
    odds = ((nodes**2).sum(axis=1) - (misses(figures) ** 2).sum(axis=1)) / 2.0
    weights = np.exp(odds - odds.max())
    return figures, rest[inside], weights / weights.sum()


@functools.cache
def _nodes() -> Row:
    """Normal figures spread evenly: a Kronecker sequence of the roots of primes, and the middle."""
    from scipy.special import ndtri

    roots = np.sqrt(np.array([2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0]))
    even = np.mod(0.5 + np.arange(_NODES)[:, None] * roots, 1.0)
    return np.asarray(ndtri(even), dtype=np.float64)


def _tenths(values: Row, weights: Row) -> tuple[float, float]:
    order = np.argsort(values, kind="stable")
    share = np.cumsum(weights[order]) - weights[order] / 2.0
    low, high = np.interp(_TENTHS, share, values[order])
    return float(low), float(high)
