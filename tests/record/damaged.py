"""A record of three days to be damaged: what it holds, and which of it is on which page."""

import shutil
from dataclasses import replace
from pathlib import Path

from small_day import small_schedule
from test_record_learned import taught

from assistant.day.events import DayBegan, NoteTaken
from assistant.record.copies import FOLDER_NAME
from assistant.record.journal import DayStatus, Journal
from assistant.record.kept import KeptDay

PAGE = 4096
ROWS = 60
BEERS = ("Slipway Bitter", "Harbour Mild", "Breakwater Amber")
WALL_S = 1718355720.0


def brew_three(folder: Path) -> None:
    """Two finished days and an open one; with long notes, so that they fill some pages."""
    for place, beer in enumerate(BEERS):
        began = WALL_S + place * 86400.0
        with Journal.open(folder) as journal:
            schedule = replace(small_schedule(), beer=beer)
            day_id = journal.begin_day(schedule, f"/beers/{place}.yaml", began)
            journal.append(day_id, DayBegan(at=0.0), began)
            for second in range(1, ROWS):
                text = f"{beer}, note {second}: " + "steam " * (second % 40)
                journal.append(day_id, NoteTaken(at=float(second), text=text), began + second)
            if place < 2:
                journal.keep_learned(day_id, taught(2.5 + place, brews=place + 1))
                journal.close_day(day_id, DayStatus.FINISHED)


def with_copies(folder: Path) -> None:
    """Write the copy of every day, as a brew day does."""
    Journal.open(folder).close()


def without_copies(folder: Path) -> None:
    shutil.rmtree(folder / FOLDER_NAME)


def days_of(folder: Path) -> list[KeptDay]:
    """Every day on record in ``folder``, the oldest first; nothing there is changed."""
    with Journal.open(folder, read_only=True) as journal:
        return [journal.kept(day.id) for day in reversed(journal.days())]


def told(day: KeptDay) -> set[tuple[float, float, str, str]]:
    return {(row.at, row.wall, row.kind, row.body) for row in day.rows}
