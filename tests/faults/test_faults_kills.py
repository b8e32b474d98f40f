"""A day that is killed again and again ends as the day that nobody killed.

Run ``python tests/bench/kills.py`` for hundreds of kills.
"""

import random
import sys
from pathlib import Path

import pytest
from kill_plans import AT_PLACE, Kill, Moment, drawn_kills
from killed_days import KilledDay, Tally
from recorded_day import RecordedDay, record_day

from assistant.samples import rehearsed_sample

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")

FIRST, LAST = 0, -1
KILLS = 13


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> RecordedDay:
    return record_day(rehearsed_sample(), tmp_path_factory.mktemp("unbroken"), seed=3)


def driven(day: RecordedDay, folder: Path, *kills: Kill) -> Tally:
    tally = Tally()
    KilledDay(day, folder, kills, tally).run()
    return tally


def test_the_day_has_lines_of_every_kind_and_each_is_one_row_or_none(day: RecordedDay) -> None:
    kinds = {kind for line in day.lines for kind in line} - {"at"}
    assert kinds == {"say", "reading", "done"}
    assert {after - day.rows_before(line) for line, after in enumerate(day.rows_after)} == {0, 1}


def test_killed_at_random_moments_nothing_acknowledged_is_lost_and_the_end_is_the_same(
    day: RecordedDay, tmp_path: Path
) -> None:
    tally = driven(day, tmp_path, *drawn_kills(day, KILLS, random.Random(3)))
    assert tally.kills == KILLS, tally
    assert tally.acknowledged > 0
    assert (tally.lost, tally.wrong) == (0, [])


@pytest.mark.parametrize("moment", AT_PLACE, ids=lambda moment: moment.value)
@pytest.mark.parametrize("line", [FIRST, LAST], ids=["the first line", "the last line"])
def test_killed_at_its_first_and_its_last_line_a_day_is_begun_once_and_ended_once(
    day: RecordedDay, tmp_path: Path, line: int, moment: Moment
) -> None:
    at = range(len(day.lines))[line]
    tally = driven(day, tmp_path, Kill(moment=moment, line=at))
    assert (tally.kills, tally.lost, tally.wrong) == (1, 0, [])


def test_killed_thrice_in_a_row_while_it_is_gone_on_with_it_still_goes_on(
    day: RecordedDay, tmp_path: Path
) -> None:
    middle = len(day.lines) // 2
    again = [Kill(moment=moment, line=None) for moment in AT_PLACE]
    kills = (Kill(moment=Moment.AFTER_ROW, line=middle), *again)
    tally = driven(day, tmp_path, *kills)
    assert (tally.kills, tally.lost, tally.wrong) == (4, 0, [])
