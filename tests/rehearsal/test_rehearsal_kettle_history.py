"""Simulated brews one after another in a kettle: what drifts is found, and what stays is let be.

The days are those of the closed-loop benchmark, whose folder is put on the path.
"""

import sys
from pathlib import Path

import pytest

BENCH = Path(__file__).parents[1] / "bench"
sys.path.insert(0, str(BENCH))

from kettle_trends import DRIFTS, TOLD, Found, Series, brewed  # noqa: E402

from assistant.advice.kettle_history import FEWEST_BREWS, Trend  # noqa: E402
from assistant.advice.learned import Trait  # noqa: E402

BREWS = 8


@pytest.fixture(scope="module")
def ageing() -> list[Found]:
    """A kettle whose heater loses a fifth of its power over eight brews."""
    return brewed(Series(seed=3, drift="heater loses a fifth", brews=BREWS, by_power=False))


@pytest.fixture(scope="module")
def staying() -> list[Found]:
    """The same kettle as it would have stayed."""
    return brewed(Series(seed=3, drift="nothing drifts", brews=BREWS, by_power=False))


def test_a_heater_that_ages_is_told(ageing: list[Found]) -> None:
    assert len(ageing) == BREWS
    assert ageing[-1].own is Trend.FALLING
    assert ageing[-1].wrong == []


def test_a_kettle_that_stays_as_it_is_has_no_trend(staying: list[Found]) -> None:
    assert [found.wrong for found in staying] == [[]] * BREWS
    assert staying[-1].trends[Trait.EXTRACT] is Trend.STEADY


def test_nothing_is_told_of_too_few_brews(ageing: list[Found]) -> None:
    for found in ageing[: FEWEST_BREWS - 1]:
        assert set(found.trends.values()) == {Trend.TOO_FEW}


def test_every_drift_of_the_benchmark_names_a_trend_that_is_told() -> None:
    assert all(drift is None or drift.trend in TOLD for drift in DRIFTS.values())
