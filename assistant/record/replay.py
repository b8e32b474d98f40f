"""A day as its record has it."""

from collections.abc import Callable, Iterable

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.events import Event
from assistant.day.state import State, new_day
from assistant.record.errors import RecordError
from assistant.schedule.faults import harmless
from assistant.schedule.model import Schedule

LATEST_S = 1e10
"""Three hundred years: near the end of what a number can count, a reminder's seconds are lost in
it, and the next one is never later."""


def replay(
    schedule: Schedule,
    events: Iterable[Event],
    watch: Callable[[State], None] = lambda state: None,
) -> State:
    """The state that these events lead to, told to nobody; ``watch`` sees each on the way.

    Raises :class:`~assistant.record.errors.RecordError` where they lead nowhere.
    """
    try:
        state = new_day(schedule, make_plan(schedule))
        for event in events:
            if event.at > LATEST_S:
                raise ValueError(f"an event at {event.at:g} s lies past the end of any day")
            state, _ = advance(state, event)
            watch(state)
    except Exception as error:
        # A day that was brewed can be brewed again. Figures that were never in a schedule, in a
        # file that something has changed, lead the sums astray in more ways than can be listed.
        raise RecordError(
            f"the day on record can't be gone through again: {_told(error)}"
        ) from error
    return state


def _told(error: Exception) -> str:
    return harmless(str(error) or type(error).__name__, 200)
