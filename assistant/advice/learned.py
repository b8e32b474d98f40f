"""What past brews have taught of a kettle: figures that take the place of the card's.

A brew ends with what is believed of its kettle; the next one with that kettle starts there, a
little less sure, since no two days are alike. Records keep these figures under their names.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any

from assistant.schedule.model import Kettle, Schedule


class Trait(Enum):
    """A figure of a kettle that can be learned; the value is its name on the record.

    HEATER is the share of the heater's power that reaches the wort, COAST the seconds of full
    heat that are still in the metal when the heat goes off, LANDING how many kelvin warmer than
    the sums say a mash lands. The others are the kettle card's figures, in the unit of the name.
    """

    HEATER = "heater_efficiency"
    HEAT_LOSS = "heat_loss_w_k"
    HEAT_CAPACITY = "heat_capacity_j_k"
    BOIL_OFF = "boil_off_l_h"
    ABSORPTION = "absorption_l_kg"
    LEFT_BEHIND = "left_behind_l"
    EXTRACT = "extract_efficiency"
    COAST = "coast_s"
    LANDING = "landing_k"


CARD_FIELDS: Mapping[Trait, str] = {
    trait: trait.value for trait in Trait if trait not in (Trait.HEATER, Trait.COAST, Trait.LANDING)
}
"""The traits that are fields of the kettle card by the same name."""


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A learned figure: ``value`` with its standard deviation ``spread``, and the card's then."""

    value: float
    spread: float
    card: float


@dataclass(frozen=True, kw_only=True)
class LearnedKettle:
    """What ``brews`` days have taught of the kettle of that name.

    ``from_card`` names what they had taught as well, but what counts from the card again, since
    that was changed.
    """

    kettle: str
    brews: int
    figures: Mapping[Trait, Figure]
    from_card: tuple[Trait, ...] = ()


def with_learned(schedule: Schedule, learned: LearnedKettle | None) -> Schedule:
    """The schedule with what was learned of its kettle in the place of the card's figures."""
    if learned is None:
        return schedule
    values = {trait: figure.value for trait, figure in learned.figures.items()}
    return replace(schedule, kettle=with_traits(schedule.kettle, values))


def with_traits(kettle: Kettle, values: Mapping[Trait, float]) -> Kettle:
    """The kettle with these figures in the place of its own; it has no place for the others."""
    changed: dict[str, Any] = {
        CARD_FIELDS[trait]: value for trait, value in values.items() if trait in CARD_FIELDS
    }
    heater = kettle.heater
    if Trait.HEATER in values:
        heater = replace(heater, efficiency=values[Trait.HEATER])
    return replace(kettle, heater=heater, **changed)


def card_figure(kettle: Kettle, trait: Trait) -> float:
    """The card's figure; nought for what no card tells."""
    if trait is Trait.HEATER:
        return kettle.heater.efficiency
    return float(getattr(kettle, CARD_FIELDS[trait])) if trait in CARD_FIELDS else 0.0
