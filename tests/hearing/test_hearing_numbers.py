"""Numbers in all the ways brewers say them, and nothing that is no number."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.numbers import parse_number, spell
from assistant.hearing.spoken import spoken

ONES = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
TEENS = [
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
]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
DIGITS = ["oh", *ONES[1:]]


def below_hundred(number: int) -> str:
    if number < 20:
        return (ONES + TEENS)[number]
    tens, one = divmod(number, 10)
    return TENS[tens - 2] if one == 0 else f"{TENS[tens - 2]} {ONES[one]}"


def cardinal(number: int, joined: str = " and ") -> str:
    hundreds, rest = divmod(number, 100)
    if hundreds == 0:
        return below_hundred(rest)
    return f"{ONES[hundreds]} hundred" + (f"{joined}{below_hundred(rest)}" if rest else "")


@pytest.mark.parametrize("number", range(201))
def test_every_whole_number_to_200_is_known_in_words(number: int) -> None:
    assert parse_number(spoken(cardinal(number))) == number
    assert parse_number(spoken(cardinal(number, joined=" "))) == number


@pytest.mark.parametrize("number", [*range(21, 100, 13), 101, 152, 212])
def test_digit_by_digit_is_the_same_number(number: int) -> None:
    assert parse_number(spoken(" ".join(DIGITS[int(digit)] for digit in str(number)))) == number


@given(st.integers(0, 999))
def test_a_number_spelt_is_the_number_heard(number: int) -> None:
    assert parse_number(spell(number)) == number
    assert " ".join(spell(number)) == cardinal(number)


@pytest.mark.parametrize("number", [-1, 1000])
def test_only_numbers_to_999_are_spelt(number: int) -> None:
    with pytest.raises(ValueError, match=rf"^{number} can't be spelt; wanted is a whole number"):
        spell(number)


@given(st.decimals(0, 9999, places=3))
def test_figures_are_taken_as_they_stand(number: object) -> None:
    assert parse_number(spoken(f"{number}")) == float(str(number))


@given(st.integers(0, 200), st.integers(0, 9))
def test_tenths_follow_the_point(whole: int, tenth: int) -> None:
    said = f"{cardinal(whole)} point {ONES[tenth]}"
    assert parse_number(spoken(said)) == float(f"{whole}.{tenth}")


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("66.5", 66.5),
        ("1.048", 1.048),
        (".75", 0.75),
        ("-2", -2),
        ("\N{MINUS SIGN}2", -2),
        ("66.", 66),
        ("sixty six point five", 66.5),
        ("sixty-six point five", 66.5),
        ("Sixty-six and a half", 66.5),
        ("twenty three and a quarter", 23.25),
        ("twenty three and three quarters", 23.75),
        ("66 and a half", 66.5),
        ("66 point 5", 66.5),
        ("six six point five", 66.5),
        ("six six", 66),
        ("zero point seven five", 0.75),
        ("nought point seven five", 0.75),
        ("point seven five", 0.75),
        ("twenty three point twenty five", 23.25),
        ("twelve point four", 12.4),
        ("one fifty two", 152),
        ("one fifty", 150),
        ("two twelve", 212),
        ("one oh five", 105),
        ("one five two", 152),
        ("a hundred", 100),
        ("a hundred and fifty two", 152),
        ("one hundred fifty two point five", 152.5),
        ("minus two", -2),
        ("negative two point five", -2.5),
        ("minus zero", 0),
        ("one oh four eight", 1048),
        ("one zero four eight", 1048),
        ("ten forty eight", 1048),
        ("ten oh five", 1005),
        ("eleven ten", 1110),
        ("nine ninety eight", 998),
        ("one oh fifty two", 1052),
        ("one point oh four eight", 1.048),
        ("one point zero four eight", 1.048),
        ("one point oh forty eight", 1.048),
        ("one point oh five", 1.05),
        ("a thousand and forty eight", 1048),
        ("one thousand", 1000),
        ("eleven hundred", 1100),
    ],
)
def test_a_number_as_said(said: str, number: float) -> None:
    assert parse_number(spoken(said)) == number


@pytest.mark.parametrize("said", ["minus zero", "-0", "minus 0.0"])
def test_there_is_no_negative_nought(said: str) -> None:
    assert str(parse_number(spoken(said))) == "0.0"


@pytest.mark.parametrize(
    "said",
    [
        "",
        "blorb",
        "sixty blorb",
        "blorb sixty",
        "sicks",
        "to",
        "for",
        "won",
        "oh",
        "oh six six",
        "sixty six six",
        "sixty six fifty",
        "sixty six five",
        "twenty ten",
        "ten five",
        "fifteen fifty",
        "twenty zero",
        "one two three four five",
        "hundred",
        "zero hundred",
        "twenty hundred",
        "one hundred and",
        "and a half",
        "half",
        "a",
        "point",
        "sixty six point",
        "sixty six point blorb",
        "sixty point six point five",
        "66.5 and a half",
        "sixty point five and a half",
        "minus",
        "minus minus two",
        "6 6",
        "66 five",
        "66,5",
        "1,048",
        "1/2",
        "66\N{VULGAR FRACTION ONE HALF}",
        "6\N{SUPERSCRIPT TWO}",
        "\N{ARABIC-INDIC DIGIT SIX}",
        "1.2.3",
        "66..5",
        "10:30",
        "60-66",
        "60\N{EN DASH}66",
        "--2",
        "- 2",
        "1e3",
        "0x10",
        "1_000",
        "50%",
        "nan",
        "inf",
        "1234567890",
        "1.0480000000",
        "9" * 190,
    ],
)
def test_what_is_no_number_is_never_guessed_at(said: str) -> None:
    assert parse_number(spoken(said)) is None


GRAVITIES = range(1000, 1121)


def digit_by_digit(thousandths: int) -> str:
    return " ".join(DIGITS[int(digit)] for digit in str(thousandths))


def with_its_point(thousandths: int) -> str:
    first, *rest = (DIGITS[int(digit)] for digit in str(thousandths))
    return f"{first} point {' '.join(rest)}"


def in_pairs(thousandths: int) -> str:
    lead, rest = divmod(thousandths, 100)
    if thousandths == 1000:
        return "one thousand"
    if rest == 0:
        return "eleven hundred"
    return f"{below_hundred(lead)} {'oh ' if rest < 10 else ''}{below_hundred(rest)}"


@pytest.mark.parametrize("thousandths", GRAVITIES)
def test_every_gravity_is_known_in_its_three_forms(thousandths: int) -> None:
    assert parse_number(spoken(digit_by_digit(thousandths))) == thousandths
    assert parse_number(spoken(in_pairs(thousandths))) == thousandths
    assert parse_number(spoken(with_its_point(thousandths))) == thousandths / 1000
