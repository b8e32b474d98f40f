"""A beer tended by a program: through the pipe of the real command, whatever it sends."""

import json
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from pitched_day import PITCHED_S, on_record
from sample_files import SAMPLES

from assistant.cellar.events import VisitBegan, visits_of
from assistant.day.events import NoteTaken
from assistant.record.beers import beer_on_record
from assistant.record.journal import Journal
from assistant.schedule import load

DAY_S = 86400.0
Line = dict[str, Any]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A day whose yeast went in three days ago."""
    began = time.time() - PITCHED_S - 3 * DAY_S
    on_record(tmp_path, load(SAMPLES / "breakwater-amber.yaml"), began_wall=began)
    return tmp_path


class Tending:
    """One process of ``kettleside tend --pipe`` or ``package --pipe``."""

    def __init__(self, process: "subprocess.Popen[str]") -> None:
        self.process = process

    def raw(self, line: str) -> list[Line]:
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(line + "\n")
        self.process.stdin.flush()
        answers: list[Line] = []
        while not answers or answers[-1]["kind"] != "idle":
            out = self.process.stdout.readline()
            assert out, self.process.stderr.read() if self.process.stderr else "the pipe closed"
            answers.append(json.loads(out))
        return answers

    def send(self, day: float, **content: Any) -> list[Line]:
        return self.raw(json.dumps({"at": PITCHED_S + day * DAY_S} | content))

    def say(self, day: float, words: str) -> str:
        return " ".join(a["text"] for a in self.send(day, say=words) if a["kind"] == "say")


@contextmanager
def tending(folder: Path, command: str = "tend", *options: str) -> Iterator[Tending]:
    words = [sys.executable, "-m", "assistant", command, *options, "--pipe", "--data", str(folder)]
    with subprocess.Popen(
        words,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            yield Tending(process)
        finally:
            process.kill()


def ended(process: "subprocess.Popen[str]") -> tuple[int, str]:
    _, err = process.communicate(timeout=60)
    return process.returncode, err


def test_a_visit_ends_with_its_input_and_says_nothing_on_the_error_stream(folder: Path) -> None:
    with tending(folder) as beer:
        assert "day 3 of fermentation" in beer.say(3.1, "start")
        assert ended(beer.process) == (0, "")


BAD_LINES = (
    "{",
    "[]",
    "null",
    '"start"',
    "\x00\x01",
    '{"at": "soon", "say": "done"}',
    '{"at": -5}',
    '{"at": 1e300}',
    '{"at": NaN}',
    '{"at": 0, "say": "status"}',
    '{"at": 400000, "say": 7}',
    '{"at": 400000, "say": "mash is in the fridge"}',
    '{"at": 400000, "reading": {"quantity": "gravity"}}',
    '{"at": 400000, "reading": {"quantity": "gravity", "value": true, "unit": "SG"}}',
    '{"at": 400000, "reading": {"quantity": "colour", "value": 1, "unit": "EBC"}}',
    '{"at": 400000, "done": "hops"}',
    '{"at": 400000, "say": "done", "twist": 1}',
    '{"at": 400000, "say": "' + "x" * 200_000 + '"}',
    '{"at": 400000, "say": ' + "[" * 5000 + "}",
)


def test_a_bad_line_costs_nothing(folder: Path) -> None:
    with tending(folder) as beer:
        beer.say(3.1, "start")
        for line in BAD_LINES:
            kinds = [answer["kind"] for answer in beer.raw(line)]
            assert kinds in (["error", "idle"], ["refused", "idle"]), line
        assert "1.030, noted" in beer.say(5.0, "gravity 1.030")
        assert ended(beer.process) == (0, "")
    with Journal.open(folder, read_only=True) as journal:
        assert len(visits_of(journal.all_events(1))) == 2


def test_a_visit_begins_with_start_and_says_so(folder: Path) -> None:
    with tending(folder) as beer:
        (error, idle) = beer.send(3.1, say="gravity 1.020")
        assert (error["kind"], idle["next"]) == ("error", None)
        assert '"say": "start"' in error["text"]
        # The line that it names is one that works.
        example = error["text"][error["text"].index("{") :]
        assert any(answer["kind"] == "say" for answer in beer.raw(example))


def test_a_visit_never_goes_back_before_what_is_on_record(folder: Path) -> None:
    with tending(folder) as beer:
        (error, _) = beer.raw('{"at": 60, "say": "start"}')
        assert "time never goes back" in error["text"]


def test_the_next_moment_told_is_when_something_is_due(tmp_path: Path) -> None:
    began = time.time() - PITCHED_S
    on_record(tmp_path, load(SAMPLES / "saltgrass-pale.yaml"), began_wall=began)
    with tending(tmp_path) as beer:
        idle = beer.send(1.0, say="start")[-1]
        assert idle["next"] == PITCHED_S + 4 * DAY_S
        answers = beer.raw(json.dumps({"at": idle["next"]}))
        assert "Due: add 2 ounces of Cascade." in [a.get("text") for a in answers]


@pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")
@pytest.mark.parametrize("lines", [1, 7, 12])
def test_a_visit_that_is_killed_loses_nothing_that_was_answered(folder: Path, lines: int) -> None:
    with tending(folder) as beer:
        beer.say(3.1, "start")
        for number in range(lines):
            assert "oted" in beer.say(3.2 + number / 100, f"note the {number} bubble")
        beer.process.send_signal(signal.SIGKILL)
        beer.process.wait()
    with Journal.open(folder, read_only=True) as journal:
        events = journal.all_events(1)
        notes = [e.text for e in events[-lines:] if isinstance(e, NoteTaken)]
        assert notes == [f"the {number} bubble" for number in range(lines)]
        assert isinstance(events[-lines - 1], VisitBegan)
        day = journal.day(1)
        assert day is not None
        assert len(beer_on_record(journal, day).fermenting.notes) == lines
    # And the next visit goes on from there.
    with tending(folder) as beer:
        assert "day 4" in beer.say(4.0, "start")
        assert ended(beer.process) == (0, "")


def test_two_visits_at_once_are_one_too_many(folder: Path) -> None:
    with tending(folder) as beer:
        beer.say(3.1, "start")
        with tending(folder) as other:
            status, err = ended(other.process)
            assert status != 0
            assert "Traceback" not in err
            assert err.count("\n") == 1
