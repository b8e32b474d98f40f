"""Readings and bare numbers: what is read, its figure, its unit, the temperature of the sample."""

from dataclasses import dataclass, replace

from assistant.day.events import NumberSaid, ReadingTaken
from assistant.day.listening import Listening
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.hearing.hints import Hint
from assistant.hearing.numbers import parse_number
from assistant.hearing.spoken import Words, without_end, without_lead
from assistant.hearing.vocabulary import (
    LEADS,
    LINKS,
    MOMENTS,
    NOT_BOILING,
    SAMPLED,
    SUBJECTS,
    UNIT_NAMES,
    UNIT_WORDS,
    WAKE_WORD,
    Subject,
    example,
)
from assistant.schedule.model import Units
from assistant.schedule.units import convert

Meaning = ReadingTaken | NumberSaid | Hint | None

THOUSANDTHS = (900.0, 1200.0)
"""A gravity said without its point, where a gravity is what is read."""

SURELY_THOUSANDTHS = (990.0, 1150.0)
"""A number said on its own that can only be a gravity without its point."""

QUARTS_IN_A_GALLON = 4.0

OWNED_UNITS = {
    "SG": Quantity.GRAVITY,
    "degP": Quantity.GRAVITY,
    "brix": Quantity.BRIX,
    "pH": Quantity.MASH_PH,
}
"""Units that say which quantity is meant."""


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A number, its unit where one was said, and the sample's temperature where one was."""

    value: float
    unit: str | None = None
    sample_c: float | None = None


def reading(words: Words, context: Listening, at: float) -> Meaning:
    """The reading or bare number these words give; a hint where only its figure is missing."""
    if words in NOT_BOILING and Quantity.BOILING in context.asked:
        return ReadingTaken(at=at, quantity=Quantity.BOILING, value=0.0, unit="1")
    said = without_end(without_lead(words, LEADS), MOMENTS)
    named = max((name for name in SUBJECTS if said[: len(name)] == name), key=len, default=None)
    if named is None:
        figure = _figure(said, context.units)
        return None if figure is None else _bare(figure, context, at)
    subject = SUBJECTS[named]
    rest = without_lead(without_lead(said[len(named) :], MOMENTS), LINKS)
    figure = _figure(rest, context.units, subject.unit)
    if figure is None:
        wanted = subject.quantities[0] if subject.quantities else Quantity.MASH_TEMPERATURE
        return Hint(text=f'A reading needs a figure, such as "{example(wanted, context.units)}".')
    if named == (WAKE_WORD,) and _answers_an_ask(figure, subject, context):
        return None
    if not subject.quantities:
        return _bare(figure, context, at)
    return _named(figure, subject, context, at)


def _figure(words: Words, units: Units, implied: str | None = None) -> Figure | None:
    sample_c = None
    if "at" in words:
        place = len(words) - 1 - words[::-1].index("at")
        sample = _figure(words[place + 1 :], units, "degrees")
        if sample is None or sample.unit not in ("degC", "degF"):
            return None
        sample_c = convert(sample.value, sample.unit, "degC")
        words = words[:place]
    number = without_end(words, UNIT_WORDS)
    value = parse_number(number)
    if value is None:
        return None
    unit = UNIT_WORDS.get(words[len(number) :], implied)
    return replace(_in_core_unit(value, unit, units), sample_c=sample_c)


def _in_core_unit(value: float, unit: str | None, units: Units) -> Figure:
    match unit:
        case "degrees":
            return Figure(value=value, unit="degF" if units is Units.US else "degC")
        case "quart":
            return Figure(value=value / QUARTS_IN_A_GALLON, unit="gal")
        case "points":
            return Figure(value=(1000 + value) / 1000, unit="SG")
        case _:
            return Figure(value=value, unit=unit)


def _named(figure: Figure, subject: Subject, context: Listening, at: float) -> Meaning:
    fitting = [
        quantity
        for quantity in subject.quantities
        if figure.unit is None or figure.unit in QUANTITIES[quantity].units
    ]
    if not fitting:
        spec = QUANTITIES[subject.quantities[0]]
        wanted = " or ".join(UNIT_NAMES[unit] for unit in spec.units)
        return Hint(text=f"The {spec.spoken} is read in {wanted}.")
    asked = [quantity for quantity in fitting if quantity in context.asked]
    return _reading(figure, (asked or fitting)[0], context, at)


def _reading(figure: Figure, quantity: Quantity, context: Listening, at: float) -> Meaning:
    spec = QUANTITIES[quantity]
    if figure.sample_c is not None and quantity not in SAMPLED:
        return Hint(text="Only a gravity or a volume goes with a temperature.")
    unit = figure.unit or spec.asked_unit(context.units)
    value = _with_point(figure.value, THOUSANDTHS) if unit == "SG" else figure.value
    return ReadingTaken(at=at, quantity=quantity, value=value, unit=unit, sample_c=figure.sample_c)


def _bare(figure: Figure, context: Listening, at: float) -> Meaning:
    if figure.unit in OWNED_UNITS:
        return _reading(figure, OWNED_UNITS[figure.unit], context, at)
    bounds = THOUSANDTHS if Quantity.GRAVITY in context.asked else SURELY_THOUSANDTHS
    value = _with_point(figure.value, bounds) if figure.unit is None else figure.value
    if figure.sample_c is None:
        return NumberSaid(at=at, value=value, unit=figure.unit)
    quantity = _sampled(replace(figure, value=value), context)
    if quantity is None:
        sample = 77 if context.units is Units.US else 25
        said = f"{example(Quantity.GRAVITY, context.units)} at {sample} degrees"
        return Hint(text=f'Say what was read, such as "{said}".')
    return _reading(figure, quantity, context, at)


def _sampled(figure: Figure, context: Listening) -> Quantity | None:
    """What a number with a temperature but no name is: a gravity by its look, else as asked."""
    low, high = (bound / 1000 for bound in SURELY_THOUSANDTHS)
    if figure.unit is None and low <= figure.value <= high:
        return Quantity.GRAVITY
    volumes = [quantity for quantity in context.asked if "L" in QUANTITIES[quantity].units]
    fits = figure.unit is None or figure.unit in ("L", "gal")
    return volumes[0] if fits and len(volumes) == 1 else None


def _answers_an_ask(figure: Figure, subject: Subject, context: Listening) -> bool:
    """Whether "kettle" before a number is the wake word, and the number the answer to an ask."""
    if any(quantity in context.asked for quantity in subject.quantities):
        return False
    return any(
        figure.unit is None or figure.unit in QUANTITIES[quantity].units
        for quantity in context.asked
    )


def _with_point(value: float, bounds: tuple[float, float]) -> float:
    return value / 1000 if bounds[0] <= value <= bounds[1] else value
