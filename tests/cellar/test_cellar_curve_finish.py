"""How well the finish of a fermentation is foretold half-way, over fermentations drawn.

Logistic ales, the form a fermentation is usually given, are foretold within a day for 90 % of them
by a hydrometer read every two hours, gaps and all, or twice a day without a gap. Twice a day with
a day and a half missing, of the two or three that half of the time is, tells too little: a judge
who knows how the truths were drawn reaches 86 % to 90 % then.

Of all four families, read once a day, such a judge tells 70 % of the ales and the expectation alone
43 % (`tests/bench/fermentations.py`). So the shares asserted there are what is reached, and each
must beat the expectation alone.
"""

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from true_fermentations import Family, Fermentation, Kind, fermentations

from assistant.cellar.curve import Curve, GravityPoint, fitted_curve

SEED, COUNT = 2027, 8
"""Other seeds than those the fit was tuned on."""

Seen = Callable[[Fermentation], Sequence[GravityPoint]]


def half_time(truth: Fermentation) -> Sequence[GravityPoint]:
    return truth.read_until(truth.finish_day / 2.0)


def half_extract(truth: Fermentation) -> Sequence[GravityPoint]:
    return truth.read_until(truth.half_extract_day)


def three_quarters_told(truth: Fermentation) -> Sequence[GravityPoint]:
    return truth.told_until(truth.finish_day * 0.75)


@pytest.fixture(scope="module")
def truths() -> dict[Kind, list[Fermentation]]:
    drawn = list(fermentations(SEED, COUNT))
    return {kind: [truth for truth in drawn if truth.kind is kind] for kind in Kind}


def fitted(truths: Sequence[Fermentation], seen: Seen) -> list[Curve]:
    return [fitted_curve(seen(truth), truth.expected) for truth in truths]


@pytest.fixture(scope="module")
def expectations(truths: dict[Kind, list[Fermentation]]) -> dict[Kind, list[Curve]]:
    """What is foretold with nothing read."""
    return {kind: [fitted_curve([], truth.expected) for truth in truths[kind]] for kind in Kind}


def share_within_a_day(truths: Sequence[Fermentation], curves: Sequence[Curve]) -> float:
    pairs = zip(truths, curves, strict=True)
    return float(
        np.mean([abs(curve.finish_day - truth.finish_day) <= 1.0 for truth, curve in pairs])
    )


def share_held(truths: Sequence[Fermentation], curves: Sequence[Curve]) -> float:
    pairs = zip(truths, curves, strict=True)
    return float(np.mean([c.finish_low <= t.finish_day <= c.finish_high for t, c in pairs]))


def usual_width(curves: Sequence[Curve]) -> float:
    return float(np.median([curve.finish_high - curve.finish_low for curve in curves]))


REACHED = [
    # What is seen, by kind, with the share told within a day at the least.
    pytest.param(Kind.ALE, half_time, 0.55, id="ale, half of the time"),
    pytest.param(Kind.ALE, half_extract, 0.50, id="ale, half of the extract"),
    pytest.param(Kind.ALE, three_quarters_told, 0.90, id="ale, three quarters, instrument"),
    pytest.param(Kind.LAGER, half_time, 0.25, id="lager, half of the time"),
    pytest.param(Kind.LAGER, half_extract, 0.25, id="lager, half of the extract"),
]


@pytest.mark.parametrize(("kind", "seen", "least"), REACHED)
def test_the_finish_is_foretold_better_than_expected_and_its_range_holds_it(
    truths: dict[Kind, list[Fermentation]],
    expectations: dict[Kind, list[Curve]],
    kind: Kind,
    seen: Seen,
    least: float,
) -> None:
    curves = fitted(truths[kind], seen)
    reached = share_within_a_day(truths[kind], curves)
    assert reached >= least
    assert reached > share_within_a_day(truths[kind], expectations[kind])
    # 80 % is meant; of 32 draws that is 0.66 to 0.94, two standard errors either way. A range
    # that holds more must be narrower than the expectation's.
    assert share_held(truths[kind], curves) >= 0.65
    assert usual_width(curves) < 0.8 * usual_width(expectations[kind])


@pytest.mark.parametrize("kind", Kind)
def test_a_range_of_the_expectation_alone_holds_the_finish(
    truths: dict[Kind, list[Fermentation]], expectations: dict[Kind, list[Curve]], kind: Kind
) -> None:
    assert share_held(truths[kind], expectations[kind]) >= 0.8


LOGISTIC_COUNT = 100
LOGISTIC = [
    # Hours between readings, whether with gaps, and the share told within a day at the least.
    pytest.param(2.0, True, 0.90, id="every two hours, with gaps"),
    pytest.param(12.0, False, 0.90, id="twice a day, without a gap"),
    pytest.param(12.0, True, 0.75, id="twice a day, with gaps"),
]


@pytest.fixture(scope="module")
def logistic_ales() -> list[Fermentation]:
    """Logistic from the pitch on, with a lag of half to three e-folds, done in 3 to 10 days."""
    drawn = fermentations(SEED, LOGISTIC_COUNT, (Family.LOGISTIC,))
    return [truth for truth in drawn if truth.kind is Kind.ALE]


@pytest.mark.parametrize(("hours", "gaps", "least"), LOGISTIC)
def test_half_way_the_finish_of_a_logistic_ale_is_foretold_within_a_day(
    logistic_ales: list[Fermentation], hours: float, gaps: bool, least: float
) -> None:
    curves = fitted(
        logistic_ales, lambda truth: truth.read_every(hours, truth.finish_day / 2.0, gaps=gaps)
    )
    assert share_within_a_day(logistic_ales, curves) >= least
    assert share_held(logistic_ales, curves) >= 0.8
