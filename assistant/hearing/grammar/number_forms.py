"""The forms in which brewers say a number, as grammar: the other direction of ``numbers``.

Each form is a row of a table with its weight; whatever is made here, ``parse_number`` reads. Which
forms are usual, and how much, is common practice, no source.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from assistant.hearing.grammar.tree import Either, Maybe, Node, Say, Then, any_of, either
from assistant.hearing.numbers import DIGITS, FRACTIONS, POINT, spell
from assistant.hearing.spoken import Words

UNLIKELY = 0.05
"""The weight of a number outside its likely range, beside one within."""


@dataclass(frozen=True, kw_only=True)
class Range:
    """The bounds of what can be said of a quantity, and of what is likely, in the unit said.

    ``step`` is how coarse it is read: whole numbers between its multiples are not said.
    """

    low: float
    high: float
    likely_low: float
    likely_high: float
    step: int = 1

    def weight(self, value: float) -> float:
        """How likely a value is beside the others."""
        return 1.0 if self.likely_low <= value <= self.likely_high else UNLIKELY


def _digit(number: int) -> str:
    return spell(number)[0]


def _digits(number: int, nought: str = "oh") -> Words:
    return tuple(nought if digit == "0" else _digit(int(digit)) for digit in str(number))


def _pair(number: int) -> Words:
    """Two digits as they are said in pairs: ``forty eight``, ``oh five``, ``hundred``."""
    return spell(number) if number > 9 else ("oh", _digit(number))


def _hundred(lead: str, link: Words) -> Callable[[int], Words | None]:
    def words(number: int) -> Words | None:
        hundreds, rest = divmod(number, 100)
        if not hundreds or (lead == "a" and hundreds > 1):
            return None
        head = (lead or _digit(hundreds), "hundred")
        return (*head, *link, *spell(rest)) if rest else (head if not link else None)

    return words


def _run_together(number: int) -> Words | None:
    hundreds, rest = divmod(number, 100)
    return (_digit(hundreds), *_pair(rest)) if hundreds and rest else None


WHOLE_FORMS: tuple[tuple[float, Callable[[int], Words | None]], ...] = (
    (1.0, lambda number: spell(number) if number < 100 else None),
    (1.0, _run_together),
    (0.5, _hundred("", ("and",))),
    (0.5, _hundred("a", ("and",))),
    (0.3, _hundred("", ())),
    (0.2, _hundred("a", ())),
    (0.25, lambda number: _digits(number) if number > 9 else None),
    (0.1, lambda number: _digits(number, "zero") if "0" in str(number) and number > 9 else None),
)
"""A whole number from 0 to 999: each form with its weight, None where a number has no such form."""


def _points(number: int) -> Words | None:
    return (*spell(number - 1000), "points") if number >= 1001 else None


def _gravity_pairs(number: int) -> Words | None:
    if number < 1000:
        return (_digit(9), *_pair(number - 900))
    return (*spell(number // 100), *_pair(number % 100)) if number % 100 else None


def _after_point(nought: str) -> Callable[[int], Words | None]:
    def words(number: int) -> Words | None:
        digits = _digits(number, nought)
        return (POINT, *digits) if number < 1000 else (digits[0], POINT, *digits[1:])

    return words


def _point_and_pair(number: int) -> Words | None:
    rest = number - 1000
    return ("one", POINT, "oh", *spell(rest)) if 10 <= rest <= 99 else None


def _thousands(lead: str) -> Callable[[int], Words | None]:
    def words(number: int) -> Words | None:
        return (lead, "thousand", "and", *spell(number - 1000)) if number > 1000 else None

    return words


GRAVITY_FORMS: tuple[tuple[float, Callable[[int], Words | None]], ...] = (
    (1.0, _digits),
    (0.3, lambda number: _digits(number, "zero") if number >= 1000 else None),
    (1.0, _gravity_pairs),
    (1.0, _after_point("oh")),
    (0.5, _after_point("zero")),
    (0.1, _point_and_pair),
    (0.2, _points),
    (0.1, _thousands("a")),
    (0.1, _thousands("one")),
)
"""A gravity in thousandths, 990 to 1150."""


def whole_number(within: Range) -> Node:
    """The whole numbers of a range, each in all its forms."""
    return _enumerated(WHOLE_FORMS, within)


def gravity_number(within: Range) -> Node:
    """The gravities of a range in thousandths, each in all its forms."""
    return _enumerated(GRAVITY_FORMS, within)


def _enumerated(
    forms: Iterable[tuple[float, Callable[[int], Words | None]]], within: Range
) -> Either:
    options: dict[Words, float] = {}
    first = math.ceil(within.low / within.step) * within.step
    for number in range(first, math.floor(within.high) + 1, within.step):
        for weight, form in forms:
            words = form(number)
            if words is not None:
                options.setdefault(words, weight * within.weight(number))
    return Either(tuple((weight, Say(words)) for words, weight in options.items()))


_any_digit = any_of((word,) for word in DIGITS)
_tens_pair = any_of(spell(number) for number in range(10, 100))
_fractions = any_of(FRACTIONS)

ONE_DECIMAL = Either(((1.0, Then((Say((POINT,)), _any_digit))), (0.15, _fractions)))
"""``point five``, ``and a half``."""

TWO_DECIMALS = Either(
    (
        (0.6, Then((Say((POINT,)), _any_digit))),
        (0.6, Then((Say((POINT,)), _any_digit, _any_digit))),
        (0.2, Then((Say((POINT,)), _tens_pair))),
        (0.3, _fractions),
    )
)
"""``point five``, ``point two five``, ``point twenty five``, ``and a quarter``."""


def decimal_number(within: Range, decimals: Node, share: float) -> Node:
    """A number whose whole part is in a range; ``share`` of the times with decimals."""
    wide = Range(
        low=math.floor(within.low),
        high=math.floor(within.high),
        likely_low=math.floor(within.likely_low),
        likely_high=math.floor(within.likely_high),
        step=within.step,
    )
    below_one = (Then((Say((POINT,)), _any_digit)),) if wide.low <= 0 else ()
    number = Then((whole_number(wide), Maybe(decimals, share)))
    return either((number, *below_one)) if below_one else number


def minus(number: Node) -> Node:
    """A number below nought."""
    return Then((Say(("minus",)), number))
