"""What the simulated brewer is about to do, and when."""

import random
from collections.abc import Callable
from dataclasses import dataclass

from assistant.day.state import State
from assistant.rehearsal.habits import Range
from assistant.rehearsal.telling import Said


@dataclass(frozen=True, kw_only=True)
class Act:
    """Something the brewer will do at ``at``; it gives what is told with it."""

    at: float
    do: Callable[[State], Said]


class Acts:
    """Acts still to come, and what the brewer has taken in already."""

    def __init__(self, source: random.Random) -> None:
        self.source = source
        self.to_come: list[Act] = []
        self.seen: set[tuple[object, ...]] = set()

    @property
    def next_s(self) -> float | None:
        """When the next is due; None if there is none."""
        return min((act.at for act in self.to_come), default=None)

    def do_next(self, state: State) -> Said:
        """Do the next; gives what is told with it."""
        act = min(self.to_come, key=lambda act: act.at)
        self.to_come.remove(act)
        return act.do(state)

    def is_new(self, *key: object) -> bool:
        """Whether a thing is seen for the first time; from then on it is not."""
        if key in self.seen:
            return False
        self.seen.add(key)
        return True

    def plan(self, state: State, delay_s: Range, do: Callable[[State], Said]) -> None:
        """Do something after a time drawn from a range."""
        self.later(state, self.source.uniform(*delay_s), do)

    def later(self, state: State, seconds: float, do: Callable[[State], Said]) -> Said:
        """Do something in so many seconds; nothing is told now."""
        self.to_come.append(Act(at=state.now_s + seconds, do=do))
        return ()
