"""The keyboard on a true pseudo-terminal, and without one."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from io import StringIO
from typing import TextIO

import pytest

from assistant.keyboard import AT_ONCE, Keyboard, LineEditor, PlainLines
from assistant.keys import Key, Line, Stroke, Typed

termios = pytest.importorskip("termios", reason="pseudo-terminals are POSIX")

WAIT_S = 10.0
LOCAL_MODES, CONTROL_CHARACTERS = 3, 6


@dataclass
class Terminal:
    """Both ends of a pseudo-terminal: what types and what is typed into."""

    typist: int
    stream: TextIO

    def modes(self) -> list[object]:
        return list(termios.tcgetattr(self.stream.fileno()))

    def types(self, data: bytes) -> None:
        os.write(self.typist, data)


@pytest.fixture
def terminal() -> Iterator[Terminal]:
    typist, descriptor = os.openpty()
    with ExitStack() as closing:
        closing.callback(lambda: _close(typist))
        yield Terminal(typist, closing.enter_context(open(descriptor)))


def _close(descriptor: int) -> None:
    try:
        os.close(descriptor)
    except OSError:
        return


def keys_from(source: Keyboard | PlainLines, count: int) -> list[Key]:
    """Read until so many keys have come or the input is at its end."""
    found: list[Key] = []
    while len(found) < count and not source.ended:
        more = source.read(WAIT_S)
        assert more or source.ended, f"only {found} came"
        found += more
    return found


def test_keys_come_one_by_one_without_enter(terminal: Terminal) -> None:
    with Keyboard(terminal.stream) as keyboard:
        terminal.types("6°".encode())
        assert keys_from(keyboard, 2) == [Typed(character="6"), Typed(character="°")]
        terminal.types(b"\x1b[A\r\x7f")
        assert keys_from(keyboard, 3) == [Stroke.UP, Stroke.ENTER, Stroke.BACKSPACE]


def test_a_line_typed_at_a_terminal_is_complete_at_enter(terminal: Terminal) -> None:
    editor = LineEditor()
    with Keyboard(terminal.stream) as keyboard:
        terminal.types(b"bag is in\x7f\x7fout\r")
        lines = [line for key in keys_from(keyboard, 15) if (line := editor.feed(key))]
    assert lines == ["bag is out"]


def test_nothing_typed_is_no_keys_and_no_end(terminal: Terminal) -> None:
    with Keyboard(terminal.stream) as keyboard:
        assert keyboard.read(0) == []
        assert keyboard.read(-1) == []
        assert not keyboard.ended


def test_the_terminal_neither_echoes_nor_stops_the_clock(terminal: Terminal) -> None:
    off = os.fpathconf(terminal.stream.fileno(), "PC_VDISABLE").to_bytes(1, "little")
    with Keyboard(terminal.stream):
        modes = termios.tcgetattr(terminal.stream.fileno())
        assert not modes[LOCAL_MODES] & (termios.ECHO | termios.ICANON)
        assert modes[LOCAL_MODES] & termios.ISIG
        assert modes[CONTROL_CHARACTERS][termios.VSUSP] == off
        assert modes[CONTROL_CHARACTERS][termios.VINTR] == b"\x03"


def test_the_terminal_is_given_back_as_it_was(terminal: Terminal) -> None:
    before = terminal.modes()
    with Keyboard(terminal.stream):
        assert terminal.modes() != before
    assert terminal.modes() == before


def test_the_terminal_is_given_back_after_an_error(terminal: Terminal) -> None:
    before = terminal.modes()
    with pytest.raises(ZeroDivisionError), Keyboard(terminal.stream):
        _ = 1 / 0
    assert terminal.modes() == before


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_the_terminal_is_given_back_when_told_to_stop(terminal: Terminal, name: str) -> None:
    number = getattr(signal, name)
    before = terminal.modes()
    # Under nohup a hangup is ignored from the beginning, and then stays so.
    handler = signal.signal(number, signal.SIG_DFL)
    try:
        with pytest.raises(SystemExit) as stopped, Keyboard(terminal.stream):
            signal.raise_signal(number)
        assert stopped.value.code == 128 + number
        assert terminal.modes() == before
        assert signal.getsignal(number) is signal.SIG_DFL
    finally:
        signal.signal(number, handler)


def test_a_handler_set_by_someone_else_stays(terminal: Terminal) -> None:
    before = signal.signal(signal.SIGTERM, signal.SIG_IGN)
    try:
        with Keyboard(terminal.stream) as keyboard:
            signal.raise_signal(signal.SIGTERM)
            assert not keyboard.ended
        assert signal.getsignal(signal.SIGTERM) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGTERM, before)


def test_the_terminal_is_taken_again_when_the_program_goes_on(terminal: Terminal) -> None:
    before = termios.tcgetattr(terminal.stream.fileno())
    with Keyboard(terminal.stream):
        taken = terminal.modes()
        termios.tcsetattr(terminal.stream.fileno(), termios.TCSANOW, before)
        signal.raise_signal(signal.SIGCONT)
        assert terminal.modes() == taken


def test_a_terminal_that_goes_away_ends_the_input(terminal: Terminal) -> None:
    with Keyboard(terminal.stream) as keyboard:
        os.close(terminal.typist)
        assert keyboard.read(WAIT_S) == []
        assert keyboard.ended
        assert keyboard.read(0) == []


CHILD = """
import os, signal, sys
from assistant.keyboard import Keyboard
# A shell lets what it runs in the background ignore Ctrl-C.
signal.signal(signal.SIGINT, signal.default_int_handler)
terminal = open(sys.argv[1])
with Keyboard(terminal) as keyboard:
    print("ready", flush=True)
    while True:
        keyboard.read(10)
"""


@pytest.mark.parametrize(
    ("stop", "status"),
    [
        pytest.param(b"\x03", -signal.SIGINT, id="Ctrl-C"),
        pytest.param(signal.SIGTERM, 128 + signal.SIGTERM, id="SIGTERM"),
    ],
)
def test_a_program_that_is_stopped_leaves_the_terminal_usable(
    terminal: Terminal, stop: bytes | signal.Signals, status: int
) -> None:
    before = terminal.modes()
    # As the leader of a session of its own the child gets this terminal for its own on opening it.
    child = subprocess.Popen(
        [sys.executable, "-c", CHILD, os.ttyname(terminal.stream.fileno())],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
        text=True,
    )
    with child:
        assert child.stdout is not None
        assert child.stdout.readline() == "ready\n"
        assert terminal.modes() != before
        if isinstance(stop, bytes):
            terminal.types(stop)
        else:
            child.send_signal(stop)
        assert child.wait(WAIT_S) == status
    assert terminal.modes() == before


@pytest.fixture
def pipe() -> Iterator[tuple[TextIO, TextIO]]:
    reading, writing = os.pipe()
    with open(reading) as reader, open(writing, "w", buffering=1) as writer:
        yield reader, writer
        writer.close()


@pytest.mark.parametrize("kind", [Keyboard, PlainLines])
def test_without_a_terminal_lines_come_whole(
    kind: type[Keyboard] | type[PlainLines], pipe: tuple[TextIO, TextIO]
) -> None:
    reader, writer = pipe
    with kind(reader) as source:
        assert source.read(0) == []
        writer.write("grain is in\nmash temperature 66\n")
        assert keys_from(source, 2) == [
            Line(text="grain is in"),
            Line(text="mash temperature 66"),
        ]
        assert not source.ended
        writer.write("done")
        writer.close()
        assert keys_from(source, 1) == [Line(text="done")]
        assert keys_from(source, 1) == []
        assert source.ended


def test_an_empty_input_is_at_its_end() -> None:
    with PlainLines(StringIO("")) as lines:
        assert keys_from(lines, 1) == []
        assert lines.ended
        assert lines.read(0) == []


def test_a_long_file_is_handed_over_in_parts_and_complete() -> None:
    text = "".join(f"note {number}\n" for number in range(3 * AT_ONCE))
    found: list[Key] = []
    with PlainLines(StringIO(text)) as lines:
        while not lines.ended:
            part = lines.read(WAIT_S)
            assert len(part) <= AT_ONCE
            found += part
    assert found == [Line(text=f"note {number}") for number in range(3 * AT_ONCE)]


def test_a_line_without_end_is_cut_and_the_next_one_is_whole() -> None:
    with PlainLines(StringIO("a" * 5000 + "\ndone\n")) as lines:
        cut, following = keys_from(lines, 2)
    assert isinstance(cut, Line)
    assert 0 < len(cut.text) <= 300
    assert following == Line(text="done")


def test_bytes_that_are_no_text_do_not_end_the_input() -> None:
    reading, writing = os.pipe()
    os.write(writing, b"\xff\xfe\ndone\n")
    os.close(writing)
    with open(reading, encoding="utf-8") as reader, PlainLines(reader) as lines:
        assert keys_from(lines, 2)[-1] == Line(text="done")
        assert keys_from(lines, 1) == []
