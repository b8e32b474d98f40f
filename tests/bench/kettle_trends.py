"""Are trends told of kettles that drift, and of no others? `python tests/bench/kettle_trends.py`.

Kettles as in `closed_loop.py`, each brewed in one day after another with what was learned carried
on: as they are, and drifting from brew to brew, with a heater that loses power, a boil that grows
fiercer, a bag that holds more. Counted is in how many a trend is told of what drifts, and of what
does not. Nothing is asserted: it prints.

They boil by eye. Where a boil goes by the power that is told (`--by-power`), that power follows
what was learned, and a boil-off may rise in truth with nothing drifting.
"""

import argparse
import sys
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from multiprocessing import Pool

from closed_loop import Chain, setting
from loop_day import LoopDay, Setting
from loop_hooks import carry

from assistant.advice.kettle_history import FEWEST_BREWS, BrewedIn, Trend, histories
from assistant.advice.learned import LearnedKettle, Trait

TOLD = (Trend.RISING, Trend.FALLING)


@dataclass(frozen=True, kw_only=True)
class Drift:
    """What changes, as the kettle's truth of that name, and by what share over all brews."""

    trait: Trait
    truth: str
    share: float
    trend: Trend


DRIFTS: Mapping[str, Drift | None] = {
    "nothing drifts": None,
    "heater loses a fifth": Drift(
        trait=Trait.HEATER, truth="heater", share=-0.2, trend=Trend.FALLING
    ),
    "boil-off gains two fifths": Drift(
        trait=Trait.BOIL_OFF, truth="boil_off", share=0.4, trend=Trend.RISING
    ),
    "grain holds two fifths more": Drift(
        trait=Trait.ABSORPTION, truth="absorption", share=0.4, trend=Trend.RISING
    ),
}


@dataclass(frozen=True, kw_only=True)
class Series:
    """Brews one after another in one kettle."""

    seed: int
    drift: str
    brews: int
    by_power: bool


@dataclass(frozen=True, kw_only=True)
class Found:
    """The trends told of a series after so many brews."""

    series: Series
    after: int
    trends: Mapping[Trait, Trend]

    @property
    def own(self) -> Trend | None:
        """What is told of the figure that drifts."""
        drift = DRIFTS[self.series.drift]
        return None if drift is None else self.trends[drift.trait]

    @property
    def wrong(self) -> list[Trait]:
        """The figures that a trend is told of, and that don't go there."""
        drift = DRIFTS[self.series.drift]
        right = None if drift is None else (drift.trait, drift.trend)
        return [
            trait
            for trait, trend in self.trends.items()
            if trend in TOLD and (trait, trend) != right
        ]


def main(arguments: Sequence[str] | None = None) -> None:
    """Brew and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kettles", type=int, default=20)
    parser.add_argument("--brews", type=int, default=12)
    parser.add_argument("--seed", type=int, default=5000, help="of the first kettle")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--by-power", action="store_true", help="boil by the power that is told")
    asked = parser.parse_args(arguments)
    began_s = time.perf_counter()
    every = [
        Series(seed=asked.seed + number, drift=drift, brews=asked.brews, by_power=asked.by_power)
        for number in range(asked.kettles)
        for drift in DRIFTS
    ]
    with Pool(asked.jobs) as pool:
        found = [each for many in pool.imap_unordered(brewed, every) for each in many]
    lines = [line for drift in DRIFTS for line in _lines(drift, found)]
    sys.stdout.write("\n".join([*lines, *_summary(found)]) + "\n")
    sys.stdout.write(f"{time.perf_counter() - began_s:.0f} s\n")


def brewed(series: Series) -> list[Found]:
    """The trends after each brew."""
    brews: list[BrewedIn] = []
    known: LearnedKettle | None = None
    found = []
    for number in range(series.brews):
        day = LoopDay(replace(_setting(series, number), learned=known))
        schedule = day.state.schedule
        if day.run().stuck:
            continue
        after = carry(day.state)
        brews.append(
            BrewedIn(day=number + 1, schedule=schedule, known=True, before=known, after=after)
        )
        known = after
        trends = {each.trait: each.trend for each in histories(brews)}
        found.append(Found(series=series, after=number + 1, trends=trends))
    return found


def _setting(series: Series, number: int) -> Setting:
    chain = Chain(
        seed=series.seed,
        follow_advice=True,
        brews=series.brews,
        ablate="none",
        variant="as drawn",
        beer="",
        as_card=False,
    )
    asked, drift = setting(chain, number), DRIFTS[series.drift]
    if not series.by_power:
        asked = replace(asked, structure=replace(asked.structure, by_power=False))
    if drift is None:
        return asked
    grown = 1 + drift.share * number / (series.brews - 1)
    truth = {drift.truth: getattr(asked.truths, drift.truth) * grown}
    return replace(asked, truths=replace(asked.truths, **truth))


def _lines(drift: str, found: Sequence[Found]) -> Iterator[str]:
    yield f"\n{drift}"
    for after in sorted({each.after for each in found}):
        mine = [each for each in found if (each.series.drift, each.after) == (drift, after)]
        if after < FEWEST_BREWS or not mine:
            continue
        own = Counter(each.own for each in mine)
        told = ", ".join(f"{trend.value} {own[trend]}" for trend in Trend if own[trend])
        others = Counter(
            trend
            for each in mine
            for trait, trend in each.trends.items()
            if DRIFTS[drift] is None or trait is not DRIFTS[drift].trait
        )
        rest = ", ".join(f"{trend.value} {others[trend]}" for trend in Trend if others[trend])
        yield f"  after {after} brews, {len(mine)} kettles: {told if DRIFTS[drift] else '-'}"
        yield f"    everything else: {rest}"


def _summary(found: Sequence[Found]) -> Iterator[str]:
    looks = [each for each in found if each.after >= FEWEST_BREWS]
    figures = sum(len(each.trends) for each in looks)
    wrong = Counter(trait.value for each in looks for trait in each.wrong)
    kettles = {(each.series.seed, each.series.drift) for each in looks}
    ever = {(each.series.seed, each.series.drift) for each in looks if each.wrong}
    yield f"\ntold of what does not go there: {sum(wrong.values())} of {figures}: {dict(wrong)}"
    yield f"at any time, of any figure: in {len(ever)} of {len(kettles)} series"


if __name__ == "__main__":
    main()
