"""A day being brewed: the core's state with the record that follows it.

Every event goes the same way, whoever made it: time first, then the event; what changed the day is
written to the record, and only then are its effects handed back to be spoken.
"""

from dataclasses import replace

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.effects import Effect, Refused
from assistant.day.events import DayBegan, DayResumed, Event, TimePassed
from assistant.day.state import State, new_day
from assistant.record.journal import Day, DayStatus, Journal
from assistant.record.replay import replay
from assistant.schedule.model import Schedule


class Session:
    """One day and its place on the record."""

    def __init__(self, journal: Journal, day_id: int, state: State) -> None:
        self.journal = journal
        self.day_id = day_id
        self.state = state

    @classmethod
    def begin(
        cls, journal: Journal, schedule: Schedule, schedule_path: str, *, at: float, wall_s: float
    ) -> tuple["Session", tuple[Effect, ...]]:
        """Begin a new day; an unfinished one of the same schedule stays on record as left."""
        old = journal.unfinished(schedule_path)
        if old is not None:
            journal.close_day(old.id, DayStatus.LEFT)
        state = new_day(schedule, make_plan(schedule))
        session = cls(journal, journal.begin_day(schedule, schedule_path, wall_s), state)
        return session, session.happen(DayBegan(at=at), wall_s)

    @classmethod
    def resume(
        cls, journal: Journal, day: Day, *, at: float, wall_s: float
    ) -> tuple["Session", tuple[Effect, ...]]:
        """Go on with an unfinished day as its record has it."""
        session = cls(journal, day.id, replay(journal.schedule(day.id), journal.events(day.id)))
        return session, session.happen(DayResumed(at=at), wall_s)

    def happen(self, event: Event, wall_s: float) -> tuple[Effect, ...]:
        """Let an event happen at its ``at``, the wall clock standing at ``wall_s``."""
        passed = self._step(TimePassed(at=event.at), wall_s) if event.at >= self.state.now_s else ()
        if isinstance(event, TimePassed):
            return passed or self._refusal(event)
        return passed + self._step(event, wall_s)

    def _refusal(self, event: TimePassed) -> tuple[Effect, ...]:
        return advance(self.state, event)[1] if event.at < self.state.now_s else ()

    def _step(self, event: Event, wall_s: float) -> tuple[Effect, ...]:
        before = self.state
        after, effects = advance(before, event)
        refused = any(isinstance(effect, Refused) for effect in effects)
        if not refused and replace(after, now_s=before.now_s) != before:
            self.journal.append(self.day_id, event, wall_s)
            ended = (before.stage is Stage.FINISHED, after.stage is Stage.FINISHED)
            if ended[0] != ended[1]:
                status = DayStatus.FINISHED if ended[1] else DayStatus.OPEN
                self.journal.close_day(self.day_id, status)
        self.state = after
        return effects
