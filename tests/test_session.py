"""A day and its record go together."""

from dataclasses import replace
from pathlib import Path

from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Effect, Say, TimerChanged, TimerNews
from assistant.day.events import (
    CommandGiven,
    DayResumed,
    EarTroubled,
    NoteTaken,
    RecordTrouble,
    RecordTroubled,
    TimePassed,
    TimerRequested,
    Trouble,
)
from assistant.day.turn import MOST_WORDS
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


def resumed(journal: Journal, after_s: float) -> tuple[Session, list[Effect]]:
    (day,) = journal.days()
    last = journal.last(day.id)
    assert last is not None
    at = last[0] + after_s
    session, effects = Session.resume(journal, day, at=at, wall_s=last[1] + after_s)
    return session, list(effects)


def sentences(effects: list[Effect]) -> list[str]:
    return [effect.text for effect in effects if isinstance(effect, Say)]


def test_on_return_what_fell_due_is_told_once_and_not_as_still_due_besides(
    amber: Schedule, tmp_path: Path
) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        session.happen(TimerRequested(at=0.0, seconds=600.0, name="yeast"), 0.0)
        _, effects = resumed(journal, 3600.0)
    assert sentences(effects)[0] == "Yeast: time is up. Due 50 minutes ago."
    assert not any("Still due" in text for text in sentences(effects))
    told = [effect for effect in effects if isinstance(effect, TimerChanged)]
    assert next(effect.state for effect in told if effect.name == "yeast") is TimerNews.LATE


def test_on_return_after_hours_the_last_words_are_not_told_again(
    amber: Schedule, tmp_path: Path
) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        session.happen(CommandGiven(at=5.0, command=Command.DONE), 5.0)
        session.happen(NoteTaken(at=10.0, text="steam"), 10.0)
        _, soon = resumed(journal, 30.0)
    assert "Said before: Noted." in sentences(soon)
    with Journal.open(tmp_path) as journal:
        _, late = resumed(journal, 7200.0)
    assert not any(text.startswith("Said before") for text in sentences(late))


def test_undo_over_a_return_leaves_what_is_wrong_now_as_it_is(
    amber: Schedule, tmp_path: Path
) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        session.happen(NoteTaken(at=10.0, text="steam"), 10.0)
        session, _ = resumed(journal, 30.0)
        at = session.state.now_s
        session.happen(RecordTroubled(at=at, trouble=RecordTrouble.FULL), at)
        session.happen(EarTroubled(at=at, trouble=Trouble.MICROPHONE_GONE), at)
        session.happen(CommandGiven(at=at, command=Command.UNDO), at)
        assert session.state.notes == ()
        assert session.state.record is RecordTrouble.FULL
        assert session.state.ear.no_microphone
        assert len(session.state.incidents) == 1


def test_every_sentence_of_a_return_fits_the_ear_at_any_moment_of_a_day(
    amber: Schedule, tmp_path: Path
) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        for minute in range(1, 400):
            at = minute * 60.0
            command = Command.SKIP if minute % 9 == 0 else Command.DONE
            session.happen(CommandGiven(at=at, command=command), at)
            back = advance(session.state, DayResumed(at=at + 900.0))[1]
            for text in sentences(list(back)):
                ours = text.startswith(("Also open", "Still due", "I'm back"))
                assert not ours or len(text.split()) <= MOST_WORDS, text


def test_what_falls_due_with_a_line_and_the_line_are_one_row(
    amber: Schedule, tmp_path: Path
) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        session.happen(TimerRequested(at=0.0, seconds=60.0, name="yeast"), 0.0)
        rows = journal.rows(session.day_id)
        effects = session.happen(NoteTaken(at=61.0, text="steam"), 61.0)
        assert sentences(list(effects)) == ["Yeast: time is up.", "Noted."]
        assert journal.rows(session.day_id) == rows + 1


def test_of_what_is_refused_the_time_that_passed_remains(amber: Schedule, tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        session, _ = Session.begin(journal, amber, "amber.yaml", at=0.0, wall_s=0.0)
        session.happen(TimerRequested(at=0.0, seconds=60.0, name="yeast"), 0.0)
        session.happen(CommandGiven(at=61.0, command=Command.FLAME_OUT), 61.0)
        assert journal.events(session.day_id)[-1] == TimePassed(at=61.0)
        again = replay(amber, journal.events(session.day_id))
        assert replace(again, now_s=0.0) == replace(session.state, now_s=0.0)
