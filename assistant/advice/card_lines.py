"""What to write in a kettle's file, where brews have shown it to be otherwise than its card says.

A figure is worth a line where it is away from the card by more than a twentieth, and the card's
lies out of the range that is believed in for the next brew. The line holds as many places as it
takes to be true to the figure within a fifth of its uncertainty.
"""

from dataclasses import dataclass

from assistant.advice.card_changes import ON_CARD, agrees
from assistant.advice.card_units import figure_text, in_file, unit_of, with_unit
from assistant.advice.figures import number
from assistant.advice.learned import Figure, LearnedKettle, Trait
from assistant.advice.learned_words import moved_traits
from assistant.schedule.model import Kettle, Units
from assistant.schedule.readers import Measure, Share
from assistant.schedule.tables import HEATER, KETTLE

KEYS = {
    Trait.HEAT_LOSS: "heat_loss",
    Trait.HEAT_CAPACITY: "heat_capacity",
    Trait.BOIL_OFF: "boil_off",
    Trait.ABSORPTION: "absorption",
    Trait.LEFT_BEHIND: "left_behind",
    Trait.EXTRACT: "extract_efficiency",
}
"""The keys of a kettle's file that hold nothing but a figure that is learned."""

TRUE_WITHIN = 0.2
MOST_PLACES = 4


@dataclass(frozen=True, kw_only=True)
class CardLine:
    """A line for a kettle's file. ``text`` is None where no card may hold the figure: then
    ``lowest`` and ``highest`` are what it may, in the words of the file."""

    trait: Trait
    text: str | None
    card: str
    lowest: str
    highest: str


def card_lines(kettle: Kettle, learned: LearnedKettle, units: Units) -> tuple[CardLine, ...]:
    """The lines that differ clearly from the card, in the order of the traits.

    ``kettle`` tells the heater's kind and power, which stand in one line with its efficiency.
    """
    moved = moved_traits(learned, units)
    return tuple(
        _line(kettle, trait, learned.figures[trait], units)
        for trait in ON_CARD
        if trait in moved and not agrees(trait, learned.figures[trait], learned.figures[trait].card)
    )


def _line(kettle: Kettle, trait: Trait, figure: Figure, units: Units) -> CardLine:
    low, high = _limits(trait)
    text = None
    if low <= figure.value <= high:
        shown = with_unit(trait, _true_enough(trait, figure, units), units)
        text = f"{KEYS[trait]}: {shown}" if trait in KEYS else _heater(kettle, shown)
    return CardLine(
        trait=trait,
        text=text,
        card=with_unit(trait, figure_text(trait, figure.card, units), units),
        lowest=with_unit(trait, figure_text(trait, low, units), units),
        highest=with_unit(trait, figure_text(trait, high, units), units),
    )


def _true_enough(trait: Trait, figure: Figure, units: Units) -> str:
    value = in_file(trait, figure.value, units)
    within = TRUE_WITHIN * in_file(trait, figure.spread, units)
    places = unit_of(trait, units).places
    while abs(round(value, places) - value) > within and places < MOST_PLACES:
        places += 1
    return number(value, places)


def _heater(kettle: Kettle, efficiency: str) -> str:
    kind, power = kettle.heater.kind.value, number(kettle.heater.power_w / 1000, 4)
    return f"heater: {{kind: {kind}, power: {power} kW, efficiency: {efficiency}}}"


def _limits(trait: Trait) -> tuple[float, float]:
    """What a file may hold, in the trait's unit."""
    key = KETTLE.keys[KEYS[trait]] if trait in KEYS else HEATER.keys["efficiency"]
    match key.reader:
        case Share(measure=measure):
            return measure.low / 100, measure.high / 100
        case Measure(low=low, high=high):
            return low, high
        case _:
            raise TypeError(f"the key of {trait.value} holds no figure")
