"""A visit to a beer in its fermenter: the core's state with the record that follows it.

It goes as a brew day does: what changed the beer is a row of the record, after those of its brew
day, and only then are its effects handed back to be spoken.
"""

from dataclasses import replace

from assistant.cellar.advance import advance
from assistant.cellar.events import BeerEvent, VisitBegan
from assistant.cellar.listening import listening
from assistant.cellar.replies import answers_wanted
from assistant.cellar.state import CellarState
from assistant.day.effects import Effect, Refused
from assistant.day.events import TimePassed
from assistant.record.beers import BeerOnRecord
from assistant.record.codec import learned_from
from assistant.record.journal import DayStatus, Journal
from assistant.record.keeping import Keeper
from assistant.talk import Talk


class Visit:
    """One visit and what keeps it on record."""

    def __init__(self, keeper: Keeper, state: CellarState) -> None:
        self.keeper = keeper
        self.state = state
        head = keeper.whole_day
        self._status = head.head.status
        self._learned = (
            None if head.learned is None else learned_from(head.learned, f"day {head.number}")
        )

    @classmethod
    def begin(
        cls, journal: Journal, beer: BeerOnRecord, event: VisitBegan, wall_s: float
    ) -> tuple["Visit", tuple[Effect, ...]]:
        """Begin a visit to a beer whose yeast is in."""
        visit = cls(Keeper(journal, beer.day.id), beer.fermenting)
        return visit, visit.happen(event, wall_s)

    @property
    def talk(self) -> Talk:
        """What holds now between brewer and program."""
        state = self.state
        return Talk(
            context=listening(state),
            waiting=bool(state.asks) or answers_wanted(state),
            manner=state.manner,
            foresee=lambda: (),
        )

    @property
    def now_s(self) -> float:
        """The moment it has come to, in seconds of the brew day."""
        return self.state.now_s

    def happen(self, event: BeerEvent, wall_s: float) -> tuple[Effect, ...]:
        """Let an event happen at its ``at``, the wall clock standing at ``wall_s``."""
        effects = self._step(event, wall_s)
        for incident in self.keeper.news(self.state.now_s):
            effects += self._step(incident, wall_s)
        return effects

    def end(self) -> None:
        """Close the copy of the day again, where its brew day is over."""
        if self._status is not DayStatus.OPEN:
            self.keeper.end(self._status, self._learned)

    def _step(self, event: BeerEvent, wall_s: float) -> tuple[Effect, ...]:
        before = self.state
        after, effects = advance(before, event)
        if replace(after, now_s=before.now_s) != before:
            refused = any(isinstance(effect, Refused) for effect in effects)
            self.keeper.keep(TimePassed(at=event.at) if refused else event, wall_s)
        self.state = after
        return effects
