"""A record that is not as it was written: rows with any text in them, a file with other bytes.

The first byte chooses what is spoilt. A text takes the place of a row's; for the file, each five
bytes are a place in it and what stands there instead.
"""

import os
import sqlite3
import tempfile
from functools import cache
from pathlib import Path

from fuzz_days import awkward_schedule, moments

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, DayBegan
from assistant.day.state import State, new_day
from assistant.day.teaching import learned_kettle
from assistant.record.codec import KINDS, event_from, learned_from, schedule_from
from assistant.record.journal import FILE_NAME, DayStatus, Journal, RecordError
from assistant.record.replay import replay
from assistant.record.reporting.as_csv import as_csv
from assistant.record.reporting.as_json import as_json
from assistant.record.reporting.laying import laid_out
from assistant.record.reporting.making import account_on_record
from assistant.record.reporting.text import as_text

_KINDS = sorted(KINDS)


def one(data: bytes) -> None:
    """Read what is on record; whatever is no RecordError is a fault."""
    if not data:
        return
    choice, rest = data[0], data[1:]
    try:
        if choice < 128:
            _event(_KINDS[choice % len(_KINDS)], rest)
        elif choice < 160:
            replay(schedule_from(_text(rest), "day 1"), [DayBegan(at=0.0)])
        elif choice < 192:
            learned_from(_text(rest), "day 1")
        else:
            _file(rest)
    except RecordError as error:
        assert str(error).isprintable(), "a fault that a terminal would act on"


def _text(data: bytes) -> str:
    return data.decode("utf-8", "surrogateescape")


def _event(kind: str, body: bytes) -> None:
    place, body = (body[0], body[1:]) if body else (0, body)
    event = event_from(kind, _text(body), "row 1 of day 1")
    advance(moments()[place % len(moments())], event)


def _file(spoilt: bytes) -> None:
    whole = bytearray(_written())
    for start in range(0, len(spoilt) - 4, 5):
        place = int.from_bytes(spoilt[start : start + 4], "big") % len(whole)
        whole[place] = spoilt[start + 4]
    folder = _folder()
    path = folder / FILE_NAME
    path.write_bytes(whole)
    with Journal.open(folder, read_only=True) as journal:
        for day in journal.days():
            journal.last(day.id)
            account = account_on_record(journal, day.id)
            assert account is not None
            for form in (as_json, as_csv, lambda told: as_text(laid_out(told))):
                form(account)
        journal.unfinished("awkward.yaml")
        journal.learned("pot")


@cache
def _written() -> bytes:
    """The bytes of a record with a short day that is finished and one that is not."""
    schedule = awkward_schedule()
    folder = _folder()
    with Journal.open(folder) as journal:
        for count in (25, 3):
            state: State = new_day(schedule, make_plan(schedule))
            day_id = journal.begin_day(schedule, "awkward.yaml", 1_700_000_000.0)
            events = [CommandGiven(at=60.0 * n, command=Command.SKIP) for n in range(1, count)]
            for event in (DayBegan(at=0.0), *events):
                journal.append(day_id, event, 1_700_000_000.0 + event.at)
                state = advance(state, event)[0]
            if count > 20:
                taught = learned_kettle(state)
                if taught is not None:
                    journal.keep_learned(day_id, taught)
                journal.close_day(day_id, DayStatus.FINISHED)
    path = folder / FILE_NAME
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.close()
    return path.read_bytes()


@cache
def _folder() -> Path:
    in_memory = Path("/dev/shm")
    place = in_memory if os.access(in_memory, os.W_OK) else None
    return Path(tempfile.mkdtemp(prefix="fuzz-record-", dir=place))
