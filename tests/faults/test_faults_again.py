"""What a driver may rely on that was killed, or whose program was: lines sent twice, time gone by.

The program's end is an end of its pipe here; that a killed process keeps what it had written is
shown with real ones in ``test_faults_kills``.
"""

import json
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from recorded_day import RecordedDay, record_day

from assistant.day.state import Phase, State
from assistant.day.timer_kinds import LAPSED_S, POLICIES, Late
from assistant.day.timers import LATE_S, next_due_s
from assistant.pipe import Pipe
from assistant.record.journal import Journal
from assistant.samples import rehearsed_sample
from assistant.schedule import Schedule

Line = dict[str, Any]
SEED = 3


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> RecordedDay:
    return record_day(rehearsed_sample(), tmp_path_factory.mktemp("unbroken"), SEED)


def send(pipe: Pipe, line: Line) -> list[Line]:
    return pipe.answer(json.dumps(line).encode(), 0.0)


def piped(schedule: Schedule, day: RecordedDay, journal: Journal) -> Pipe:
    return Pipe(schedule, str(day.schedule_path.resolve()), journal)


def driven_to(pipe: Pipe, day: RecordedDay, line: int) -> State:
    """Everything up to and with a line."""
    for each in day.lines[: line + 1]:
        send(pipe, each)
    assert pipe.session is not None
    return pipe.session.state


def first(day: RecordedDay, wanted: Callable[[Line], bool]) -> int:
    return next(index for index, line in enumerate(day.lines) if wanted(line))


def says(*beginnings: str) -> Callable[[Line], bool]:
    return lambda line: str(line.get("say", "")).startswith(beginnings)


REFUSED = {
    "a start": (says("start"), "I did not understand"),
    "a task by its number": (lambda line: "done" in line, "There is no open task"),
    "a choice": (says("boil", "heat", "cold water", "add"), "I did not understand"),
    "hops that are in": (lambda line: "are in" in str(line.get("say")), "not due"),
    "an end": (says("all clean"), "has no place in finished"),
}
"""What is refused when it is sent again, so that sending it again is safe, and in which words."""


@pytest.mark.parametrize(("wanted", "words"), REFUSED.values(), ids=REFUSED)
def test_sent_twice_it_is_refused_and_changes_nothing(
    amber: Schedule,
    day: RecordedDay,
    tmp_path: Path,
    wanted: Callable[[Line], bool],
    words: str,
) -> None:
    line = first(day, wanted)
    with Journal.open(tmp_path) as journal:
        pipe = piped(amber, day, journal)
        before = driven_to(pipe, day, line)
        answers = send(pipe, day.lines[line])
        assert pipe.session is not None
        assert pipe.session.state == before
        assert len(journal.events(1)) == day.rows_after[line]
    assert words in answers[-2]["text"]
    assert answers[-2]["kind"] == "error"


COUNTED: dict[str, tuple[Callable[[Line], bool], Callable[[State], object]]] = {
    "a reading": (lambda line: "reading" in line, lambda state: len(state.readings)),
    "a reading in words": (says("mash temp", "gravity"), lambda state: len(state.readings)),
    "a note": (says("note"), lambda state: len(state.notes)),
    "a timer": (says("ten minute timer"), lambda state: len(state.timers)),
    "undo": (says("undo"), lambda state: len(state.history)),
    "slower": (says("slower"), lambda state: state.manner.rate_step),
    "done, of the list": (says("done", "okay", "that's done"), lambda state: state.gathered),
}
"""What happens again when it is sent again: twice on record, as it would be said twice."""


@pytest.mark.parametrize(("wanted", "counted"), COUNTED.values(), ids=COUNTED)
def test_sent_twice_it_happens_twice_so_a_driver_must_know_what_was_kept(
    amber: Schedule,
    day: RecordedDay,
    tmp_path: Path,
    wanted: Callable[[Line], bool],
    counted: Callable[[State], object],
) -> None:
    line = first(day, wanted)
    with Journal.open(tmp_path) as journal:
        pipe = piped(amber, day, journal)
        before = driven_to(pipe, day, line)
        send(pipe, day.lines[line])
        assert pipe.session is not None
        assert counted(pipe.session.state) != counted(before)
        assert len(journal.events(1)) == day.rows_after[line] + 1


def test_a_line_that_was_kept_is_known_by_the_refusal_to_resume_before_it(
    amber: Schedule, day: RecordedDay, tmp_path: Path
) -> None:
    line = first(day, lambda line: "reading" in line)
    before_s, at_s = day.lines[line - 1]["at"], day.lines[line]["at"]
    with Journal.open(tmp_path) as journal:
        driven_to(piped(amber, day, journal), day, line)
        pipe = piped(amber, day, journal)
        refused = send(pipe, {"at": before_s, "say": "resume"})
        assert refused[0]["text"].startswith(f"at {before_s:g} lies before")
        assert send(pipe, {"at": at_s, "say": "resume"})[0]["kind"] == "stage"


def test_a_line_that_was_not_kept_is_known_by_a_resume_before_it(
    amber: Schedule, day: RecordedDay, tmp_path: Path
) -> None:
    line = first(day, lambda line: "reading" in line)
    with Journal.open(tmp_path) as journal:
        driven_to(piped(amber, day, journal), day, line - 1)
        pipe = piped(amber, day, journal)
        assert send(pipe, {"at": day.lines[line - 1]["at"], "say": "resume"})[0]["kind"] == "stage"
        send(pipe, day.lines[line])
        assert len(journal.events(1)) == day.rows_after[line] + 1


@settings(max_examples=12)
@given(
    share=st.floats(min_value=0.0, max_value=1.0),
    gap_s=st.floats(min_value=LATE_S, max_value=3 * 3600.0),
)
def test_what_fell_due_meanwhile_is_told_once_and_how_late_and_nothing_else_is(
    amber: Schedule, day: RecordedDay, share: float, gap_s: float
) -> None:
    line = round(share * (len(day.lines) - 2))
    with tempfile.TemporaryDirectory() as folder, Journal.open(Path(folder)) as journal:
        before = driven_to(piped(amber, day, journal), day, line)
        pipe = piped(amber, day, journal)
        at = before.now_s + gap_s
        answers = send(pipe, {"at": at, "say": "resume"})
        reminders = [answer["text"] for answer in answers if answer.get("why") == "reminder"]
        due_s = next_due_s(before)
        if due_s is None or due_s > at:
            assert all(text.startswith("Still due: ") for text in reminders)
        late = [
            timer
            for timer in before.timers
            if timer.phase is not Phase.DUE
            and timer.left_s is None
            and POLICIES[timer.kind].insists
            and timer.due_s <= at - LATE_S
        ]
        for timer in late:
            told = [a for a in answers if a["kind"] == "timer" and a["name"] == timer.name]
            assert [a["state"] for a in told][:1] == ["late"], timer
            lapsed = POLICIES[timer.kind].late is Late.LAPSES and at - timer.due_s > LAPSED_S
            assert lapsed or any("ago" in text for text in reminders), timer
        repeated = [timer.name for timer in before.timers if timer.phase is Phase.DUE]
        fresh = [t for t in reminders if any(n in t for n in repeated) and not late]
        assert all("ago" in text or "Still due" in text for text in fresh)
        assert pipe.session is not None
        after = pipe.session.state
        assert [a["kind"] for a in send(pipe, {"at": at})] == ["idle"]
        assert replace(pipe.session.state, spoken="") == replace(after, spoken="")
