"""What a day has taught of its kettle by its end: where the next brew with that kettle starts."""

from assistant.advice.learned import CARD_FIELDS, Figure, LearnedKettle, Trait, card_figure
from assistant.day.state import State

TAUGHT = (Trait.HEATER, *CARD_FIELDS)
"""The traits that the kettle of a day holds a figure for."""

SPREAD_SHARE = 0.1
LEAST_SPREAD = 0.01
"""No figure is known exactly, not even one that is nought."""


def learned_kettle(state: State) -> LearnedKettle:
    """The kettle as the day has it, one brew richer than when it began.

    Each figure keeps the card's from before the first brew beside it.
    """
    known = state.learned
    kettle = state.schedule.kettle
    before = known.figures if known is not None else {}
    figures = {}
    for trait in TAUGHT:
        value = card_figure(kettle, trait)
        figures[trait] = Figure(
            value=value,
            spread=max(SPREAD_SHARE * abs(value), LEAST_SPREAD),
            card=before[trait].card if trait in before else value,
        )
    return LearnedKettle(
        kettle=kettle.name, brews=known.brews + 1 if known is not None else 1, figures=figures
    )
