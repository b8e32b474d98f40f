"""What the screen shows, as a brewer says it: ``1.048`` is "one oh four eight".

Figures, their units and a few short forms become words; all other text stays as it is. A gravity
is read digit by digit, three figures on a dial are read off ("one fifty-two degrees"), and amounts
are said in full ("two hundred and twenty grams").
"""

import re
import unicodedata

from assistant.speaking.numerals import cardinal, clipped, clock, digit_by_digit, ordinal
from assistant.speaking.said_units import ALONE, COUNTED, FRACTION_SIGNS, FRACTIONS, UNITS


def _any_of(names: list[str]) -> str:
    return "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))


_SPACE = "[ \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}\N{THIN SPACE}]"
_figure = re.compile(
    rf"""
    (?<! [^\W\d] ) (?P<alone> {_any_of(list(ALONE))} ) (?! [^\W\d] | (?<=[0-9])[0-9] )
    | (?P<sign> (?<![\w.,)]) [-+\N{{MINUS SIGN}}] (?=\.?[0-9]) | \N{{MINUS SIGN}} (?=\.?[0-9]) )?
      (?:
        (?<![^\W\d_]) (?: (?P<mixed> [0-9]+ ) [ ] )? (?P<fraction> [0-9]+/[0-9]+ ) (?! [/0-9] )
        | (?P<clock> [0-9]{{1,2}} (?: :[0-9]{{2}} ){{1,2}} ) (?! [:0-9] )
        | (?P<ordinal> [0-9]+ ) (?: st|nd|rd|th ) (?!\w)
        | (?P<number> [0-9]{{1,3}} (?: ,[0-9]{{3}} )+ (?! [0-9] ) (?: \.[0-9]+ )?
            | [0-9]+ (?: \.[0-9]+ )* | \.[0-9]+ )
      )
      (?: {_SPACE}? (?P<unit> {_any_of(list(UNITS))} ) (?! [\w/] ) )?
    """,
    re.VERBOSE,
)
_gravity = re.compile(r"1\.[01][0-9]{2}")
_range = re.compile(r"(?<=[0-9])-(?=[0-9])|(?<=\S)\N{EN DASH}(?=[0-9])")
_next_word = re.compile(rf"(?:{_SPACE}|-)([^\W\d_]+)")
_fraction_sign = re.compile(f"[{''.join(FRACTION_SIGNS)}]")

SIGNS = {"-": "minus ", "\N{MINUS SIGN}": "minus ", "+": "plus ", None: ""}
OF_AN = ("a", "e", "i", "o", "u", "hour")


def said(text: str) -> str:
    """The text with every figure in words; one without figures and short forms stays as it is.

    No digit is left, whatever its script. Raises nothing.
    """
    plain = _fraction_sign.sub(_written_out, "".join(map(_plain_digit, text)))
    ranged = _range.sub(" to ", plain)
    return _figure.sub(_spaced, ranged)


def _plain_digit(letter: str) -> str:
    if letter.isascii() or not letter.isdigit():
        return letter
    # CO₂ is one word to the table of short forms, but 10² is no 102.
    apart = "" if letter.isdecimal() or "SUBSCRIPT" in unicodedata.name(letter) else " "
    return f"{apart}{unicodedata.digit(letter)}"


def _written_out(sign: re.Match[str]) -> str:
    before = sign.string[: sign.start()]
    return f"{' ' if before[-1:].isalnum() else ''}{FRACTION_SIGNS[sign[0]]}"


def _spaced(figure: re.Match[str]) -> str:
    words = _words(figure)
    before, after = figure.string[: figure.start()], figure.string[figure.end() :]
    lead = " " if before[-1:].isalnum() else ""
    return f"{lead}{words}{' ' if after[:1].isalnum() else ''}"


def _words(figure: re.Match[str]) -> str:
    if figure["alone"]:
        return ALONE[figure["alone"]]
    return SIGNS[figure["sign"]] + _size(figure)


def _size(figure: re.Match[str]) -> str:
    unit = UNITS[figure["unit"]] if figure["unit"] else None
    if figure["fraction"]:
        fraction = _fraction(figure["fraction"])
        if figure["mixed"]:
            return f"{cardinal(figure['mixed'])} and {fraction}{f' {unit.many}' if unit else ''}"
        if unit is None:
            return fraction
        return f"{fraction} of {'an' if unit.one.startswith(OF_AN) else 'a'} {unit.one}"
    if figure["clock"]:
        words = clock(figure["clock"].split(":"))
    elif figure["ordinal"]:
        words = ordinal(figure["ordinal"])
    else:
        words = _number(figure)
    if unit is None:
        return words
    return f"{words} {unit.one if figure['number'] == '1' else unit.many}"


def _fraction(written: str) -> str:
    above, below = written.split("/")
    return FRACTIONS.get(written, f"{cardinal(above)} over {cardinal(below)}")


def _number(figure: re.Match[str]) -> str:
    written, unit = figure["number"].replace(",", ""), figure["unit"]
    following = _next_word.match(figure.string, figure.end())
    amount = unit is not None or (following is not None and following[1] in COUNTED)
    if _gravity.fullmatch(written) and not amount:
        return digit_by_digit(written.replace(".", ""))
    whole, *decimals = written.split(".")
    on_a_dial = not amount or (unit is not None and UNITS[unit].one.startswith("degree"))
    head = (clipped if on_a_dial else cardinal)(whole or "0")
    return " point ".join([head, *map(digit_by_digit, decimals)])
