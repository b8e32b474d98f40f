"""A day in a few words from its start to the yeast, and a record that holds such days."""

from pathlib import Path

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Refused
from assistant.day.events import CommandGiven, DayBegan, Event
from assistant.day.state import new_day
from assistant.record.journal import DayStatus, Journal
from assistant.schedule import Schedule

PITCHED_S = 18_000.0
"""Five hours after the day began."""

_TOLD = (
    (600, Command.SKIP),
    (3600, Command.GRAIN_IN),
    (7800, Command.BAG_OUT),
    (9000, Command.BOILING),
    (12600, Command.FLAME_OUT),
    (13800, Command.WHIRLPOOL_DONE),
    (15600, Command.CHILLED),
    (16800, Command.TRANSFERRED),
    (PITCHED_S, Command.PITCHED),
    (PITCHED_S + 1200, Command.CLEANED),
)


def told(*, until_s: float = 1e9) -> list[Event]:
    """What a brewer of few words says until then."""
    said = [CommandGiven(at=at, command=command) for at, command in _TOLD if at <= until_s]
    return [DayBegan(at=0.0), *said]


def on_record(
    folder: Path,
    schedule: Schedule,
    *,
    began_wall: float,
    events: list[Event] | None = None,
    set_by_s: float = 0.0,
) -> int:
    """A day put on record; its number. Its wall clock is set by ``set_by_s`` once it has begun."""
    state = new_day(schedule, make_plan(schedule))
    with Journal.open(folder) as journal:
        day = journal.begin_day(schedule, "/beers/beer.yaml", began_wall)
        for event in told() if events is None else events:
            state, effects = advance(state, event)
            assert not any(isinstance(effect, Refused) for effect in effects), event
            late_s = 0.0 if isinstance(event, DayBegan) else set_by_s
            journal.append(day, event, began_wall + event.at + late_s)
        if state.stage is Stage.FINISHED:
            journal.close_day(day, DayStatus.FINISHED)
    return day
