"""Numerals in words, as they are said aloud in a brewhouse.

Decimals and gravities go digit by digit with "oh" for a nought, so that nothing in them can be
taken for another number; which short forms there are is common practice, no source.
"""

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
SCALES = ((1_000_000_000, "billion"), (1_000_000, "million"), (1_000, "thousand"))

LONGEST_WHOLE = 12
"""Digits of a whole number that is still said as a number; a longer one is a row of digits."""

ORDINALS = {
    "one": "first",
    "two": "second",
    "three": "third",
    "five": "fifth",
    "eight": "eighth",
    "nine": "ninth",
    "twelve": "twelfth",
}
"""Ordinals that are not made with ``th``."""


def digit_by_digit(digits: str) -> str:
    """``048`` as ``oh four eight``; takes the ten digits 0 to 9 only."""
    return " ".join("oh" if digit == "0" else DIGITS[int(digit)] for digit in digits)


def cardinal(digits: str) -> str:
    """``220`` as ``two hundred and twenty``; digits that are no plain number one by one.

    No plain number is one with a nought in front, or longer than :data:`LONGEST_WHOLE`.
    """
    if digits == "0":
        return DIGITS[0]
    if digits.startswith("0") or len(digits) > LONGEST_WHOLE:
        return digit_by_digit(digits)
    number, words = int(digits), []
    for size, name in SCALES:
        count, number = divmod(number, size)
        if count:
            words.append(f"{_below_thousand(count)} {name}")
    if number:
        joined = "and " if words and number < 100 else ""
        words.append(joined + _below_thousand(number))
    return " ".join(words)


def clipped(digits: str) -> str:
    """``152`` as ``one fifty-two``, ``105`` as ``one oh five``: three digits as they are read off.

    Round hundreds and numbers of any other length are said in full.
    """
    if len(digits) != 3 or digits.startswith("0") or digits.endswith("00"):
        return cardinal(digits)
    tail = digit_by_digit(digits[1:]) if digits[1] == "0" else cardinal(digits[1:])
    return f"{DIGITS[int(digits[0])]} {tail}"


def ordinal(digits: str) -> str:
    """``21`` as ``twenty-first``."""
    words = cardinal(digits)
    stem = words.replace("-", " ").split()[-1]
    before = words[: len(words) - len(stem)]
    if stem in ORDINALS:
        return before + ORDINALS[stem]
    return before + (f"{stem[:-1]}ieth" if stem.endswith("y") else f"{stem}th")


def clock(parts: list[str]) -> str:
    """``12:05`` as ``twelve oh five``, ``0:45`` as ``zero forty-five``: each part by itself."""
    first, *later = parts
    return " ".join([cardinal(first), *(_two_digits(part) for part in later)])


def _two_digits(digits: str) -> str:
    return digit_by_digit(digits) if digits.startswith("0") else cardinal(digits)


def _below_thousand(number: int) -> str:
    hundreds, rest = divmod(number, 100)
    if not hundreds:
        return _below_hundred(rest)
    head = f"{DIGITS[hundreds]} hundred"
    return f"{head} and {_below_hundred(rest)}" if rest else head


def _below_hundred(number: int) -> str:
    if number < 10:
        return DIGITS[number]
    if number < 20:
        return TEENS[number - 10]
    tens, ones = divmod(number, 10)
    return f"{TENS[tens]}-{DIGITS[ones]}" if ones else TENS[tens]
