"""How far a beer has come: what its readings say of the fermentation, and what may be concluded.

Fermentation is called finished by a hydrometer alone: its gravity unchanged over three days and
near where the yeast should take it. An airlock proves nothing, and a refractometer in beer is only
good to two or three points.
"""

from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from assistant.advice.worts import believed_gravity, extract_of
from assistant.brewing.errors import OutOfRange
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
from assistant.schedule.model import Moment

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

READ_SPREAD, RECKONED_SPREAD = 0.001, 0.003
"""How sure an original gravity is, in the fermenter, as a standard deviation."""

MOST_POINTS = 200
"""No more readings are fitted: those of an instrument that floats in the beer are thinned out."""

LATEST_DAY = 366.0
"""What is read after a year says nothing of how the beer fermented."""


LEAST_ORIGINAL, LEAST_FALL = 1.006, 0.003
"""Weaker than this, or with less to ferment, a curve tells nothing; it is drawn all the same."""


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
    last one read, None before; ``attenuation`` (apparent, 0 to 1) and ``abv_percent`` go with it
    and are None where they can't be told. ``steady_s`` is since when the hydrometer has shown the
    same, and ``steady_days`` up to its last reading.
    """

    progress: Progress
    original_gravity: float
    final_gravity: float
    gravity: float | None
    attenuation: float | None
    abv_percent: float | None
    steady_s: float | None
    steady_days: float

    @property
    def points_above(self) -> float:
        """Thousandths of gravity that the last reading lies above where the beer should end."""
        return 0.0 if self.gravity is None else (self.gravity - self.final_gravity) * 1000


def assess(state: CellarState) -> Assessment:
    """What the readings so far say.

    Source: unchanged over three days and near the expected final gravity, as books and maltsters
    print it; common practice, no source. The sums are those of ``brewing.fermentation``.
    """
    original = original_gravity(state)
    final = expected_final(state)
    last = _last_gravity(state)
    steady_day = steady_since(_points(state, hydrometer=True))
    steady_s = None if steady_day is None else state.beer.pitched_s + steady_day * DAY_S
    hydrometer = _hydrometer(state)
    steady_days = 0.0 if steady_s is None else (hydrometer[-1].at - steady_s) / DAY_S
    gravity = None if last is None else last.gravity
    return Assessment(
        progress=_progress(state, original, steady_days),
        original_gravity=original,
        final_gravity=final,
        gravity=gravity,
        attenuation=_attenuation(original, gravity),
        abv_percent=_abv_percent(original, gravity),
        steady_s=steady_s,
        steady_days=steady_days,
    )


def curve_of(state: CellarState) -> Curve:
    """The curve fitted to what was read so far; it takes some hundredths of a second."""
    expected = _expected(state, original_gravity(state), expected_final(state))
    points = [point for point in _points(state) if point.day <= LATEST_DAY]
    step = -(-len(points) // MOST_POINTS) or 1
    # The last one always counts.
    return _curve(tuple(points[::-1][::step][::-1]), expected)


def original_gravity(state: CellarState) -> float:
    """The original gravity with the extract counted in that went into the fermenter since."""
    beer = state.beer
    parts = [
        extract_of(addition, boil_minutes=0.0)
        for index, addition in enumerate(state.schedule.additions)
        if addition.moment is Moment.DAY
        and addition.extract is not None
        and state.settled_s(addition_key(index)) is not None
    ]
    if not parts:
        return beer.original_gravity
    volume_l = beer.volume_l + sum(part.swell_l for part in parts)
    kilos = extract_kg(beer.volume_l, beer.original_gravity) + sum(part.mass_kg for part in parts)
    return believed_gravity(float(kilos), volume_l)


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


def _progress(state: CellarState, original: float, steady_days: float) -> Progress:
    last = _last_gravity(state)
    if last is None or last.gravity is None:
        return Progress.UNREAD
    gravity, age_days = last.gravity, (last.at - state.beer.pitched_s) / DAY_S
    read = _hydrometer(state)
    sure = read[-1].gravity if read else None
    if sure is not None and is_near(state, sure) and steady_days >= STEADY_DAYS - 1e-9:
        return Progress.FINISHED
    if gravity > original - STARTED_SG:
        return Progress.NOT_STARTED if age_days >= START_DAYS else Progress.WAKING
    if is_near(state, gravity):
        return Progress.SETTLING
    if last.by_hydrometer and steady_days >= STALLED_DAYS - 1e-9:
        return Progress.STUCK
    return Progress.FERMENTING


def _last_gravity(state: CellarState) -> BeerReading | None:
    found = [reading for reading in state.readings if reading.gravity is not None]
    return found[-1] if found else None


def _hydrometer(state: CellarState) -> list[BeerReading]:
    return [reading for reading in state.readings if reading.by_hydrometer]


def _points(state: CellarState, *, hydrometer: bool = False) -> tuple[GravityPoint, ...]:
    return tuple(
        GravityPoint(
            day=(reading.at - state.beer.pitched_s) / DAY_S,
            gravity=reading.gravity,
            spread=reading.spread,
        )
        for reading in state.readings
        if reading.gravity is not None and (reading.by_hydrometer or not hydrometer)
    )


def _expected(state: CellarState, original: float, final: float) -> Expected:
    ferment, known = state.schedule.ferment, state.found_final is not None
    return Expected(
        original_gravity=max(original, LEAST_ORIGINAL),
        original_spread=READ_SPREAD if state.beer.gravity_read else RECKONED_SPREAD,
        final_gravity=min(final, max(original, LEAST_ORIGINAL) - LEAST_FALL),
        final_spread=FOUND_SG if known else USUAL_FINAL_SPREAD,
        days=ferment.days,
        temperature_c=(ferment.low_c + ferment.high_c) / 2,
    )


@lru_cache(maxsize=16)
def _curve(points: tuple[GravityPoint, ...], expected: Expected) -> Curve:
    return fitted_curve(points, expected)


def _attenuation(original: float, gravity: float | None) -> float | None:
    try:
        return None if gravity is None else float(apparent_attenuation(original, gravity))
    except OutOfRange:
        return None


def _abv_percent(original: float, gravity: float | None) -> float | None:
    try:
        return None if gravity is None else float(abv_percent(original, gravity))
    except OutOfRange:
        return None
