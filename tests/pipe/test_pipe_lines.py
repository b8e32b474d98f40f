"""Lines the pipe can't use are answered in words and change nothing."""

import io
import itertools
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from drivers import AMBER
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.pipe import LONGEST_LINE, Pipe, run_pipe
from assistant.record.journal import Journal
from assistant.schedule import Schedule


@pytest.fixture
def pipe(amber: Schedule, tmp_path: Path) -> Iterator[Pipe]:
    with Journal.open(tmp_path) as journal:
        begun = Pipe(amber, str(AMBER), journal)
        begun.answer(b'{"at": 0, "say": "start"}', 0.0)
        yield begun


BAD_LINES = {
    "not JSON": (b"junk", "junk is not JSON"),
    "not an object": (b"[1]", "the line holds [1]; wanted is an object with at"),
    "no moment": (b'{"say": "done"}', "at is null; wanted are seconds since the day began"),
    "a moment in words": (b'{"at": "now"}', "at is now; wanted are seconds"),
    "no number": (b'{"at": NaN}', "at is NaN; wanted are seconds"),
    "a negative moment": (b'{"at": -1}', "at is -1; wanted are seconds"),
    "true": (b'{"at": true}', "at is true; wanted are seconds"),
    "a huge moment": (b'{"at": 1e300}', "wanted are seconds since the day began"),
    "an unknown key": (b'{"at": 1, "sing": "la"}', "sing is not known"),
    "two things": (b'{"at": 1, "say": "done", "done": 1}', "one of say, reading and done"),
    "words that are none": (b'{"at": 1, "say": 7}', "say holds 7; wanted are words"),
    "words nobody knows": (b'{"at": 1, "say": "blorb"}', 'I did not understand "blorb"'),
    "no task": (b'{"at": 1, "done": 99}', "There is no open task 99."),
    "a task in words": (b'{"at": 1, "done": "fill"}', "done holds fill; wanted is a task's number"),
    "no quantity": (b'{"at": 1, "reading": {"value": 3}}', "quantity is null; wanted is one of"),
    "an odd quantity": (
        b'{"at": 1, "reading": {"quantity": "mood", "value": 3}}',
        "quantity is mood",
    ),
    "no value": (b'{"at": 1, "reading": {"quantity": "gravity", "unit": ""}}', "value is null"),
    "no unit": (
        b'{"at": 1, "reading": {"quantity": "kettle_volume", "value": 3}}',
        "unit is null; kettle_volume is read in L or gal",
    ),
    "a unit of something else": (
        b'{"at": 1, "reading": {"quantity": "kettle_volume", "value": 3, "unit": "kg"}}',
        "unit is kg; kettle_volume is read in L or gal",
    ),
    "a unit that is an expression": (
        b'{"at": 1, "reading": {"quantity": "kettle_volume", "value": 3, "unit": "L**9**9"}}',
        "kettle_volume is read in L or gal",
    ),
    "a sample's odd temperature": (
        b'{"at": 1, "reading": {"quantity": "gravity", "value": 1.04, "temperature": "warm"}}',
        "temperature is warm; wanted are degrees Celsius",
    ),
    "an odd part": (
        b'{"at": 1, "reading": {"quantity": "gravity", "value": 1.04, "colour": 3}}',
        "colour is no part of a reading",
    ),
    "start again": (b'{"at": 1, "say": "start"}', "I did not understand"),
    "not text": (b'\xff\xfe{"at": 1}', "is not JSON"),
    "nested for ever": (b"[" * 30_000, "is not JSON"),
    "an escape": (b'{"at": 1, "say": "\\u001b[2J"}', "I did not understand"),
}


def test_a_line_is_answered_however_deep_it_nests(pipe: Pipe) -> None:
    for deep in range(850, 1000):
        answers = pipe.answer(b'{"at": 1, "done": ' + b"[" * deep + b"]" * deep + b"}", 0.0)
        assert [answer["kind"] for answer in answers][-2:] == ["error", "idle"]


@pytest.mark.parametrize(("line", "words"), BAD_LINES.values(), ids=BAD_LINES)
def test_a_bad_line_is_named_and_changes_nothing(pipe: Pipe, line: bytes, words: str) -> None:
    assert pipe.session is not None
    before = pipe.session.state
    rows = len(pipe.journal.events(pipe.session.day_id))
    answers = pipe.answer(line, 0.0)
    assert [answer["kind"] for answer in answers][-2:] == ["error", "idle"]
    text = next(answer["text"] for answer in answers if answer["kind"] == "error")
    assert words in text
    assert "\x1b" not in text
    assert replace(pipe.session.state, now_s=before.now_s) == before
    assert len(pipe.journal.events(pipe.session.day_id)) == rows


def test_the_first_line_starts_the_day(amber: Schedule, tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        answers = Pipe(amber, str(AMBER), journal).answer(b'{"at": 0, "say": "done"}', 0.0)
        assert answers[0]["text"].startswith("the day has not begun: the first line is")
        assert journal.days() == ()


def test_a_unit_pint_knows_is_converted(pipe: Pipe) -> None:
    answers = pipe.answer(
        b'{"at": 5, "reading": {"quantity": "room_temperature", "value": 290, "unit": "kelvin"}}',
        0.0,
    )
    assert answers[0]["accepted"]
    assert answers[0]["unit"] == "degC"
    assert answers[0]["value"] == pytest.approx(16.85)


def test_what_is_the_loudspeakers_business_is_no_kind_of_its_own(pipe: Pipe) -> None:
    assert [a["kind"] for a in pipe.answer(b'{"at": 5, "say": "stop"}', 0.0)] == ["idle"]
    slower = pipe.answer(b'{"at": 6, "say": "slower"}', 0.0)
    assert [(a["kind"], a.get("text")) for a in slower] == [("say", "Slower."), ("idle", None)]
    assert pipe.session is not None
    assert pipe.session.state.manner.rate_step == -1


def test_a_line_longer_than_any_is_passed_over(amber: Schedule, tmp_path: Path) -> None:
    long = b'{"at": 1, "say": "' + b"a" * 3 * LONGEST_LINE + b'"}\n'
    lines = b'{"at": 0, "say": "start"}\n' + long + b'{"at": 2, "say": "where are we"}\n'
    out = io.StringIO()
    with Journal.open(tmp_path) as journal:
        run_pipe(amber, str(AMBER), journal, io.BytesIO(lines), out, itertools.repeat(0.0))
    answers = [json.loads(line) for line in out.getvalue().splitlines()]
    errors = [answer["text"] for answer in answers if answer["kind"] == "error"]
    assert errors == [f"the line is longer than {LONGEST_LINE} bytes"]
    assert answers[-1]["at"] == 2


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)
KEYS = st.sampled_from(["at", "say", "reading", "done", "odd"])


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(line=st.dictionaries(KEYS, JSON, max_size=3).map(json.dumps) | st.text(max_size=60))
def test_no_line_whatever_it_holds_gets_more_than_an_answer(pipe: Pipe, line: str) -> None:
    answers = pipe.answer(line.encode(errors="replace"), 0.0)
    assert not answers or answers[-1]["kind"] == "idle"
    json.dumps(answers)
