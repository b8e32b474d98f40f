"""The kettle as learned: what is believed of it and of its content, and how that changes.

Twelve figures are believed in at once: the nine traits of the kettle, and the litres, the extract
and the temperature of what is in it. Each has a value and a spread, and it is known how they hang
together: wort that is short in the kettle is likely short in the fermenter too. Two rules move
them.

*Something happens* (:func:`carried`): heat, a boil, a lifted bag. Every figure goes where the sums
take it, and its doubt goes along: a boil-off known to a tenth makes the volume after an hour as
doubtful as a tenth of that hour's boil-off, and ties the two together.

*Something is read* (:func:`observed`): each figure moves by what it can explain of the surprise,
the doubtful ones most, and is surer afterwards. That is Bayes' rule for bell curves, made linear
around what is believed: the extended Kalman filter (R. E. Kalman, J. Basic Eng. 82 (1960) 35-45).
A reading farther off than ``ODD`` times what was to be expected moves no more than one just so far
off (P. J. Huber, Ann. Math. Statist. 35 (1964) 73-101), so that one slip of the eye never moves
anything far, and the same figure read again is believed in the end.

The spreads a day begins with stand in ``kettle_spreads``.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from assistant.advice.kettle_spreads import start_of_day
from assistant.advice.learned import Figure, LearnedKettle, Trait, with_traits
from assistant.schedule.model import Kettle

Array = NDArray[np.float64]


class Content(Enum):
    """A figure of what is in the kettle or the fermenter."""

    VOLUME_L = "volume"
    EXTRACT_KG = "extract"
    TEMPERATURE_C = "temperature"


Row = Trait | Content
ROWS: tuple[Row, ...] = (*Trait, *Content)
AT: Mapping[Row, int] = MappingProxyType({row: place for place, row in enumerate(ROWS)})
"""The place of each figure in every vector and matrix here."""

TRAITS = len(Trait)

ODD = 2.5
"""A reading this many standard deviations off is odd, and moves no more the farther off it is."""

CONFIRMED_ODD = 5.0
"""One that the brewer has said yes to may be this far off before it moves no more."""

LIMITS: Mapping[Trait, tuple[float, float]] = MappingProxyType(
    {
        Trait.HEATER: (0.05, 1.15),
        Trait.HEAT_LOSS: (0.05, 300.0),
        Trait.HEAT_CAPACITY: (50.0, 200_000.0),
        Trait.BOIL_OFF: (0.1, 60.0),
        Trait.ABSORPTION: (0.0, 2.0),
        Trait.LEFT_BEHIND: (0.0, 30.0),
        Trait.EXTRACT: (0.2, 1.0),
        Trait.COAST: (0.0, 90.0),
        Trait.LANDING: (-3.0, 3.0),
    }
)
"""No reading leads a figure outside these: whatever a card may say lies within them."""


@dataclass(frozen=True, kw_only=True)
class Belief:
    """The traits as believed and how sure that is.

    ``traits`` are in the order of :class:`Trait`; ``covariance`` is of those and then of the
    :class:`Content`, whose values stand in the batch.
    """

    traits: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]

    def value(self, trait: Trait) -> float:
        """A trait as believed."""
        return self.traits[AT[trait]]

    def spread(self, row: Row) -> float:
        """Its standard deviation."""
        return float(max(self.covariance[AT[row]][AT[row]], 0.0) ** 0.5)


Contents = tuple[float, float, float]
"""Volume in litres at 20 °C, extract in kg, temperature in °C."""

Change = Callable[[Array], Array]
"""Where a vector of the twelve figures is taken; each column of a matrix is such a vector."""

Expected = Callable[[Array], Array]
"""What a reading should show for such a vector; one figure for each column of a matrix."""


def fresh_belief(
    kettle: Kettle,
    learned: LearnedKettle | None,
    *,
    potential_kg: float,
    kept_share: float,
    strike_l: float,
) -> Belief:
    """What is believed before the day begins: the card's figures, or those learned before.

    ``kettle`` has the learned figures in it already. ``potential_kg`` is the extract the grist
    could give, ``kept_share`` the share of the mash's liquid that the grain keeps, and with it
    that share of the extract.
    """
    traits = [start_of_day(kettle, learned, trait) for trait in Trait]
    spreads = np.array([spread for _, spread in traits])
    covariance = np.zeros((len(ROWS), len(ROWS)))
    covariance[:TRAITS, :TRAITS] = np.diag(spreads**2)
    absorption, extract = AT[Trait.ABSORPTION], AT[Trait.EXTRACT]
    value = traits[extract][0]
    if kettle.absorption_l_kg > 0 and kept_share < 1:
        slope = -value * kept_share / (1 - kept_share) / kettle.absorption_l_kg
        shared = slope * spreads[absorption] ** 2
        covariance[absorption, extract] = covariance[extract, absorption] = shared
        covariance[extract, extract] += slope * shared
    carry = np.eye(len(ROWS))
    carry[AT[Content.EXTRACT_KG], extract] = potential_kg
    covariance = carry @ covariance @ carry.T
    covariance[AT[Content.VOLUME_L], AT[Content.VOLUME_L]] = (FILL_SHARE * strike_l) ** 2
    covariance[AT[Content.TEMPERATURE_C], AT[Content.TEMPERATURE_C]] = TAP_K**2
    return Belief(traits=tuple(value for value, _ in traits), covariance=_frozen(covariance))


FILL_SHARE = 0.01
"""Standard deviation of water filled to a mark, as a share of it."""

TAP_K = 3.0
"""Standard deviation of tap water about the card's figure."""


def carried(
    belief: Belief, contents: Contents, change: Change, noise: Mapping[Row, float]
) -> tuple[Belief, Contents]:
    """What is believed after something happened; ``noise`` is the doubt it adds of its own."""
    figures, covariance = _vector(belief, contents), np.array(belief.covariance)
    slopes = _slopes(change, figures, covariance)
    covariance = slopes @ covariance @ slopes.T
    for row, spread in noise.items():
        covariance[AT[row], AT[row]] += spread**2
    return _believed(change(figures), covariance)


def observed(
    belief: Belief,
    contents: Contents,
    value: float,
    expected: Expected,
    *,
    spread: float,
    odd: float = ODD,
) -> tuple[Belief, Contents]:
    """What is believed after a reading; ``spread`` is its standard deviation."""
    figures, covariance = _vector(belief, contents), np.array(belief.covariance)
    slope = _slopes(lambda x: expected(x)[np.newaxis], figures, covariance)[0]
    surprise = value - float(expected(figures))
    known = float(slope @ covariance @ slope)
    usual = (known + spread**2) ** 0.5
    doubt = spread**2 + usual**2 * max(abs(surprise) / (odd * usual) - 1.0, 0.0)
    gain = covariance @ slope / (known + doubt)
    keep = np.eye(len(ROWS)) - np.outer(gain, slope)
    covariance = keep @ covariance @ keep.T + doubt * np.outer(gain, gain)
    return _believed(figures + gain * surprise, covariance)


def less_sure(belief: Belief, row: Row, spread: float) -> Belief:
    """What is believed, one figure of it with so much more doubt."""
    covariance = np.array(belief.covariance)
    covariance[AT[row], AT[row]] += spread**2
    return replace(belief, covariance=_frozen(covariance))


def doubted_together(belief: Belief, spreads: Mapping[Row, float]) -> Belief:
    """What is believed, some of it with so much more doubt that is one and the same for all."""
    apart = np.zeros(len(ROWS))
    for row, spread in spreads.items():
        apart[AT[row]] = spread
    covariance = np.array(belief.covariance) + np.outer(apart, apart)
    return replace(belief, covariance=_frozen(covariance))


def known_afresh(belief: Belief, row: Row, spread: float) -> Belief:
    """What is believed, one figure of it found out anew: it hangs together with no other."""
    covariance = np.array(belief.covariance)
    covariance[AT[row], :] = covariance[:, AT[row]] = 0.0
    covariance[AT[row], AT[row]] = spread**2
    return replace(belief, covariance=_frozen(covariance))


def spread_of(belief: Belief, contents: Contents, figure: Expected) -> float:
    """The standard deviation of a figure that follows from what is believed."""
    figures, covariance = _vector(belief, contents), np.array(belief.covariance)
    slope = _slopes(lambda x: figure(x)[np.newaxis], figures, covariance)[0]
    return float(max(slope @ covariance @ slope, 0.0) ** 0.5)


def learned_by(kettle: Kettle, belief: Belief) -> Kettle:
    """The kettle card with what is believed in the place of its figures."""
    return with_traits(kettle, {trait: belief.value(trait) for trait in Trait})


def figures_of(belief: Belief, card: Mapping[Trait, float]) -> dict[Trait, Figure]:
    """The traits as figures for the record, each beside the card's."""
    return {
        trait: Figure(
            value=belief.value(trait),
            spread=max(belief.spread(trait), 1e-6),
            card=card.get(trait, 0.0),
        )
        for trait in Trait
    }


def _slopes(change: Change, figures: Array, covariance: Array) -> Array:
    """How each result moves with each figure, over a tenth of its spread either way."""
    steps = 0.1 * np.sqrt(np.maximum(np.diag(covariance), 1e-12))
    apart = np.diag(steps)
    around = figures[:, np.newaxis]
    moved = change(np.hstack([around + apart, around - apart]))
    size = len(figures)
    slopes: Array = (moved[:, :size] - moved[:, size:]) / (2 * steps)
    return slopes


def _vector(belief: Belief, contents: Contents) -> Array:
    return np.array((*belief.traits, *contents))


def _believed(figures: Array, covariance: Array) -> tuple[Belief, Contents]:
    traits = tuple(
        min(max(float(figures[AT[trait]]), low), high) for trait, (low, high) in LIMITS.items()
    )
    volume_l, extract_kg, temperature_c = (float(value) for value in figures[TRAITS:])
    belief = Belief(traits=traits, covariance=_frozen((covariance + covariance.T) / 2))
    return belief, (max(volume_l, 0.1), max(extract_kg, 0.0), temperature_c)


def _frozen(matrix: Array) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(row) for row in matrix.tolist())
