"""How the simulated brewer tells what was read, done and chosen: in words, or as plain events."""

import random
from typing import Protocol

from assistant.advice.actions import Do
from assistant.day.events import Event, OptionChosen, ReadingTaken, TaskDone
from assistant.day.quantities import Quantity
from assistant.day.state import Phase, State, Task, TimerKind
from assistant.day.wording import addition_names
from assistant.rehearsal.chores import DONE, SAYINGS_OF_ADDITIONS
from assistant.rehearsal.instruments import Instruments
from assistant.schedule.model import Schedule

Said = tuple[str | Event, ...]
"""Sentences, and events that stand for them."""

LEAVE_IT = "leave it"
SKIP = "skip"


class Telling(Protocol):
    """A manner of telling; what is told is empty where it would be misunderstood now."""

    def __init__(
        self, schedule: Schedule, instruments: Instruments, source: random.Random
    ) -> None: ...

    def reading(self, state: State, quantity: Quantity) -> Said:
        """What an instrument shows."""
        ...

    def done(self, state: State, task: Task, words: tuple[str, ...]) -> Said:
        """That a task is done, one of ``words`` being the brewer's for it."""
        ...

    def choice(self, state: State, say: str) -> Said:
        """That an option of the open advice is taken."""
        ...


class InWords:
    """Everything is said."""

    def __init__(self, schedule: Schedule, instruments: Instruments, source: random.Random) -> None:
        self.schedule = schedule
        self.instruments = instruments
        self.source = source

    def reading(self, state: State, quantity: Quantity) -> Said:
        """See :class:`Telling`."""
        return (self.instruments.sentence(quantity),)

    def done(self, state: State, task: Task, words: tuple[str, ...]) -> Said:
        """See :class:`Telling`; a bare "done" would be taken for the addition that is due."""
        if task.index is not None:
            return (self._added(state, task.index),)
        said = self.source.choice(words)
        return () if said in DONE and addition_due(state) else (said,)

    def choice(self, state: State, say: str) -> Said:
        """See :class:`Telling`."""
        return (say,)

    def _added(self, state: State, index: int) -> str:
        due = [task for task in state.tasks if task.action.do is Do.ADD]
        kind = self.schedule.additions[index].kind
        if len(due) == 1 and kind in SAYINGS_OF_ADDITIONS:
            return SAYINGS_OF_ADDITIONS[kind]
        return f"{addition_names(self.schedule)[index]} is in"


class InEvents:
    """Tasks, readings and choices are told as a program tells them: by number, value and name."""

    def __init__(self, schedule: Schedule, instruments: Instruments, source: random.Random) -> None:
        self.instruments = instruments

    def reading(self, state: State, quantity: Quantity) -> Said:
        """See :class:`Telling`; what nobody could read is skipped."""
        seen = self.instruments.seen(quantity)
        if seen is None:
            return (SKIP,)
        return (
            ReadingTaken(
                at=state.now_s,
                quantity=quantity,
                value=seen.value,
                unit=seen.unit,
                sample_c=seen.sample_c,
            ),
        )

    def done(self, state: State, task: Task, words: tuple[str, ...]) -> Said:
        """See :class:`Telling`."""
        return (TaskDone(at=state.now_s, task_id=task.id),)

    def choice(self, state: State, say: str) -> Said:
        """See :class:`Telling`."""
        return (SKIP if say == SKIP else OptionChosen(at=state.now_s, say=say),)


def addition_due(state: State) -> bool:
    """Whether an addition has fallen due and is not in."""
    return any(t.kind is TimerKind.ADDITION and t.phase is Phase.DUE for t in state.timers)
