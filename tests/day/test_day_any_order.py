"""Whatever is said, read or done, in whatever order, the day holds together."""

from dataclasses import replace

from days import Driven, begun
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import BEYOND_THE_SUMS, advance
from assistant.day.commands import COMMANDS, Command
from assistant.day.effects import Refused, TimerChanged, TimerNews
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    DayResumed,
    Event,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    Source,
    TaskDone,
    TimePassed,
    TimerRequested,
)
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import State, new_day
from assistant.day.timers import next_due_s
from assistant.day.undo import can_be_undone
from assistant.schedule import Schedule

OPTIONS = (
    "leave it",
    "heat",
    "boiling water",
    "cold water",
    "boil longer",
    "boil shorter",
    "add extract",
    "add water",
    "top up",
    "more hops",
    "chill more",
    "stir it cool",
    "dance",
)
VALUES = st.one_of(
    st.sampled_from(
        [
            0.0,
            1.0,
            1.03,
            1.045,
            1.05,
            1.09,
            5.4,
            12.0,
            18.0,
            22.0,
            60.0,
            63.0,
            67.4,
            70.0,
            77.0,
            82.0,
            99.0,
            100.0,
            150.0,
            210.0,
        ]
    ),
    st.floats(min_value=-20, max_value=250),
)


@st.composite
def steps(draw: st.DrawFn) -> tuple[float, str, object]:
    wait_s = draw(st.sampled_from([0.0, 1.0, 15.0, 40.0, 130.0, 600.0, 3000.0, 20000.0]))
    kind = draw(
        st.sampled_from(
            [
                "time",
                "due",
                "command",
                "command",
                "task",
                "task",
                "reading",
                "number",
                "option",
                "timer",
                "note",
                "resume",
                "undo",
            ]
        )
    )
    match kind:
        case "command":
            return wait_s, kind, draw(st.sampled_from(sorted(Command, key=lambda c: c.value)))
        case "task":
            return wait_s, kind, draw(st.integers(0, 5))
        case "reading":
            quantity = draw(st.sampled_from(list(Quantity)))
            unit = draw(st.sampled_from([*QUANTITIES[quantity].units, "furlong"]))
            sample_c = draw(st.sampled_from([None, 20.0, 65.0, 400.0]))
            source = draw(st.sampled_from(list(Source)))
            return wait_s, kind, (quantity, draw(VALUES), unit, sample_c, source)
        case "number":
            return wait_s, kind, (draw(VALUES), draw(st.sampled_from([None, "degC", "L", "degP"])))
        case "option":
            return wait_s, kind, draw(st.sampled_from(OPTIONS))
        case "timer":
            return wait_s, kind, draw(st.sampled_from([0.0, 10.0, 600.0, 1e9]))
        case "note":
            return wait_s, kind, draw(st.text(max_size=20))
    return wait_s, kind, None


def event_of(state: State, step: tuple[float, str, object]) -> Event:
    wait_s, kind, what = step
    at = state.now_s + wait_s
    match kind, what:
        case "due", _:
            return TimePassed(at=max(next_due_s(state) or at, state.now_s))
        case "command", Command():
            return CommandGiven(at=at, command=what)
        case "task", int():
            ids = [task.id for task in state.tasks] or [99999]
            return TaskDone(at=at, task_id=ids[what % len(ids)])
        case "reading", (quantity, value, unit, sample_c, source):
            return ReadingTaken(
                at=at, quantity=quantity, value=value, unit=unit, sample_c=sample_c, source=source
            )
        case "number", (value, unit):
            return NumberSaid(at=at, value=value, unit=unit)
        case "option", str():
            return OptionChosen(at=at, say=what)
        case "timer", float():
            return TimerRequested(at=at, seconds=what, name="yeast")
        case "note", str():
            return NoteTaken(at=at, text=what)
        case "resume", _:
            return DayResumed(at=at)
        case "undo", _:
            return CommandGiven(at=at, command=Command.UNDO)
    return TimePassed(at=at)


def alike(state: State) -> State:
    """A state without what undo leaves as it was: numbers given out, words said, the clock."""
    return replace(state, next_id=0, spoken="", now_s=0.0, forecast=None, cautioned=frozenset())


DAYS = settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
ANY_STEPS = st.lists(steps(), max_size=45)


@DAYS
@given(ANY_STEPS)
def test_a_day_is_the_fold_of_its_events(amber: Schedule, taken: list) -> None:
    events: list[Event] = [DayBegan(at=0)]
    state = begun(amber).state
    for step in taken:
        event = event_of(state, step)
        state, _ = advance(state, event)
        events.append(event)
    again = new_day(amber, make_plan(amber))
    for event in events:
        again, _ = advance(again, event)
    assert again == state
    assert again.history == state.history


@DAYS
@given(ANY_STEPS)
def test_what_is_refused_changes_nothing(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        event = event_of(state, step)
        passed, _ = advance(state, TimePassed(at=event.at))
        state, effects = advance(state, event)
        refusals = [effect.text for effect in effects if isinstance(effect, Refused)]
        if refusals:
            assert state == passed
        assert not any(text.startswith(BEYOND_THE_SUMS) for text in refusals)


@DAYS
@given(ANY_STEPS)
def test_undo_restores_the_state_before(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        event = event_of(state, step)
        before, _ = advance(state, TimePassed(at=event.at))
        state, effects = advance(state, event)
        refused = any(isinstance(effect, Refused) for effect in effects)
        is_undo = isinstance(event, CommandGiven) and event.command in (Command.UNDO, Command.NO)
        if can_be_undone(event) and not refused and not is_undo:
            undone, _ = advance(state, CommandGiven(at=state.now_s, command=Command.UNDO))
            assert alike(undone) == alike(before)


@DAYS
@given(ANY_STEPS)
def test_nothing_due_is_left_unsaid_and_nothing_is_announced_twice(
    amber: Schedule, taken: list
) -> None:
    state = begun(amber).state
    announced: dict[str, bool] = {}
    for step in taken:
        event = event_of(state, step)
        undone = isinstance(event, CommandGiven) and event.command in (Command.UNDO, Command.NO)
        state, effects = advance(state, event)
        due_s = next_due_s(state)
        assert due_s is None or due_s > state.now_s
        for effect in effects:
            if not isinstance(effect, TimerChanged):
                continue
            if effect.state is TimerNews.DUE and not isinstance(event, DayResumed) and not undone:
                assert not announced.get(effect.name), f"{effect.name} announced as due twice"
            announced[effect.name] = effect.state in (TimerNews.DUE, TimerNews.LATE)


@DAYS
@given(ANY_STEPS)
def test_time_that_says_nothing_changes_nothing(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        event = event_of(state, step)
        due_s = next_due_s(state)
        if isinstance(event, TimePassed) and (due_s is None or event.at < due_s):
            after, effects = advance(state, event)
            assert replace(after, now_s=state.now_s) == state
            assert effects == ()
        state, _ = advance(state, event)


@DAYS
@given(ANY_STEPS)
def test_the_end_can_be_reached_from_anywhere(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        state, _ = advance(state, event_of(state, step))
    day = Driven(state, at=state.now_s)
    for _ in range(60):
        if day.state.stage is Stage.FINISHED:
            return
        day.wait(5).command(Command.SKIP)
    raise AssertionError(f"still in {day.state.stage} after sixty times skip")


@DAYS
@given(ANY_STEPS)
def test_a_command_outside_its_stages_is_refused(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        state, _ = advance(state, event_of(state, step))
    for command, spec in COMMANDS.items():
        if state.stage not in spec.stages:
            after, effects = advance(state, CommandGiven(at=state.now_s, command=command))
            assert after == state
            assert any(isinstance(effect, Refused) for effect in effects), command
