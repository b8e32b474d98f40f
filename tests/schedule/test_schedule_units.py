"""Quantities as written, and the two systems of measure.

Conversion figures: NIST Handbook 44 (2023), Appendix C, unless a row says otherwise.
"""

import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.schedule.units import (
    Quantity,
    UnitError,
    convert,
    convert_difference,
    parse_quantity,
    parse_range,
)


@pytest.mark.parametrize(
    ("value", "from_unit", "to_unit", "expected"),
    [
        pytest.param(1, "gal", "L", 3.785411784, id="US gallon"),
        pytest.param(1, "qt", "L", 0.946352946, id="US liquid quart"),
        pytest.param(1, "floz", "mL", 29.5735295625, id="US fluid ounce"),
        pytest.param(1, "lb", "kg", 0.45359237, id="pound"),
        pytest.param(1, "oz", "g", 28.349523125, id="ounce"),
        pytest.param(1, "ft", "m", 0.3048, id="foot"),
        pytest.param(1, "psi", "kPa", 6.894757293168, id="pound per square inch"),
        pytest.param(212, "degF", "degC", 100, id="boiling water"),
        pytest.param(-40, "degC", "degF", -40, id="where the scales cross"),
        pytest.param(0, "degC", "kelvin", 273.15, id="melting ice, SI Brochure (2019)"),
        pytest.param(1000, "ml", "L", 1, id="millilitres"),
        pytest.param(1.5, "min", "s", 90, id="minutes"),
        pytest.param(2, "h", "min", 120, id="hours"),
        pytest.param(1, "qt/lb", "L/kg", 2.0863511, id="quarts to the pound, from the rows above"),
        pytest.param(1, "gal/h", "L/h", 3.785411784, id="gallons an hour"),
        pytest.param(1.8, "kJ/degC", "kJ/degF", 1, id="heat capacity to the smaller degree"),
        pytest.param(40, "degL", "EBC", 104.8, id="crystal malt, 2.65 x 40 - 1.2"),
        pytest.param(72, "%", "percent", 72, id="percent sign"),
        pytest.param(20, "°C", "degC", 20, id="degree sign"),
        pytest.param(12, "degP", "degP", 12, id="Plato"),
        pytest.param(1.048, "SG", "SG", 1.048, id="specific gravity"),
    ],
)
def test_converts_as_published(value: float, from_unit: str, to_unit: str, expected: float) -> None:
    assert convert(value, from_unit, to_unit) == pytest.approx(expected, rel=1e-8)
    assert convert(expected, to_unit, from_unit) == pytest.approx(value, rel=1e-7)


@pytest.mark.parametrize(
    ("value", "from_unit", "to_unit", "expected"),
    [
        (10, "degC", "degF", 18),
        (9, "degF", "degC", 5),
        (3, "kelvin", "degC", 3),
        (2, "gal", "qt", 8),
    ],
)
def test_a_difference_has_no_offset(
    value: float, from_unit: str, to_unit: str, expected: float
) -> None:
    assert convert_difference(value, from_unit, to_unit) == pytest.approx(expected)


PAIRS = [("degC", "degF"), ("L", "gal"), ("kg", "lb"), ("g", "oz"), ("EBC", "degL"), ("kPa", "psi")]


@given(value=st.floats(-1e6, 1e6), pair=st.sampled_from(PAIRS))
def test_there_and_back_is_the_same_figure(value: float, pair: tuple[str, str]) -> None:
    there = convert(value, *pair)
    assert math.isclose(convert(there, *reversed(pair)), value, rel_tol=1e-9, abs_tol=1e-9)


@given(low=st.floats(-500, 500), step=st.floats(0.01, 100), pair=st.sampled_from(PAIRS))
def test_more_stays_more(low: float, step: float, pair: tuple[str, str]) -> None:
    assert convert(low + step, *pair) > convert(low, *pair)


@pytest.mark.parametrize(
    ("from_unit", "to_unit"),
    [
        pytest.param("kg", "L", id="weight for volume"),
        pytest.param("degC", "EBC", id="temperature for colour"),
        pytest.param("EBC", "percent", id="colour for share"),
        pytest.param("vol", "L", id="volumes of CO2 for litres"),
        pytest.param("SG", "degP", id="gravity for Plato: no straight line"),
        pytest.param("dBm", "W", id="decibels: no straight line"),
        pytest.param("dB/L", "L", id="decibels to the litre"),
        pytest.param("kelvin/degC", "degC", id="a ratio of degrees"),
    ],
)
def test_what_measures_something_else_is_refused(from_unit: str, to_unit: str) -> None:
    with pytest.raises(UnitError, match=f"{from_unit} cannot be given in {to_unit}"):
        convert(1.0, from_unit, to_unit)


@pytest.mark.parametrize(
    "unit",
    [
        "firkins_of_joy",
        "degc",
        "9**9**9",
        "L*L",
        "L/h/kg",
        "",
        "delta_degC",
        "__import__('os')",
        "a" * 500,
        "L\n",
        "L ",
        "lambda: 0",
    ],
)
def test_an_unknown_unit_is_refused(unit: str) -> None:
    with pytest.raises(UnitError, match="is not a unit"):
        convert(1.0, unit, "L")
    with pytest.raises(UnitError, match="is not a unit"):
        convert(1.0, "L", unit)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("19 L", 19, "L"),
        ("19L", 19, "L"),
        ("  5 gal ", 5, "gal"),
        (".85 oz", 0.85, "oz"),
        ("150.8 degF", 150.8, "degF"),
        ("-5 degC", -5, "degC"),
        ("+7.2 %", 7.2, "%"),
        ("4.0 kJ/K", 4, "kJ/K"),
        ("0.75 L/kg", 0.75, "L/kg"),
        ("2.3 vol", 2.3, "vol"),
        ("12 degP", 12, "degP"),
        ("3 degL", 3, "degL"),
        ("1.046", 1.046, ""),
        ("12 days", 12, "days"),
    ],
)
def test_a_quantity_is_a_number_with_a_unit(text: str, value: float, unit: str) -> None:
    assert parse_quantity(text) == Quantity(value=value, unit=unit)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "L",
        "L 19",
        "nineteen L",
        "1e3 L",
        "0x10 L",
        "1_000 L",
        "3,9 kg",
        "nan L",
        "inf L",
        ".inf",
        "- 5 L",
        "5 L L",
        "5 L + 1 L",
        "9**9**9 L",
        "9**9**9",
        "5 L**9999999",
        "1/0 L",
        "(5) L",
        "5 L/",
        "5 /h",
        "1234567890 L",
        "0." + "1" * 16 + " L",
        "1" * 5000 + " L",
        "٣ L",
        "5 L\x00",
        "5 __import__",
    ],
)
def test_anything_else_is_no_quantity(text: str) -> None:
    with pytest.raises(UnitError, match="is not a"):
        parse_quantity(text)


@given(st.text(max_size=60))
def test_any_text_is_a_finite_quantity_or_a_unit_error(text: str) -> None:
    try:
        quantity = parse_quantity(text)
    except UnitError:
        return
    assert math.isfinite(quantity.value)


@given(st.from_regex(r"[A-Za-z%]{1,6}(/[A-Za-z%]{1,6})?", fullmatch=True))
def test_any_name_of_a_unit_is_known_or_a_unit_error(name: str) -> None:
    try:
        same = convert(1.0, name, name)
    except UnitError:
        return
    assert same == pytest.approx(1.0)


def test_a_range_has_two_ends() -> None:
    low, high = parse_range("18 degC to 68 degF")
    assert (low.to("degC"), high.to("degC")) == pytest.approx((18, 20))


def test_one_quantity_is_a_range_of_its_own() -> None:
    assert parse_range("19 degC") == (Quantity(value=19, unit="degC"),) * 2


@pytest.mark.parametrize(
    "text", ["18 degC to", "to 20 degC", "18 degC - 20 degC", "1 L to 2 L to 3 L"]
)
def test_half_a_range_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="is not a number with a unit"):
        parse_range(text)


def test_a_quantity_says_what_it_cannot_be() -> None:
    with pytest.raises(UnitError, match="kg cannot be given in L"):
        parse_quantity("19 kg").to("L")


def test_pint_is_not_loaded_before_it_is_needed() -> None:
    code = "import sys, assistant.schedule; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_bare_number_has_no_unit_to_convert() -> None:
    with pytest.raises(UnitError, match="'' is not a unit"):
        parse_quantity("19").to("L")
