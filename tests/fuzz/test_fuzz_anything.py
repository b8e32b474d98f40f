"""Whatever comes in by any way, drawn at large: the same promises as the harnesses hold to."""

import json

import harness_backup
import harness_pipe
import harness_record
import harness_schedule
import harness_words
from fuzz_days import moments
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.day.commands import COMMANDS
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.hearing.numbers import TEENS, TENS, UNITS
from assistant.hearing.timers import TIME_WORDS
from assistant.hearing.vocabulary import SUBJECTS, UNIT_WORDS
from assistant.record.codec import KINDS

any_text = st.text(alphabet=st.characters(codec=None), max_size=40)
moment = st.integers(0, len(moments()) - 1).map(lambda number: bytes([number]))

figures = (
    st.floats()
    | st.integers()
    | st.sampled_from([0, -1, 1e11, 10**400, 5e-324, 1.048, 66.5, 23, 9**99])
)
any_json = st.recursive(
    st.none() | st.booleans() | figures | any_text,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(any_text, inner, max_size=3),
    max_leaves=5,
)

spoken_words = st.sampled_from(
    sorted(
        {word for spec in COMMANDS.values() for said in spec.words for word in said.split()}
        | {*UNITS, *TEENS, *TENS, *TIME_WORDS, "timer", "for", "note", "minus", "point", "hundred"}
        | {word for table in (SUBJECTS, UNIT_WORDS) for name in table for word in name}
    )
)
said = st.lists(spoken_words | figures.map(str) | any_text, max_size=9).map(" ".join)

units = st.sampled_from(sorted({unit for spec in QUANTITIES.values() for unit in spec.units}))
readings = st.fixed_dictionaries(
    {
        "quantity": st.sampled_from([quantity.value for quantity in Quantity]) | any_json,
        "value": figures | any_json,
        "unit": units | st.sampled_from(["dB/L", "L**9**9", "", None, "kelvin", "dBm"]) | any_json,
    },
    optional={"temperature": figures | any_json},
)
contents = st.one_of(
    st.just({}),
    st.fixed_dictionaries({"say": said | any_json}),
    st.fixed_dictionaries({"reading": readings | any_json}),
    st.fixed_dictionaries({"done": st.integers(-1, 40) | any_json}),
    st.dictionaries(any_text, any_json, max_size=2),
)
later_s = st.sampled_from([0, 0, 1, 60, 3600, 1e5, 2e6]) | st.integers(-5, 30_000)
RATHER_LATE_S = 12_000


def surely_utf8(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")


@st.composite
def lines(draw: st.DrawFn) -> bytes:
    at, told = float(RATHER_LATE_S), []
    for content in draw(st.lists(contents, min_size=1, max_size=6)):
        at += draw(later_s)
        line = {"at": at, **content} if draw(st.integers(0, 9)) else content
        told.append(json.dumps(line, ensure_ascii=draw(st.booleans())))
    return surely_utf8("\n".join(told))


@settings(max_examples=400)
@given(first=moment | st.just(b"\xff"), rest=lines() | st.binary(max_size=200))
def test_any_lines_at_any_moment_are_answered(first: bytes, rest: bytes) -> None:
    harness_pipe.one(first + rest)


@settings(max_examples=400)
@given(first=moment, words=said | any_text)
def test_any_words_at_any_moment_are_understood_or_answered(first: bytes, words: str) -> None:
    harness_words.one(first + surely_utf8(words))


@settings(max_examples=400)
@given(beer=st.binary(max_size=400), kettle=st.binary(max_size=400))
def test_any_bytes_of_both_files_are_a_schedule_or_its_faults(beer: bytes, kettle: bytes) -> None:
    harness_schedule.one(beer + harness_schedule.BETWEEN_FILES + kettle)


@settings(max_examples=800)
@given(
    first=st.integers(0, 191).map(lambda number: bytes([number])),
    second=moment,
    body=st.dictionaries(
        st.sampled_from(["at", "value", "unit", "quantity", "command", "seconds", "name", "kind"]),
        st.sampled_from([*KINDS, *QUANTITIES]).map(str) | any_json,
        max_size=6,
    )
    | any_json,
)
def test_any_text_of_a_row_is_read_or_told(first: bytes, second: bytes, body: object) -> None:
    harness_record.one(first + (second if first[0] < 128 else b"") + json.dumps(body).encode())


@settings(max_examples=300)
@given(
    first=st.sampled_from([0, 128, 192, 224]).map(lambda number: bytes([number])),
    rest=st.binary(max_size=60) | any_json.map(json.dumps).map(str.encode),
)
def test_any_bytes_of_a_backup_are_what_was_backed_up_or_refused(first: bytes, rest: bytes) -> None:
    harness_backup.one(first + rest)
