"""Since when a gravity has stood still."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.cellar.curve import GravityPoint
from assistant.cellar.steadiness import steady_since

Reading = tuple[float, float]


def points(readings: list[Reading]) -> list[GravityPoint]:
    return [GravityPoint(day=day, gravity=gravity, spread=0.001) for day, gravity in readings]


CASES = [
    pytest.param([], None, id="nothing read"),
    pytest.param([(5.0, 1.012)], None, id="one reading"),
    pytest.param([(5.0, 1.020), (6.0, 1.012)], None, id="still falling"),
    pytest.param([(5.0, 1.012), (8.0, 1.012)], 5.0, id="the same"),
    pytest.param([(5.0, 1.012), (8.0, 1.011)], 5.0, id="a mark apart"),
    pytest.param([(4.0, 1.015), (5.0, 1.012), (7.0, 1.011), (8.0, 1.012)], 5.0, id="since a fall"),
    pytest.param([(5.0, 1.013), (6.0, 1.012), (7.0, 1.011)], 6.0, id="creeping, mark by mark"),
    pytest.param([(5.0, 1.012), (6.0, 1.012), (7.0, 1.015)], None, id="risen at the last"),
    pytest.param([(8.0, 1.012), (5.0, 1.030), (6.0, 1.012)], 6.0, id="out of order"),
    pytest.param([(6.0, 1.012), (6.0, 1.012)], 6.0, id="twice on one day"),
]


@pytest.mark.parametrize(("readings", "since"), CASES)
def test_a_gravity_is_steady_from_the_first_reading_within_a_mark_of_all_later_ones(
    readings: list[Reading], since: float | None
) -> None:
    assert steady_since(points(readings)) == since


def test_how_close_is_the_callers_to_say() -> None:
    readings = points([(5.0, 1.014), (6.0, 1.012)])
    assert steady_since(readings) is None
    assert steady_since(readings, within=0.002) == 5.0


READINGS = st.lists(
    st.tuples(st.integers(0, 40).map(float), st.integers(1005, 1016).map(lambda mark: mark / 1000)),
    max_size=12,
    unique_by=lambda reading: reading[0],
)


@given(READINGS)
def test_what_is_steady_lies_within_a_mark_and_goes_back_as_far_as_it_can(
    readings: list[Reading],
) -> None:
    ordered = sorted(readings)
    since = steady_since(points(readings))
    start = len(ordered) - 1 if since is None else [day for day, _ in ordered].index(since)
    steady = [gravity for _, gravity in ordered[start:]]
    if since is not None:
        assert len(steady) >= 2
        assert max(steady) - min(steady) <= 0.001 + 1e-9
    if start > 0:
        before = [ordered[start - 1][1], *steady]
        assert max(before) - min(before) > 0.001 + 1e-9


@given(READINGS, st.randoms(use_true_random=False))
def test_the_order_in_which_readings_come_does_not_matter(
    readings: list[Reading], chance: object
) -> None:
    shuffled = list(readings)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert steady_since(points(shuffled)) == steady_since(points(readings))


@given(READINGS)
def test_the_same_again_keeps_a_steady_gravity_steady(readings: list[Reading]) -> None:
    since = steady_since(points(readings))
    if since is not None:
        last = max(readings)[1]
        assert steady_since(points([*readings, (41.0, last)])) == since
