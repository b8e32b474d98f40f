"""How sure a kettle's figures are before a brew: by its card alone, and from one brew to the next.

The spreads are standard deviations of what home kettles scatter by; common practice, no source.
"""

from collections.abc import Mapping
from math import hypot
from types import MappingProxyType

from assistant.advice.learned import Figure, LearnedKettle, Trait, card_figure
from assistant.schedule.model import Kettle

CARD_SHARE: Mapping[Trait, float] = MappingProxyType(
    {
        Trait.HEATER: 0.08,
        Trait.HEAT_LOSS: 0.25,
        Trait.HEAT_CAPACITY: 0.15,
        Trait.BOIL_OFF: 0.18,
        Trait.ABSORPTION: 0.15,
        Trait.LEFT_BEHIND: 0.25,
        Trait.EXTRACT: 0.055,
    }
)
"""Standard deviation of a card's figure, as a share of it, before the kettle has been brewed in."""

DAILY_SHARE: Mapping[Trait, float] = MappingProxyType(
    {
        Trait.HEATER: 0.02,
        Trait.HEAT_LOSS: 0.10,
        Trait.HEAT_CAPACITY: 0.03,
        Trait.BOIL_OFF: 0.05,
        Trait.ABSORPTION: 0.06,
        Trait.LEFT_BEHIND: 0.10,
        Trait.EXTRACT: 0.02,
    }
)
"""How much a figure differs from one brew to the next, as a share of it."""

LEAST_SPREAD: Mapping[Trait, float] = MappingProxyType(
    {Trait.LEFT_BEHIND: 0.15, Trait.ABSORPTION: 0.04}
)
"""Nor is a card's figure ever surer than this, however small it is."""

UNCARDED: Mapping[Trait, tuple[float, float, float]] = MappingProxyType(
    {Trait.COAST: (8.0, 7.0, 2.0), Trait.LANDING: (0.0, 0.5, 0.25)}
)
"""What no card tells: the value and the spread to begin with, and how much it differs by day."""

LEAST = 1e-6
"""No figure is known more exactly, in its own unit."""

RANGE_SPREADS = 1.2816
"""Eight of ten draws from a bell curve lie within so many standard deviations of its middle."""


def fresh_spread(trait: Trait, value: float) -> float:
    """How sure a card's figure is before the kettle has been brewed in, in the trait's unit."""
    if trait in UNCARDED:
        return UNCARDED[trait][1]
    return max(CARD_SHARE[trait] * abs(value), LEAST_SPREAD.get(trait, 0.0), LEAST)


def daily_spread(trait: Trait, value: float) -> float:
    """How much a figure of that size differs from one brew to the next, in the trait's unit."""
    return UNCARDED[trait][2] if trait in UNCARDED else DAILY_SHARE[trait] * abs(value)


def next_spread(trait: Trait, figure: Figure) -> float:
    """How sure a learned figure is for the next brew: less than when the last one ended.

    Never less sure than a card's figure is.
    """
    widened = hypot(figure.spread, daily_spread(trait, figure.value))
    return max(min(widened, fresh_spread(trait, figure.value)), LEAST)


def start_of_day(
    kettle: Kettle, learned: LearnedKettle | None, trait: Trait
) -> tuple[float, float]:
    """A figure and its spread as a brew begins: as learned, or else as the card has it."""
    figure = learned.figures.get(trait) if learned is not None else None
    if figure is not None:
        return figure.value, next_spread(trait, figure)
    value = UNCARDED[trait][0] if trait in UNCARDED else card_figure(kettle, trait)
    return value, fresh_spread(trait, value)
