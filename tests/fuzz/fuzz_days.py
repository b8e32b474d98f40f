"""One small beer with awkward names, and a day of it stopped at every stage, for all harnesses."""

import sqlite3
from contextlib import ExitStack, closing
from functools import cache
from pathlib import Path

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    Event,
    HeardUnsurely,
    NumberSaid,
    ReadingTaken,
    TimerRequested,
)
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.record.journal import Journal
from assistant.record.schema import bring_up_to_date
from assistant.schedule import Schedule, load_text

AWKWARD_SCHEDULE = """
beer: "[bold]Slipway[/] ﷽ \\u0301 bitter"
volume: 18 L
kettle: {holds: 32 L, heater: {power: 2.6 kW}}
grist: [{malt: "[link=x]pale[/link]", weight: 3.6 kg, extract: 80 %, colour: 6 EBC}]
mash: [{rest: single, at: 66 degC, for: 60 min}]
boil: {for: 60 min}
additions:
  - {add: "Target 7 [/]", kind: hops, weight: 22 g, alpha: 10 %, at: 45 min}
  - {add: the ten minute timer, kind: finings, weight: 3 g, at: 12 min}
  - {add: Bramling, kind: hops, weight: 20 g, alpha: 6 %, at: flameout}
  - {add: Bramling, kind: hops, weight: 30 g, alpha: 6 %, at: day 4}
yeast: {name: "½ ale yeast"}
"""


@cache
def awkward_schedule() -> Schedule:
    """The beer, loaded."""
    return load_text(AWKWARD_SCHEDULE, "awkward.yaml")


@cache
def moments() -> tuple[State, ...]:
    """A new day, each stage as it is come to, and the questions that can be open in them."""
    schedule = awkward_schedule()
    state = new_day(schedule, make_plan(schedule))
    found = [state]
    events: list[Event] = [DayBegan(at=0.0)]
    events += [CommandGiven(at=300.0 * n, command=Command.SKIP) for n in range(1, 40)]
    for event in events:
        after, _ = advance(state, event)
        if after.stage is not state.stage or len(found) == 1:
            found += [after, *_asked(after, event.at)]
        state = after
    assert {moment.stage for moment in found} == set(Stage)
    return tuple(found)


def _asked(state: State, at: float) -> list[State]:
    """The state with something left open: a doubtful reading, a choice, words heard unsurely."""
    unsure = HeardUnsurely(
        at=at, meanings=(NumberSaid(at=at, value=15.0), NumberSaid(at=at, value=50.0))
    )
    opened: list[Event] = [
        ReadingTaken(at=at, quantity=Quantity.MASH_TEMPERATURE, value=61.0, unit="degC"),
        ReadingTaken(at=at, quantity=Quantity.GRAVITY, value=1.02, unit="SG"),
        unsure,
        TimerRequested(at=at, seconds=600.0, name="yeast"),
    ]
    after = [advance(state, event)[0] for event in opened]
    return [each for each in after if each != state]


def journal_in_memory() -> Journal:
    """An empty record that no disk has."""
    held = ExitStack()
    connection = held.enter_context(closing(sqlite3.connect(":memory:", isolation_level=None)))
    bring_up_to_date(connection, 0)
    return Journal(connection, Path("memory"), held)
