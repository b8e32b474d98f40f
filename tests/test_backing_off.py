"""What failed is tried again after pauses that grow, and soon again once it was well."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.backing_off import PAUSES_S, STEADY_S, BackingOff


class Clock:
    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def part(clock: Clock) -> BackingOff:
    return BackingOff(now_s=clock)


def test_before_it_ever_failed_it_may_be_tried(part: BackingOff) -> None:
    assert part.due_in_s == 0


def test_the_pauses_grow_and_the_last_goes_on(part: BackingOff, clock: Clock) -> None:
    pauses = []
    for _ in range(len(PAUSES_S) + 2):
        pauses.append(part.failed())
        assert part.due_in_s == pauses[-1]
        clock.now_s += pauses[-1]
        assert part.due_in_s == 0
    assert pauses == [*PAUSES_S, PAUSES_S[-1], PAUSES_S[-1]]


@pytest.mark.parametrize(
    ("worked_s", "pause_s"), [(STEADY_S - 1, PAUSES_S[3]), (STEADY_S, PAUSES_S[0])]
)
def test_only_what_worked_for_a_while_begins_anew(
    part: BackingOff, clock: Clock, worked_s: float, pause_s: float
) -> None:
    for _ in range(3):
        part.failed()
    part.works()
    clock.now_s += worked_s
    part.works()
    assert part.failed() == pause_s


def test_what_was_found_but_never_worked_has_not_been_well(part: BackingOff, clock: Clock) -> None:
    for pause_s in PAUSES_S:
        assert part.failed() == pause_s
        clock.now_s += 10 * STEADY_S


def test_who_knows_better_may_have_it_tried_at_once(part: BackingOff) -> None:
    part.failed()
    part.try_now()
    assert part.due_in_s == 0
    assert part.failed() == PAUSES_S[1]


@given(st.lists(st.floats(min_value=0, max_value=2 * STEADY_S), min_size=1))
def test_however_long_it_works_each_time_it_is_never_tried_in_a_busy_loop(
    worked_s: list[float],
) -> None:
    clock = Clock()
    part = BackingOff(now_s=clock)
    attempts, began_s = 0, clock.now_s
    for each_s in worked_s:
        clock.now_s += part.due_in_s
        attempts += 1
        part.works()
        clock.now_s += each_s
        part.failed()
    assert attempts <= len(PAUSES_S) + (clock.now_s - began_s) / STEADY_S * len(PAUSES_S) + 1
