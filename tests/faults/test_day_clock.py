"""The clock of a live day: set forward or back, asleep, over midnight and the change of summer."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from clock import Hands
from hypothesis import given
from hypothesis import strategies as st

from assistant.day.events import Jump
from assistant.day_clock import ASLEEP_S, COMPUTER, SET_S, DayClock, bridged
from assistant.record.page import Clock


@pytest.fixture
def hands() -> Hands:
    return Hands()


@pytest.fixture
def clock(hands: Hands) -> DayClock:
    return DayClock(300.0, 1.0, hands.clocks)


@pytest.mark.parametrize("set_s", [3600.0, -3600.0, 86_400.0 * 365, -5.0])
def test_a_wall_clock_that_is_set_moves_no_timer_and_is_noticed(
    hands: Hands, clock: DayClock, set_s: float
) -> None:
    hands.pass_(0.5)
    assert clock.jumps() == ()
    hands.wall += set_s
    hands.pass_(0.5)
    assert clock.at() == 301.0
    assert clock.wait_s(310.0, 60.0) == 9.0
    (jump,) = clock.jumps()
    assert (jump.jump, jump.seconds) == (Jump.SET, pytest.approx(set_s, abs=0.01))
    assert clock.jumps() == (), "once"


def test_a_sleep_counts_as_time_and_is_noticed(hands: Hands, clock: DayClock) -> None:
    clock.jumps()
    hands.pass_(720.0)
    assert clock.at() == 1020.0
    (jump,) = clock.jumps()
    assert (jump.jump, jump.seconds, jump.at) == (Jump.SLEPT, 720.0, 1020.0)
    assert clock.jumps() == ()


def test_a_clock_that_is_kept_right_by_the_network_is_no_news(
    hands: Hands, clock: DayClock
) -> None:
    for _ in range(40_000):
        hands.pass_(0.5)
        hands.wall += 0.00025
        assert clock.jumps() == ()


@given(st.lists(st.tuples(st.floats(0, 900), st.floats(-1e7, 1e7)), max_size=30))
def test_whatever_is_done_to_the_wall_clock_the_day_goes_by_the_steady_one(
    moves: list[tuple[float, float]],
) -> None:
    hands = Hands()
    clock = DayClock(0.0, 2.0, hands.clocks)
    assert clock.jumps() == ()
    passed, before = 0.0, 0.0
    for passes_s, set_s in moves:
        hands.pass_(passes_s)
        hands.wall += set_s
        passed += passes_s
        jumps = {jump.jump for jump in clock.jumps()}
        if passes_s >= ASLEEP_S + 0.01:
            assert Jump.SLEPT in jumps
        if abs(set_s) >= SET_S + 0.01:
            assert Jump.SET in jumps
        assert clock.at() == pytest.approx(passed * 2, abs=1e-3)
        assert clock.at() >= before
        before = clock.at()


def test_the_computers_own_steady_clock_runs_forward() -> None:
    first = COMPUTER.steady_s()
    assert COMPUTER.steady_s() >= first


@pytest.mark.parametrize(
    ("last", "wall_s", "at", "unsure"),
    [
        pytest.param(None, 5000.0, 0.0, False, id="nothing happened yet"),
        pytest.param((600.0, 5000.0), 5240.0, 840.0, False, id="four minutes gone"),
        pytest.param((600.0, 5000.0), 4999.0, 600.0, False, id="a second back is a correction"),
        pytest.param((600.0, 5000.0), 1000.0, 600.0, True, id="a clock without a battery"),
    ],
)
def test_two_runs_are_bridged_by_the_wall_clock(
    last: tuple[float, float] | None, wall_s: float, at: float, unsure: bool
) -> None:
    bridge = bridged(last, wall_s)
    assert (bridge.at, bridge.unsure) == (at, unsure)


@pytest.mark.parametrize(
    ("zone", "began", "after_h", "shown"),
    [
        # The changes of 2026 by the rules of the tz database, as zoneinfo has them.
        ("Europe/Berlin", datetime(2026, 3, 28, 23, 30, tzinfo=UTC), 2.0, "03:30"),
        ("Europe/Berlin", datetime(2026, 10, 25, 0, 30, tzinfo=UTC), 1.0, "02:30"),
        ("America/New_York", datetime(2026, 11, 1, 5, 30, tzinfo=UTC), 2.0, "02:30"),
        ("Australia/Lord_Howe", datetime(2026, 4, 4, 14, 45, tzinfo=UTC), 0.5, "01:45"),
    ],
)
def test_a_day_over_the_change_of_summer_time_shows_the_time_on_the_wall(
    zone: str, began: datetime, after_h: float, shown: str
) -> None:
    clock = Clock(wall_s=began.timestamp(), at_s=0.0, zone=ZoneInfo(zone))
    assert clock.time(after_h * 3600).startswith(shown)


def test_summer_time_is_no_jump_since_unix_time_has_none(hands: Hands, clock: DayClock) -> None:
    change = datetime(2026, 3, 29, 1, 0, tzinfo=UTC).timestamp()
    hands.wall = change - 1
    clock.jumps()
    hands.pass_(2.0)
    assert clock.jumps() == ()


def test_a_program_that_takes_long_to_start_has_not_slept(hands: Hands, clock: DayClock) -> None:
    hands.pass_(40.0)
    hands.set(3600.0)
    assert clock.jumps() == ()
    hands.pass_(0.5)
    assert clock.jumps() == ()
