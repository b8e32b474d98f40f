"""Quantities as a brewer writes them, and conversion between the units of two worlds.

pint knows the units; this module adds those of the trade (``EBC``, ``degL``, ``degP``, ``vol``,
``SG``). Text is matched against one strict pattern before pint sees a unit's name, so nothing
written in a file or sent by a sensor is ever evaluated as an expression.

Sources: malt colour from Lovibond, EBC = 2.65 °L - 1.2, from memory, unchecked; the rest are
pint's own definitions (SI, NIST Handbook 44 for US measure).
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any

TRADE_UNITS = (
    "ebc_colour = [malt_colour] = EBC",
    "degree_lovibond = 2.65 * ebc_colour; offset: -1.2 = degL = degreeL",
    "degree_plato = [plato] = degP = degreeP",
    "volume_of_co2 = [carbonation] = vol",
    "specific_gravity = [specific_gravity] = SG",
)
LONGEST_QUANTITY = 48

_NUMBER = r"[+-]?(?:[0-9]{1,9}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})"
_NAME = r"(?:%|°?[A-Za-z][A-Za-z_]{0,23})"
_UNIT = rf"{_NAME}(?:/{_NAME})?"
_unit_pattern = re.compile(_UNIT)
_quantity_pattern = re.compile(rf"({_NUMBER}) *({_UNIT})?")


class UnitError(ValueError):
    """A unit is not known, or two units do not measure the same thing."""


@dataclass(frozen=True, kw_only=True)
class Quantity:
    """A finite number and the name of its unit; the name is empty for a bare number."""

    value: float
    unit: str

    def to(self, unit: str) -> float:
        """The value in ``unit``; UnitError where that measures something else."""
        return convert(self.value, self.unit, unit)


def parse_quantity(text: str) -> Quantity:
    """Read ``19 L``, ``7.2 %``, ``4.0 kJ/K`` or a bare ``1.046``.

    The number is a plain decimal, at most nine digits before the point and fifteen after it; the
    unit is one name or two with a slash. Raises UnitError for anything else and for a unit that
    is not known.
    """
    match = _quantity_pattern.fullmatch(text.strip()) if len(text) <= LONGEST_QUANTITY else None
    if match is None:
        raise UnitError(f"{text[:LONGEST_QUANTITY]!r} is not a number with a unit such as 19 L")
    number, unit = match.groups(default="")
    if unit:
        _resolved(unit)
    return Quantity(value=float(number), unit=unit)


def parse_range(text: str) -> tuple[Quantity, Quantity]:
    """Read ``18 degC to 20 degC`` as its two ends; one quantity alone is both ends.

    Raises UnitError where either end is not a quantity with a known unit.
    """
    low, separator, high = text.partition(" to ")
    first = parse_quantity(low)
    return first, parse_quantity(high) if separator else first


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """``value`` in ``from_unit`` as a value in ``to_unit``, offsets of temperature included.

    Raises UnitError for an unknown unit or for two that do not measure the same thing.
    """
    slope, offset = _line(from_unit, to_unit)
    return value * slope + offset


def convert_difference(value: float, from_unit: str, to_unit: str) -> float:
    """A difference in ``from_unit`` as one in ``to_unit``: 10 degC apart are 18 degF apart.

    Raises UnitError as ``convert`` does.
    """
    return value * _line(from_unit, to_unit)[0]


@lru_cache(maxsize=512)
def _line(from_unit: str, to_unit: str) -> tuple[float, float]:
    import pint

    source, target = _resolved(from_unit), _resolved(to_unit)
    try:
        nought, one = (
            Decimal(_registry().convert(Decimal(value), source, target)) for value in (0, 1)
        )
    except (pint.errors.PintError, ArithmeticError, AssertionError, TypeError, ValueError) as error:
        # Decibels and their like no decimal arithmetic can do: pint answers them with TypeError,
        # and their ratios, such as dB/L, with a failed assertion.
        raise UnitError(f"{from_unit} cannot be given in {to_unit}") from error
    return float(one - nought), float(nought)


@lru_cache(maxsize=512)
def _resolved(unit: str) -> Any:
    import pint

    if _unit_pattern.fullmatch(unit) is None or unit.startswith("delta_"):
        raise UnitError(f"{unit[:LONGEST_QUANTITY]!r} is not a unit")
    try:
        return _registry().parse_units(unit)
    except (pint.errors.PintError, ArithmeticError, ValueError) as error:
        raise UnitError(f"{unit!r} is not a unit that is known") from error


@cache
def _registry() -> Any:
    # Costs a fifth of a second, so it waits for the first file or figure that needs it.
    import pint

    # In binary, melting ice would be 31.999999999999936 °F.
    registry: Any = pint.UnitRegistry(non_int_type=Decimal)
    for definition in TRADE_UNITS:
        registry.define(definition)
    return registry
