"""Whatever is said, read or done, in whatever order, the day holds together."""

from dataclasses import replace

from days import Driven, begun
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import BEYOND_THE_SUMS, advance
from assistant.day.commands import COMMANDS, Command
from assistant.day.ear_troubles import Ear
from assistant.day.effects import Refused, TimerChanged, TimerNews
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    DayBegan,
    DayResumed,
    EarTroubled,
    Event,
    HeardUnsurely,
    Jump,
    Meaning,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    RecordMended,
    RecordTrouble,
    RecordTroubled,
    Source,
    TaskDone,
    TimePassed,
    TimerRequested,
    Trouble,
)
from assistant.day.listening import listening
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


NUMBERS = st.builds(
    NumberSaid, at=st.just(0.0), value=VALUES, unit=st.sampled_from([None, "degC", "L", "degP"])
)
READINGS = st.sampled_from(list(Quantity)).flatmap(
    lambda quantity: st.builds(
        ReadingTaken,
        at=st.just(0.0),
        quantity=st.just(quantity),
        value=VALUES,
        unit=st.sampled_from(QUANTITIES[quantity].units),
    )
)
MEANINGS: st.SearchStrategy[Meaning] = st.one_of(
    NUMBERS,
    READINGS,
    READINGS,
    st.builds(CommandGiven, at=st.just(0.0), command=st.sampled_from(Command)),
    st.builds(OptionChosen, at=st.just(0.0), say=st.sampled_from(OPTIONS)),
    st.builds(
        TimerRequested,
        at=st.just(0.0),
        seconds=st.sampled_from([90.0, 900.0, 3000.0, 1e9]),
        name=st.sampled_from(["timer", "yeast"]),
    ),
)
TO_A_DOUBT = (
    Command.YES,
    Command.NO,
    Command.FIRST,
    Command.SECOND,
    Command.THIRD,
    Command.UNDO,
    Command.SKIP,
    Command.STOP,
    Command.REPEAT,
)


INCIDENTS = st.one_of(
    st.builds(RecordTroubled, at=st.just(0.0), trouble=st.sampled_from(RecordTrouble)),
    st.builds(RecordMended, at=st.just(0.0), missing=st.integers(0, 40)),
    st.builds(
        ClockJumped,
        at=st.just(0.0),
        jump=st.sampled_from(Jump),
        seconds=st.sampled_from([12.0, 70.0, 7200.0, -3600.0]),
    ),
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
                "unsure",
                "unsure",
                "answer",
                "again",
                "trouble",
                "incident",
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
        case "unsure":
            return wait_s, kind, tuple(draw(st.lists(MEANINGS, max_size=4)))
        case "answer":
            return min(wait_s, 40.0), kind, draw(st.sampled_from(TO_A_DOUBT))
        case "again":
            return min(wait_s, 40.0), kind, draw(st.integers(0, 2))
        case "trouble":
            return wait_s, kind, draw(st.sampled_from(Trouble))
        case "incident":
            return wait_s, kind, draw(INCIDENTS)
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
        case "unsure", tuple():
            return HeardUnsurely(at=at, meanings=what)
        case "answer", Command():
            return CommandGiven(at=at, command=what)
        case "again", int() if state.doubt is not None:
            return replace(state.doubt.meanings[what % len(state.doubt.meanings)], at=at)
        case "trouble", Trouble():
            return EarTroubled(at=at, trouble=what)
        case "incident", RecordTroubled() | RecordMended() | ClockJumped():
            return replace(what, at=at)
        case "resume", _:
            return DayResumed(at=at)
        case "undo", _:
            return CommandGiven(at=at, command=Command.UNDO)
    return TimePassed(at=at)


def alike(state: State) -> State:
    """A state without what undo leaves as it was: numbers given out, words said, the clock.

    A doubt is over with what was taken of it.
    """
    return replace(
        state,
        next_id=0,
        spoken="",
        now_s=0.0,
        forecast=None,
        cautioned=frozenset(),
        doubt=None,
        ear=Ear(),
        record=None,
        incidents=(),
    )


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
        if can_be_undone(event) and not refused and not is_undo and not before.open_doubt():
            assert len(state.history) == len(before.history) + 1
        if len(state.history) > len(before.history):
            undone, _ = advance(state, CommandGiven(at=state.now_s, command=Command.UNDO))
            assert alike(undone) == alike(before)
            assert undone.doubt is None


@DAYS
@given(ANY_STEPS)
def test_a_doubt_is_on_no_record_until_it_is_settled(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        event = event_of(state, step)
        before, _ = advance(state, TimePassed(at=event.at))
        state, _ = advance(state, event)
        if isinstance(event, EarTroubled | HeardUnsurely):
            still = replace(state, doubt=None, spoken="", ear=Ear(), history=())
            assert still == replace(before, doubt=None, spoken="", ear=Ear(), history=())
            # A question such as "what's next" is answered at once, however unsurely it was heard:
            # that it was asked is kept, and there is nothing of it to take back.
            kept, was = ([past.before for past in s.history] for s in (state, before))
            assert kept == was
            asked = state.doubt is None and isinstance(event, HeardUnsurely)
            assert asked or state.history == before.history


@DAYS
@given(ANY_STEPS)
def test_what_can_be_heard_can_always_be_told(amber: Schedule, taken: list) -> None:
    state = begun(amber).state
    for step in taken:
        state, _ = advance(state, event_of(state, step))
        context = listening(state)
        assert all(low <= high for low, high in context.likely.values())
        assert context.expected.keys() <= context.likely.keys()


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
            if effect.state is TimerNews.DUE and not undone:
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
