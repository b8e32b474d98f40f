"""What befalls the program is told once, shown while it lasts, and never taken back."""

import pytest
from days import Driven, begun

from assistant.day.commands import Command
from assistant.day.effects import Say, Why
from assistant.day.events import (
    ClockJumped,
    Jump,
    RecordMended,
    RecordTrouble,
    RecordTroubled,
)
from assistant.day.incidents import RECORD_SHOWN, RECORD_WORDS
from assistant.schedule import Schedule


def troubled(day: Driven, trouble: RecordTrouble) -> Driven:
    return day.happen(RecordTroubled(at=day.at, trouble=trouble))


FAILURES = [trouble for trouble in RecordTrouble if trouble is not RecordTrouble.WRITTEN_AGAIN]


@pytest.mark.parametrize("trouble", FAILURES)
def test_a_record_that_fails_is_told_once_and_known_until_it_is_written_again(
    amber: Schedule, trouble: RecordTrouble
) -> None:
    day = troubled(begun(amber), trouble)
    assert [(say.text, say.why) for say in day.of(Say)] == [(RECORD_WORDS[trouble], Why.WARNING)]
    assert day.state.record is trouble
    assert troubled(day.wait(60), trouble).of(Say) == []
    troubled(day.wait(60), RecordTrouble.WRITTEN_AGAIN)
    assert day.said() == "The record is written again."
    assert day.state.record is None
    assert troubled(day, RecordTrouble.WRITTEN_AGAIN).of(Say) == []


def test_another_reason_for_the_same_failure_is_shown_but_not_told_again(amber: Schedule) -> None:
    day = troubled(begun(amber), RecordTrouble.FAILING)
    assert troubled(day, RecordTrouble.FULL).of(Say) == []
    assert day.state.record is RecordTrouble.FULL


def test_what_a_slow_disk_turns_out_to_be_is_told(amber: Schedule) -> None:
    day = troubled(begun(amber), RecordTrouble.SLOW)
    assert "free some space" in troubled(day, RecordTrouble.FULL).said()


def test_every_failure_has_words_for_the_ear_and_for_the_screen() -> None:
    assert set(RECORD_WORDS) == set(RecordTrouble)
    assert set(RECORD_SHOWN) == set(FAILURES)
    assert all(len(words.split()) <= 20 for words in RECORD_WORDS.values())


def test_the_record_stays_troubled_whatever_is_taken_back(amber: Schedule) -> None:
    day = begun(amber).command(Command.GRAIN_IN)
    troubled(day, RecordTrouble.FULL).command(Command.UNDO)
    assert "Taken back" in day.said()
    assert day.state.record is RecordTrouble.FULL
    assert len(day.state.incidents) == 1


@pytest.mark.parametrize(
    ("event", "words"),
    [
        pytest.param(
            ClockJumped(at=0, jump=Jump.SLEPT, seconds=720),
            "I stood still for 12 minutes, as when the computer sleeps. "
            "What fell due meanwhile is told late.",
            id="slept",
        ),
        pytest.param(
            ClockJumped(at=0, jump=Jump.SET, seconds=3600),
            "The computer's clock was set 60 minutes forward. My timers go on as before.",
            id="forward",
        ),
        pytest.param(
            ClockJumped(at=0, jump=Jump.SET, seconds=-300),
            "The computer's clock was set 5 minutes back. My timers go on as before.",
            id="back",
        ),
        pytest.param(ClockJumped(at=0, jump=Jump.SET, seconds=7), "", id="by a little"),
        pytest.param(
            RecordMended(at=0, missing=0),
            "The record was put together again. Nothing of this day is known to be missing.",
            id="mended whole",
        ),
        pytest.param(
            RecordMended(at=0, missing=3),
            "The record was put together again. "
            "3 things of this day could not be saved: look at the readings.",
            id="mended in part",
        ),
    ],
)
def test_an_incident_is_kept_and_told_where_the_brewer_would_care(
    amber: Schedule, event: ClockJumped | RecordMended, words: str
) -> None:
    day = begun(amber).happen(event)
    assert day.said() == words
    assert day.state.incidents == (event,)


def test_incidents_move_no_timer(amber: Schedule) -> None:
    day = begun(amber)
    timers = day.state.timers
    day.happen(ClockJumped(at=0, jump=Jump.SET, seconds=-7200))
    assert day.state.timers == timers
