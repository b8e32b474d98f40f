"""From what a terminal sends to the line a brewer meant."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.keys import LONGEST_LINE, Key, KeyDecoder, Line, LineEditor, Stroke, Typed


def typed(text: str) -> list[Key]:
    return [Typed(character=character) for character in text]


# Sequences of function keys: ECMA-48 (1991) for CSI, and Xterm Control Sequences, "PC-Style
# Function Keys", for those with parameters.
SENT = [
    pytest.param(b"ok", typed("ok"), id="letters"),
    pytest.param("66 °C".encode(), typed("66 °C"), id="a sign of two bytes"),
    pytest.param(b"\r", [Stroke.ENTER], id="enter"),
    pytest.param(b"\n", [Stroke.ENTER], id="a line feed"),
    pytest.param(b"\x7f\x08", [Stroke.BACKSPACE] * 2, id="backspace either way"),
    pytest.param(b"\x15", [Stroke.CLEAR], id="ctrl-u"),
    pytest.param(b"\x1b[A\x1b[B", [Stroke.UP, Stroke.DOWN], id="arrows"),
    pytest.param(b"\x1bOA\x1bOB", [Stroke.UP, Stroke.DOWN], id="arrows of a keypad"),
    pytest.param(b"a\x1b[C\x1b[Db", typed("ab"), id="left and right are passed over"),
    pytest.param(b"\x1b[3~x\x1b[15~", typed("x"), id="delete and F5 are passed over"),
    pytest.param(b"\x1b[1;5Ax", typed("x"), id="ctrl-up is passed over"),
    pytest.param(b"\x1bbx", typed("x"), id="alt-b is passed over"),
    pytest.param(b"\x1b\x1b[Ax", [Stroke.UP, *typed("x")], id="escape, then an arrow"),
    pytest.param(b"a\xff\xfeb", typed("ab"), id="bytes that are no text"),
    pytest.param(b"\x00\x04\x11a\t", typed("a"), id="other control characters"),
]


@pytest.mark.parametrize(("data", "keys"), SENT)
def test_what_a_terminal_sends_becomes_keys(data: bytes, keys: list[Key]) -> None:
    assert KeyDecoder().feed(data) == keys


@pytest.mark.parametrize(("data", "keys"), SENT)
def test_it_does_not_matter_where_the_bytes_are_split(data: bytes, keys: list[Key]) -> None:
    for place in range(len(data) + 1):
        decoder = KeyDecoder()
        assert decoder.feed(data[:place]) + decoder.feed(data[place:]) == keys


def test_the_escape_key_alone_does_not_take_the_next_letter_with_it() -> None:
    decoder = KeyDecoder()
    assert decoder.feed(b"\x1b") == []
    decoder.pause()
    assert decoder.feed(b"done") == typed("done")


@pytest.mark.parametrize("begun", [b"", b"note", b"\x1b", b"\x1b[1;"], ids=repr)
def test_ctrl_c_stops_the_day_whatever_was_begun(begun: bytes) -> None:
    decoder = KeyDecoder()
    decoder.feed(begun)
    with pytest.raises(KeyboardInterrupt):
        decoder.feed(b"\x03")


@given(st.binary().filter(lambda data: b"\x03" not in data))
def test_no_bytes_can_put_a_control_character_into_the_line(data: bytes) -> None:
    editor = LineEditor()
    decoder = KeyDecoder()
    lines = [editor.feed(key) for key in decoder.feed(data)]
    assert all(line.isprintable() and line.strip() == line for line in lines if line is not None)
    assert editor.text.isprintable()


UP, DOWN, ENTER, BACK, CLEAR = (
    Stroke.UP,
    Stroke.DOWN,
    Stroke.ENTER,
    Stroke.BACKSPACE,
    Stroke.CLEAR,
)


@pytest.mark.parametrize(
    ("keys", "lines", "left"),
    [
        pytest.param([*typed("done"), ENTER], ["done"], "", id="a line"),
        pytest.param(typed("don"), [], "don", id="no enter yet"),
        pytest.param([*typed("  done "), ENTER], ["done"], "", id="blanks at the ends"),
        pytest.param([ENTER, *typed("  "), ENTER], [], "", id="nothing said"),
        pytest.param([*typed("dome"), BACK, BACK, *typed("ne"), ENTER], ["done"], "", id="mend"),
        pytest.param([BACK, *typed("a"), BACK, BACK], [], "", id="more backspaces than letters"),
        pytest.param([*typed("skip"), CLEAR, *typed("ok"), ENTER], ["ok"], "", id="cleared"),
        pytest.param([Line(text="grain is in")], ["grain is in"], "", id="a whole line"),
        pytest.param([*typed("x"), Line(text="ok")], ["ok"], "", id="a whole line comes first"),
        pytest.param([UP, DOWN], [], "", id="no lines to go back to"),
        pytest.param([*typed("a"), ENTER, UP], ["a"], "a", id="up: the line before"),
        pytest.param(
            [*typed("a"), ENTER, *typed("b"), ENTER, UP, UP, UP], ["a", "b"], "a", id="the first"
        ),
        pytest.param([*typed("a"), ENTER, UP, ENTER], ["a", "a"], "", id="said again"),
        pytest.param(
            [*typed("a"), ENTER, *typed("dra"), UP, DOWN], ["a"], "dra", id="back to the draft"
        ),
        pytest.param([*typed("a"), ENTER, UP, DOWN, DOWN], ["a"], "", id="not below the draft"),
        pytest.param(
            [*typed("a"), ENTER, UP, *typed("b"), ENTER, UP, UP], ["a", "ab"], "a", id="changed"
        ),
        pytest.param(
            [*typed("b"), ENTER, *typed("a"), ENTER, *typed("a"), ENTER, UP, UP],
            ["b", "a", "a"],
            "b",
            id="said twice, kept once",
        ),
    ],
)
def test_a_line_is_what_was_meant(keys: list[Key], lines: list[str], left: str) -> None:
    editor = LineEditor()
    complete = [line for key in keys if (line := editor.feed(key)) is not None]
    assert (complete, editor.text) == (lines, left)


def test_a_stuck_key_does_not_fill_the_memory() -> None:
    editor = LineEditor()
    for key in typed("a" * (LONGEST_LINE + 50)):
        editor.feed(key)
    assert len(editor.text) == LONGEST_LINE


def test_a_long_day_keeps_the_latest_lines() -> None:
    editor = LineEditor()
    for number in range(250):
        editor.feed(Line(text=f"note {number}"))
    for _ in range(250):
        editor.feed(Stroke.UP)
    assert editor.text == "note 150"
