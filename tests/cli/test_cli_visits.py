"""`kettleside tend` and `kettleside package` from outside: what they take, say and end with."""

import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pitched_day import PITCHED_S, on_record, told
from sample_files import SAMPLES

from assistant.cli import main
from assistant.record.beers import beer_on_record
from assistant.record.journal import Journal
from assistant.schedule import load

DAY_S = 86400.0
AMBER = SAMPLES / "breakwater-amber.yaml"


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A beer in its fermenter since three days (day 1), and a day before its yeast (day 2)."""
    folder = tmp_path_factory.mktemp("record")
    began = time.time() - PITCHED_S - 3 * DAY_S
    on_record(folder, load(AMBER), began_wall=began)
    early = told(until_s=PITCHED_S - 1)
    on_record(folder, load(AMBER), began_wall=began + DAY_S, events=early)
    return folder


def kettleside(folder: Path, *words: object) -> Result:
    return CliRunner().invoke(main, [*map(str, words), "--data", str(folder)], input="")


@pytest.mark.parametrize("command", ["tend", "package"])
@pytest.mark.parametrize(
    ("words", "told_as"),
    [
        (["99"], "day 99 is not on record; `kettleside days` lists those that are"),
        (["0"], "day 0 is not on record"),
        (["2"], "day 2 has no yeast in it yet: `kettleside brew` goes on with it"),
        (["--final", "9"], "--final is '9'; wanted is a gravity such as 1.012"),
        (["--final", "low"], "--final is 'low'; wanted is a gravity such as 1.012"),
        (["--final", "nan"], "--final is 'nan'; wanted is a gravity such as 1.012"),
        (["--final", "1.09"], "--final is 1.090; wanted is less than the beer's 1.0"),
    ],
    ids=" ".join,
)
def test_what_can_not_be_is_told_in_a_line(
    record: Path, command: str, words: list[str], told_as: str
) -> None:
    done = kettleside(record, command, *words, "--pipe")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(told_as)
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "told_as"),
    [
        (["--bottle", "x"], "--bottle is 'x': "),
        (["--bottle", "3 degC"], "--bottle is '3 degC': "),
        (["--bottle", "30 L"], "--bottle is '30 L'; wanted is from 50 to 20000 mL"),
        (["--serving", "-4 degC"], "--serving is '-4 degC'; wanted is from 0 to 25 degC"),
        (["--serving", "cold"], "--serving is 'cold': "),
        (["--carbonation", "12"], "--carbonation is '12': "),
        (["--carbonation", "12 vol"], "--carbonation is '12 vol'; wanted is from 0.5 to 5 vol"),
        (["--carbonation", "nan vol"], "--carbonation is 'nan vol'"),
        (["--bottle", "\x1b[2J5 mL"], "--bottle is '\\x1b[2J5 mL'"),
    ],
    ids=lambda words: " ".join(words)[:20] if isinstance(words, list) else "",
)
def test_a_measure_that_is_none_is_told_in_a_line(
    record: Path, words: list[str], told_as: str
) -> None:
    done = kettleside(record, "package", *words, "--pipe")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(told_as), done.stderr
    assert done.stderr.count("\n") == 1
    assert "\x1b" not in done.stderr


@pytest.mark.parametrize(
    "words",
    [["--into", "bucket"], ["--sugar", "honey"], ["--glass", "green"], ["--speed", "0"]],
    ids=" ".join,
)
def test_what_is_no_choice_is_told_with_the_choices(record: Path, words: list[str]) -> None:
    assert kettleside(record, "package", *words, "--pipe").exit_code == 2


@pytest.mark.parametrize("command", ["tend", "package"])
def test_with_no_beer_on_record_there_is_none_to_tend(tmp_path: Path, command: str) -> None:
    done = kettleside(tmp_path, command, "--pipe")
    assert done.exit_code == 2
    assert done.stderr.startswith("no beer on record is fermenting")


def test_a_size_and_a_carbonation_that_are_said_go_before_the_schedules(record: Path) -> None:
    at = PITCHED_S + 3.2 * DAY_S
    words = ["--carbonation", "2.9 vol", "--bottle", "11.2 fluid_ounce", "--glass", "thick"]
    done = CliRunner().invoke(
        main,
        ["package", "1", *words, "--sugar", "glucose", "--pipe", "--data", str(record)],
        input=f'{{"at": {at}, "say": "start"}}\n',
    )
    assert done.exit_code == 0, done.output
    with Journal.open(record, read_only=True) as journal:
        day = journal.day(1)
        assert day is not None
        state = beer_on_record(journal, day).fermenting
    assert (state.wanted.carbonation_vol, state.wanted.sugar.value) == (2.9, "glucose")
    assert state.wanted.glass.value == "thick"
    assert state.bottle_ml == pytest.approx(331.2, abs=0.1)


def in_lines(folder: Path, *words: str, typed: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words, "--no-voice", "--data", str(folder)],
        input=typed,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={"PATH": "/nowhere", "HOME": "/nowhere", "PYTHONUTF8": "1"},
    )


def test_without_a_terminal_a_line_in_is_words_and_a_line_out_is_what_is_said(
    record: Path,
) -> None:
    done = in_lines(
        record, "tend", "1", typed="beer temperature 19.5\nthe cat\x1b[2J is asleep\nwhy\ndone\n"
    )
    assert (done.returncode, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert lines[0] == "Breakwater Amber, day 3 of fermentation."
    assert "19.5, noted." in lines
    assert lines[-1].startswith("That's all for today.")
    assert "\x1b" not in done.stdout


def test_the_end_of_the_input_ends_the_visit(record: Path) -> None:
    done = in_lines(record, "tend", "1", typed="")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Beer temperature" in done.stdout


def test_units_can_be_chosen_for_a_visit(record: Path) -> None:
    done = in_lines(record, "tend", "1", "--units", "us", typed="beer temperature 67\ndone\n")
    assert "67, noted." in done.stdout.splitlines()
