"""What was learned of a kettle in words: a sentence for the ear, a line for the page."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.learned import CARD_FIELDS, Figure, LearnedKettle, Trait
from assistant.schedule.model import Units
from assistant.schedule.units import convert, convert_difference

TOLD_FROM = 0.05
"""The share a figure must have moved from the card's to be worth telling."""

MOST_TOLD = 2
"""How many figures an ear takes in at once."""

MOST_NAMED = 3
"""How many names without figures it does."""


@dataclass(frozen=True, kw_only=True)
class Words:
    """How a trait is told: ``phrase`` holds a place for its ``figure`` in the brewer's units.

    A move is measured against the card's figure, or against ``scale`` where the card has less or
    nothing: a spoonful more than no trub is no move worth telling. ``scale`` is in the trait's
    unit and above nought; common practice, no source.
    """

    phrase: str
    figure: Callable[[float, Units], str]
    scale: float


def _percent(share: float, units: Units) -> str:
    return f"{figures.number(share * 100, 0)} percent"


def _watts_a_degree(loss_w_k: float, units: Units) -> str:
    return f"{figures.counted(figures.number(_a_degree(loss_w_k, units), 1), 'watt')} a degree"


def _kilojoules_a_degree(capacity_j_k: float, units: Units) -> str:
    shown = figures.number(_a_degree(capacity_j_k, units) / 1000, 1)
    return f"{figures.counted(shown, 'kilojoule')} a degree"


def _a_degree(each_k: float, units: Units) -> float:
    return each_k / convert_difference(1.0, "degC", "degF") if units is Units.US else each_k


def _an_hour(rate_l_h: float, units: Units) -> str:
    if units is Units.US:
        gallons = figures.number(convert(rate_l_h, "L", "gal"), 2)
        return f"{figures.counted(gallons, 'gallon')} an hour"
    return f"{figures.volume(rate_l_h, units)} an hour"


def _a_weight_of_grain(held_l_kg: float, units: Units) -> str:
    if units is Units.US:
        quarts = figures.number(convert(held_l_kg, "L/kg", "qt/lb"), 2)
        return f"{figures.counted(quarts, 'quart')} a pound"
    return f"{figures.counted(figures.number(held_l_kg, 2), 'litre')} a kilo"


def _duration(seconds: float, units: Units) -> str:
    return figures.duration(seconds)


def _off_the_mark(difference_k: float, units: Units) -> str:
    side = "warm" if difference_k > 0 else "cool"
    return f"{figures.temperature_difference(difference_k, units)} {side}"


CARD_NAMES: Mapping[Trait, str] = {
    Trait.HEATER: "heater",
    Trait.HEAT_LOSS: "heat loss",
    Trait.HEAT_CAPACITY: "heat in the metal",
    Trait.BOIL_OFF: "boil-off",
    Trait.ABSORPTION: "what the grain holds",
    Trait.LEFT_BEHIND: "what is left behind",
    Trait.EXTRACT: "extract",
}
"""What a card tells of, each in words short enough for the ear."""

WORDS: Mapping[Trait, Words] = {
    Trait.HEATER: Words(phrase="{} of the heater's power", figure=_percent, scale=0.1),
    Trait.HEAT_LOSS: Words(phrase="heat loss {}", figure=_watts_a_degree, scale=1.0),
    Trait.HEAT_CAPACITY: Words(
        phrase="the kettle's metal {}", figure=_kilojoules_a_degree, scale=1000.0
    ),
    Trait.BOIL_OFF: Words(phrase="boil-off {}", figure=_an_hour, scale=1.0),
    Trait.ABSORPTION: Words(phrase="grain holds {}", figure=_a_weight_of_grain, scale=0.2),
    Trait.LEFT_BEHIND: Words(phrase="{} left behind", figure=figures.volume, scale=2.0),
    Trait.EXTRACT: Words(phrase="{} of the extract", figure=_percent, scale=0.2),
    Trait.COAST: Words(phrase="{} of heat once it's off", figure=_duration, scale=300.0),
    Trait.LANDING: Words(phrase="the mash lands {}", figure=_off_the_mark, scale=10.0),
}


def learned_sentence(learned: LearnedKettle, units: Units) -> str:
    """For the ear, 20 words at most: the one or two figures that moved most from the card's."""
    moved = moved_traits(learned, units)[:MOST_TOLD]
    if not moved:
        known = "your last brew" if learned.brews == 1 else f"{learned.brews} brews"
        return f"Kettle known from {known}."
    told = ", ".join(_told(trait, learned.figures[trait], units) for trait in moved)
    return f"From {_brews(learned)}: {told}."


def card_sentence(learned: LearnedKettle) -> str:
    """For the ear and the page: what counts from the card again; empty where nothing does."""
    names = [CARD_NAMES[trait] for trait in learned.from_card]
    if not names:
        return ""
    told = figures.listed(names) if len(names) <= MOST_NAMED else f"{len(names)} kettle figures"
    return f"{figures.sentence(told)} from the card, which was changed."


def learned_line(learned: LearnedKettle, units: Units) -> str:
    """For the page: how many brews the kettle's figures are from, and which differ from the card.

    Each of those stands beside the card's, where a card tells it.
    """
    moved = moved_traits(learned, units)
    if not moved:
        return f"Kettle figures from {_brews(learned)}, all near the card's."
    told = ", ".join(_beside_the_card(trait, learned.figures[trait], units) for trait in moved)
    return f"Kettle figures from {_brews(learned)}: {told}."


def moved_traits(learned: LearnedKettle, units: Units) -> list[Trait]:
    """What moved from the card by a twentieth or more, and can be told apart from it; most first.

    Those that moved alike stand in the order of :class:`~assistant.advice.learned.Trait`.
    """
    moves = {
        trait: _move(trait, learned.figures[trait])
        for trait in Trait
        if trait in learned.figures and _tells(trait, learned.figures[trait], units)
    }
    moved = [trait for trait, move in moves.items() if move >= TOLD_FROM]
    return sorted(moved, key=lambda trait: moves[trait], reverse=True)


def _move(trait: Trait, figure: Figure) -> float:
    return abs(figure.value - figure.card) / max(abs(figure.card), WORDS[trait].scale)


def _tells(trait: Trait, figure: Figure, units: Units) -> bool:
    words = WORDS[trait].figure
    return words(figure.value, units) != words(figure.card, units)


def _told(trait: Trait, figure: Figure, units: Units) -> str:
    words = WORDS[trait]
    return words.phrase.format(words.figure(figure.value, units))


def _beside_the_card(trait: Trait, figure: Figure, units: Units) -> str:
    told = _told(trait, figure, units)
    if trait not in CARD_FIELDS and trait is not Trait.HEATER:
        return told
    return f"{told} (card: {WORDS[trait].figure(figure.card, units)})"


def _brews(learned: LearnedKettle) -> str:
    return "your last brew" if learned.brews == 1 else f"your last {learned.brews} brews"
