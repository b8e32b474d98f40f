"""What a finished day taught of its kettle, reckoned anew where it was lost."""

from dataclasses import replace

from assistant.advice.timeline import Stage
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.cellar.events import brewing_of
from assistant.day.teaching import learned_kettle
from assistant.record.codec import event_from, learned_text, schedule_from
from assistant.record.errors import RecordError
from assistant.record.kept import DayStatus, KeptDay
from assistant.record.replay import replay


def relearned(day: KeptDay) -> KeptDay:
    """The day with what it taught, where it has ended and all of it can be replayed."""
    if day.learned is not None or day.head.status is not DayStatus.FINISHED:
        return day
    try:
        schedule = schedule_from(day.head.schedule, "the day")
        events = (event_from(row.kind, row.body, "a row") for row in day.rows)
        state = replay(schedule, brewing_of(events))
        if state.stage is not Stage.FINISHED:
            return day
        return replace(day, learned=learned_text(learned_kettle(state)))
    except (RecordError, OutOfRange, NeverReaches):
        return day
