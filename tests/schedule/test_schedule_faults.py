"""How a fault reads, and that nothing a file holds can harm the terminal it is shown on."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from schedule_texts import faults_of, schedule_text

from assistant.schedule import Fault, ScheduleError
from assistant.schedule.faults import harmless


def test_a_fault_is_one_line_with_its_place() -> None:
    fault = Fault("ale.yaml", 7, "chill.to", "60 degC", "a temperature from 0 degC to 45 degC")
    assert str(fault) == (
        "ale.yaml:7: chill.to: found 60 degC; wanted a temperature from 0 degC to 45 degC"
    )


def test_a_fault_of_a_whole_file_has_no_line() -> None:
    fault = Fault("ale.yaml", None, None, "no such file", "a file that is there")
    assert str(fault) == "ale.yaml: found no such file; wanted a file that is there"


def test_an_error_shows_each_fault_on_a_line() -> None:
    first = Fault("ale.yaml", 1, "beer", "nothing", "a name")
    second = Fault("ale.yaml", 9, "boil", "a list", "a group of keys")
    error = ScheduleError((first, second))
    assert str(error) == f"{first}\n{second}"
    assert error.faults == (first, second)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        pytest.param("19 kg", "19 kg", id="plain"),
        pytest.param("Bière №7 🍺", "Bière №7 🍺", id="letters of the world"),
        pytest.param("a\x1b[2Jb", r"a\x1b[2Jb", id="clear the screen"),
        pytest.param("a\nb\tc\r", r"a\nb\tc\r", id="line ends"),
        pytest.param("\x07\x00", r"\x07\x00", id="bell and nought"),
        pytest.param("\u202egnp.exe", r"\u202egnp.exe", id="right to left"),
        pytest.param("\u2066a\u2069", r"\u2066a\u2069", id="isolate"),
        pytest.param("\ud800", r"\ud800", id="half a pair"),
        pytest.param("\u2028", r"\u2028", id="line separator"),
        pytest.param("x" * 80, "x" * 80, id="as long as it may be"),
        pytest.param("x" * 81, "x" * 77 + "...", id="too long"),
        pytest.param("\x00" * 80, r"\x00" * 19 + r"\...", id="too long once spelt out"),
    ],
)
def test_what_is_quoted_is_made_harmless(text: str, shown: str) -> None:
    assert harmless(text) == shown


@given(*[st.text(alphabet=st.characters(codec=None), max_size=200)] * 4)
def test_any_fault_is_one_printable_line(file: str, key: str, found: str, wanted: str) -> None:
    line = str(Fault(file, 3, key, found, wanted))
    assert line.isprintable()
    assert len(line) < 900
    line.encode("utf-8")


@pytest.mark.parametrize(
    "text",
    [
        r'"\e]0;owned\a": 5',
        r'boil: {for: "60\e[2J"}',
        r'additions: [{"\u202E": 1}]',
        r'units: "\x9b2J"',
        r'chill: {"\uDFFF": !<\e> x}',
        "'*\u200bx': *\u200bx",
    ],
)
def test_escapes_in_a_file_do_not_reach_the_terminal(text: str) -> None:
    faults = faults_of(f"{schedule_text()}{text}\n")
    assert faults
    assert all(str(fault).isprintable() for fault in faults)
