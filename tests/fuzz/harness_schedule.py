"""Any bytes as a schedule's file, and after a line of ``%%%%`` as its kettle's file."""

import os
import tempfile
from functools import cache
from pathlib import Path

from assistant.advice.plan import make_plan
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.plan_page import plan_json
from assistant.record.codec import schedule_from, schedule_text
from assistant.schedule import ScheduleError, load

BETWEEN_FILES = b"\n%%%%\n"
KETTLE = b"kettle: pot\nholds: 32 L\nheater: {power: 2.6 kW}\n"
MOST_FAULTS = 2001
"""A fault for each value that a file may have, and one that ends the reading."""


def one(data: bytes) -> None:
    """Load the files; AssertionError, or whatever else is no ScheduleError, is a fault."""
    beer, _, kettle = data.partition(BETWEEN_FILES)
    folder = _folder()
    (folder / "beer.yaml").write_bytes(beer)
    (folder / "kettle.yaml").write_bytes(kettle or KETTLE)
    try:
        schedule = load(folder / "beer.yaml")
    except ScheduleError as error:
        lines = str(error).split("\n")
        assert error.faults
        assert len(error.faults) <= MOST_FAULTS
        assert len(lines) == len(error.faults), "a fault of more than one line"
        assert all(line.isprintable() for line in lines), "a fault that a terminal would act on"
        assert len(set(lines)) == len(lines), "a fault told twice"
        return
    assert schedule_from(schedule_text(schedule), "day 1") == schedule
    try:
        plan = make_plan(schedule)
    except (OutOfRange, NeverReaches):
        return
    plan_json(plan)


@cache
def _folder() -> Path:
    in_memory = Path("/dev/shm")
    place = in_memory if os.access(in_memory, os.W_OK) else None
    return Path(tempfile.mkdtemp(prefix="fuzz-schedule-", dir=place))
