"""A day and its record go together."""

from dataclasses import replace
from pathlib import Path

from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, TimePassed, TimerRequested
from assistant.record.journal import DayStatus, Journal
from assistant.record.replay import replay
from assistant.schedule import Schedule
from assistant.session import Session


def say(session: Session, command: Command, wait_s: float = 5.0) -> None:
    at = session.state.now_s + wait_s
    session.happen(CommandGiven(at=at, command=command), 1000.0 + at)


def test_what_is_on_record_folds_to_the_state(amber: Schedule, tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=1000.0)
        session.happen(TimerRequested(at=1.0, seconds=30.0, name="yeast"), 1001.0)
        for at in (10.0, 31.0, 45.0, 61.0, 400.0):
            session.happen(TimePassed(at=at), 1000.0 + at)
        for command in (Command.DONE, Command.DONE, Command.FLAME_OUT, Command.UNDO, Command.SKIP):
            say(session, command)
        again = replay(amber, journal.events(session.day_id))
        assert replace(again, now_s=0.0) == replace(session.state, now_s=0.0)


def test_time_that_says_nothing_and_what_is_refused_leave_no_row(
    amber: Schedule, tmp_path: Path
) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        rows = journal.events(session.day_id)
        session.happen(TimePassed(at=50.0), 50.0)
        say(session, Command.FLAME_OUT)
        assert journal.events(session.day_id) == rows


def test_an_ending_taken_back_opens_the_day_again(amber: Schedule, tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        while session.state.stage is not Stage.FINISHED:
            say(session, Command.SKIP)
        assert [day.status for day in journal.days()] == [DayStatus.FINISHED]
        say(session, Command.UNDO)
        assert [day.status for day in journal.days()] == [DayStatus.OPEN]
