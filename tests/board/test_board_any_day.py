"""Whatever happens on a day, in whatever order: its board can be shown."""

import json

from day.any_steps import event_of, steps
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.advice.plan import make_plan
from assistant.board.chart import Trace, chart
from assistant.board.picture import NEXT, Around, Moment, picture
from assistant.day.advance import advance
from assistant.day.events import DayBegan
from assistant.day.state import State, new_day
from assistant.schedule import Schedule


def holds(state: State, trace: Trace) -> None:
    """What a page relies on."""
    moment = Moment(at_s=state.now_s, wall_s=0.0, speed=1.0, offset_min=0)
    shown = picture(state, moment, Around(run="r", day=1))
    course = chart(state, trace)
    # No browser reads a number that is none.
    json.dumps((shown, course), allow_nan=False)
    headline = shown["headline"]
    assert headline["label"]
    assert headline["due_at"] is None or headline["left_s"] is None
    assert not headline["due"] or headline["due_at"] <= state.now_s + 1
    assert len(shown["next"]) <= NEXT
    assert all(each["at"] is not None or each["left_s"] is not None for each in shown["next"])
    assert [stage["when"] for stage in shown["stages"]].count("now") == 1
    for line in (course["was"], course["planned"], course["expected"]):
        moments = [point[0] for point in line]
        assert moments == sorted(moments)
        assert all(moment_s <= course["ends_at"] for moment_s in moments)


@settings(max_examples=150)
@given(happened=st.lists(steps(), max_size=25))
def test_any_day_can_be_shown(amber: Schedule, happened: list[tuple[float, str, object]]) -> None:
    state, _ = advance(new_day(amber, make_plan(amber)), DayBegan(at=0.0))
    trace = Trace()
    for step in happened:
        state, _ = advance(state, event_of(state, step))
        trace.add(state)
        holds(state, trace)
