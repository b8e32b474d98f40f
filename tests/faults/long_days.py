"""Brew days one after another in one process: the live loop, a simulated brewer, real timers.

The clock, the happening, the record and the voice are the program's own. The brewer of the
rehearsal looks at each day and tells of it, mostly typed, some of it by sound.
"""

import random
import time
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass, field
from typing import Protocol

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.effects import Effect
from assistant.day.events import EarTroubled, Event, HeardUnsurely
from assistant.day.state import State
from assistant.day.timers import next_due_s
from assistant.day_clock import DayClock
from assistant.day_voice import DayVoice
from assistant.happening import Happening
from assistant.record.journal import Journal
from assistant.rehearsal.brewer import Brewer
from assistant.rehearsal.day import first_in_the_boil
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.truths import Truths
from assistant.schedule.model import Schedule
from assistant.session import Session
from assistant.talk import Talk

GLANCE_S = 0.02
"""Real seconds between two looks for something heard or something to do."""

HEARD_WITHIN_S = 6.0
"""Real seconds that a brewer waits for what was said aloud before typing it."""

KETTLE_STEP_S = 5.0
"""The simulated kettle keeps a line of each step: memory that is not the program's."""

LONGEST_DAY_S = 9 * 3600.0
"""A day that is not finished by then is left for a new one."""


class Mouth(Protocol):
    """What speaks for the brewer."""

    def free(self) -> bool:
        """Whether something said now could be heard."""
        ...

    def say(self, words: str) -> None:
        """Say this to the microphone."""
        ...


@dataclass(kw_only=True)
class TimedSession:
    """A session that notes how late each thing that fell due left the core, in real seconds.

    It is late from the moment it was due until its effects are handed back, which is after its row
    was written.
    """

    session: Session
    clock: DayClock
    speed: float
    late_s: list[float] = field(default_factory=list)

    @property
    def state(self) -> State:
        return self.session.state

    @property
    def talk(self) -> Talk:
        return self.session.talk

    @property
    def now_s(self) -> float:
        return self.session.now_s

    def happen(self, event: Event, wall_s: float) -> tuple[Effect, ...]:
        due_s = next_due_s(self.session.state)
        effects = self.session.happen(event, wall_s)
        if due_s is not None and due_s <= event.at:
            self.late_s.append((self.clock.at() - due_s) / self.speed)
        return effects


@dataclass(kw_only=True)
class Unheard:
    """A sentence on its way to the program's ear, and until when it is not typed."""

    words: str
    until_s: float
    said: bool = False


@dataclass(kw_only=True)
class Tally:
    """What has happened over all the days."""

    finished: int = 0
    left: int = 0
    typed: int = 0
    said: int = 0
    acted_on: int = 0
    late_s: list[float] = field(default_factory=list)


class LongDays:
    """Days of one schedule on one record. ``aloud`` is the share of sentences that are said."""

    def __init__(
        self,
        schedule: Schedule,
        *,
        speed: float,
        voice: DayVoice,
        journal: Journal,
        mouth: Mouth | None = None,
        aloud: float = 0.0,
        seed: int = 1,
    ) -> None:
        self.schedule, self.journal = schedule, journal
        self.speed, self.voice = speed, voice
        self.mouth, self.aloud = mouth, aloud
        self.chance = random.Random(seed)
        self.tally = Tally()
        self.days = 0
        self.clock = self.day_clock = DayClock(0.0, speed)
        self.kept = ExitStack()

    def close(self) -> None:
        """The day at hand is kept and left."""
        self.kept.close()

    def run(
        self, until_s: float, every_s: float, tell: Callable[[float], None] = lambda at_s: None
    ) -> None:
        """Brew until ``until_s`` of the first clock; ``tell`` is called ``every_s`` of it."""
        told_s = every_s
        while self.clock.at() < until_s:
            self._turn()
            if self.clock.at() >= told_s:
                tell(told_s)
                told_s += every_s

    def begin(self) -> None:
        """A new day at nought of a clock of its own, as the program begins one."""
        self.days += 1
        self.day_clock = DayClock(0.0, self.speed)
        session, effects = Session.begin(
            self.journal, self.schedule, "soak", at=0.0, wall_s=time.time()
        )
        self.kept.close()
        self.kept.enter_context(session.keeper)
        self.timed = TimedSession(
            session=session, clock=self.day_clock, speed=self.speed, late_s=self.tally.late_s
        )
        self.happening = Happening(self.timed, self.day_clock, self.voice)
        if self.days == 1:
            self.happening.begin(effects)
        else:
            # A voice is started once; in the program a day has a process of its own.
            self.voice.follow(None, effects, session.talk, heard=False)
        truths = Truths.drawn(self.days)
        volume_l = make_plan(self.schedule).strike_volume_l
        self.kettle = SimulatedKettle.of(self.schedule, truths, volume_l)
        self.brewer = Brewer(
            self.schedule,
            self.kettle,
            random.Random(self.days),
            follow_advice=True,
            forgets=first_in_the_boil(self.schedule),
        )
        self.unheard: Unheard | None = None
        self.brewer.look(self.state)

    @property
    def state(self) -> State:
        return self.timed.state

    def _turn(self) -> None:
        due_s = next_due_s(self.state)
        time.sleep(self.day_clock.wait_s(due_s, GLANCE_S))
        for news in self.voice.news():
            self.happening.told(news)
            if news.event is not None and not isinstance(news.event, EarTroubled | HeardUnsurely):
                self.tally.acted_on += 1
                self.unheard = None
        self.happening.pass_time()
        self._brew()
        if self.state.stage is Stage.FINISHED:
            self.tally.finished += 1
            self.begin()
        elif self.state.now_s > LONGEST_DAY_S:
            self.tally.left += 1
            self.begin()

    def _brew(self) -> None:
        if self.state.now_s - self.kettle.clock_s > KETTLE_STEP_S:
            self.kettle.run(self.state.now_s - self.kettle.clock_s)
        self.brewer.look(self.state)
        self._go_on_saying()
        act_s = self.brewer.next_act_s
        if self.unheard is None and act_s is not None and act_s <= self.state.now_s:
            self.kettle.run(self.state.now_s - self.kettle.clock_s)
            for told in self.brewer.act(self.state):
                if isinstance(told, str):
                    self._tell(told)

    def _tell(self, words: str) -> None:
        if self.mouth is not None and self.chance.random() < self.aloud:
            self.unheard = Unheard(words=words, until_s=time.monotonic() + HEARD_WITHIN_S)
        else:
            self._type(words)

    def _go_on_saying(self) -> None:
        """Say what is to be said once the program listens; type what was not heard in time."""
        unheard = self.unheard
        if unheard is None or self.mouth is None:
            return
        if time.monotonic() > unheard.until_s:
            self.unheard = None
            self._type(unheard.words)
        elif not unheard.said and self.mouth.free():
            unheard.said = True
            self.tally.said += 1
            self.mouth.say(unheard.words)

    def _type(self, words: str) -> None:
        self.tally.typed += 1
        self.happening.typed(words)
        self.brewer.look(self.state)
