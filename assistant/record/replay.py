"""A day as its record has it."""

from collections.abc import Iterable

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.events import Event
from assistant.day.state import State, new_day
from assistant.schedule.model import Schedule


def replay(schedule: Schedule, events: Iterable[Event]) -> State:
    """The state that these events lead to, told to nobody.

    Raises what :func:`~assistant.advice.plan.make_plan` raises for the schedule.
    """
    state = new_day(schedule, make_plan(schedule))
    for event in events:
        state, _ = advance(state, event)
    return state
