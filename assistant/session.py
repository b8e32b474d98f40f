"""A day being brewed: the core's state with the record that follows it.

Every event goes the same way, whoever made it: it happens, time passing until then; what changed
the day is a row of the record, and only then are its effects handed back to be spoken.
"""

from collections.abc import Callable
from dataclasses import replace

from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.effects import Effect, Refused
from assistant.day.events import DayBegan, DayResumed, Event, TimePassed
from assistant.day.state import State, new_day
from assistant.day.teaching import learned_kettle
from assistant.known_kettle import learned_in, start_of
from assistant.record.journal import Day, DayStatus, Journal
from assistant.record.keeping import Keeper
from assistant.record.replay import replay
from assistant.schedule.model import Schedule
from assistant.talk import Talk, talk_of


class Session:
    """One day and what keeps it on record."""

    def __init__(self, keeper: Keeper, state: State) -> None:
        self.keeper = keeper
        self.state = state

    @property
    def day_id(self) -> int:
        """The day's number on record."""
        return self.keeper.day_id

    @property
    def talk(self) -> Talk:
        """What holds now between brewer and program."""
        return talk_of(self.state)

    @property
    def now_s(self) -> float:
        """The moment the day has come to."""
        return self.state.now_s

    @classmethod
    def begin(
        cls, journal: Journal, schedule: Schedule, schedule_path: str, *, at: float, wall_s: float
    ) -> tuple["Session", tuple[Effect, ...]]:
        """Begin a new day, with the kettle as the last day with it left it known.

        An unfinished day of the same schedule stays on record as left.
        """
        old = journal.unfinished(schedule_path)
        if old is not None:
            journal.close_day(old.id, DayStatus.LEFT)
        start = start_of(journal, schedule, wall_s)
        day_id = journal.begin_day(start.schedule, schedule_path, wall_s)
        session = cls(Keeper(journal, day_id), new_day(start.schedule, start.plan))
        return session, session.happen(DayBegan(at=at, learned=start.learned), wall_s)

    @classmethod
    def resume(
        cls,
        journal: Journal,
        day: Day,
        *,
        at: float,
        wall_s: float,
        unsure: bool = False,
        watch: Callable[[State], None] = lambda state: None,
    ) -> tuple["Session", tuple[Effect, ...]]:
        """Go on with an unfinished day as its record has it, or begin it where it has no event.

        ``unsure`` says that ``at`` is a guess, which is told; ``watch`` sees every state the day
        was in.
        """
        schedule = journal.schedule(day.id)
        session = cls(Keeper(journal, day.id), replay(schedule, journal.events(day.id), watch))
        if not session.state.begun:
            # Killed between its place on record and its first event.
            learned = learned_in(journal, schedule)
            return session, session.happen(DayBegan(at=at, learned=learned), wall_s)
        if session.state.stage is Stage.FINISHED:
            # Killed between its last event and its closing.
            session._close()
        return session, session.happen(DayResumed(at=at, unsure=unsure), wall_s)

    def happen(self, event: Event, wall_s: float) -> tuple[Effect, ...]:
        """Let an event happen at its ``at``, the wall clock standing at ``wall_s``.

        Where the record fails the day goes on, and what it comes to tells so.
        """
        effects = self._step(event, wall_s)
        for incident in self.keeper.news(self.state.now_s):
            effects += self._step(incident, wall_s)
        return effects

    def _step(self, event: Event, wall_s: float) -> tuple[Effect, ...]:
        before = self.state
        after, effects = advance(before, event)
        if replace(after, now_s=before.now_s) != before:
            refused = any(isinstance(effect, Refused) for effect in effects)
            # Of what was refused the time remains that passed until then.
            self.keeper.keep(TimePassed(at=event.at) if refused else event, wall_s)
        self.state = after
        if (before.stage is Stage.FINISHED) != (after.stage is Stage.FINISHED):
            self._close()
        return effects

    def _close(self) -> None:
        """Mark the day as it now stands, with what it taught where it is finished."""
        finished = self.state.stage is Stage.FINISHED
        self.keeper.end(
            DayStatus.FINISHED if finished else DayStatus.OPEN,
            learned_kettle(self.state) if finished else None,
        )
