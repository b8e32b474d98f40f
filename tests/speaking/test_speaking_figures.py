"""Figures are said as brewers say them, and everything else is left as it is."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.hearing.numbers import parse_number
from assistant.hearing.spoken import spoken
from assistant.speaking.figures import said
from assistant.speaking.said_units import ALONE, UNITS

SAID = {
    "gravity": [
        ("1.048", "one oh four eight"),
        ("1.110", "one one one oh"),
        ("1.000", "one oh oh oh"),
        ("0.998", "zero point nine nine eight"),
        ("1.046.", "one oh four six."),
        ("1.049, 20.2 litres", "one oh four nine, twenty point two litres"),
        ("1.050 kg", "one point oh five oh kilos"),
        ("1.125 litres", "one point one two five litres"),
    ],
    "temperature": [
        ("66.5 degrees", "sixty-six point five degrees"),
        ("152 degrees", "one fifty-two degrees"),
        ("152? Yes or no?", "one fifty-two? Yes or no?"),
        ("105 °F", "one oh five degrees Fahrenheit"),
        ("100 °C", "one hundred degrees Celsius"),
        ("212.5 °F", "two twelve point five degrees Fahrenheit"),
        ("18-20 °C", "eighteen to twenty degrees Celsius"),
        ("18\N{EN DASH}20 °C", "eighteen to twenty degrees Celsius"),
        ("18 °C\N{EN DASH}20 °C", "eighteen degrees Celsius to twenty degrees Celsius"),
        ("-2", "minus two"),
        ("\N{MINUS SIGN}2.5 °C", "minus two point five degrees Celsius"),
        ("1 °C", "one degree Celsius"),
        ("°C", "degrees Celsius"),
    ],
    "amount": [
        ("23.25 L", "twenty-three point two five litres"),
        ("1 L", "one litre"),
        ("0.5 L", "zero point five litres"),
        ("20.05 litres", "twenty point oh five litres"),
        ("26 g", "twenty-six grams"),
        ("26g", "twenty-six grams"),
        ("220 grams", "two hundred and twenty grams"),
        ("4.76 kilos", "four point seven six kilos"),
        ("1,020 g", "one thousand and twenty grams"),
        ("1020 billion cells", "one thousand and twenty billion cells"),
        ("185 billion cells", "one hundred and eighty-five billion cells"),
        ("1\N{NARROW NO-BREAK SPACE}oz", "one ounce"),
        ("6 fl oz", "six fluid ounces"),
        ("0.75 L/kg", "zero point seven five litres per kilo"),
        ("2.3 vol", "two point three volumes"),
        ("85 kPa", "eighty-five kilopascals"),
        ("12 psi", "twelve P S I"),
        ("2000 W", "two thousand watts"),
        ("3.5 kWh", "three point five kilowatt hours"),
        ("80 %", "eighty percent"),
        ("7.2%", "seven point two percent"),
        ("75 percent power", "seventy-five percent power"),
    ],
    "fraction": [
        ("1/2", "a half"),
        ("2 1/2 oz", "two and a half ounces"),
        ("2½ oz", "two and a half ounces"),
        ("¼ oz", "a quarter of an ounce"),
        ("5/8", "five over eight"),
    ],
    "time": [
        ("12 min", "twelve minutes"),
        ("1 hour 10 minutes", "one hour ten minutes"),
        ("0:45", "zero forty-five"),
        ("1:05", "one oh five"),
        ("1:02:30", "one oh two thirty"),
        ("a 60-minute boil", "a sixty-minute boil"),
        ("on the 1st, 2nd, 3rd", "on the first, second, third"),
        ("the 12th, 20th and 21st", "the twelfth, twentieth and twenty-first"),
    ],
    "short form": [
        ("pH 5.35", "P H five point three five"),
        ("5.4", "five point four"),
        ("37 IBU", "thirty-seven I B U"),
        ("CO2", "C O two"),
        ("CO₂", "C O two"),
        ("an RCD", "an R C D"),
        ("about 12 EBC", "about twelve E B C"),
    ],
    "mixed with letters": [
        ("US-05", "US-oh five"),
        ("S04", "S oh four"),
        ("W34/70", "W thirty-four/seventy"),
        ("10²", "ten two"),
        ("\N{ARABIC-INDIC DIGIT ONE}\N{ARABIC-INDIC DIGIT TWO}", "twelve"),
        ("1234567890123", "one two three four five six seven eight nine oh one two three"),
    ],
    "sentence": [
        (
            "3 points low. Add 220 grams of dry extract, or boil 34 minutes longer,"
            " or leave it: 1.046.",
            "three points low. Add two hundred and twenty grams of dry extract, or boil"
            " thirty-four minutes longer, or leave it: one oh four six.",
        ),
        (
            "Kettle finings now: 3 grams. Due 30 seconds ago.",
            "Kettle finings now: three grams. Due thirty seconds ago.",
        ),
        ("46 IBU instead of 37", "forty-six I B U instead of thirty-seven"),
        ("15 or 50? Say one five, or five oh.", "fifteen or fifty? Say one five, or five oh."),
        ("First Gold at 10 minutes in.", "First Gold at ten minutes in."),
    ],
}
CASES = [(shown, words) for cases in SAID.values() for shown, words in cases]


@pytest.mark.parametrize(("shown", "words"), CASES, ids=[shown for shown, _ in CASES])
def test_what_the_screen_shows_is_said_in_words(shown: str, words: str) -> None:
    assert said(shown) == words


@pytest.mark.parametrize(("shown", "words"), CASES, ids=[shown for shown, _ in CASES])
def test_words_are_not_changed_again(shown: str, words: str) -> None:
    assert said(words) == words


@pytest.mark.parametrize(
    "text",
    [
        "",
        "Kettle volume, and gravity?",
        "Lift the bag, let it drain, squeeze gently. Say done.",
        "It's a well-known half-and-half: L, g, h and min stay letters.",
    ],
)
def test_text_without_figures_stays_as_it_is(text: str) -> None:
    assert said(text) == text


@given(
    st.text(
        st.one_of(st.sampled_from("0123456789.,:/-\N{EN DASH}½² %°LgChpminABV"), st.characters())
    )
)
def test_no_digit_is_ever_left(text: str) -> None:
    assert not any(letter.isdigit() for letter in said(text))


@given(st.text())
def test_text_without_a_digit_or_short_form_is_never_changed(text: str) -> None:
    plain = not re.search("|".join(map(re.escape, ALONE)), text)
    figures = any(letter.isnumeric() for letter in text)
    assert said(text) == text or figures or not plain


@given(st.text(st.sampled_from("0123456789.,:/-½ %°LgChpHminIBU")))
def test_a_second_time_nothing_changes(text: str) -> None:
    once = said(text)
    assert said(once) == once


@pytest.mark.parametrize("points", range(0, 200, 7))
def test_a_gravity_is_heard_as_it_was_said(points: int) -> None:
    assert parse_number(spoken(said(f"1.{points:03d}"))) == 1000 + points


@given(st.integers(0, 999))
def test_three_figures_read_off_are_heard_as_they_were_said(number: int) -> None:
    assert parse_number(spoken(said(str(number)))) == number


@given(st.integers(0, 999), st.integers(0, 99))
def test_an_amount_is_heard_as_it_was_said(whole: int, hundredths: int) -> None:
    *number, unit = spoken(said(f"{whole}.{hundredths:02d} g"))
    assert unit == "grams"
    assert parse_number(tuple(number)) == pytest.approx(whole + hundredths / 100)


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit_has_words_for_one_and_for_many(unit: str) -> None:
    assert said(f"1 {unit}") == f"one {UNITS[unit].one}"
    assert said(f"2 {unit}, and") == f"two {UNITS[unit].many}, and"
