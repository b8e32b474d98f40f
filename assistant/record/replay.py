"""A day as its record has it."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.effects import Effect
from assistant.day.events import Event
from assistant.day.state import State, new_day
from assistant.record.errors import RecordError
from assistant.schedule.faults import harmless
from assistant.schedule.model import Schedule

LATEST_S = 1e10
"""Three hundred years: near the end of what a number can count, a reminder's seconds are lost in
it, and the next one is never later."""


def steps(
    schedule: Schedule, events: Iterable[Event]
) -> Iterator[tuple[Event, State, tuple[Effect, ...]]]:
    """Each event of a day, the state it leads to, and what was said and shown of it then.

    Raises :class:`~assistant.record.errors.RecordError` where they lead nowhere.
    """
    state = before_the_day(schedule)
    for event in events:
        with _led_astray():
            if event.at > LATEST_S:
                raise ValueError(f"an event at {event.at:g} s lies past the end of any day")
            state, effects = advance(state, event)
        yield event, state, effects


def replay(
    schedule: Schedule,
    events: Iterable[Event],
    watch: Callable[[State], None] = lambda state: None,
) -> State:
    """The state that these events lead to, told to nobody; ``watch`` sees each on the way.

    Raises :class:`~assistant.record.errors.RecordError` where they lead nowhere.
    """
    last = before_the_day(schedule)
    for _, last, _ in steps(schedule, events):
        watch(last)
    return last


def before_the_day(schedule: Schedule) -> State:
    """The state of a day of which nothing is on record yet.

    Raises :class:`~assistant.record.errors.RecordError` for a schedule that can't be planned.
    """
    with _led_astray():
        return new_day(schedule, make_plan(schedule))


@contextmanager
def _led_astray() -> Iterator[None]:
    """A day that was brewed can be brewed again, so a failure is the record's.

    Figures that were never in a schedule, in a file that something has changed, lead the sums
    astray in more ways than can be listed.
    """
    try:
        yield
    except Exception as error:
        raise RecordError(
            f"the day on record can't be gone through again: {_told(error)}"
        ) from error


def _told(error: Exception) -> str:
    return harmless(str(error) or type(error).__name__, 200)
