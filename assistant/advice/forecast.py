"""Where the day is heading as things stand: gravity, volume, bitterness, and when, with ranges.

Each range holds the truth in 80 % of days. It follows from how sure the batch and the kettle are
by now (``kettle``), carried to the fermenter with the sums of the forecast itself. Bitterness is
the sum's own: alpha acids as printed on the bag, and no laboratory's error.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from assistant.advice.batch import Batch, Place
from assistant.advice.bitterness import Dose, total_ibu
from assistant.advice.ending import Outcome, outcome
from assistant.advice.happenings import at_moment
from assistant.advice.kettle import AT, Content, Row
from assistant.advice.learned import Trait, card_figure, with_traits
from assistant.advice.worts import Extract
from assistant.schedule.model import Schedule

BITTERNESS_SHARE = 0.02
GRAVITY_WAVERS = 0.0003
VOLUME_WAVERS_L = 0.08
"""Standard deviations of what no figure here stands for: scales, mixing, what clings to a hose;
of bitterness as a share of it. Common practice, no source."""

STOPPED_L = 0.2
"""How near a brewer stops to a mark of the fermenter, in four days of five; common practice."""

EIGHTY_PERCENT = 1.2816
"""Half-width of the central 80 % of a normal distribution, in standard deviations."""


@dataclass(frozen=True, kw_only=True)
class Moment:
    """When something should be, in seconds of the day, and its standard deviation."""

    at_s: float
    spread_s: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Prospect:
    """What is still to come for a batch: boil, sugars, top-up water and hops.

    ``times`` holds a moment for each of the times of a :class:`Forecast`, by its name; ``most_l``
    is where the brewer is to stop running wort into the fermenter. ``let_down`` is the share of the
    beer that wort comes to which is likely to be let down once it is there: hops are weighed for
    that beer, while gravity and volume are told as things stand.
    """

    boil_minutes_left: float
    extracts_to_come: tuple[Extract, ...]
    top_up_l: float
    doses: tuple[Dose, ...]
    boiling_c: float
    times: Mapping[str, Moment]
    most_l: float | None = None
    let_down: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """The figures the day is heading for; ``low_high`` holds the 80 % range of each by its name.

    The times are seconds of the day: the strike water hot, the wort at the boil, the yeast in;
    those that have been are as they were.
    """

    original_gravity: float
    fermenter_volume_l: float
    ibu: float
    strike_at_s: float
    boil_at_s: float
    pitch_at_s: float
    low_high: Mapping[str, tuple[float, float]]


def end_of(batch: Batch, schedule: Schedule, prospect: Prospect, at_s: float) -> Outcome:
    """Where the batch ends if everything still to come comes as told."""
    return outcome(
        batch,
        schedule,
        at_s=at_s,
        boil_minutes_left=prospect.boil_minutes_left,
        extracts_to_come=prospect.extracts_to_come,
        top_up_l=prospect.top_up_l,
        most_l=prospect.most_l,
    )


def finished_ibu(end: Outcome, doses: Sequence[Dose], boiling_c: float) -> float:
    """Bitterness in the fermenter, in IBU."""
    return end.undiluted * total_ibu(
        doses,
        boil_gravity=end.boiled.gravity,
        postboil_volume_l=end.boiled.volume_l,
        boiling_c=boiling_c,
    )


def make_forecast(batch: Batch, schedule: Schedule, prospect: Prospect, at_s: float) -> Forecast:
    """The forecast at ``at_s`` (seconds since the day began)."""
    now = at_moment(batch, schedule.kettle, at_s)
    best = figures(now, schedule, prospect, at_s)
    free = replace(prospect, most_l=None)
    rows, slopes = _slopes(now, schedule, free, at_s, figures(now, schedule, free, at_s))
    places = [AT[row] for row in rows]
    covariance = np.array(now.belief.covariance)[np.ix_(places, places)]
    own = (GRAVITY_WAVERS, VOLUME_WAVERS_L, BITTERNESS_SHARE * best[2])
    spreads = np.sqrt(np.diag(slopes @ covariance @ slopes.T) + np.square(own))
    names = ("original_gravity", "fermenter_volume_l", "ibu")
    ranges = {
        name: (value - EIGHTY_PERCENT * spread, value + EIGHTY_PERCENT * spread)
        for name, value, spread in zip(names, best, spreads.tolist(), strict=True)
    }
    if prospect.most_l is not None:
        most_l = prospect.most_l + prospect.top_up_l
        low_l, high_l = ranges["fermenter_volume_l"]
        free_l = figures(now, schedule, free, at_s)[1] - best[1]
        ranges["fermenter_volume_l"] = (
            min(low_l + free_l, most_l - STOPPED_L),
            min(high_l + free_l, most_l + STOPPED_L),
        )
    for name, moment in prospect.times.items():
        width_s = EIGHTY_PERCENT * moment.spread_s
        ranges[name] = (moment.at_s - width_s, moment.at_s + width_s)
    return Forecast(
        original_gravity=best[0],
        fermenter_volume_l=best[1],
        ibu=best[2],
        strike_at_s=prospect.times["strike_at_s"].at_s,
        boil_at_s=prospect.times["boil_at_s"].at_s,
        pitch_at_s=prospect.times["pitch_at_s"].at_s,
        low_high=ranges,
    )


def figures(
    batch: Batch, schedule: Schedule, prospect: Prospect, at_s: float
) -> tuple[float, float, float]:
    """Gravity, volume and bitterness at the end."""
    end = end_of(batch, schedule, prospect, at_s)
    return (
        end.original_gravity,
        end.fermenter_volume_l,
        prospect.let_down * finished_ibu(end, prospect.doses, prospect.boiling_c),
    )


HANGS_ON: Mapping[Place, tuple[Row, ...]] = MappingProxyType(
    {
        Place.MASH: (
            Content.VOLUME_L,
            Content.EXTRACT_KG,
            Trait.ABSORPTION,
            Trait.BOIL_OFF,
            Trait.LEFT_BEHIND,
        ),
        Place.KETTLE: (
            Content.VOLUME_L,
            Content.EXTRACT_KG,
            Trait.BOIL_OFF,
            Trait.LEFT_BEHIND,
        ),
        Place.FERMENTER: (Content.VOLUME_L, Content.EXTRACT_KG),
    }
)
"""What the end hangs on, by where the liquid is."""


def _slopes(
    batch: Batch,
    schedule: Schedule,
    prospect: Prospect,
    at_s: float,
    best: tuple[float, float, float],
) -> tuple[tuple[Row, ...], NDArray[np.float64]]:
    """How gravity, volume and bitterness move with each figure they hang on."""
    rows = HANGS_ON[batch.place]
    columns = []
    for row in rows:
        step = max(batch.belief.spread(row), 1e-6)
        moved = figures(*_stepped(batch, schedule, row, step), prospect, at_s)
        columns.append([(there - here) / step for there, here in zip(moved, best, strict=True)])
    return rows, np.array(columns).T


def _stepped(batch: Batch, schedule: Schedule, row: Row, step: float) -> tuple[Batch, Schedule]:
    if row is Content.VOLUME_L:
        return replace(batch, volume_l=batch.volume_l + step), schedule
    if row is Content.EXTRACT_KG:
        return replace(batch, extract_kg=batch.extract_kg + step), schedule
    assert isinstance(row, Trait)
    kettle = schedule.kettle
    stepped = with_traits(kettle, {row: card_figure(kettle, row) + step})
    return batch, replace(schedule, kettle=stepped)
