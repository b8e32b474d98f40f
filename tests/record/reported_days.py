"""Days to report of: a rehearsed one with all its events, and a record that holds days."""

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from sample_files import SAMPLES

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.effects import Refused
from assistant.day.events import Event
from assistant.day.state import new_day
from assistant.day.teaching import learned_kettle
from assistant.record.journal import DayStatus, Journal
from assistant.rehearsal.day import _Day
from assistant.rehearsal.truths import INSTRUCTIVE
from assistant.schedule import Schedule, load

BEGAN = 1718355600.0
"""2024-06-14, 09:00 UTC."""


class _Told(_Day):
    """A rehearsed day that keeps what happened."""

    def __init__(self, schedule: Schedule, follow_advice: bool) -> None:
        self.events: list[Event] = []
        super().__init__(schedule, INSTRUCTIVE, 11, follow_advice, None)

    def happen(self, event: Event, words: str = "") -> None:
        self.events.append(event)
        super().happen(event, words)


@cache
def rehearsed(sample: str = "breakwater-amber", *, follow_advice: bool = True) -> _Told:
    """A sample's day from start to end, in a kettle that is not quite as its card says."""
    day = _Told(load(SAMPLES / f"{sample}.yaml"), follow_advice)
    day.run()
    return day


def put_on_record(folder: Path, schedule: Schedule, events: Iterable[Event]) -> int:
    """A day with these events on the record of a folder, closed where it has ended; its number."""
    state = new_day(schedule, make_plan(schedule))
    with Journal.open(folder) as journal:
        day_id = journal.begin_day(schedule, "/beers/beer.yaml", BEGAN)
        for event in events:
            before = state
            state, effects = advance(state, event)
            if state != before and not any(isinstance(effect, Refused) for effect in effects):
                journal.append(day_id, event, BEGAN + event.at)
        if state.stage is Stage.FINISHED:
            journal.keep_learned(day_id, learned_kettle(state))
            journal.close_day(day_id, DayStatus.FINISHED)
    return day_id
