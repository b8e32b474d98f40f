"""Bitterness: how much of the hops' alpha acid ends up, isomerised, in the beer.

Tinseth's equation sets the scale for additions to the boil. Hops steeped below the boil are put
on the same scale by counting each minute for what it is worth at 100 °C, by the measured rate of
isomerisation. Against laboratory figures the whole is good to 20 to 30 % (from memory,
unchecked), so differences between two plans mean more than the figure itself.
"""

import math
from collections.abc import Sequence
from typing import Final

from assistant.brewing.errors import FILLED_L, GRAVITY, LIQUID_C, MINUTES, ROOM_C, require

COLDEST_C: Final = 70.0
"""Below this, in °C, hops are taken to give no bitterness: the rate was not measured there."""

_BOIL_C: Final = 100.0
_STEEP_STEP_MINUTES: Final = 0.25
_WEIGHT_G: Final = (0.0, 10_000.0, "g")


def utilisation(gravity: float, minutes: float) -> float:
    """Share of the alpha acid that ends up as bitterness after `minutes` in the boil, 0 to 1.

    `gravity`, 0.98 to 1.15, is the average during the boil; `minutes` is 0 to 600. Raises
    `OutOfRange` outside those.
    Source: G. Tinseth's hop utilisation equation, as he published it.
    """
    require("gravity", gravity, *GRAVITY)
    require("boil time", minutes, *MINUTES)
    bigness = 1.65 * math.pow(0.000125, gravity - 1.0)
    return bigness * -math.expm1(-0.04 * minutes) / 4.15


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


def isomerisation_per_minute(temperature_c: float) -> float:
    """Rate, per minute, at which alpha acid turns into bitter iso-alpha acid.

    `temperature_c` is 0 to 130 °C; raises `OutOfRange` outside that. Measured from 90 to 130 °C;
    below 90 °C it is an extrapolation.
    Source: M. Malowicki and T. Shellhammer, J. Agric. Food Chem. 53 (2005) 4434-4439.
    """
    return _rate_per_minute(7.9e11, 11858.0, temperature_c)


def loss_per_minute(temperature_c: float) -> float:
    """Rate, per minute, at which iso-alpha acid breaks down into other things.

    `temperature_c` is 0 to 130 °C; raises `OutOfRange` outside that. Measured from 90 to 130 °C;
    below 90 °C it is an extrapolation.
    Source: M. Malowicki and T. Shellhammer, J. Agric. Food Chem. 53 (2005) 4434-4439.
    """
    return _rate_per_minute(4.1e12, 12994.0, temperature_c)


def equivalent_boil_minutes(temperatures_c: Sequence[float], step_minutes: float) -> float:
    """Minutes of boil at 100 °C that isomerise as much as the temperatures given.

    `temperatures_c` are readings of the wort, 0 to 105 °C, one every `step_minutes` (0 to 600);
    below 70 °C they count as nothing. Fewer than two readings span no time. Raises `OutOfRange`
    outside those ranges. The equivalent counts for every addition already in the kettle.
    Source: ratio of the rates of Malowicki and Shellhammer (2005), summed by trapezoids; below
    90 °C an extrapolation, below 70 °C left out by choice.
    """
    require("time between readings", step_minutes, *MINUTES)
    worth = [_worth(temperature_c) for temperature_c in temperatures_c]
    if len(worth) < 2:
        return 0.0
    return step_minutes * (sum(worth) - (worth[0] + worth[-1]) / 2.0)


def steep_equivalent_minutes(
    *, from_c: float, minutes: float, room_c: float, cooling_per_hour: float = 0.0
) -> float:
    """Minutes of boil at 100 °C that isomerise as much as a steep left to cool.

    `from_c`, the wort when the steep begins, is 0 to 105 °C; `minutes` 0 to 600; `room_c` -30 to
    60 °C; `cooling_per_hour`, the share of its excess over the room that the kettle would lose in
    an hour at its first rate (heat loss in W/K times 3600 over heat capacity in J/K), 0 to 10 per
    hour, zero for a steep held at `from_c`. Raises `OutOfRange` outside those.
    Source: Newton's law of cooling, then as for `equivalent_boil_minutes`.
    """
    require("steep temperature", from_c, *LIQUID_C)
    require("steep time", minutes, *MINUTES)
    require("room temperature", room_c, *ROOM_C)
    require("cooling", cooling_per_hour, 0.0, 10.0, "per hour")
    steps = max(1, math.ceil(minutes / _STEEP_STEP_MINUTES))
    step_minutes = minutes / steps
    step_cooling = cooling_per_hour * step_minutes / 60.0
    temperatures_c = [
        max(0.0, room_c + (from_c - room_c) * math.exp(-step_cooling * step))
        for step in range(steps + 1)
    ]
    return equivalent_boil_minutes(temperatures_c, step_minutes)


def weight_to_hold_g(
    *, weight_g: float, gravity: float, minutes: float, new_gravity: float, new_minutes: float
) -> float:
    """Grams that give, in `new_minutes` at `new_gravity`, the bitterness first planned.

    `weight_g` was planned at `gravity` for `minutes`. Ranges as for `utilisation`, with
    `weight_g` 0 to 10 000 g and `new_minutes` at least 1: hops that do not boil cannot make it
    up. Raises `OutOfRange` outside those.
    Source: ratio of utilisations by G. Tinseth's equation.
    """
    require("hop weight", weight_g, *_WEIGHT_G)
    require("boil time left", new_minutes, 1.0, MINUTES[1], "min")
    return weight_g * utilisation(gravity, minutes) / utilisation(new_gravity, new_minutes)


def _rate_per_minute(factor_per_minute: float, activation_k: float, temperature_c: float) -> float:
    require("wort temperature", temperature_c, 0.0, 130.0, "°C")
    return factor_per_minute * math.exp(-activation_k / (temperature_c + 273.15))


def _worth(temperature_c: float) -> float:
    require("wort temperature", temperature_c, *LIQUID_C)
    if temperature_c < COLDEST_C:
        return 0.0
    return isomerisation_per_minute(temperature_c) / isomerisation_per_minute(_BOIL_C)
