"""What becomes of each kind of timer when nobody was there at its time."""

import pytest
from days import at_stage, begun

from assistant.advice.timeline import Stage
from assistant.day.effects import Say, TimerChanged, TimerNews
from assistant.day.events import TimerRequested
from assistant.day.state import Timer, TimerKind
from assistant.day.timer_kinds import LAPSED_S, POLICIES, Late
from assistant.day.timers import pass_time
from assistant.day.turn import Turn
from assistant.schedule import Schedule


def noticed(schedule: Schedule, kind: TimerKind, late_s: float) -> tuple[str, list[TimerNews]]:
    """What is said and told of a timer that is noticed so late."""
    state = at_stage(schedule, Stage.BOIL).state
    timer = Timer(name="it", kind=kind, due_s=state.now_s, index=0)
    turn = Turn(state, state.now_s)
    turn.change(timers=(timer,))
    late = Turn(turn.state, state.now_s + late_s)
    pass_time(late, lambda turn, timer: None)
    said = " ".join(effect.text for effect in late.effects if isinstance(effect, Say))
    return said, [effect.state for effect in late.effects if isinstance(effect, TimerChanged)]


@pytest.mark.parametrize("kind", TimerKind)
@pytest.mark.parametrize("late_s", [0.0, 19.0, LAPSED_S, LAPSED_S + 1, 3 * 3600.0])
def test_each_kind_is_late_as_its_policy_says(
    amber: Schedule, kind: TimerKind, late_s: float
) -> None:
    said, news = noticed(amber, kind, late_s)
    match POLICIES[kind].late:
        case Late.ACTS:
            assert (said, news) == ("", [])
        case Late.LAPSES if late_s > LAPSED_S:
            assert (said, news) == ("", [TimerNews.LATE])
        case Late.TOLD | Late.LAPSES:
            assert news == [TimerNews.LATE if late_s >= 20 else TimerNews.DUE]
            assert said.endswith("ago.") == (late_s >= 20)


def test_only_kinds_without_words_act_in_silence() -> None:
    for kind, policy in POLICIES.items():
        assert (policy.late is Late.ACTS) == (policy.words is None), kind


def test_what_insists_is_told_however_late() -> None:
    assert all(policy.late is Late.TOLD for policy in POLICIES.values() if policy.insists)


def test_a_heads_up_that_was_missed_is_left_out(amber: Schedule) -> None:
    day = at_stage(amber, Stage.BOIL)
    first = next(t for t in day.state.timers if t.kind is TimerKind.ADDITION)
    day.wait(first.due_s - day.at + 600)
    assert "weigh out" not in day.said()
    assert "Due 10 minutes ago" in day.said()


def test_after_a_night_each_timer_is_told_once(amber: Schedule) -> None:
    day = begun(amber)
    for number in range(3):
        day.happen(TimerRequested(at=0, seconds=60 + number, name=f"pot {number}"))
    day.wait(8 * 3600)
    told = [effect for effect in day.of(TimerChanged) if effect.name.startswith("pot")]
    assert [effect.state for effect in told] == [TimerNews.LATE] * 3
    assert day.said().count("Due 7 hours 59 minutes ago") == 3
