"""A kettle over its brews: each figure after each brew, what each brew said of it, and its trend.

The figures learned after brew upon brew are no independent measurements: each holds all that the
brews before it taught, and lags behind a kettle that changes. So a trend is looked for in what each
brew said by itself. What was believed before it and after it are bell curves, and Bayes' rule made
the one of the other; so what the day itself said is their ratio, a bell curve as well: its
precision (1 / spread²) is what the day added to the precision, and its middle is where the two are
in balance (A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), section 2.5, from memory,
unchecked). What was believed before it is the figure of the brew before, less sure by what a
kettle differs from day to day, just as the day began with it.

Through those a straight line over the brews is laid, each weighted by its own spread and by what a
kettle differs from day to day. Where they scatter about it more than that, its slope is taken for
less sure by as much (R. T. Birge, Phys. Rev. 40 (1932) 207-227). What of a slope is worth telling:
:class:`Trend`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from assistant.advice.batch import fresh_batch
from assistant.advice.kettle_spreads import LEAST, RANGE_SPREADS, daily_spread, next_spread
from assistant.advice.learned import Figure, LearnedKettle, Trait
from assistant.advice.learned_words import TOLD_FROM, WORDS
from assistant.advice.plan import make_plan
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.schedule.model import Schedule

FEWEST_BREWS = 4
"""No trend is told from fewer brews that said something of a figure."""

MOST_BREWS = 12
"""Nor from more: what a kettle was like long ago is no trend of today."""

SURE_SLOPES = 3.5
"""A slope counts where it is this many of its spreads from nought."""

STEADY_WITHIN = 0.1
"""Steady is what surely changed by less than this share over its brews."""


class Trend(Enum):
    """Where a figure goes over its brews.

    RISING and FALLING are told where the slope is sure (``SURE_SLOPES``) and leads far enough over
    these brews to be worth telling (``TOLD_FROM``); STEADY where the change over them lies, eight
    times of ten, within ``STEADY_WITHIN`` either way. Everything else is UNSURE, and TOO_FEW where
    fewer than ``FEWEST_BREWS`` said something of the figure. Shares are of the card's figure, or of
    the least that counts as one (:class:`~assistant.advice.learned_words.Words`).
    """

    RISING = "rising"
    FALLING = "falling"
    STEADY = "steady"
    UNSURE = "not sure yet"
    TOO_FEW = "too few brews to tell"


@dataclass(frozen=True, kw_only=True)
class Said:
    """What a brew said of a figure by itself: a value and its standard deviation."""

    value: float
    spread: float


@dataclass(frozen=True, kw_only=True)
class Brew:
    """A figure after a brew; ``said`` is None where the brew said nothing of it.

    ``afresh`` says that the brew began with the card's figure, and not with what was learned.
    """

    day: int
    figure: Figure
    said: Said | None
    afresh: bool


@dataclass(frozen=True, kw_only=True)
class Slope:
    """How much a figure changes from one brew to the next, with its standard deviation."""

    a_brew: float
    spread: float
    brews: int

    @property
    def change(self) -> float:
        """What the whole of the line changes by."""
        return self.a_brew * (self.brews - 1)


@dataclass(frozen=True, kw_only=True)
class History:
    """A figure over the brews, the oldest first; ``low`` to ``high`` is where the next brew's lies
    eight times of ten. ``slope`` is None where there are too few brews for one."""

    trait: Trait
    brews: tuple[Brew, ...]
    low: float
    high: float
    slope: Slope | None
    trend: Trend

    @property
    def now(self) -> Figure:
        """The figure as it was learned last."""
        return self.brews[-1].figure


@dataclass(frozen=True, kw_only=True)
class BrewedIn:
    """A brew to learn from: what it was brewed by, what was known before it and after it.

    ``known`` says whether what was known before it is on record; ``before`` is None where that
    was nothing.
    """

    day: int
    schedule: Schedule
    known: bool
    before: LearnedKettle | None
    after: LearnedKettle


def histories(brews: Sequence[BrewedIn]) -> tuple[History, ...]:
    """Each figure over these brews in one kettle, the oldest first."""
    each = [_figures(brew) for brew in brews]
    return tuple(
        history(trait, [figures[trait] for figures in each if trait in figures])
        for trait in Trait
        if any(trait in figures for figures in each)
    )


def history(trait: Trait, brews: Sequence[Brew]) -> History:
    """A figure over its brews, one or more."""
    now = brews[-1].figure
    apart = RANGE_SPREADS * next_spread(trait, now)
    since = max(place for place, brew in enumerate(brews) if brew.afresh or place == 0)
    slope = slope_of(trait, brews[since:][-MOST_BREWS:])
    return History(
        trait=trait,
        brews=tuple(brews),
        low=now.value - apart,
        high=now.value + apart,
        slope=slope,
        trend=_trend(trait, now, slope),
    )


def said_alone(before: Figure, after: Figure) -> Said | None:
    """What lies between a figure before a brew and after it; None where that is nothing.

    ``before`` is as the day began with it: with the spread it had then.
    """
    had, has = (max(figure.spread, LEAST) ** -2 for figure in (before, after))
    gained = has - had
    if gained < LEAST_GAIN * had:
        return None
    return Said(
        value=(after.value * has - before.value * had) / gained,
        spread=float(gained**-0.5),
    )


LEAST_GAIN = 0.02
"""A brew that makes a figure surer by less than this share of its precision said nothing of it."""


def slope_of(trait: Trait, brews: Sequence[Brew]) -> Slope | None:
    """The slope of what these brews said, or None where too few of them said anything."""
    told = [(place, brew.said) for place, brew in enumerate(brews) if brew.said is not None]
    if len(told) < FEWEST_BREWS:
        return None
    place = np.array([place for place, _ in told], dtype=float)
    value = np.array([said.value for _, said in told])
    spread = np.array([said.spread for _, said in told])
    daily = daily_spread(trait, float(np.median(value)))
    weight = 1.0 / (spread**2 + daily**2)
    middle = np.average(place, weights=weight)
    away = place - middle
    wide = float(np.sum(weight * away**2))
    a_brew = float(np.sum(weight * away * value)) / wide
    rest = value - np.average(value, weights=weight) - a_brew * away
    scatter = float(np.sum(weight * rest**2)) / (len(told) - 2)
    return Slope(
        a_brew=a_brew,
        spread=float((max(scatter, 1.0) / wide) ** 0.5),
        brews=int(place[-1] - place[0]) + 1,
    )


def _trend(trait: Trait, now: Figure, slope: Slope | None) -> Trend:
    if slope is None:
        return Trend.TOO_FEW
    whole = max(abs(now.card), WORDS[trait].scale)
    share, doubt = slope.change / whole, slope.spread * (slope.brews - 1) / whole
    if abs(share) >= TOLD_FROM and abs(share) >= SURE_SLOPES * doubt:
        return Trend.RISING if share > 0 else Trend.FALLING
    if abs(share) + RANGE_SPREADS * doubt <= STEADY_WITHIN:
        return Trend.STEADY
    return Trend.UNSURE


def _figures(brew: BrewedIn) -> dict[Trait, Brew]:
    """Each figure after a brew, beside what the brew said of it."""
    began = _began(brew) if brew.known else {}
    before = {} if brew.before is None else brew.before.figures
    return {
        trait: Brew(
            day=brew.day,
            figure=figure,
            said=said_alone(began[trait], figure) if trait in began else None,
            afresh=brew.known and trait not in before,
        )
        for trait, figure in brew.after.figures.items()
    }


def _began(brew: BrewedIn) -> dict[Trait, Figure]:
    """The figures as the day began with them; none for a day that can't be planned any more."""
    try:
        plan = make_plan(brew.schedule)
    except (OutOfRange, NeverReaches):
        return {}
    belief = fresh_batch(brew.schedule, plan, 0.0, brew.before).belief
    return {
        trait: Figure(value=belief.value(trait), spread=belief.spread(trait), card=figure.card)
        for trait, figure in brew.after.figures.items()
    }
