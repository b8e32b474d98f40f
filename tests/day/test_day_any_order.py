"""Whatever is said, read or done, in whatever order, the day holds together."""

from dataclasses import replace

from any_steps import (
    ANY_STEPS,
    event_of,
)
from days import Driven, begun
from hypothesis import HealthCheck, given, settings

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import BEYOND_THE_SUMS, advance
from assistant.day.commands import COMMANDS, Command
from assistant.day.ear_troubles import Ear
from assistant.day.effects import Refused, TimerChanged, TimerNews
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    EarTroubled,
    Event,
    HeardUnsurely,
    TimePassed,
)
from assistant.day.listening import listening
from assistant.day.sensor_state import Sensing
from assistant.day.state import State, new_day
from assistant.day.timers import next_due_s
from assistant.day.undo import can_be_undone
from assistant.schedule import Schedule


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
        sensing=Sensing(),
        streams=(),
    )


DAYS = settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])


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
