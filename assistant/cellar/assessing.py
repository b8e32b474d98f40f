"""How far a beer has come: what its readings say of the fermentation, and what may be concluded.

Fermentation is called finished by a hydrometer alone: its gravity unchanged over three days and
near where the yeast should take it. An airlock proves nothing, and a refractometer in beer is only
good to two or three points.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from assistant.advice.worts import believed_gravity, extract_of
from assistant.brewing.errors import GRAVITY, OutOfRange
from assistant.brewing.fermentation import abv_percent, apparent_attenuation
from assistant.brewing.gravity import extract_kg
from assistant.cellar.curve import (
    USUAL_FINAL_SPREAD,
    Curve,
    Expected,
    GravityPoint,
    fitted_curve,
)
from assistant.cellar.state import DAY_S, BeerReading, CellarState
from assistant.cellar.steadiness import steady_since
from assistant.schedule.model import Addition, Moment

STEADY_DAYS = 3.0
"""A beer whose gravity has not changed for so long has finished; common practice, no source."""

STALLED_DAYS = 2.0
"""One that has not changed for so long far from its end is stuck; common practice, no source."""

NEAR_SG = 0.003
"""So near above the gravity expected a beer may end: yeast differs by as much from brew to brew."""

FOUND_SG = 0.001
"""As near as that where a trial has found the end: what a hydrometer can tell."""

STARTED_SG = 0.002
"""A fall of as much is one; less may be the reading."""

START_DAYS = 2.0
"""By then yeast that is well shows it; common practice, no source."""

LEAST_FALL_SG = 0.002
"""No curve is drawn for a beer that should fall by less."""

WEAKEST_SG, STRONGEST_SG = 1.005, 1.15
"""Between these lies every original gravity that a curve is drawn from."""

READ_SPREAD, RECKONED_SPREAD = 0.001, 0.003
"""How sure an original gravity is, in the fermenter, as a standard deviation."""

MOST_POINTS = 200
"""No more readings are fitted: those of an instrument that floats in the beer are thinned out."""

LATEST_DAY = 366.0
"""What is read after a year says nothing of how the beer fermented."""


class Progress(Enum):
    """How far a fermentation has come; the value is its name outside the program."""

    UNREAD = "unread"
    WAKING = "waking"
    NOT_STARTED = "not started"
    FERMENTING = "fermenting"
    STUCK = "stuck"
    SETTLING = "settling"
    FINISHED = "finished"


@dataclass(frozen=True, kw_only=True)
class Assessment:
    """What is believed of a beer.

    ``original_gravity`` has the sugars counted in that went into the fermenter. ``gravity`` is the
    last one read, None before, and ``fed`` what sugars have raised it by since; ``attenuation``
    (apparent, 0 to 1) and ``abv_percent`` go with both and are None where they can't be told.
    ``steady_s`` is since when the hydrometer has shown the same, and ``steady_days`` up to its last
    reading; ``near_s`` is since when it may have been at its end by the hydrometer, None where that
    has not shown it near.
    """

    progress: Progress
    original_gravity: float
    final_gravity: float
    gravity: float | None
    fed: float
    attenuation: float | None
    abv_percent: float | None
    steady_s: float | None
    steady_days: float
    near_s: float | None

    @property
    def points_above(self) -> float:
        """Thousandths of gravity that the last reading lies above where the beer should end."""
        if self.gravity is None:
            return 0.0
        return (self.gravity + self.fed - self.final_gravity) * 1000


def assess(state: CellarState) -> Assessment:
    """What the readings so far say.

    Source: unchanged over three days and near the expected final gravity, as books and maltsters
    print it; common practice, no source. The sums are those of ``brewing.fermentation``.
    """
    original = original_gravity(state)
    final = expected_final(state)
    last = _last_gravity(state)
    hydrometer = _hydrometer(state)
    steady_day = steady_since([_point(state, reading) for reading in hydrometer])
    steady_s = None if steady_day is None else state.beer.pitched_s + steady_day * DAY_S
    steady_days = 0.0 if steady_s is None else (hydrometer[-1].at - steady_s) / DAY_S
    gravity = None if last is None else last.gravity
    fed = 0.0 if last is None else original - original_gravity(state, last.at)
    now = None if gravity is None else gravity + fed
    return Assessment(
        progress=_progress(state, original, hydrometer, steady_days),
        original_gravity=original,
        final_gravity=final,
        gravity=gravity,
        fed=fed,
        attenuation=attenuation_at(original, now),
        abv_percent=abv_percent_at(original, now),
        steady_s=steady_s,
        steady_days=steady_days,
        near_s=_near_s(state, hydrometer, steady_s),
    )


def curve_of(state: CellarState) -> Curve:
    """The curve fitted to what was read so far; it takes some hundredths of a second."""
    expected = _expected(state, original_gravity(state), expected_final(state))
    points = [point for point in _points(state) if point.day <= LATEST_DAY]
    step = -(-len(points) // MOST_POINTS) or 1
    # The last one always counts.
    return _curve(tuple(points[::-1][::step][::-1]), expected)


def original_gravity(state: CellarState, by_s: float = math.inf) -> float:
    """The original gravity with the extract counted in that went into the fermenter by then."""
    beer = state.beer
    parts = [
        extract_of(addition, boil_minutes=0.0) for addition, fed_s in _fed(state) if fed_s <= by_s
    ]
    if not parts:
        return beer.original_gravity
    volume_l = beer.volume_l + sum(part.swell_l for part in parts)
    kilos = extract_kg(beer.volume_l, beer.original_gravity) + sum(part.mass_kg for part in parts)
    return believed_gravity(float(kilos), volume_l)


def _fed(state: CellarState) -> list[tuple[Addition, float]]:
    """The extracts that went into the fermenter, and when."""
    days = [
        (addition, state.settled_s(addition_key(index)))
        for index, addition in enumerate(state.schedule.additions)
        if addition.moment is Moment.DAY and addition.extract is not None
    ]
    return [(addition, fed_s) for addition, fed_s in days if fed_s is not None]


def expected_final(state: CellarState) -> float:
    """Where the beer should end: as the brewer found by a trial, else by the yeast."""
    return state.beer.final_gravity if state.found_final is None else state.found_final


def addition_key(index: int) -> str:
    """The key of the schedule's addition at this place among the things to come."""
    return f"addition {index}"


def is_near(state: CellarState, gravity: float) -> bool:
    """Whether a beer of this gravity may have ended."""
    slack = NEAR_SG if state.found_final is None else FOUND_SG
    return gravity <= expected_final(state) + slack + 1e-9


def _progress(
    state: CellarState, original: float, hydrometer: Sequence[BeerReading], steady_days: float
) -> Progress:
    last = _last_gravity(state)
    if last is None:
        return Progress.UNREAD
    age_days = (last.at - state.beer.pitched_s) / DAY_S
    gravity = _lifted(state, last)
    sure = _lifted(state, hydrometer[-1]) if hydrometer else None
    if sure is not None and is_near(state, sure) and steady_days >= STEADY_DAYS - 1e-9:
        return Progress.FINISHED
    if gravity > original - STARTED_SG:
        return Progress.NOT_STARTED if age_days >= START_DAYS else Progress.WAKING
    if is_near(state, gravity):
        return Progress.SETTLING
    if last.by_hydrometer and steady_days >= STALLED_DAYS - 1e-9:
        return Progress.STUCK
    return Progress.FERMENTING


def _near_s(
    state: CellarState, hydrometer: list[BeerReading], steady_s: float | None
) -> float | None:
    if not hydrometer or not is_near(state, _lifted(state, hydrometer[-1])):
        return None
    return hydrometer[-1].at if steady_s is None else steady_s


def _last_gravity(state: CellarState) -> BeerReading | None:
    return next((r for r in reversed(state.readings) if r.gravity is not None), None)


def _hydrometer(state: CellarState) -> list[BeerReading]:
    """The readings of the hydrometer since the yeast was last fed: those before tell of no end."""
    fed_s = max((fed_s for _, fed_s in _fed(state)), default=-math.inf)
    return [reading for reading in state.readings if reading.by_hydrometer and reading.at >= fed_s]


def _lifted(state: CellarState, reading: BeerReading) -> float:
    """A reading as it would have been with all that the yeast has been fed since."""
    assert reading.gravity is not None
    return reading.gravity + original_gravity(state) - original_gravity(state, reading.at)


def _point(state: CellarState, reading: BeerReading) -> GravityPoint:
    return GravityPoint(
        day=(reading.at - state.beer.pitched_s) / DAY_S,
        gravity=min(_lifted(state, reading), GRAVITY[1]),
        spread=reading.spread,
    )


def _points(state: CellarState) -> tuple[GravityPoint, ...]:
    return tuple(
        _point(state, reading) for reading in state.readings if reading.gravity is not None
    )


def _expected(state: CellarState, original: float, final: float) -> Expected:
    ferment, known = state.schedule.ferment, state.found_final is not None
    start = min(max(original, WEAKEST_SG), STRONGEST_SG)
    return Expected(
        original_gravity=start,
        original_spread=READ_SPREAD if state.beer.gravity_read else RECKONED_SPREAD,
        final_gravity=min(max(final, GRAVITY[0]), start - LEAST_FALL_SG),
        final_spread=FOUND_SG if known else USUAL_FINAL_SPREAD,
        days=ferment.days,
        temperature_c=(ferment.low_c + ferment.high_c) / 2,
    )


@lru_cache(maxsize=16)
def _curve(points: tuple[GravityPoint, ...], expected: Expected) -> Curve:
    return fitted_curve(points, expected)


def attenuation_at(original: float, gravity: float | None) -> float | None:
    """Apparent attenuation (0 to 1) at a gravity; None where it can't be told."""
    try:
        return None if gravity is None else float(apparent_attenuation(original, gravity))
    except OutOfRange:
        return None


def abv_percent_at(original: float, gravity: float | None) -> float | None:
    """Alcohol in percent by volume at a gravity; None where it can't be told."""
    try:
        return None if gravity is None else float(abv_percent(original, gravity))
    except OutOfRange:
        return None
