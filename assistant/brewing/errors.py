"""Faults a sum can find in what it is given, and the ranges the sums accept."""

import math
from typing import Final

import numpy as np

from assistant.brewing.curves import Curve

Bounds = tuple[float, float, str]
"""Lowest and highest accepted value, and the unit as a brewer says it."""

GRAVITY: Final[Bounds] = (0.98, 1.15, "")
# What plato_from_gravity makes of the two ends of GRAVITY, rounded outwards.
EXTRACT_PLATO: Final[Bounds] = (-5.265, 34.243, "°P")
VOLUME_L: Final[Bounds] = (0.0, 1000.0, "L")
FILLED_L: Final[Bounds] = (0.001, 1000.0, "L")
GRAIN_KG: Final[Bounds] = (0.0, 500.0, "kg")
MOISTURE: Final[Bounds] = (0.0, 0.2, "")
LIQUID_C: Final[Bounds] = (0.0, 105.0, "°C")
ROOM_C: Final[Bounds] = (-30.0, 60.0, "°C")
KETTLE_J_K: Final[Bounds] = (0.0, 500_000.0, "J/K")
CAPACITY_J_K: Final[Bounds] = (1.0, 10_000_000.0, "J/K")
POWER_W: Final[Bounds] = (0.0, 100_000.0, "W")
LOSS_W_K: Final[Bounds] = (0.0, 1000.0, "W/K")
MINUTES: Final[Bounds] = (0.0, 600.0, "min")

_ALL_DIGITS: Final = 17


class OutOfRange(ValueError):
    """A value lies outside what a sum is good for.

    Keeps `what` was given, the value `found`, the accepted `low` and `high`, and their `unit`
    (empty for a pure number such as gravity).
    """

    def __init__(self, what: str, found: float, low: float, high: float, unit: str = "") -> None:
        super().__init__(what, found, low, high, unit)
        self.what = what
        self.found = found
        self.low = low
        self.high = high
        self.unit = unit

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        found, low, high = _told_apart(4, self.found, self.low, self.high)
        return f"{self.what} {found}{unit} is outside {low} to {high}{unit}"


class NeverReaches(ValueError):
    """Heating or cooling as described levels off before the wanted temperature.

    Keeps the temperature `wanted_c` and `limit_c`, where it would level off, both in °C.
    """

    def __init__(self, wanted_c: float, limit_c: float) -> None:
        super().__init__(wanted_c, limit_c)
        self.wanted_c = wanted_c
        self.limit_c = limit_c

    def __str__(self) -> str:
        return f"never reaches {self.wanted_c:.1f} °C: it would level off at {self.limit_c:.1f} °C"


class UnpairedReadings(ValueError):
    """Temperatures and the times they were read at do not pair off. Keeps how many of each."""

    def __init__(self, temperatures: int, times: int) -> None:
        super().__init__(temperatures, times)
        self.temperatures = temperatures
        self.times = times

    def __str__(self) -> str:
        return (
            f"{self.temperatures} temperatures do not go with {self.times} times: "
            "each needs the time it was read at"
        )


class UnknownSugar(ValueError):
    """A priming sugar has no known yield of gas. Keeps the name `found` and those `wanted`."""

    def __init__(self, found: str, wanted: tuple[str, ...]) -> None:
        super().__init__(found, wanted)
        self.found = found
        self.wanted = wanted

    def __str__(self) -> str:
        return f"priming sugar {self.found!r} is not known, wanted one of: {', '.join(self.wanted)}"


class OverPressure(ValueError):
    """Bottles would hold more gas than their glass is for.

    Keeps `wanted_vol` and `limit_vol`, both volumes of carbonation, and `pressure_kpa`, what the
    bottles would hold over the air in a 30 °C room.
    """

    def __init__(self, wanted_vol: float, limit_vol: float, pressure_kpa: float) -> None:
        super().__init__(wanted_vol, limit_vol, pressure_kpa)
        self.wanted_vol = wanted_vol
        self.limit_vol = limit_vol
        self.pressure_kpa = pressure_kpa

    def __str__(self) -> str:
        wanted, limit = _told_apart(3, self.wanted_vol, self.limit_vol)
        return (
            f"{wanted} volumes is more than the {limit} these bottles are for: "
            f"in a 30 °C room they would hold {self.pressure_kpa:.0f} kPa over the air"
        )


def require(what: str, value: float | Curve, low: float, high: float, unit: str = "") -> None:
    """Raise `OutOfRange` unless `value` is a number from `low` to `high`, both included.

    Of a curve each figure must be; the first that is not is the one found. `what` names the value
    in a brewer's words; `unit` is the unit of all three figures. Not-a-number and infinity are
    never accepted.
    """
    if isinstance(value, np.ndarray):
        within = np.isfinite(value) & (low <= value) & (value <= high)
        if not within.all():
            raise OutOfRange(what, float(value[~within][0]), low, high, unit)
    elif not (math.isfinite(value) and low <= value <= high):
        raise OutOfRange(what, value, low, high, unit)


def _told_apart(digits: int, found: float, *limits: float) -> list[str]:
    """The figures with as few digits as leave what was found different from its limits."""
    while True:
        figures = [_figure(value, digits) for value in (found, *limits)]
        if figures[0] not in figures[1:] or digits >= _ALL_DIGITS:
            return figures
        digits += 1


def _figure(value: float, digits: int) -> str:
    if not 1.0 <= abs(value) < math.inf:
        return f"{value:.{digits}g}"
    places = max(digits - len(str(int(abs(value)))), 0)
    figure = f"{value:,.{places}f}" if abs(value) >= 100_000.0 else f"{value:.{places}f}"
    return figure.rstrip("0").rstrip(".") if places else figure
