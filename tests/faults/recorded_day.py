"""A whole day as the lines of a driver, and the record that they leave when nothing breaks it."""

import json
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.advice.learned import LearnedKettle
from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.events import DayResumed, Event, OptionChosen, ReadingTaken, TaskDone
from assistant.day.quantities import Quantity
from assistant.day.state import State, Task
from assistant.day.timers import next_due_s
from assistant.pipe import Pipe
from assistant.record.journal import DayStatus, Journal
from assistant.record.replay import replay
from assistant.rehearsal.brewer import Brewer
from assistant.rehearsal.day import first_in_the_boil
from assistant.rehearsal.instruments import Instruments
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.telling import InEvents, InWords, Said
from assistant.rehearsal.truths import Truths
from assistant.schedule import load
from assistant.schedule.model import Schedule

TICK_S = 0.001
"""Every line has a moment of its own, so that the record tells which was the last it took."""

LAZY = 0.3
"""How often the driver lets moments that were due go by until it has something to tell."""

STREAMED = 0.4
"""How often it tells the kettle's temperature unasked while that changes, in place of time."""

ASIDES = (
    (900.0, "note the tap drips"),
    (3600.0, "ten minute timer for the yeast"),
    (3700.0, "room temperature nineteen"),
    (3710.0, "undo"),
    (7300.0, "slower"),
)
"""What the simulated brewer never says by itself: when, and the words.

"Where are we" is not among them: right after ``resume``, which says that too, it is nothing new.
"""

Line = dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class OnRecord:
    """The newest day as a record has it between two processes; ``state`` None before there is one.

    The rows that say that it was resumed are left out of ``events``, not of ``state``.
    """

    days: int
    events: tuple[Event, ...]
    last_s: float
    state: State | None
    status: DayStatus | None
    learned: LearnedKettle | None

    @classmethod
    def of(cls, folder: Path) -> "OnRecord":
        with Journal.open(folder, read_only=True) as journal:
            days = journal.days()
            if not days:
                return cls(days=0, events=(), last_s=0, state=None, status=None, learned=None)
            events = journal.events(days[0].id)
            schedule = journal.schedule(days[0].id)
            return cls(
                days=len(days),
                events=tuple(event for event in events if not isinstance(event, DayResumed)),
                last_s=events[-1].at if events else 0.0,
                state=replay(schedule, events),
                status=days[0].status,
                learned=journal.learned(schedule.kettle.name),
            )


@dataclass(frozen=True, kw_only=True)
class RecordedDay:
    """The lines of a day in order, its record, and how many rows stood after each line."""

    schedule_path: Path
    lines: tuple[Line, ...]
    end: OnRecord
    rows_after: tuple[int, ...]

    @property
    def events(self) -> tuple[Event, ...]:
        return self.end.events

    def rows_before(self, index: int) -> int:
        return self.rows_after[index - 1] if index else 0


class BothWays:
    """Some is told in words, some by number and value, as a home with a sensor or two would."""

    def __init__(self, schedule: Schedule, instruments: Instruments, source: random.Random) -> None:
        self._ways = (
            InWords(schedule, instruments, source),
            InEvents(schedule, instruments, source),
        )
        self._chance = random.Random(source.random())

    def reading(self, state: State, quantity: Quantity) -> Said:
        return self._chance.choice(self._ways).reading(state, quantity)

    def done(self, state: State, task: Task, words: tuple[str, ...]) -> Said:
        return self._chance.choice(self._ways).done(state, task, words)

    def choice(self, state: State, say: str) -> Said:
        return self._ways[0].choice(state, say)


def record_day(schedule_path: Path, folder: Path, seed: int) -> RecordedDay:
    """Brew a day through the pipe with a simulated brewer, and keep every line sent."""
    schedule = load(schedule_path)
    with Journal.open(folder) as journal:
        recording = _Recording(schedule, schedule_path, journal, seed)
        recording.run()
    return RecordedDay(
        schedule_path=schedule_path,
        lines=tuple(recording.lines),
        rows_after=tuple(recording.rows),
        end=OnRecord.of(folder),
    )


class _Recording:
    def __init__(self, schedule: Schedule, path: Path, journal: Journal, seed: int) -> None:
        self.path, self.journal = path, journal
        self.pipe = Pipe(schedule, str(path.resolve()), journal)
        self.kettle = SimulatedKettle.of(
            schedule, Truths.drawn(seed), make_plan(schedule).strike_volume_l
        )
        self.brewer = Brewer(
            schedule,
            self.kettle,
            random.Random(seed),
            follow_advice=True,
            forgets=first_in_the_boil(schedule),
            telling=BothWays,
        )
        self.asides = list(ASIDES)
        self.lines: list[Line] = []
        self.rows: list[int] = []
        self.chance = random.Random(seed)
        self.at = -TICK_S

    def run(self) -> None:
        self.send(0.0, say="start")
        self.brewer.look(self.state)
        while self.state.stage is not Stage.FINISHED:
            aside_s = self.asides[0][0] if self.asides else None
            act_s = self.brewer.next_act_s
            acts = [m for m in (act_s, aside_s) if m is not None]
            due_s = next_due_s(self.state)
            lazy = acts and self.chance.random() < LAZY
            at = max(min(acts if lazy or due_s is None else [*acts, due_s]), self.at)
            self.kettle.run(at - self.kettle.clock_s)
            if not lazy:
                self.send(at, **self._streamed())
            self.brewer.look(self.state)
            if aside_s is not None and aside_s <= at:
                self.send(at, say=self.asides.pop(0)[1])
            if act_s is not None and act_s <= at:
                for told in self.brewer.act(self.state):
                    self.send(at, **line_of(told))
            self.brewer.look(self.state)

    @property
    def state(self) -> State:
        assert self.pipe.session is not None
        return self.pipe.session.state

    def _streamed(self) -> Line:
        """A thermometer's line now and then, where nobody waits for it; else time alone."""
        seen = self.brewer.instruments.seen(Quantity.KETTLE_TEMPERATURE)
        warming = self.state.stage in (Stage.STRIKE, Stage.BOIL_UP, Stage.CHILL)
        if seen is None or not warming or self.chance.random() >= STREAMED:
            return {}
        body = {"quantity": "kettle_temperature", "value": seen.value, "unit": seen.unit}
        return {"reading": body}

    def send(self, at: float, **content: Any) -> None:
        self.at = round(max(at, self.at + TICK_S), 3)
        line = {"at": self.at} | content
        self.pipe.answer(json.dumps(line).encode(), 0.0)
        self.lines.append(line)
        self.rows.append(len(self.journal.events(1)))


def line_of(told: str | Event) -> Line:
    """What a line holds that tells this."""
    match told:
        case str():
            return {"say": told}
        case OptionChosen():
            return {"say": told.say}
        case TaskDone():
            return {"done": told.task_id}
        case ReadingTaken():
            sample = {} if told.sample_c is None else {"temperature": told.sample_c}
            body = {"quantity": told.quantity.value, "value": told.value, "unit": told.unit}
            return {"reading": body | sample}
    raise TypeError(f"no line tells {told}")
