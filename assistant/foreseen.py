"""What will likely be said next, found by asking the day itself what each thing would come to.

The day is pure, so that asking changes nothing: what a command would be answered with now, and
what the next timer will say, are there before anybody says or waits for them.
"""

from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Say
from assistant.day.events import CommandGiven, EarTroubled, Event, TimePassed, Trouble
from assistant.day.state import State
from assistant.day.timers import next_due_s

GOING_ON = (Command.DONE, Command.SKIP, Command.YES, Command.NO, Command.ADDED)
"""What is said most, and whose answers are the day's prompts."""

ASKING = (Command.WHATS_NEXT, Command.HELP, Command.OPTIONS, Command.WHY)
"""Whose answers have no minutes in them that have passed by then."""


def foreseen(state: State) -> tuple[str, ...]:
    """The sentences that may be said next, the likeliest first, each once."""
    now_s = state.now_s
    events: list[Event] = [CommandGiven(at=now_s, command=one) for one in (*GOING_ON, *ASKING)]
    due_s = next_due_s(state)
    if due_s is not None:
        events.insert(1, TimePassed(at=max(due_s, now_s)))
    events += [EarTroubled(at=now_s, trouble=trouble) for trouble in Trouble]
    return tuple(dict.fromkeys(text for event in events for text in _said(state, event)))


def _said(state: State, event: Event) -> tuple[str, ...]:
    _, effects = advance(state, event)
    return tuple(effect.text for effect in effects if isinstance(effect, Say))
