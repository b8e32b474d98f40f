"""Numbers as brewers say them: cardinal, digit by digit, or in the short forms of the brewhouse.

"One fifty two" is 152 and "ten forty eight" 1048, which as a gravity is 1.048. A word that is no
number word makes the whole no number: nothing is guessed. Which short forms there are is common
practice, no source.
"""

import re
from collections.abc import Mapping

from assistant.hearing.spoken import Words

UNITS: Mapping[str, int] = {
    "zero": 0,
    "nought": 0,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
}
DIGITS: Mapping[str, int] = {**UNITS, "oh": 0}
"""Said digit by digit; "oh" is a nought only in company."""

TEENS: Mapping[str, int] = {
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
}
TENS: Mapping[str, int] = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
FRACTIONS: Mapping[Words, float] = {
    ("and", "a", "half"): 0.5,
    ("and", "a", "quarter"): 0.25,
    ("and", "three", "quarters"): 0.75,
}
MINUS = ("minus", "negative")
POINT = "point"

GRAVITY_LEADS = ("10", "11")
"""How a gravity said in pairs begins: ten forty eight, eleven oh five."""

_figures = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")
_digits = re.compile(r"[0-9]{1,9}")


def parse_number(words: Words) -> float | None:
    """The number that all of these words make, or None where they are no number.

    In figures a number has at most nine digits either side of the point.
    """
    figures = in_figures(words)
    # Adding nothing spares us a negative nought.
    return None if figures is None else float(figures) + 0.0


def in_figures(words: Words) -> str | None:
    """The number that all of these words make, written with the decimals that were said."""
    if words and words[0] in MINUS:
        size = in_figures(words[1:])
        # A second minus would make a number nobody says.
        return None if size is None or words[1] in MINUS else f"-{size}"
    for ending, fraction in FRACTIONS.items():
        if words[-len(ending) :] == ending:
            whole = _whole(words[: -len(ending)])
            return None if whole is None else f"{whole}{str(fraction).removeprefix('0')}"
    if POINT in words:
        place = words.index(POINT)
        before = _whole(words[:place]) if place else 0
        decimals = _decimals(words[place + 1 :])
        return None if before is None or decimals is None else f"{before}.{decimals}"
    if len(words) == 1 and _figures.fullmatch(words[0]):
        return words[0]
    number = _whole(words)
    return None if number is None else str(number)


def spell(number: int) -> Words:
    """A whole number from 0 to 999 as a cardinal: ``one hundred and fifty two``.

    Raises ValueError outside that range.
    """
    if not 0 <= number <= 999:
        raise ValueError(f"{number} can't be spelt; wanted is a whole number from 0 to 999")
    hundreds, rest = divmod(number, 100)
    if not hundreds:
        return _spell_below_hundred(rest)
    head = (_WORD_FOR[hundreds], "hundred")
    return (*head, "and", *_spell_below_hundred(rest)) if rest else head


_WORD_FOR = {
    number: word
    for table in (TENS, TEENS, UNITS)
    for word, number in table.items()
    if word != "nought"
}


def _spell_below_hundred(number: int) -> Words:
    if number in _WORD_FOR:
        return (_WORD_FOR[number],)
    return (_WORD_FOR[number - number % 10], _WORD_FOR[number % 10])


def _whole(words: Words) -> int | None:
    if len(words) == 1 and _digits.fullmatch(words[0]):
        return int(words[0])
    cardinal = _cardinal(words)
    return _run_together(words) if cardinal is None else cardinal


def _cardinal(words: Words) -> int | None:
    if "thousand" in words:
        return _scaled(words, "thousand", 1000, UNITS)
    return _below_thousand(words)


def _below_thousand(words: Words) -> int | None:
    if "hundred" in words:
        return _scaled(words, "hundred", 100, {**UNITS, **TEENS})
    return _below_hundred(words)


def _scaled(words: Words, scale: str, size: int, counts: Mapping[str, int]) -> int | None:
    place = words.index(scale)
    head, rest = words[:place], words[place + 1 :]
    count = {**counts, "a": 1}.get(head[0], 0) if len(head) == 1 else 0
    if not count:
        return None
    if not rest:
        return count * size
    below = {1000: _below_thousand, 100: _below_hundred}[size]
    more = below(rest[1:] if rest[0] == "and" else rest)
    return None if not more else count * size + more


def _below_hundred(words: Words) -> int | None:
    if len(words) == 1:
        return {**UNITS, **TEENS, **TENS}.get(words[0])
    if len(words) == 2 and words[0] in TENS and UNITS.get(words[1]):
        return TENS[words[0]] + UNITS[words[1]]
    return None


def _run_together(words: Words) -> int | None:
    groups = _groups(words)
    if groups is None or len(groups) < 2 or groups[0] == "0":
        return None
    match [len(group) for group in groups]:
        case [1, 1] | [1, 1, 1] | [1, 1, 1, 1] | [1, 2]:
            fits = True
        case [2, 2]:
            fits = groups[0] in GRAVITY_LEADS
        case [2, 1, 1]:
            fits = groups[0] in GRAVITY_LEADS and groups[1] == "0"
        case [1, 1, 2]:
            fits = groups[1] == "0"
        case _:
            fits = False
    return int("".join(groups)) if fits else None


def _decimals(words: Words) -> str | None:
    if len(words) == 1 and _digits.fullmatch(words[0]):
        return words[0]
    groups = _groups(words)
    if not groups or len(groups) > 6:
        return None
    *before, last = groups
    as_digits = all(len(group) == 1 for group in groups)
    as_pair = len(last) == 2 and all(group == "0" for group in before)
    return "".join(groups) if as_digits or as_pair else None


def _groups(words: Words) -> list[str] | None:
    """Words as groups of one or two digits: one, oh and fifty two are ``1``, ``0`` and ``52``."""
    groups: list[str] = []
    rest = words
    while rest:
        pair = _below_hundred(rest[:2]) if len(rest) > 1 else None
        number = {**DIGITS, **TEENS, **TENS}.get(rest[0]) if pair is None else pair
        if number is None:
            return None
        groups.append(str(number))
        rest = rest[1:] if pair is None else rest[2:]
    return groups
