"""Where the closed-loop benchmark can be changed without touching it.

An ablation takes one part of the program away while it runs, to see what it is worth. What one
brew teaches for the next goes from ``carry`` to ``begin``.
"""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager, nullcontext

from assistant.advice.plan import make_plan
from assistant.day.state import State, new_day
from assistant.schedule.model import Schedule

ABLATIONS: Mapping[str, Callable[[], AbstractContextManager[None]]] = {"none": nullcontext}
"""What can be taken away, by name."""


def carry(state: State) -> object:
    """What a finished day has taught of its kettle; None where that is nothing."""
    return None


def begin(schedule: Schedule, learned: object) -> State:
    """A day before it begins, with what the brews before it have taught (None: nothing)."""
    return new_day(schedule, make_plan(schedule))
