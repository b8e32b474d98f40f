"""How well the finish of a fermentation is foretold: `python tests/bench/fermentations.py`.

True fermentations of four families (`tests/cellar/true_fermentations.py`), drawn from other seeds
than those the fit was tuned on. For each family and moment: the share foretold within a day, the
median error, the share of 80 % ranges that held the truth, and how wide they are. The row of the
expectation alone is the baseline. The judge is what could be known at most: it has all families,
times and spreads as they were drawn, in the proportions they were drawn in, and weighs tens of
thousands of such truths by the readings. Last comes the time a fit takes.
"""

import argparse
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent / "cellar"))
from true_fermentations import (
    HABITS,
    Array,
    Fermentation,
    Kind,
    drawn_finish_day,
    fermentations,
)

from assistant.cellar.curve import GravityPoint, fitted_curve

SEED, COUNT = 4711, 25
JUDGE_SEED, JUDGE_SHAPES, JUDGE_DRAWS = 99, 100, 150
GRID = np.linspace(0.0, 2.0, 401)
"""Time over the time to the finish."""

MOMENTS: dict[str, Callable[[Fermentation], Sequence[GravityPoint]]] = {
    "nothing read": lambda truth: (),
    "half of the time": lambda truth: truth.read_until(truth.finish_day / 2.0),
    "half, twice a day": lambda truth: truth.read_every(12.0, truth.finish_day / 2.0, gaps=False),
    "half, twice a day with gaps": lambda truth: truth.read_every(
        12.0, truth.finish_day / 2.0, gaps=True
    ),
    "half, every two hours with gaps": lambda truth: truth.read_every(
        2.0, truth.finish_day / 2.0, gaps=True
    ),
    "half of the extract": lambda truth: truth.read_until(truth.half_extract_day),
    "three quarters of the time": lambda truth: truth.read_until(0.75 * truth.finish_day),
    "half, instrument": lambda truth: truth.told_until(truth.finish_day / 2.0),
    "three quarters, instrument": lambda truth: truth.told_until(0.75 * truth.finish_day),
}


def row(name: str, told: Iterable[tuple[float, float, float]]) -> None:
    """Print what errors, held ranges and their widths come to."""
    error, held, wide = np.array(list(told)).T
    within = 100.0 * np.mean(np.abs(error) <= 1.0)
    sys.stdout.write(
        f"  {name:<28}{within:>6.0f} %{np.median(np.abs(error)):>8.2f} d"
        f"{np.median(error):>+8.2f} d{100.0 * np.mean(held):>6.0f} %{np.median(wide):>7.1f} d\n"
    )


def foretold(truth: Fermentation, points: Sequence[GravityPoint]) -> tuple[float, float, float]:
    curve = fitted_curve(points, truth.expected)
    held = curve.finish_low <= truth.finish_day <= curve.finish_high
    return curve.finish_day - truth.finish_day, held, curve.finish_high - curve.finish_low


class Judge:
    """Knows how truths of a kind are drawn, and nothing of the one at hand but its readings."""

    def __init__(self, kind: Kind) -> None:
        draw = np.random.default_rng(JUDGE_SEED)
        truths = [t for t in fermentations(JUDGE_SEED, JUDGE_SHAPES) if t.kind is kind]
        self.shares = np.array([t.share_gone(GRID * t.finish_day) for t in truths])
        size = (len(truths), JUDGE_DRAWS)
        count = len(truths) * JUDGE_DRAWS
        self.finishes = np.array(
            [drawn_finish_day(draw, HABITS[kind]) for _ in range(count)]
        ).reshape(size)
        self.strayed = draw.normal(size=(2, *size))

    def foretold(
        self, truth: Fermentation, points: Sequence[GravityPoint]
    ) -> tuple[float, float, float]:
        expected = truth.expected
        original = expected.original_gravity + expected.original_spread * self.strayed[0]
        final = expected.final_gravity + expected.final_spread * self.strayed[1]
        odds = np.zeros_like(self.finishes)
        for point in points:
            gravity = original - (original - final) * self._gone(point.day)
            # A reading is rounded to 0.001, and so has an error of 0.001 / sqrt(12) besides.
            odds -= ((gravity - point.gravity) / np.hypot(point.spread, 0.00029)) ** 2 / 2.0
        weights = np.exp(odds - odds.max()).ravel()
        order = np.argsort(self.finishes, axis=None)
        share = np.cumsum(weights[order]) / weights.sum()
        low, middle, high = np.interp([0.1, 0.5, 0.9], share, self.finishes.ravel()[order])
        return middle - truth.finish_day, low <= truth.finish_day <= high, high - low

    def _gone(self, day: float) -> Array:
        place = np.minimum(day / self.finishes / GRID[1], len(GRID) - 1.001)
        below = place.astype(int)
        rows = np.arange(len(self.shares))[:, None]
        part = place - below
        return self.shares[rows, below] * (1.0 - part) + self.shares[rows, below + 1] * part


def main() -> None:
    parser = argparse.ArgumentParser(description="How well the finish is foretold.")
    parser.add_argument("--count", type=int, default=COUNT, help="truths of each family and kind")
    parser.add_argument("--seed", type=int, default=SEED)
    asked = parser.parse_args()
    truths = list(fermentations(asked.seed, asked.count))
    sys.stdout.write(f"  {'':<28}{'<= 1 d':>8}{'median':>10}{'bias':>10}{'held':>8}{'wide':>9}\n")
    for kind in Kind:
        of_kind = [truth for truth in truths if truth.kind is kind]
        judge = Judge(kind)
        for moment, seen in MOMENTS.items():
            sys.stdout.write(f"{kind.value}, {moment}\n")
            told = [(truth, foretold(truth, seen(truth))) for truth in of_kind]
            for family in dict.fromkeys(truth.family for truth in of_kind):
                row(family.value, (figures for truth, figures in told if truth.family is family))
            row("all", (figures for _, figures in told))
            row("all, by the judge", (judge.foretold(truth, seen(truth)) for truth in of_kind))
            sys.stdout.flush()
    for name in ("half of the time", "half, instrument"):
        points = [(MOMENTS[name](truth), truth.expected) for truth in truths[:50]]
        start = time.perf_counter()
        for readings, expected in points:
            fitted_curve(readings, expected)
        each_ms = 1000.0 * (time.perf_counter() - start) / len(points)
        sys.stdout.write(f"a fit, {name}: {each_ms:.0f} ms\n")


if __name__ == "__main__":
    main()
