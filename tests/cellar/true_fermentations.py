"""Fermentations whose truth is known, from families that the fitted curve was not made from.

How the extract goes is drawn from four families: a logistic; Gompertz's curve, with its long tail;
yeast that wakes, grows and feeds as Monod has it, on easy sugars and then on hard ones, and
settles; and the kinetics published for beer. All are stretched to a drawn time to the finish: for
ales mostly 4 to 8 days and always 3 to 10, for lagers mostly 11 to 21 and always 10 to 25 (common
practice, no source). A hydrometer is read once a day, with a third of the readings missing or none
on three days in a row; or an instrument in the beer tells every two hours; or it is read as often
as is asked, with gaps or without.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from assistant.brewing.fermentation import final_gravity
from assistant.cellar.curve import FINISHED_WITHIN, Expected, GravityPoint

Array = NDArray[np.float64]
Share = Callable[[Array], Array]
"""Share of what will ferment that has gone, from 0 to 1, against time in any unit."""


class Family(Enum):
    LOGISTIC = "logistic"
    GOMPERTZ = "Gompertz"
    MONOD = "Monod growth"
    PUBLISHED = "published kinetics"


class Kind(Enum):
    ALE = "ale"
    LAGER = "lager"


@dataclass(frozen=True, kw_only=True)
class Habit:
    """How beers of a kind go: common practice, no source."""

    finish_days: tuple[float, float, float]
    temperature_c: tuple[float, float]
    schedule_days: tuple[float, ...]


HABITS: Final = {
    Kind.ALE: Habit(
        finish_days=(3.0, 5.5, 10.0),
        temperature_c=(18.0, 20.0),
        schedule_days=(7.0, 10.0, 12.0, 14.0),
    ),
    Kind.LAGER: Habit(
        finish_days=(10.0, 15.0, 25.0), temperature_c=(9.0, 13.0), schedule_days=(14.0, 21.0, 28.0)
    ),
}
"""The days of the schedule are drawn without a look at the truth, so they give nothing away."""

ATTENUATION: Final = (0.65, 0.85)
ATTENUATION_SPREAD: Final = 0.03
"""How far a beer's attenuation strays from its yeast's, a standard deviation; common practice, no
source. In gravity that is 0.0011 at 1.035 and 0.0026 at 1.090."""
FINAL_SPREAD: Final = 0.002
ORIGINAL_SPREAD: Final = 0.001
FINISH_SPREAD: Final = 0.27
"""Of the logarithm of the days to the finish, a standard deviation."""

_LONGEST: Final = 2000.0
_EARLIEST_H, _LATEST_H = 9.0, 20.0
_TOLD_PER_DAY: Final = 12
_SPREADS: Final = (0.001, 0.001, 0.001, 0.002)
_HYDROMETER: Final = 0.001
_AWAY_DAYS: Final = 1.5


@dataclass(frozen=True, kw_only=True)
class Fermentation:
    """A true fermentation with what its brewer believes and reads."""

    family: Family
    kind: Kind
    expected: Expected
    original_gravity: float
    final_gravity: float
    finish_day: float
    half_extract_day: float
    read: tuple[GravityPoint, ...]
    told: tuple[GravityPoint, ...]
    days: Array
    shares: Array
    seed: tuple[int, ...]

    def share_gone(self, day: Array) -> Array:
        """Share of what will ferment that has truly gone by `day`."""
        return np.interp(day, self.days, self.shares)

    def read_until(self, day: float) -> tuple[GravityPoint, ...]:
        """What the brewer has read by `day`."""
        return tuple(point for point in self.read if point.day <= day)

    def read_every(self, hours: float, until: float, *, gaps: bool) -> tuple[GravityPoint, ...]:
        """Read every so many `hours` until the day `until`, erring by 0.001 and rounded to it.

        With `gaps` a third of the readings are missing, or all of a day and a half.
        """
        draw = np.random.default_rng([*self.seed, round(10.0 * hours)])
        days = np.arange(hours, 24.0 * self.finish_day, hours) / 24.0
        away = draw.uniform(0.0, self.finish_day - _AWAY_DAYS)
        missing = (away <= days) & (days < away + _AWAY_DAYS)
        if draw.random() < 0.5:
            missing = draw.random(len(days)) < 1.0 / 3.0
        gone = self.share_gone(days)
        true = self.original_gravity - (self.original_gravity - self.final_gravity) * gone
        read = np.round(true + draw.normal(0.0, _HYDROMETER, len(days)), 3)
        return tuple(
            GravityPoint(day=float(day), gravity=float(gravity), spread=_HYDROMETER)
            for day, gravity, left_out in zip(days, read, missing & gaps, strict=True)
            if day <= until and not left_out
        )

    def told_until(self, day: float) -> tuple[GravityPoint, ...]:
        """What an instrument in the beer has told by `day`."""
        return tuple(point for point in self.told if point.day <= day)


def fermentations(
    seed: int, count: int, families: tuple[Family, ...] = tuple(Family)
) -> Iterator[Fermentation]:
    """`count` fermentations of each family and kind."""
    for kind in Kind:
        for family in families:
            for number in range(count):
                own_seed = (seed, number, *map(ord, family.value + kind.value))
                yield _fermentation(family, kind, own_seed)


def _fermentation(family: Family, kind: Kind, seed: tuple[int, ...]) -> Fermentation:
    draw = np.random.default_rng(seed)
    habit = HABITS[kind]
    original = draw.uniform(1.035, 1.090)
    temperature_c = draw.uniform(*habit.temperature_c)
    attenuation = draw.uniform(*ATTENUATION)
    final = final_gravity(original_gravity=original, attenuation=attenuation)
    believed = attenuation + draw.normal(0.0, ATTENUATION_SPREAD)
    expected = Expected(
        original_gravity=original + draw.normal(0.0, ORIGINAL_SPREAD),
        original_spread=ORIGINAL_SPREAD,
        final_gravity=final_gravity(original_gravity=original, attenuation=believed),
        final_spread=FINAL_SPREAD,
        days=float(draw.choice(habit.schedule_days)),
        temperature_c=sum(habit.temperature_c) / 2.0,
    )
    share = _SHAPES[family](draw, original, temperature_c)
    finish_day = drawn_finish_day(draw, habit)
    times = np.linspace(0.0, 1.0, 20_001) ** 2 * _LONGEST
    shares = share(times)
    shares = (shares - shares[0]) / (1.0 - shares[0])
    last = 1.0 - FINISHED_WITHIN / (original - final)
    stretch = finish_day / float(np.interp(last, shares, times))
    times *= stretch
    half_extract_day = float(np.interp(0.5, shares, times))
    spread = float(draw.choice(_SPREADS))

    def point(day: float) -> GravityPoint:
        true = original - (original - final) * float(np.interp(day, times, shares))
        read = round(true + draw.normal(0.0, spread), 3)
        return GravityPoint(day=day, gravity=read, spread=spread)

    return Fermentation(
        family=family,
        kind=kind,
        expected=expected,
        original_gravity=original,
        final_gravity=final,
        finish_day=finish_day,
        half_extract_day=half_extract_day,
        read=tuple(point(day) for day in _days(draw, 2.0 * finish_day)),
        days=times,
        shares=shares,
        seed=seed,
        told=tuple(point(float(day)) for day in np.arange(0.0, finish_day, 1.0 / _TOLD_PER_DAY)),
    )


def drawn_finish_day(draw: np.random.Generator, habit: Habit) -> float:
    earliest, middle, latest = habit.finish_days
    while True:
        day = middle * math.exp(draw.normal(0.0, FINISH_SPREAD))
        if earliest <= day <= latest:
            return day


def _days(draw: np.random.Generator, until: float) -> list[float]:
    """When readings were taken: daily, and either a third left out or three days in a row."""
    pitched_h = draw.uniform(14.0, 22.0)
    scattered = draw.random() < 0.5
    away = int(draw.integers(1, max(2, int(until / 2.0))))
    days = []
    for day in range(1, math.ceil(until) + 1):
        hour = draw.uniform(_EARLIEST_H, _LATEST_H)
        left_out = draw.random() < 1.0 / 3.0
        if left_out if scattered else away <= day < away + 3:
            continue
        days.append(day + (hour - pitched_h) / 24.0)
    return days


def _logistic(draw: np.random.Generator, original: float, temperature_c: float) -> Share:
    midpoint = draw.uniform(2.5, 5.0)
    return lambda time: 1.0 / (1.0 + np.exp(np.clip(midpoint - time, -700.0, 700.0)))


def _gompertz(draw: np.random.Generator, original: float, temperature_c: float) -> Share:
    midpoint = draw.uniform(0.9, 1.8)
    return lambda time: np.exp(-np.exp(np.clip(midpoint - time, -700.0, 700.0)))


def _monod(draw: np.random.Generator, original: float, temperature_c: float) -> Share:
    """Yeast wakes, grows while there is sugar, feeds on the easy sugars first, and settles."""
    wakes = draw.uniform(0.5, 3.0)
    pitched = draw.uniform(0.02, 0.12)
    half_full = draw.uniform(0.1, 0.6)
    most = draw.uniform(0.6, 1.2)
    settles = draw.uniform(0.0, 0.3)
    feeds = draw.uniform(0.8, 2.0)
    slow = draw.uniform(0.1, 0.25)
    slower = draw.uniform(0.3, 0.8)

    def slope(_: float, state: Array) -> list[float]:
        asleep, awake, easy, hard = state
        easy, hard = max(easy, 0.0), max(hard, 0.0)
        sugar = easy + hard
        growing = sugar / (half_full + sugar) * max(1.0 - awake / most, 0.0)
        return [
            -wakes * asleep,
            wakes * asleep + (growing - settles * (1.0 - sugar)) * awake,
            -feeds * awake * easy / (half_full + sugar),
            -feeds * slower * awake * hard / (half_full + sugar),
        ]

    return _solved(slope, [pitched, 0.0, 1.0 - slow, slow], _LONGEST)


def _published(draw: np.random.Generator, original: float, temperature_c: float) -> Share:
    """Yeast asleep and awake, sugar and ethanol, in g/L and hours, at 8 to 24 °C.

    Source: B. de Andrés-Toro and others, A kinetic model for beer production under industrial
    operational conditions, Math. Comput. Simul. 48 (1998) 65-74; its constants from memory,
    only partly checked.
    """
    kelvin = temperature_c + 273.15
    growth = math.exp(108.31 - 31934.09 / kelvin)
    feeding = math.exp(-41.92 + 11654.64 / kelvin)
    waking = math.exp(30.72 - 9501.54 / kelvin)
    death = math.exp(130.16 - 38313.0 / kelvin)
    making = math.exp(3.27 - 1267.24 / kelvin)
    half = math.exp(-119.63 + 34203.95 / kelvin)
    sugar_at_first = 1000.0 * (original - 1.0) * 2.6 * 0.75
    pitched = draw.uniform(2.0, 6.0)

    def slope(_: float, state: Array) -> list[float]:
        asleep, awake, ethanol, sugar = state
        sugar = max(sugar, 0.0)
        rate = growth * sugar / (0.5 * sugar_at_first + ethanol)
        inhibited = 1.0 - ethanol / (0.5 * sugar_at_first)
        return [
            -waking * asleep,
            (rate - death) * awake + waking * asleep,
            inhibited * making * sugar / (half + sugar) * awake,
            -feeding * sugar / (half + sugar) * awake,
        ]

    return _solved(slope, [0.5 * pitched, 0.5 * pitched, 0.0, sugar_at_first], _LONGEST)


def _solved(
    slope: Callable[[float, Array], list[float]], start: list[float], until: float
) -> Share:
    """The share gone by kinetics whose first two states are yeast; the sugars come last."""
    times = np.concatenate([[0.0], np.geomspace(until / 1e4, until, 800)])
    solved = solve_ivp(slope, (0.0, until), start, t_eval=times, method="LSODA", rtol=1e-7)
    sugars = [row for row, first in zip(solved.y[2:], start[2:], strict=True) if first > 0.0]
    gone = np.maximum.accumulate(1.0 - sum(sugars) / sum(start[2:]))
    gone /= gone[-1]
    return lambda time: np.interp(time, solved.t, gone)


_SHAPES: Final[dict[Family, Callable[[np.random.Generator, float, float], Share]]] = {
    Family.LOGISTIC: _logistic,
    Family.GOMPERTZ: _gompertz,
    Family.MONOD: _monod,
    Family.PUBLISHED: _published,
}
