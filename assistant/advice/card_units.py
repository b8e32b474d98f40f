"""The figures of a kettle in the units that a kettle's file has them in, as numbers."""

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.advice.figures import number
from assistant.advice.learned import Trait
from assistant.schedule.model import Units
from assistant.schedule.units import convert, convert_difference


@dataclass(frozen=True, kw_only=True)
class Unit:
    """A unit as a schedule writes it, and to how many places a figure is told in it."""

    name: str
    places: int


@dataclass(frozen=True, kw_only=True)
class InFile:
    """A figure's unit on the record, and in a file in metric and in US measure."""

    kept: str
    metric: Unit
    us: Unit


PERCENT = Unit(name="%", places=0)
SECONDS = Unit(name="s", places=0)

IN_FILE: Mapping[Trait, InFile] = {
    Trait.HEATER: InFile(kept="share", metric=PERCENT, us=PERCENT),
    Trait.HEAT_LOSS: InFile(
        kept="W/K", metric=Unit(name="W/K", places=1), us=Unit(name="W/degF", places=1)
    ),
    Trait.HEAT_CAPACITY: InFile(
        kept="J/K", metric=Unit(name="kJ/K", places=1), us=Unit(name="kJ/degF", places=1)
    ),
    Trait.BOIL_OFF: InFile(
        kept="L/h", metric=Unit(name="L/h", places=1), us=Unit(name="gal/h", places=2)
    ),
    Trait.ABSORPTION: InFile(
        kept="L/kg", metric=Unit(name="L/kg", places=2), us=Unit(name="qt/lb", places=2)
    ),
    Trait.LEFT_BEHIND: InFile(
        kept="L", metric=Unit(name="L", places=1), us=Unit(name="gal", places=2)
    ),
    Trait.EXTRACT: InFile(kept="share", metric=PERCENT, us=PERCENT),
    Trait.COAST: InFile(kept="s", metric=SECONDS, us=SECONDS),
    Trait.LANDING: InFile(
        kept="K", metric=Unit(name="K", places=1), us=Unit(name="degF", places=1)
    ),
}


def unit_of(trait: Trait, units: Units) -> Unit:
    """The unit that a figure is told in."""
    return IN_FILE[trait].us if units is Units.US else IN_FILE[trait].metric


def in_file(trait: Trait, value: float, units: Units) -> float:
    """A figure of the record, or a difference of two, in the unit that it is told in."""
    kept, unit = IN_FILE[trait].kept, unit_of(trait, units)
    if kept == "share":
        return value * 100
    if kept == "K":
        return value if unit.name == "K" else convert_difference(value, "degC", unit.name)
    return value if kept == unit.name else convert(value, kept, unit.name)


def figure_text(trait: Trait, value: float, units: Units) -> str:
    """``2.6``: a figure without its unit."""
    return number(in_file(trait, value, units), unit_of(trait, units).places)


def with_unit(trait: Trait, text: str, units: Units) -> str:
    """``2.6 L/h``."""
    return f"{text} {unit_of(trait, units).name}"
