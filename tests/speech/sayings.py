"""The ways a brewer says a figure: every form that ``hearing.numbers`` knows, as words."""

from assistant.hearing.numbers import spell

DIGIT_WORDS = ("oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
QUARTERS = {25: "and a quarter", 50: "and a half", 75: "and three quarters"}


def figure_forms(value: float) -> dict[str, str]:
    """Each form's name and its words, of a figure from -999 to 999 with at most two decimals.

    Forms that do not exist for it are left out.
    """
    hundredths = round(abs(value) * 100)
    whole, part = divmod(hundredths, 100)
    lead = "minus " if value < 0 else ""
    if not part:
        forms = whole_forms(whole)
    else:
        digits = f"{part:02}".rstrip("0")
        after = " ".join(_digit(int(digit)) for digit in digits)
        forms = {
            f"{name} point": f"{words} point {after}"
            for name, words in whole_forms(whole).items()
            if name in ("cardinal", "digit by digit", "run together")
        }
        if len(digits) == 2 and digits[0] != "0":
            forms["pair after the point"] = f"{_cardinal(whole)} point {_cardinal(part)}"
        if part in QUARTERS:
            forms["fraction"] = f"{_cardinal(whole)} {QUARTERS[part]}"
    return {name: lead + words for name, words in forms.items()}


def whole_forms(whole: int) -> dict[str, str]:
    """Each form of a whole number from 0 to 999."""
    forms = {"cardinal": _cardinal(whole)}
    digits = [int(digit) for digit in str(whole)]
    if whole > 12:
        forms["digit by digit"] = " ".join(map(_digit, digits))
    if whole > 99:
        rest = whole % 100
        if rest >= 10:
            forms["run together"] = f"{DIGIT_WORDS[digits[0]]} {_cardinal(rest)}"
        elif rest:
            # A nought between is said the same run together: one oh five.
            forms["run together"] = forms.pop("digit by digit")
        if whole < 200:
            forms["a hundred"] = forms["cardinal"].replace("one hundred", "a hundred", 1)
        if rest:
            forms["without and"] = forms["cardinal"].replace(" and ", " ")
    return forms


def gravity_forms(thousandths: int) -> dict[str, str]:
    """Each form of a gravity in thousandths, from 1001 to 1150."""
    digits = [int(digit) for digit in str(thousandths)]
    head, tail = divmod(thousandths, 100)
    pair = _cardinal(tail) if tail > 9 else f"oh {_digit(tail)}"
    after = " ".join(map(_digit, digits[1:]))
    forms = {
        "digit by digit": " ".join(map(_digit, digits)),
        "in pairs": f"{_cardinal(head)} {pair}",
        "with its point": f"one point {after}",
        "with zero": " ".join(map(_digit, digits)).replace("oh", "zero"),
        "point and zero": f"one point {after}".replace("oh", "zero"),
    }
    if head == 10 and tail > 9:
        forms["point and pair"] = f"one point oh {_cardinal(tail)}"
        forms["in thousands"] = f"a thousand and {_cardinal(tail)}"
        forms["in points"] = f"{_cardinal(tail)} points"
    return forms


def _digit(digit: int) -> str:
    return DIGIT_WORDS[digit]


def _cardinal(number: int) -> str:
    return " ".join(spell(number))
