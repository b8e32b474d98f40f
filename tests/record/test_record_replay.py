"""A day replayed from its record is the day as it was."""

from dataclasses import replace
from itertools import islice
from pathlib import Path

import pytest
from small_day import Brewed, small_schedule, whole_day

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, EarTroubled, HeardUnsurely, ReadingTaken, Trouble
from assistant.day.manner import VoiceManner
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.record.errors import RecordError
from assistant.record.journal import Journal
from assistant.record.replay import LATEST_S, replay, steps
from assistant.session import Session


@pytest.fixture(scope="module")
def day() -> Brewed:
    return whole_day(small_schedule())


def test_a_day_without_events_has_not_begun() -> None:
    schedule = small_schedule()
    assert replay(schedule, ()) == new_day(schedule, make_plan(schedule))


def test_a_whole_day_comes_back_from_its_file_as_it_was(day: Brewed, tmp_path: Path) -> None:
    assert len(day.events) > 30
    with Journal.open(tmp_path) as journal:
        day_id = journal.begin_day(day.schedule, "slipway.yaml", 0.0)
        for event in day.events:
            journal.append(day_id, event, event.at)
    with Journal.open(tmp_path) as journal:
        state = replay(journal.schedule(day_id), journal.events(day_id))
    assert state == day.state


def test_a_day_cut_off_anywhere_goes_on_as_if_it_had_not_been(day: Brewed) -> None:
    for cut in range(len(day.events)):
        state = replay(day.schedule, day.events[:cut])
        for event in day.events[cut:]:
            state, _ = advance(state, event)
        assert state == day.state


def test_what_was_said_before_the_cut_can_still_be_taken_back(day: Brewed) -> None:
    undo = CommandGiven(at=day.state.now_s, command=Command.UNDO)
    live, told = advance(day.state, undo)
    replayed, told_again = advance(replay(day.schedule, day.events), undo)
    assert live != day.state
    assert (replayed, told_again) == (live, told)


def test_what_was_heard_unsurely_before_the_cut_can_be_answered_after_it(tmp_path: Path) -> None:
    room = ReadingTaken(at=9.0, quantity=Quantity.ROOM_TEMPERATURE, value=18.0, unit="degC")
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, small_schedule(), "slipway.yaml", at=0.0, wall_s=0.0)
        session.happen(CommandGiven(at=7.0, command=Command.SLOWER), 7.0)
        session.happen(EarTroubled(at=8.0, trouble=Trouble.TOO_LOUD), 8.0)
        session.happen(HeardUnsurely(at=9.0, meanings=(room,)), 9.0)
        live = session.state
    with Journal.open(tmp_path) as journal:
        assert replay(journal.schedule(1), journal.events(1)) == live
        day = journal.day(1)
        assert day is not None
        session, _ = Session.resume(journal, day, at=12.0, wall_s=12.0)
        session.happen(CommandGiven(at=14.0, command=Command.YES), 14.0)
        assert [reading.value for reading in session.state.readings] == [18.0]
        assert session.state.manner == VoiceManner(rate_step=-1)


def test_what_changes_nothing_is_not_put_on_record(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, small_schedule(), "slipway.yaml", at=0.0, wall_s=0.0)
        rows = journal.events(1)
        session.happen(CommandGiven(at=7.0, command=Command.STOP), 7.0)
        session.happen(EarTroubled(at=8.0, trouble=Trouble.QUIET_AGAIN), 8.0)
        assert journal.events(1) == rows


def test_each_step_of_a_day_is_what_the_core_made_of_it(day: Brewed) -> None:
    state = new_day(day.schedule, make_plan(day.schedule))
    for event, stepped, told in steps(day.schedule, day.events):
        state, effects = advance(state, event)
        assert (stepped, told) == (state, effects)
    assert state == day.state


def test_steps_are_taken_only_as_they_are_asked_for(day: Brewed) -> None:
    broken = replace(day.events[3], at=LATEST_S * 2)
    walked = steps(day.schedule, [*day.events[:3], broken])
    assert [event for event, _, _ in islice(walked, 3)] == day.events[:3]
    with pytest.raises(RecordError, match="past the end of any day"):
        next(walked)


def test_whoever_watches_a_replay_sees_every_state_on_the_way(day: Brewed) -> None:
    seen: list[State] = []
    assert replay(day.schedule, day.events, seen.append) == day.state
    assert seen == [state for _, state, _ in steps(day.schedule, day.events)]
