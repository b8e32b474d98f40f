"""Wort and beer by refractometer.

The instrument is marked in °Bx for sucrose; wort bends light a little more for the same extract,
which the wort correction factor allows for, and alcohol bends it too. A refractometer alone is
never enough to call fermentation finished or to bottle: use a hydrometer.
"""

from collections.abc import Iterable
from typing import Final

from assistant.brewing.curves import Figure
from assistant.brewing.errors import EXTRACT_PLATO, GRAVITY, Bounds, OutOfRange, require
from assistant.brewing.gravity import plato_from_gravity

WORT_CORRECTION: Final = 1.04
"""Usual ratio of Brix to Plato in wort; 0.99 to 1.06 is met (common practice, no source)."""

_BRIX: Final[Bounds] = (0.0, 35.0, "°Bx")
_ORIGINAL_BRIX: Final[Bounds] = (8.0, 20.0, "°Bx")
_CORRECTION: Final[Bounds] = (0.9, 1.2, "")
_ATTENUATION_PERCENT: Final[Bounds] = (61.0, 120.0, "%")
_INITIAL: Final = (-0.0044993, 0.00027581, -0.0000072800)
_PRESENT: Final = (0.011774, -0.0012717, 0.000063293)


def plato_from_brix(brix: Figure, wort_correction: float = WORT_CORRECTION) -> Figure:
    """Extract in °P of unfermented wort from a refractometer reading in °Bx.

    `brix` is 0 to 35 °Bx. `wort_correction` (0.9 to 1.2) is the ratio of Brix to Plato for this
    instrument and wort, best found against a hydrometer. Raises `OutOfRange` outside those.
    Alcohol bends light too, so it does not hold once fermentation has begun.
    Source: common practice, no source; 1.04 is a usual factor, with 0.99 to 1.06 met.
    """
    require("Brix", brix, *_BRIX)
    require("wort correction factor", wort_correction, *_CORRECTION)
    return brix / wort_correction


def wort_correction(readings: Iterable[tuple[float, float]]) -> float:
    """Wort correction factor of an instrument: the mean ratio of °Bx read to °P.

    Each of `readings` is (°Bx by refractometer, °P by hydrometer) of one wort before
    fermentation, the Brix 0 to 35 and the Plato 1 to 34.24; there must be at least one. Raises
    `OutOfRange` outside those, and when the mean is not 0.9 to 1.2: no wort differs that much.
    Three worts or more even out the reading errors.
    Source: definition; the mean of ratios is common practice, no source.
    """
    ratios = []
    for brix, plato in readings:
        require("Brix", brix, *_BRIX)
        require("extract", plato, 1.0, *EXTRACT_PLATO[1:])
        ratios.append(brix / plato)
    if not ratios:
        raise OutOfRange("number of worts read both ways", 0.0, 1.0, 1000.0)
    mean = sum(ratios) / len(ratios)
    require("wort correction factor", mean, *_CORRECTION)
    return mean


def final_gravity_from_brix(
    original_brix: float, final_brix: Figure, wort_correction: float = WORT_CORRECTION
) -> Figure:
    """Gravity of fermented beer from the refractometer readings of its wort and of the beer.

    `original_brix`, of the wort, is 8 to 20 °Bx and `final_brix`, of the beer, 0 to 35, both as
    read; `wort_correction` is 0.9 to 1.2. It was fitted to 12 beers of 1.036 to 1.106 and
    attenuations of 73 to 91 %, and checked on 68, all of 61 % or more: less than that raises
    `OutOfRange`, as do values outside the ranges.
    The author finds his straight line, FG = 1 - 0.00085683 i + 0.0034941 f, more accurate and
    slightly less precise. The cubic is kept: a steady error is found out with a hydrometer, scatter
    is not. At 61 to 90 % the two differ by 0.0015 at most from 10 to 15 °P, by 0.002 at 8 and
    16 °P, 0.003 at 17 and 0.005 at 19 (20 °Bx); at 73 to 91 % by 0.0026 at most in all the range.
    Take that for what the result is good to, and never less than 0.002. An older cubic in wide use
    read 5 points lower on average in his own beers.
    Source: S. Terrill, Refractometer FG Results (2011), the cubic of the two fits, and Toward a
    Better Refractometer Correlation (2010) for the 12 beers.
    """
    require("original Brix", original_brix, *_ORIGINAL_BRIX)
    require("final Brix", final_brix, *_BRIX)
    require("wort correction factor", wort_correction, *_CORRECTION)
    initial = original_brix / wort_correction
    gravity = 1.0 + _cubic(initial, _INITIAL) + _cubic(final_brix / wort_correction, _PRESENT)
    require("gravity by refractometer", gravity, *GRAVITY)
    fermented_percent = 100.0 * (1.0 - plato_from_gravity(gravity) / initial)
    require(
        "apparent attenuation by refractometer, which holds only late in fermentation:",
        fermented_percent,
        *_ATTENUATION_PERCENT,
    )
    return gravity


def _cubic(plato: Figure, terms: tuple[float, float, float]) -> Figure:
    first, second, third = terms
    return plato * (first + plato * (second + plato * third))
