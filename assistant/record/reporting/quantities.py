"""Figures of a report in words: differences, shares, and the units of a kettle's figures."""

from collections.abc import Callable, Mapping

from assistant.advice import figures
from assistant.advice.learned import Trait
from assistant.schedule.model import Units
from assistant.schedule.units import convert, convert_difference

NONE = "-"

TRAIT_NAMES: Mapping[Trait, str] = {
    Trait.HEATER: "heater's power used",
    Trait.HEAT_LOSS: "heat loss, lid on",
    Trait.HEAT_CAPACITY: "heat in the metal",
    Trait.BOIL_OFF: "boil-off",
    Trait.ABSORPTION: "grain holds",
    Trait.LEFT_BEHIND: "left behind",
    Trait.EXTRACT: "extract to the kettle",
    Trait.COAST: "heat once it's off",
    Trait.LANDING: "mash lands",
}

ON_THE_MARK_K = 0.25


def trait_words(trait: Trait, value: float, units: Units) -> str:
    """``3.1 L/h``: a figure of the kettle, short enough for a table."""
    if trait is Trait.LANDING:
        side = "warm" if value > 0 else "cool"
        off = figures.temperature_difference(value, units)
        return f"{off} {side}" if abs(value) >= ON_THE_MARK_K else "as reckoned"
    return spread_words(trait, value, units)


def spread_words(trait: Trait, spread: float, units: Units) -> str:
    """``0.2 L/h``: how sure a figure of the kettle is."""
    if trait is Trait.LANDING:
        return figures.temperature_difference(spread, units)
    return BY_UNIT[TRAIT_UNITS[trait]](spread, units)


TRAIT_UNITS: Mapping[Trait, str] = {
    Trait.HEATER: "share",
    Trait.HEAT_LOSS: "W/K",
    Trait.HEAT_CAPACITY: "J/K",
    Trait.BOIL_OFF: "L/h",
    Trait.ABSORPTION: "L/kg",
    Trait.LEFT_BEHIND: "L",
    Trait.EXTRACT: "share",
    Trait.COAST: "s",
    Trait.LANDING: "K",
}
"""The unit each figure of the kettle is kept in."""


def _share(value: float, units: Units) -> str:
    return f"{figures.number(value * 100, 0)} %"


def _rate(value: float, units: Units) -> str:
    if units is Units.US:
        return f"{figures.number(convert(value, 'L', 'gal'), 2)} gal/h"
    return f"{figures.number(value, 1)} L/h"


def _held(value: float, units: Units) -> str:
    if units is Units.US:
        return f"{figures.number(convert(value, 'L/kg', 'qt/lb'), 2)} qt/lb"
    return f"{figures.number(value, 2)} L/kg"


def _a_degree(unit: str, scale: float) -> Callable[[float, Units], str]:
    def words(value: float, units: Units) -> str:
        if units is Units.US:
            each = value / convert_difference(1.0, "degC", "degF")
            return f"{figures.number(each / scale, 1)} {unit}/degF"
        return f"{figures.number(value / scale, 1)} {unit}/degC"

    return words


def _minutes(value: float, units: Units) -> str:
    return figures.duration(value * 60)


def _kilos(value: float, units: Units) -> str:
    return figures.weight(value * 1000, units)


BY_UNIT: Mapping[str, Callable[[float, Units], str]] = {
    "L": figures.volume,
    "L/h": _rate,
    "L/kg": _held,
    "W/K": _a_degree("W", 1.0),
    "J/K": _a_degree("kJ", 1000.0),
    "share": _share,
    "kg": _kilos,
    "g": figures.weight,
    "min": _minutes,
    "degC": figures.temperature_read,
    "s": lambda value, units: figures.duration(value),
}
"""How a figure of an account is put in words, by the unit it is kept in."""


def in_words(value: float | None, unit: str, units: Units) -> str:
    """A figure kept in ``unit``, in the brewer's own; nothing where there is none."""
    return "" if value is None else BY_UNIT[unit](value, units)


def temperature_off(difference_k: float, units: Units) -> str:
    """``1.3 degrees``: to a tenth, as the temperatures are that stand beside it."""
    if units is Units.US:
        difference_k = convert_difference(difference_k, "degC", "degF")
    return figures.counted(figures.number(abs(difference_k), 1), "degree")


def more_or_less(value: float, words: str, least: float) -> str:
    """``0.3 litres less``, ``1 point more``; nothing where it is less than ``least``."""
    if abs(value) < least:
        return ""
    return f"{words} {'more' if value > 0 else 'less'}"


def volume_moved(litres: float, units: Units) -> str:
    """``0.3 litres less``, ``0.3 quarts more``."""
    return more_or_less(litres, figures.volume(abs(litres), units), 0.05)


def gravity_moved(gravity: float) -> str:
    """``1.2 points more``: a difference of gravities to a tenth of a point."""
    shown = figures.number(abs(gravity) * 1000, 1)
    return more_or_less(gravity, figures.counted(shown, "point"), 0.00005)


def ibu_moved(ibu: float) -> str:
    """``1.2 IBU less``."""
    return more_or_less(ibu, f"{figures.number(abs(ibu), 1)} IBU", 0.05)


def moved_in_all(volume_l: float | None, gravity: float | None, ibu: float | None, u: Units) -> str:
    """``0.3 litres less and 1.2 points more``: all that was moved, or nothing."""
    parts = [
        volume_moved(volume_l or 0.0, u),
        gravity_moved(gravity or 0.0),
        ibu_moved(ibu or 0.0),
    ]
    return figures.listed([part for part in parts if part])
