"""Readers that turn one written value into something checked, for the tables to be made of.

A reader's ``read`` answers with the value or raises ``Misfit``. Its limits are in its own unit; a
fault shows them in the unit the brewer wrote.
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from enum import Enum
from math import isclose
from typing import Any

from assistant.schedule.faults import Place
from assistant.schedule.reading import NOTHING, TEXT, Mapping, Node, Scalar, Sequence, Unusable
from assistant.schedule.units import Quantity, UnitError, convert, parse_quantity, parse_range

LONGEST_NAME = 80
SHARE_UNITS = ("%", "percent", "permille", "ppm")


class Misfit(Exception):
    """A value is not what its key wants."""

    def __init__(self, found: str, wanted: str) -> None:
        super().__init__(found, wanted)
        self.found = found
        self.wanted = wanted


@dataclass(frozen=True, kw_only=True)
class Name:
    """Printable text of 1 to 80 characters; a number or a yes is a name only in quotes."""

    what: str

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return f"{self.what} in 1 to {LONGEST_NAME} characters"

    def read(self, node: Node, place: Place) -> str:
        """The text without the blanks around it, or Misfit."""
        text = plain(node, self.wanted)
        if isinstance(node, Scalar) and node.holds != TEXT:
            raise Misfit(f"{node.holds}, {text}", f"{self.wanted}, in quotes if it is no word")
        if not 1 <= len(text.strip()) <= LONGEST_NAME:
            raise Misfit(text.strip() or NOTHING, self.wanted)
        if not text.isprintable():
            raise Misfit(text, f"{self.wanted}, all of them printable")
        return text.strip()


@dataclass(frozen=True, kw_only=True)
class Measure:
    """A quantity in ``unit`` from ``low`` to ``high``; ``what`` and ``example`` explain it."""

    what: str
    unit: str
    low: float
    high: float
    example: str

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return f"{self.what} such as {self.example}"

    def read(self, node: Node, place: Place) -> float:
        """The value in ``unit``, or Misfit."""
        text = plain(node, self.wanted)
        try:
            return self.checked(parse_quantity(text))
        except UnitError as error:
            raise Misfit(text, self.wanted) from error

    def checked(self, quantity: Quantity) -> float:
        """The quantity in ``unit``; UnitError where it measures something else, or Misfit."""
        if self.unit == "percent" and quantity.unit not in SHARE_UNITS:
            # An angle is a bare ratio to pint: 1 degree would pass for 1.7 %.
            raise UnitError(f"{quantity.unit} is not a share")
        if (self.unit, quantity.unit) == ("mg/L", "ppm"):
            # A laboratory's ppm of water are milligrams to the litre.
            quantity = Quantity(value=quantity.value, unit="mg/L")
        value = quantity.to(self.unit)
        # 176 degF is the 80 degC of a limit but for the last binary digit.
        nearest = min(max(value, self.low), self.high)
        if isclose(value, nearest, rel_tol=1e-9, abs_tol=1e-9):
            return nearest
        low, high = (
            f"{figure(convert(limit, self.unit, quantity.unit))} {quantity.unit}"
            for limit in (self.low, self.high)
        )
        raise Misfit(f"{quantity.value:.10g} {quantity.unit}", f"{self.what} from {low} to {high}")


@dataclass(frozen=True, kw_only=True)
class Share:
    """A percentage, read as a fraction of one; the measure's unit is ``percent``."""

    measure: Measure

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return self.measure.wanted

    def read(self, node: Node, place: Place) -> float:
        """The fraction, or Misfit."""
        return self.measure.read(node, place) / 100


@dataclass(frozen=True, kw_only=True)
class Span:
    """Two quantities, ``18 degC to 20 degC``, or one that is both ends."""

    measure: Measure

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return f"a range such as {self.measure.example}"

    def read(self, node: Node, place: Place) -> tuple[float, float]:
        """Both ends in the measure's unit, or Misfit."""
        text = plain(node, self.wanted)
        try:
            low, high = (self.measure.checked(end) for end in parse_range(text))
        except UnitError as error:
            raise Misfit(text, self.wanted) from error
        if low > high:
            raise Misfit(text, f"{self.wanted}, the lower end first")
        return low, high


@dataclass(frozen=True, kw_only=True)
class Number:
    """A bare number from ``low`` to ``high``, for what the trade gives without a unit."""

    what: str
    low: float
    high: float
    example: str

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return f"{self.what} from {self.low:g} to {self.high:g} such as {self.example}"

    def read(self, node: Node, place: Place) -> float:
        """The number, or Misfit."""
        text = plain(node, self.wanted)
        try:
            quantity = parse_quantity(text)
        except UnitError as error:
            raise Misfit(text, self.wanted) from error
        if quantity.unit or not self.low <= quantity.value <= self.high:
            raise Misfit(text, self.wanted)
        return quantity.value


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One of an enum's values."""

    among: type[Enum]

    @property
    def choices(self) -> list[str]:
        """The enum's values as they are written in a file."""
        return [str(member.value) for member in self.among]

    @property
    def wanted(self) -> str:
        """What a value of this kind looks like, for a fault."""
        return one_of(self.choices)

    def read(self, node: Node, place: Place) -> Any:
        """The member of the enum, or Misfit."""
        text = plain(node, self.wanted)
        if text not in self.choices:
            raise Misfit(text, self.wanted + did_you_mean(text, self.choices))
        return self.among(text)


def plain(node: Node, wanted: str) -> str:
    """The text of a value that is no list, no group and not empty; Misfit otherwise."""
    if not isinstance(node, Scalar) or NOTHING in (node.holds, described(node)):
        raise Misfit(described(node), wanted)
    return node.text


def described(node: Node) -> str:
    """What a node is, in a few words, for a fault."""
    match node:
        case Scalar(text="") | Scalar(holds="nothing"):
            return NOTHING
        case Scalar(text=text):
            return re.sub(r"\s+", " ", text)
        case Sequence():
            return "a list"
        case Mapping():
            return "a group of keys"
        case Unusable(found=found):
            return found


def figure(value: float) -> str:
    """A limit in at most four figures, never as a power of ten."""
    return f"{value:.4g}" if abs(value) < 1000 else f"{value:.0f}"


def one_of(choices: list[str]) -> str:
    """The choices as words: ``one of pellet, whole``."""
    return f"one of {', '.join(choices)}"


def did_you_mean(text: str, choices: list[str]) -> str:
    """The nearest of the choices as a question, or nothing where none is near."""
    near = get_close_matches(text[:LONGEST_NAME].lower(), choices, n=1)
    return f" (did you mean {near[0]}?)" if near else ""
