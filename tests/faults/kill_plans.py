"""Where and when a day is killed."""

import random
from dataclasses import dataclass
from enum import Enum

from recorded_day import RecordedDay


class Moment(Enum):
    """Where the program is killed; the first three by its own launcher, at the very place."""

    BEFORE_ROW = "before-row"
    AFTER_ROW = "after-row"
    HALF_ANSWER = "half-answer"
    AT_RANDOM = "at random after a line was sent"
    STARTING = "at random while it starts"


AT_PLACE = (Moment.BEFORE_ROW, Moment.AFTER_ROW, Moment.HALF_ANSWER)
ANSWERING_S = 0.008
"""An answer takes less as a rule; a kill may come after it too."""

STARTING_S = 0.9
"""A start takes less as a rule; then the kill falls into the answer to resume, or after it."""


@dataclass(frozen=True, kw_only=True)
class Kill:
    """A kill while the day's line ``line`` is answered, or while the day is resumed (None)."""

    moment: Moment
    line: int | None
    after_s: float = 0.0


def drawn_kills(day: RecordedDay, count: int, chance: random.Random) -> list[Kill]:
    """``count`` kills in the order of the day; a quarter strike while it is being gone on with."""
    at_start = sum(chance.random() < 0.25 for _ in range(count - 1))
    lines = sorted(chance.sample(range(len(day.lines)), count - at_start))
    kills = []
    for line in lines:
        moment = chance.choice((*AT_PLACE, Moment.AT_RANDOM))
        after_s = chance.uniform(0.0, ANSWERING_S)
        kills.append(Kill(moment=moment, line=line, after_s=after_s))
    for _ in range(at_start):
        moment = chance.choice((*AT_PLACE, Moment.STARTING, Moment.STARTING))
        place = chance.randrange(1, len(kills) + 1)
        after_s = chance.uniform(0.0, STARTING_S)
        kills.insert(place, Kill(moment=moment, line=None, after_s=after_s))
    return kills
