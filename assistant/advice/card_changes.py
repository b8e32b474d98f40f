"""A kettle's card that was edited after brews with that kettle: which figures count from it again.

What was learned stands in the place of the card's figures, so an edit must be told from an old
card. The figures of the record keep what the card said; where it says something else now, the
brewer changed it, and there are two reasons for that. Either the figure learned was written down,
more or less: then it stays as learned, with what is known of how sure it is, and writing it down
made nobody surer of it. Or the kettle was changed or measured: then the card is right, as sure as
any card. The first is taken for the reason where the card's figure lies in the range that is
believed in for the next brew, eight times of ten, for there the card says nothing that was not
known; the second where it lies outside.
"""

from dataclasses import replace

from assistant.advice.kettle_spreads import RANGE_SPREADS, fresh_spread, next_spread
from assistant.advice.learned import CARD_FIELDS, Figure, LearnedKettle, Trait, card_figure
from assistant.schedule.model import Heater, Kettle

ROUNDING = 0.05
"""A change within this share of the doubt a card's figure has is rounding, as between units."""

ON_CARD: tuple[Trait, ...] = tuple(t for t in Trait if t in CARD_FIELDS or t is Trait.HEATER)
"""The figures that a card tells."""


def with_card(
    learned: LearnedKettle, card: Kettle, heater_before: Heater | None = None
) -> LearnedKettle:
    """What was learned, as far as it holds for the kettle as its card has it now.

    What counts from the card again is named in ``from_card`` and has no figure any more.
    ``heater_before`` is the heater of the last brew, where it is known: of another kind, or of
    other power, nothing is known yet, whatever its efficiency is said to be.
    """
    figures = dict(learned.figures)
    from_card: list[Trait] = []
    new_heater = is_another(heater_before, card.heater)
    if new_heater:
        figures.pop(Trait.COAST, None)
    for trait in ON_CARD:
        figure = figures.get(trait)
        if figure is None:
            continue
        now = card_figure(card, trait)
        if trait is Trait.HEATER and new_heater:
            del figures[trait]
            from_card.append(trait)
        elif _changed(trait, figure, now):
            if agrees(trait, figure, now):
                figures[trait] = replace(figure, card=now)
            else:
                del figures[trait]
                from_card.append(trait)
    return replace(learned, figures=figures, from_card=tuple(from_card))


def agrees(trait: Trait, figure: Figure, card_now: float) -> bool:
    """Whether a card's figure lies in the range that is believed in for the next brew."""
    within = RANGE_SPREADS * next_spread(trait, figure)
    return abs(card_now - figure.value) <= max(within, _rounding(trait, card_now))


def is_another(before: Heater | None, now: Heater) -> bool:
    """Whether a heater is of another kind or power than the one before, where that is known."""
    if before is None:
        return False
    return before.kind is not now.kind or abs(before.power_w - now.power_w) > 0.01 * now.power_w


def _changed(trait: Trait, figure: Figure, card_now: float) -> bool:
    return abs(card_now - figure.card) > _rounding(trait, figure.card)


def _rounding(trait: Trait, value: float) -> float:
    return ROUNDING * fresh_spread(trait, value)
