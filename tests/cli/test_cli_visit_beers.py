"""Which beer a visit is to: what is told of a day that has none, or can't be gone through."""

import sqlite3
import time
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pitched_day import PITCHED_S, on_record, told

from assistant.cli import main
from assistant.record.journal import FILE_NAME, DayStatus, Journal
from assistant.schedule import Schedule

DAY_S = 86400.0


def tend(folder: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["tend", *words, "--no-voice", "--data", str(folder)], input="")


@pytest.fixture
def two(tmp_path: Path, amber: Schedule) -> Path:
    """A beer of three days (day 1), and a day that was broken off before its yeast (day 2)."""
    began = time.time() - PITCHED_S - 3 * DAY_S
    on_record(tmp_path, amber, began_wall=began)
    early = told(until_s=PITCHED_S - 1)
    on_record(tmp_path, amber, began_wall=began + DAY_S, events=early)
    return tmp_path


def test_a_day_that_was_left_before_its_yeast_has_no_beer(two: Path) -> None:
    assert "`kettleside brew` goes on with it" in tend(two, "2").stderr
    with Journal.open(two) as journal:
        journal.close_day(2, DayStatus.LEFT)
    done = tend(two, "2")
    assert done.exit_code == 2
    assert done.stderr == "day 2 was left before its yeast went in: it has no beer\n"


def test_a_newer_day_that_reads_no_more_is_told_with_the_way_to_an_older_beer(two: Path) -> None:
    with sqlite3.connect(two / FILE_NAME) as record:
        record.execute("UPDATE days SET schedule = '{}' WHERE id = 2")
    done = tend(two)
    assert done.exit_code == 3
    assert "day 2 on record" in done.stderr
    assert done.stderr.endswith("; to go to another beer than day 2's name its day\n")
    assert "Breakwater Amber, day 3 of fermentation." in tend(two, "1").stdout
