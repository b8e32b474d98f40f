"""How many of a sensor's messages become readings, by a clock that the test moves."""

from hypothesis import given
from hypothesis import strategies as st

from assistant.sensor_pace import FRESH_S, Paced


def paced(every_s: float = 30.0) -> Paced:
    return Paced(every_s=every_s, unit="degC", from_s=0.0)


def told(pace: Paced, *messages: tuple[float, float], wanted: bool = False) -> list[float]:
    """The readings of messages that come as (moment, value), each looked at as it comes."""
    found = []
    for at_s, value in messages:
        pace.came(value, at_s)
        due = pace.due(at_s, wanted=wanted)
        if due is not None:
            found.append(due)
    return found


def test_ten_messages_a_second_are_a_reading_every_half_minute() -> None:
    messages = [(number / 10, 20 + number / 300) for number in range(3001)]
    assert len(told(paced(), *messages)) == 11


def test_the_first_message_is_a_reading_at_once() -> None:
    assert told(paced(), (3.0, 66.0)) == [66.0]


def test_a_spike_among_quick_messages_is_nobodys_reading() -> None:
    pace = paced()
    told(pace, (0, 66.0))
    for at_s, value in [(27, 67.0), (28, 67.1), (29, -127.0), (29.5, 67.1)]:
        pace.came(value, at_s)
    pace.came(85.0, 30)
    assert pace.due(30, wanted=False) == 67.1


def test_of_two_messages_the_newer_counts() -> None:
    pace = paced()
    told(pace, (0, 66.0))
    pace.came(67.0, 28)
    pace.came(68.0, 31)
    assert pace.due(31, wanted=False) == 68.0


def test_what_does_not_move_is_told_every_five_minutes() -> None:
    still = [(at_s, 66.0 + at_s % 60 / 600) for at_s in range(0, 1801, 30)]
    assert len(told(paced(), *still)) == 7


def test_what_moves_by_more_than_its_grain_is_told_in_time() -> None:
    assert told(paced(), (0, 66.0), (30, 66.1), (60, 66.3), (90, 66.2)) == [66.0, 66.3]


def test_what_is_wanted_is_told_though_it_has_not_moved() -> None:
    assert told(paced(), (0, 66.0), (30, 66.0), (60, 66.0), wanted=True) == [66.0] * 3


def test_an_old_message_is_no_reading_of_now() -> None:
    pace = paced()
    told(pace, (0, 66.0))
    pace.came(70.0, 30)
    assert pace.due(30 + FRESH_S + 0.1, wanted=True) is None
    pace.came(71.0, 50)
    assert pace.due(50, wanted=False) == 71.0


def test_a_sensor_that_reports_seldom_is_silent_late() -> None:
    pace = paced(every_s=900)
    assert not pace.fell_silent(8999)
    assert pace.fell_silent(9000)
    assert not pace.fell_silent(20_000)
    assert pace.came(20.0, 20_001)
    assert not pace.came(20.0, 20_002)


@given(
    st.lists(st.tuples(st.floats(0, 40), st.floats(-50, 150)), max_size=80),
    st.floats(1, 600),
    st.booleans(),
)
def test_however_messages_come_readings_keep_their_distance(
    steps: list[tuple[float, float]], every_s: float, wanted: bool
) -> None:
    pace, at_s, last_s = paced(every_s), 0.0, float("-inf")
    seen = []
    for wait_s, value in steps:
        at_s += wait_s
        seen.append(value)
        pace.came(value, at_s)
        due = pace.due(at_s, wanted=wanted)
        if due is not None:
            assert at_s - last_s >= every_s
            assert due in seen
            last_s = at_s
