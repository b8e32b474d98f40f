"""How warm the kettle is by now, and when it will be where it is wanted.

What is in the kettle is one well-stirred body that loses heat to the room. The heater's power
reaches it through the metal, which takes it up and gives it back with the time constant COAST: so
the warming begins late, and goes on for a while after the heat is off.
"""

from dataclasses import dataclass

import numpy as np

from assistant.advice.kettle import AT, Array, Belief, Content, Contents, spread_of
from assistant.advice.learned import Trait
from assistant.brewing.capacity import GRAIN_HEAT_J_KG_K, WATER_HEAT_J_KG_K
from assistant.brewing.water import WATER_KG_L
from assistant.schedule.model import Kettle

SHORTEST_COAST_S = 1.0
LONGEST_HEATING_S = 6 * 3600.0
"""What takes longer than this is taken never to be reached."""

ALL_BUT = 0.999
"""A target past this share of the way to where the kettle levels off is never reached either."""


@dataclass(frozen=True, kw_only=True)
class Heat:
    """What the heater does: ``share`` of full power, and the share that reaches the content by now.

    Both are 0 to 1 and the same once the metal is as hot as it gets.
    """

    share: float = 0.0
    flowing: float = 0.0


HEAT_OFF = Heat()


@dataclass(frozen=True, kw_only=True)
class Pot:
    """What the sums of warmth need of the kettle beside what is believed: see the kettle card.

    ``losing`` is how many times the card's heat loss it loses: more with its lid off.
    """

    power_w: float
    room_c: float
    grain_kg: float
    losing: float = 1.0

    @classmethod
    def of(cls, kettle: Kettle, grain_kg: float, *, lid_off: bool = False) -> "Pot":
        """The kettle with so much grain in it."""
        return cls(
            power_w=kettle.heater.power_w,
            room_c=kettle.room_c,
            grain_kg=grain_kg,
            losing=LID_OFF if lid_off else 1.0,
        )


LID_OFF = 1.8
"""Heat lost with the lid off against lid on, below the boil; an estimate, no source."""


def capacity_j_k(pot: Pot, figures: Array) -> Array:
    """Heat capacity of kettle and content, J/K; wort holds as much per litre as water, within 2 %.

    Source: sum of mass times specific heat.
    """
    water_j_k = figures[AT[Content.VOLUME_L]] * WATER_KG_L * WATER_HEAT_J_KG_K
    capacity: Array = (
        water_j_k + pot.grain_kg * GRAIN_HEAT_J_KG_K + figures[AT[Trait.HEAT_CAPACITY]]
    )
    return np.maximum(capacity, 100.0)


def temperature_c(pot: Pot, heat: Heat, figures: Array, seconds: float) -> Array:
    """The content's temperature after a while of the same power, as if it could not boil.

    Source: Newton's law of cooling with a source that approaches its strength exponentially,
    solved in closed form.
    """
    capacity = capacity_j_k(pot, figures)
    loss_w_k = pot.losing * np.maximum(figures[AT[Trait.HEAT_LOSS]], 0.01)
    coast_s = np.maximum(figures[AT[Trait.COAST]], SHORTEST_COAST_S)
    full_w = pot.power_w * figures[AT[Trait.HEATER]]
    rate = loss_w_k / capacity
    fading, cooling = np.exp(-seconds / coast_s), np.exp(-rate * seconds)
    late_k = full_w * (heat.flowing - heat.share) / capacity
    warm: Array = (
        pot.room_c
        + (figures[AT[Content.TEMPERATURE_C]] - pot.room_c) * cooling
        + full_w * heat.share / loss_w_k * (1 - cooling)
        + late_k * (fading - cooling) / (rate - 1 / coast_s)
    )
    return warm


def heat_after(heat: Heat, coast_s: float, seconds: float) -> Heat:
    """What reaches the content after a while of the same power."""
    fading = float(np.exp(-seconds / max(coast_s, SHORTEST_COAST_S)))
    return Heat(share=heat.share, flowing=heat.share + (heat.flowing - heat.share) * fading)


def coasts_k(pot: Pot, figures: Array) -> Array:
    """How much the content warms yet once full power is off: what is in the metal."""
    full_w = pot.power_w * figures[AT[Trait.HEATER]]
    warms: Array = full_w * figures[AT[Trait.COAST]] / capacity_j_k(pot, figures)
    return warms


def heating_s(pot: Pot, figures: Array, flowing: float, to_c: float) -> Array:
    """Seconds of full power until the content is at ``to_c``, of which the metal takes its part.

    ``LONGEST_HEATING_S`` where it never gets there. Source: as for :func:`temperature_c`, the
    delay of the metal taken as a whole.
    """
    loss_w_k = pot.losing * np.maximum(figures[AT[Trait.HEAT_LOSS]], 0.01)
    full_w = pot.power_w * figures[AT[Trait.HEATER]]
    from_c = figures[AT[Content.TEMPERATURE_C]]
    net_w = full_w - loss_w_k * (from_c - pot.room_c)
    share = loss_w_k * np.maximum(to_c - from_c, 0.0) / np.maximum(net_w, 1e-6)
    seconds = -capacity_j_k(pot, figures) / loss_w_k * np.log1p(-np.minimum(share, ALL_BUT))
    late_s = np.where(to_c > from_c, (1 - flowing) * figures[AT[Trait.COAST]], 0.0)
    until = np.minimum(seconds + late_s, LONGEST_HEATING_S)
    reached: Array = np.where(share < ALL_BUT, until, LONGEST_HEATING_S)
    return reached


@dataclass(frozen=True, kw_only=True)
class Reached:
    """When a temperature should be reached: seconds from now, and their standard deviation."""

    seconds: float
    spread_s: float

    @property
    def ever(self) -> bool:
        """Whether it is reached at all."""
        return self.seconds < LONGEST_HEATING_S


def reached_in(pot: Pot, heat: Heat, belief: Belief, contents: Contents, to_c: float) -> Reached:
    """When full power will have brought the content to ``to_c``."""
    figures = np.array((*belief.traits, *contents))
    seconds = float(heating_s(pot, figures, heat.flowing, to_c))
    spread_s = spread_of(belief, contents, lambda x: heating_s(pot, x, heat.flowing, to_c))
    return Reached(seconds=seconds, spread_s=spread_s)
