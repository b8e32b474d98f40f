"""The number in a message, whatever the message holds."""

import json
import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assistant.sensor_payload import LARGEST_PAYLOAD, WHOLE, FieldPath, NoNumber, number_in

JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=10,
)
PATHS = st.lists(st.sampled_from(["a", "0", "1", "²", "b c"]), max_size=4).map(
    lambda steps: FieldPath(tuple(steps))
)


@pytest.mark.parametrize(
    ("payload", "path", "number"),
    [
        ("66.4", "", 66.4),
        ("-0.5", "", -0.5),
        ("+1e2", "", 100.0),
        (" 66 \n", "", 66.0),
        ('{"t": 66.4}', "t", 66.4),
        ('{"t": " 66.4 "}', "t", 66.4),
        ('{"a": [{"b": 1}, {"b": 2}]}', "a.1.b", 2.0),
        ('{"0": 5}', "0", 5.0),
        ("[1, 2]", "1", 2.0),
    ],
)
def test_a_number_is_found(payload: str, path: str, number: float) -> None:
    way = FieldPath.parse(path) if path else WHOLE
    assert number_in(payload.encode(), way) == number


@pytest.mark.parametrize(
    ("payload", "path", "found"),
    [
        ('{"t": 66}', "", "{"),
        ('{"t": true}', "t", "true"),
        ('{"t": null}', "t", "null"),
        ('{"t": NaN}', "t", "out of all bounds"),
        ('{"t": {}}', "t", "an object"),
        ('{"t": [1]}', "t", "a list"),
        ('{"t": 66}', "u", "nothing at u"),
        ("[1, 2]", "2", "nothing at 2"),
        ("[1, 2]", "-1", "nothing at -1"),
        ("66", "t", "nothing at t"),
        ("[" * 9000, "t", "not JSON"),
        ('{"t": ' + "9" * 9000 + "}", "t", "not JSON"),
        ('{"t": ' + "9" * 400 + "}", "t", "out of all bounds"),
        ("1" * (LARGEST_PAYLOAD + 1), "", f"{LARGEST_PAYLOAD + 1} bytes"),
    ],
)
def test_what_is_none_is_told_in_few_words(payload: str, path: str, found: str) -> None:
    way = FieldPath.parse(path) if path else WHOLE
    with pytest.raises(NoNumber) as told:
        number_in(payload.encode(), way)
    assert found in str(told.value)
    assert len(str(told.value)) < 80


@given(st.one_of(st.binary(max_size=200), JSON.map(lambda tree: json.dumps(tree).encode())), PATHS)
@example(b'{"a": 1e999}', FieldPath(("a",)))
@example('["²"]'.encode(), FieldPath(("²",)))
def test_any_message_is_a_finite_number_or_none(payload: bytes, path: FieldPath) -> None:
    found = found_in(payload, path)
    if isinstance(found, float):
        assert math.isfinite(found)
    else:
        assert found.isprintable()
        assert 0 < len(found) < 120


def found_in(payload: bytes, path: FieldPath) -> float | str:
    """The number, or what was found in its place."""
    try:
        return number_in(payload, path)
    except NoNumber as told:
        return str(told)


@pytest.mark.parametrize(
    "text", ["", ".", "a..b", ".a", "a.", "a" * 41, "a.b.c.d.e.f.g.h.i", "a\n"]
)
def test_a_way_that_leads_nowhere_is_refused(text: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 -- the text itself is all it says
        FieldPath.parse(text)
