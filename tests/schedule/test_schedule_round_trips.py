"""Figures there and back: between any two units a key is written in, and from figure to speech.

pint's own registry, in plain floats and with its own definitions, stands beside the program's;
malt colour is the maltsters' EBC = 2.65 °L - 1.2, from memory, unchecked.
"""

import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import permutations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice import figures
from assistant.schedule.groups import Group, Listing, Reader
from assistant.schedule.kettle_card import KettleOrPath
from assistant.schedule.model import Units
from assistant.schedule.readers import SHARE_UNITS, Measure, Misfit, Share, Span
from assistant.schedule.tables import SCHEDULE
from assistant.schedule.units import convert, convert_difference, parse_quantity, parse_range
from assistant.schedule.water import WaterOrUnknown

WRITTEN_IN = {
    "L": ("L", "mL", "hL", "gal", "qt", "pt", "floz"),
    "mL": ("mL", "L", "floz", "tsp", "tbsp"),
    "kg": ("kg", "g", "lb", "oz"),
    "g": ("g", "kg", "mg", "oz", "lb"),
    "degC": ("degC", "degF", "kelvin", "°C"),
    "EBC": ("EBC", "degL"),
    "W": ("W", "kW", "BTU/h"),
    "J/K": ("J/K", "kJ/K", "kJ/degC", "kJ/degF", "BTU/degF"),
    "W/K": ("W/K", "W/degC", "W/degF"),
    "L/kg": ("L/kg", "mL/g", "qt/lb", "gal/lb"),
    "L/h": ("L/h", "mL/min", "gal/h", "qt/h"),
    "m": ("m", "km", "ft", "mile"),
    "min": ("min", "s", "h"),
    "day": ("day", "h", "week"),
    "mg/L": ("mg/L", "g/L", "grain/gal"),
    "percent": SHARE_UNITS,
    "vol": ("vol",),
}
PAIRS = sorted({pair for forms in WRITTEN_IN.values() for pair in permutations(forms, 2)})
TRIOS = sorted({trio for forms in WRITTEN_IN.values() for trio in permutations(forms, 3)})
COLOURS = {"EBC", "degL"}

registry = pint.UnitRegistry()


def measures_in(reader: Reader, key: str) -> Iterator[tuple[str, Measure]]:
    """Every measure of the tables, under the name of its key."""
    match reader:
        case Measure():
            yield key, reader
        case Share(measure=measure) | Span(measure=measure):
            yield key, measure
        case Listing(of=group) | KettleOrPath(keys=group) | WaterOrUnknown(keys=group):
            yield from measures_in(group, key)
        case Group(keys=keys):
            for name, entry in keys.items():
                yield from measures_in(entry.reader, f"{key}.{name}".removeprefix("."))


MEASURES = dict(measures_in(SCHEDULE, ""))


def test_every_unit_of_the_tables_is_tried_here() -> None:
    assert {measure.unit for measure in MEASURES.values()} == set(WRITTEN_IN)


FIGURES = st.floats(-1e5, 1e5)


def close(found: float, wanted: float, scale: float) -> bool:
    """Alike to nine figures of the largest number on the way."""
    return math.isclose(found, wanted, rel_tol=1e-9, abs_tol=1e-9 * max(abs(scale), 1e-3))


@given(value=FIGURES, pair=st.sampled_from(PAIRS))
def test_any_figure_comes_back_from_any_unit(value: float, pair: tuple[str, str]) -> None:
    there = convert(value, *pair)
    assert close(convert(there, *pair[::-1]), value, max(abs(value), 500))


@given(value=FIGURES, trio=st.sampled_from(TRIOS))
def test_a_way_round_by_a_third_unit_ends_at_the_same_figure(
    value: float, trio: tuple[str, str, str]
) -> None:
    first, second, third = trio
    straight = convert(value, first, third)
    slope = convert_difference(1.0, second, third)
    assert close(
        convert(convert(value, first, second), second, third), straight, straight + 500 * slope
    )


@given(value=FIGURES, pair=st.sampled_from([pair for pair in PAIRS if COLOURS.isdisjoint(pair)]))
def test_conversion_is_that_of_pint(value: float, pair: tuple[str, str]) -> None:
    source, target = (unit.replace("/deg", "/delta_deg") for unit in pair)
    theirs = registry.Quantity(value, source).to(target).magnitude
    assert close(convert(value, *pair), theirs, max(abs(theirs), 500 if "deg" in target else 0))


@given(lovibond=st.floats(0, 1000))
def test_malt_colour_is_a_straight_line(lovibond: float) -> None:
    assert convert(lovibond, "degL", "EBC") == pytest.approx(2.65 * lovibond - 1.2)


@given(low=FIGURES, step=FIGURES, pair=st.sampled_from(PAIRS))
def test_a_difference_is_that_of_its_ends(low: float, step: float, pair: tuple[str, str]) -> None:
    apart = convert_difference(step, *pair)
    ends = convert(low + step, *pair) - convert(low, *pair)
    scale = convert_difference(abs(low) + abs(step) + 500, *pair)
    assert close(apart, ends, scale)
    assert convert_difference(apart, *pair[::-1]) == pytest.approx(step)
    assert convert_difference(-step, *pair) == -apart
    assert convert_difference(0.0, *pair) == 0


LIMITS = [
    pytest.param(measure, limit, beyond, form, id=f"{key} {limit:g} {measure.unit} in {form}")
    for key, measure in MEASURES.items()
    for limit, beyond in ((measure.low, -0.01), (measure.high, 0.01))
    for form in WRITTEN_IN[measure.unit]
]


@pytest.mark.parametrize(("measure", "limit", "beyond", "form"), LIMITS)
def test_a_limit_is_the_same_in_any_unit(
    measure: Measure, limit: float, beyond: float, form: str
) -> None:
    def written(value: float) -> str:
        return f"{convert(value, measure.unit, form):.15f} {form}"

    taken = measure.checked(parse_quantity(written(limit)))
    assert measure.low <= taken <= measure.high
    assert taken == pytest.approx(limit, rel=1e-9)
    outside = limit + beyond * (measure.high - measure.low)
    with pytest.raises(Misfit) as fault:
        measure.checked(parse_quantity(written(outside)))
    assert fault.value.wanted.startswith(f"{measure.what} from ")
    assert fault.value.wanted.endswith(f" {form}")


@given(
    thousandths=st.integers(-999_999_999, 999_999_999),
    form=st.sampled_from(sorted({form for forms in WRITTEN_IN.values() for form in forms})),
)
def test_what_is_written_is_what_is_read(thousandths: int, form: str) -> None:
    value = thousandths / 1000
    quantity = parse_quantity(f"{value} {form}")
    assert (quantity.value, quantity.unit) == (value, form)
    assert parse_range(f"{value} {form} to {value} {form}") == (quantity, quantity)


@dataclass(frozen=True)
class Said:
    """The unit of a noun, and the last digit said from each number on, the largest first."""

    unit: str
    last_digits: tuple[tuple[float, float], ...]

    def last_digit(self, number: float) -> float:
        return next(step for least, step in self.last_digits if abs(number) >= least)


def to(step: float, unit: str) -> Said:
    return Said(unit, ((0, step),))


@dataclass(frozen=True, kw_only=True)
class Speech:
    """How a figure in ``unit`` up to ``most`` is said, noun by noun."""

    say: Callable[[float, Units], str]
    unit: str
    most: float
    nouns: Mapping[Units, Mapping[str, Said]]
    least: float = 0.0
    back: Callable[[float, str, str], float] = convert


METRIC, US = Units.METRIC, Units.US
SPEECHES = {
    "temperature": Speech(
        say=figures.temperature,
        unit="degC",
        least=-30,
        most=150,
        nouns={
            METRIC: {"degree": to(0.5, "degC")},
            US: {"degree": to(1, "degF")},
        },
    ),
    "temperature as read": Speech(
        say=figures.temperature_read,
        unit="degC",
        least=-30,
        most=150,
        nouns={
            METRIC: {"degree": to(0.1, "degC")},
            US: {"degree": to(0.1, "degF")},
        },
    ),
    "difference of temperatures": Speech(
        say=figures.temperature_difference,
        unit="degC",
        most=100,
        nouns={
            METRIC: {"degree": to(0.5, "degC")},
            US: {"degree": to(1, "degF")},
        },
        back=convert_difference,
    ),
    "volume": Speech(
        say=figures.volume,
        unit="L",
        most=400,
        nouns={
            METRIC: {"litre": to(0.1, "L")},
            US: {"gallon": to(0.1, "gal"), "quart": to(0.1, "qt")},
        },
    ),
    "volume as read": Speech(
        say=figures.volume_read,
        unit="L",
        most=400,
        nouns={
            METRIC: {"litre": to(0.01, "L")},
            US: {"gallon": to(0.01, "gal")},
        },
    ),
    "volume about": Speech(
        say=figures.about_volume,
        unit="L",
        most=1000,
        nouns={
            METRIC: {"litre": Said("L", ((50, 10), (2, 1), (0, 0.1)))},
            US: {"gallon": Said("gal", ((50, 10), (2, 1), (0, 0.1)))},
        },
    ),
    "small volume": Speech(
        say=figures.small_volume,
        unit="mL",
        most=2000,
        nouns={
            METRIC: {
                "millilitre": Said("mL", ((100, 10), (10, 1), (0, 0.1))),
                "litre": to(0.1, "L"),
            },
            US: {"fluid ounce": Said("floz", ((10, 1), (0, 0.1)))},
        },
    ),
    "weight": Speech(
        say=figures.weight,
        unit="g",
        most=50_000,
        nouns={
            METRIC: {
                "gram": Said("g", ((10, 1), (0, 0.1))),
                "kilo": to(0.01, "kg"),
            },
            US: {
                "ounce": Said("oz", ((1, 0.1), (0, 0.01))),
                "pound": to(0.1, "lb"),
            },
        },
    ),
    "weight about": Speech(
        say=figures.about_weight,
        unit="g",
        most=50_000,
        nouns={
            METRIC: {"kilo": Said("kg", ((2, 1), (0, 0.1)))},
            US: {"pound": Said("lb", ((2, 1), (0, 0.1)))},
        },
    ),
    "pressure": Speech(
        say=figures.pressure,
        unit="kPa",
        most=600,
        nouns={
            METRIC: {"kPa": to(1, "kPa")},
            US: {"psi": to(1, "psi")},
        },
    ),
}
NUMBER = r"-?(?:0|[1-9]\d*)(?:\.\d*[1-9])?"
NEVER_PLURAL = ("kPa", "psi")


def heard(text: str) -> tuple[float, str, str]:
    """The number, its digits and the noun in the singular, of a figure as it is said."""
    match = re.fullmatch(rf"({NUMBER}) ([A-Za-z ]+)", text)
    assert match is not None, text
    digits, noun = match.groups()
    assert digits != "-0"
    assert noun.endswith("s") or digits == "1" or noun in NEVER_PLURAL, text
    return float(digits), digits, noun.removesuffix("s")


def decimals(digits: str) -> int:
    return len(digits.partition(".")[2])


@pytest.mark.parametrize("units", Units, ids=lambda units: units.value)
@pytest.mark.parametrize("speech", SPEECHES.values(), ids=SPEECHES)
@given(data=st.data())
def test_what_is_said_is_the_figure_to_half_its_last_digit(
    speech: Speech, units: Units, data: st.DataObject
) -> None:
    value = data.draw(st.floats(speech.least, speech.most))
    number, digits, noun = heard(speech.say(value, units))
    said = speech.nouns[units][noun]
    smallest = said.last_digit(number)
    asked = speech.back(value, speech.unit, said.unit)
    assert abs(number - asked) <= smallest / 2 + 1e-9 * max(abs(asked), 1)
    assert number / smallest == pytest.approx(round(number / smallest))
    assert decimals(digits) <= decimals(f"{smallest:g}")


@given(thousandths=st.integers(-30_000, 150_000), units=st.sampled_from(Units))
def test_a_temperature_read_in_tenths_is_said_back_as_read(thousandths: int, units: Units) -> None:
    tenths = round(thousandths / 100)
    unit = "degF" if units is US else "degC"
    read_c = convert(tenths / 10, unit, "degC")
    assert heard(figures.temperature_read(read_c, units))[0] == tenths / 10


@given(hundredths=st.integers(0, 40_000), units=st.sampled_from(Units))
def test_a_volume_read_in_hundredths_is_said_back_as_read(hundredths: int, units: Units) -> None:
    unit = "gal" if units is US else "L"
    read_l = convert(hundredths / 100, unit, "L")
    assert heard(figures.volume_read(read_l, units))[0] == hundredths / 100


@given(thousandths=st.integers(980, 1150))
def test_a_gravity_is_said_in_thousandths(thousandths: int) -> None:
    assert figures.gravity(thousandths / 1000) == f"{thousandths // 1000}.{thousandths % 1000:03}"
    assert heard(figures.points(thousandths / 1000 - 1))[0] == abs(thousandths - 1000)


@given(value=st.floats(-1e9, 1e9), places=st.integers(0, 3))
def test_a_number_has_no_idle_noughts(value: float, places: int) -> None:
    digits = figures.number(value, places)
    assert re.fullmatch(NUMBER, digits)
    assert digits != "-0"
    assert decimals(digits) <= places
    assert abs(float(digits) - value) <= 0.5 / 10**places + 1e-15 * abs(value)


SECONDS = {"second": 1, "minute": 60, "hour": 3600}


@given(seconds=st.floats(0, 200_000))
def test_a_time_is_said_to_what_a_brewer_counts(seconds: float) -> None:
    parts = re.findall(r"(\d+) (second|minute|hour)(s?)", figures.duration(seconds))
    assert " ".join(f"{count} {noun}{plural}" for count, noun, plural in parts) == figures.duration(
        seconds
    )
    for count, _, plural in parts:
        assert (plural == "") == (count == "1")
    said_s = sum(int(count) * SECONDS[noun] for count, noun, _ in parts)
    finest_s = 60 if parts[-1][1] != "second" else 5 if said_s >= 20 else 1
    # From 57.5 to 62.5 seconds is a minute, and from 90 on the minutes are whole.
    assert abs(said_s - seconds) <= finest_s / 2
    assert int(parts[-1][0]) < 100


@given(count=st.floats(0, 50))
def test_packs_are_enough_but_for_a_tenth_of_one(count: float) -> None:
    packs = heard(figures.packs(count))[0]
    assert packs >= max(count - 0.1, 1)
    assert packs < count + 0.9 or packs == 1
