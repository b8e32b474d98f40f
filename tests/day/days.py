"""A day driven from a test: say something happened, look at what it came to."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from assistant.advice.actions import Do
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Effect, Say
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    EarTroubled,
    Event,
    HeardUnsurely,
    Meaning,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    Source,
    TaskDone,
    TimePassed,
    Trouble,
)
from assistant.day.quantities import Quantity
from assistant.day.state import State, Task, new_day
from assistant.day.timers import next_due_s
from assistant.schedule import Schedule

Kind = TypeVar("Kind")


@dataclass
class Driven:
    """A day with its clock, and the effects of the last thing that happened."""

    state: State
    at: float = 0.0
    effects: tuple[Effect, ...] = ()
    log: list[tuple[float, Effect]] = field(default_factory=list)

    def happen(self, event: Event) -> "Driven":
        self.state, self.effects = advance(self.state, event)
        self.at = max(self.at, event.at)
        self.log += [(event.at, effect) for effect in self.effects]
        return self

    def wait(self, seconds: float) -> "Driven":
        return self.happen(TimePassed(at=self.at + seconds))

    def command(self, command: Command, subject: str | None = None) -> "Driven":
        return self.happen(CommandGiven(at=self.at, command=command, subject=subject))

    def read(
        self,
        quantity: Quantity,
        value: float,
        unit: str,
        *,
        sample_c: float | None = None,
        source: Source = Source.SENSOR,
    ) -> "Driven":
        return self.happen(
            ReadingTaken(
                at=self.at,
                quantity=quantity,
                value=value,
                unit=unit,
                sample_c=sample_c,
                source=source,
            )
        )

    def number(self, value: float, unit: str | None = None) -> "Driven":
        return self.happen(NumberSaid(at=self.at, value=value, unit=unit))

    def choose(self, say: str) -> "Driven":
        return self.happen(OptionChosen(at=self.at, say=say))

    def unsure(self, *meanings: Meaning) -> "Driven":
        return self.happen(HeardUnsurely(at=self.at, meanings=meanings))

    def trouble(self, trouble: Trouble) -> "Driven":
        return self.happen(EarTroubled(at=self.at, trouble=trouble))

    def done(self, do: Do) -> "Driven":
        return self.happen(TaskDone(at=self.at, task_id=self.task(do).id))

    def task(self, do: Do) -> Task:
        return next(task for task in self.state.tasks if task.action.do is do)

    def said(self) -> str:
        return " ".join(effect.text for effect in self.effects if isinstance(effect, Say))

    def of(self, kind: type[Kind]) -> list[Kind]:
        return [effect for effect in self.effects if isinstance(effect, kind)]

    def until(self, wanted: Callable[[State], bool], step_s: float = 3600.0) -> "Driven":
        """Let time pass from one due moment to the next until something holds."""
        for _ in range(500):
            if wanted(self.state):
                return self
            due_s = next_due_s(self.state)
            self.happen(TimePassed(at=max(due_s if due_s else self.at + step_s, self.at)))
        raise AssertionError("it never came to that")


def begun(schedule: Schedule) -> Driven:
    return Driven(new_day(schedule, make_plan(schedule))).happen(DayBegan(at=0))


def at_stage(schedule: Schedule, stage: Stage) -> Driven:
    """A day brought to a stage the short way: each stage's tasks done as they come."""
    day = begun(schedule)
    for _ in range(400):
        if day.state.stage is stage:
            return day
        open_tasks = [
            t for t in day.state.tasks if t.action.do not in (Do.HOLD, Do.BOIL, Do.SETTLE)
        ]
        if open_tasks:
            day.wait(20).happen(TaskDone(at=day.at, task_id=open_tasks[0].id))
        else:
            due_s = next_due_s(day.state)
            assert due_s is not None, f"nothing to do and nothing due in {day.state.stage}"
            day.happen(TimePassed(at=max(due_s, day.at)))
    raise AssertionError(f"the day never came to {stage}")
