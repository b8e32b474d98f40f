"""Bitterness: how much of the hops' alpha acid ends up, isomerised, in the beer.

Tinseth's equation sets the scale for additions to the boil. Hops steeped below the boil are put
on the same scale by counting each minute for what it is worth at 100 °C, by the measured rate of
isomerisation. Against laboratory figures the whole is good to 20 to 30 % (from memory,
unchecked), so differences between two plans mean more than the figure itself; past some 100 IBU
the wort holds no more alpha acid and the sum promises too much.

Sources disagree on what gravity does: Tinseth lets it lower the utilisation, while Malowicki and
Shellhammer found that sugar does not slow isomerisation. Both can be right, since what a strong
wort loses it may lose to trub and yeast; Tinseth's is kept, because it is the beer that is
forecast.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np

from assistant.brewing.curves import Curve, Figure, exp, expm1, swapped
from assistant.brewing.errors import (
    FILLED_L,
    GRAVITY,
    LIQUID_C,
    MINUTES,
    OutOfRange,
    UnpairedReadings,
    require,
)

COLDEST_C: Final = 70.0
"""Below this, in °C, hops are taken to give no bitterness: the rate was not measured there."""

WHOLE_AGAINST_PELLETS: Final = 0.9
"""What whole cones give of what pellets give. Common practice, no source: pellets are credited
with 0 to 15 % more than cones. Pellets, the usual form, are given Tinseth's figure unchanged."""

FIRST_WORT_AGAINST_BOIL: Final = 1.05
"""What first-wort hops give of what the same hops give in a full boil. Common practice, no
source: 1.0 to 1.1 is met. By `worth_of_a_minute` 14 to 25 min of heating to the boil, from 60 or
from 75 °C, are a quarter to two thirds of that gain where an hour's boil follows, and less where a
longer one does."""

MOST_IBU: Final = 100.0
"""Past this, in IBU, the sum promises more than wort can dissolve: about 90 mg/L of alpha acid at
pH 5.2 (M. Malowicki, thesis, Oregon State University, 2004)."""

_BOIL_C: Final = 100.0
_STEP_MINUTES: Final = 0.25
_NEAREST_K: Final = 0.1
_WEIGHT_G: Final = (0.0, 10_000.0, "g")


def utilisation(gravity: float, minutes: Figure) -> Figure:
    """Share of the alpha acid that ends up as bitterness after `minutes` in the boil, 0 to 1.

    `gravity`, 0.98 to 1.15, is the average during the boil; `minutes`, 0 to 600, may be a curve.
    Raises `OutOfRange` outside those. For pellets; `WHOLE_AGAINST_PELLETS` tells of cones.
    Source: G. Tinseth's hop utilisation equation, as he published it. He advises to tune its one
    divisor, 4.15, to one's own kettle; other equations in use (flat factors, tables by time) lie
    up to a third away from it.
    """
    require("gravity", gravity, *GRAVITY)
    require("boil time", minutes, *MINUTES)
    bigness = 1.65 * math.pow(0.000125, gravity - 1.0)
    return bigness * -expm1(-0.04 * minutes) / 4.15


def bitterness_ibu(*, weight_g: float, alpha: float, utilisation: float, volume_l: float) -> float:
    """Bitterness in IBU (mg of iso-alpha acid per litre) from one addition.

    `weight_g` is 0 to 10 000 g; `alpha` the alpha acid as a fraction of the weight, 0 to 0.3;
    `utilisation` 0 to 1; `volume_l` the wort it is spread over, 0.001 to 1000 L at 20 °C. Raises
    `OutOfRange` outside those.
    Source: definition, with utilisation from G. Tinseth's equation.
    """
    require("hop weight", weight_g, *_WEIGHT_G)
    require("alpha acid fraction", alpha, 0.0, 0.3)
    require("utilisation", utilisation, 0.0, 1.0)
    require("volume", volume_l, *FILLED_L)
    return utilisation * alpha * weight_g * 1000.0 / volume_l


def bitterness_ratio(ibu: float, original_gravity: float) -> float:
    """IBU to a point of gravity: about 0.3 for a wheat beer, 0.6 for an amber, 1 for a bitter ale.

    `ibu` is 0 to 1000, `original_gravity` 1.001 to 1.15; raises `OutOfRange` outside those.
    Source: definition, common practice; the usual figures are common practice, no source.
    """
    require("bitterness", ibu, 0.0, 1000.0, "IBU")
    require("original gravity", original_gravity, 1.001, GRAVITY[1])
    return ibu / (1000.0 * (original_gravity - 1.0))


def isomerisation_per_minute(temperature_c: Figure) -> Figure:
    """Rate, per minute, at which alpha acid turns into bitter iso-alpha acid.

    `temperature_c` is 0 to 130 °C; raises `OutOfRange` outside that. Measured from 90 to 130 °C;
    below 90 °C it is an extrapolation.
    Source: M. Malowicki and T. Shellhammer, J. Agric. Food Chem. 53 (2005) 4434-4439.
    """
    return _rate_per_minute(7.9e11, 11858.0, temperature_c)


def loss_per_minute(temperature_c: Figure) -> Figure:
    """Rate, per minute, at which iso-alpha acid breaks down into other things.

    `temperature_c` is 0 to 130 °C; raises `OutOfRange` outside that. Measured from 90 to 130 °C;
    below 90 °C it is an extrapolation. Tinseth's scale has this loss in it already.
    Source: M. Malowicki and T. Shellhammer, J. Agric. Food Chem. 53 (2005) 4434-4439.
    """
    return _rate_per_minute(4.1e12, 12994.0, temperature_c)


def isomerised_share(
    temperatures_c: Sequence[float] | Curve, minutes: Sequence[float] | Curve
) -> Curve:
    """Share of the alpha acid that is iso-alpha acid at each moment of a wort's course, 0 to 1.

    `temperatures_c`, 0 to 130 °C, are the wort's at each of `minutes` (0 to 600), which rise from
    when the hops went in; between two moments the wort is taken at the mean. Raises `OutOfRange`
    outside those and for a time that goes back, `UnpairedReadings` where the two differ in
    number. It is what dissolves and turns in a buffer: wort and beer keep rather less of it.
    Source: two first-order reactions in a row, solved step by step, with the rates of Malowicki
    and Shellhammer (2005).
    """
    course_c, moments = _course(temperatures_c, minutes)
    require("wort temperature", course_c, 0.0, 130.0, "°C")
    alpha, iso, shares = 1.0, 0.0, [0.0]
    for middle_c, step in zip((course_c[1:] + course_c[:-1]) / 2, np.diff(moments), strict=True):
        gain, loss = isomerisation_per_minute(middle_c), loss_per_minute(middle_c)
        kept, left = math.exp(-loss * step), math.exp(-gain * step)
        iso = iso * kept + alpha * gain / (loss - gain) * (left - kept)
        alpha *= left
        shares.append(iso)
    return np.array(shares[: course_c.size])


def worth_of_a_minute(temperature_c: Figure) -> Figure:
    """What a minute at this temperature is worth, as minutes of boil at 100 °C; 0 below 70 °C.

    `temperature_c` is 0 to 105 °C; raises `OutOfRange` outside that. At 93 °C, where water boils
    at 2000 m, it is about half.
    Source: ratio of the rates of Malowicki and Shellhammer (2005); below 90 °C an extrapolation,
    below 70 °C left out by choice. (Between 80 and 100 °C the rates of Jaskula and others,
    J. Agric. Food Chem. 56 (2008) 6408-6415, would be nearer home, but are not openly printed.)
    """
    require("wort temperature", temperature_c, *LIQUID_C)
    worth = isomerisation_per_minute(temperature_c) / isomerisation_per_minute(_BOIL_C)
    return swapped(worth, temperature_c < COLDEST_C, by=0.0)


def equivalent_boil_minutes(
    temperatures_c: Sequence[float] | Curve, minutes: Sequence[float] | Curve
) -> float:
    """Minutes of boil at 100 °C that isomerise as much as the course given.

    `temperatures_c`, 0 to 105 °C, are readings of the wort taken at `minutes` (0 to 600, rising);
    below 70 °C they count as nothing. Fewer than two readings span no time. Raises `OutOfRange`
    outside those ranges and for a time that goes back, `UnpairedReadings` where the two differ in
    number. The equivalent counts for every addition already in the kettle.
    Source: `worth_of_a_minute`, summed by trapezoids.
    """
    course_c, moments = _course(temperatures_c, minutes)
    worth = worth_of_a_minute(course_c)
    return float(np.sum(np.diff(moments) * (worth[1:] + worth[:-1]) / 2.0))


def cooling_equivalent_minutes(
    *, from_c: float, to_c: float, minutes: float, toward_c: float
) -> float:
    """Minutes of boil at 100 °C that isomerise as much as a wort cooling from one to the other.

    `from_c` and `to_c` are 0 to 105 °C and `minutes`, 0 to 600, the time between them.
    `toward_c`, -30 to 105 °C, is what it would cool down to: the room for a wort left standing,
    the tap water for one on the coil. Where the wort ends no warmer than that (or no colder than
    it began) its course is taken as straight. Raises `OutOfRange` outside those.
    Source: Newton's law of cooling through both ends, then as for `equivalent_boil_minutes`.
    """
    require("starting temperature", from_c, *LIQUID_C)
    require("temperature reached", to_c, *LIQUID_C)
    require("cooling time", minutes, *MINUTES)
    require("surroundings", toward_c, -30.0, LIQUID_C[1], "°C")
    steps = max(2, math.ceil(minutes / _STEP_MINUTES))
    share = np.linspace(0.0, 1.0, steps + 1)
    if toward_c + _NEAREST_K < to_c < from_c:
        course_c = (
            toward_c + (from_c - toward_c) * ((to_c - toward_c) / (from_c - toward_c)) ** share
        )
    else:
        course_c = from_c + (to_c - from_c) * share
    return equivalent_boil_minutes(course_c, minutes * share)


def weight_to_hold_g(
    *,
    weight_g: float,
    gravity: float,
    minutes: float,
    volume_l: float,
    new_gravity: float,
    new_minutes: float,
    new_volume_l: float,
) -> float:
    """Grams that give, in the boil as it has become, the bitterness first planned.

    `weight_g`, 0 to 10 000 g, was planned at `gravity` for `minutes` in `volume_l`, the wort after
    the boil. Ranges as for `utilisation`, with `new_minutes` at least 1 (hops that do not boil
    cannot make it up) and volumes of 0.001 to 1000 L. Raises `OutOfRange` outside those.
    Source: ratio of utilisations by G. Tinseth's equation, and of volumes.
    """
    require("hop weight", weight_g, *_WEIGHT_G)
    require("boil time left", new_minutes, 1.0, MINUTES[1], "min")
    require("volume", volume_l, *FILLED_L)
    require("new volume", new_volume_l, *FILLED_L)
    worth = utilisation(gravity, minutes) / utilisation(new_gravity, new_minutes)
    return weight_g * worth * new_volume_l / volume_l


def _course(
    temperatures_c: Sequence[float] | Curve, minutes: Sequence[float] | Curve
) -> tuple[Curve, Curve]:
    course_c = np.ravel(np.asarray(temperatures_c, dtype=np.float64))
    moments = np.ravel(np.asarray(minutes, dtype=np.float64))
    if course_c.size != moments.size:
        raise UnpairedReadings(course_c.size, moments.size)
    require("time of a reading", moments, *MINUTES)
    for before, after in pairwise(moments):
        if after < before:
            raise OutOfRange("time of the next reading", float(after), float(before), *MINUTES[1:])
    return course_c, moments


def _rate_per_minute(
    factor_per_minute: float, activation_k: float, temperature_c: Figure
) -> Figure:
    require("wort temperature", temperature_c, 0.0, 130.0, "°C")
    return factor_per_minute * exp(-activation_k / (temperature_c + 273.15))
