"""What a rehearsed day leaves: its talk, what was chosen, and what it truly came to."""

from dataclasses import dataclass
from enum import Enum

from assistant.advice.plan import Plan
from assistant.day.effects import Why
from assistant.day.state import State
from assistant.rehearsal.saying import Sentence
from assistant.schedule.model import Schedule


class Who(Enum):
    """Who a line of the day is from; ``DAY`` for a stage that begins."""

    PROGRAM = "program"
    BREWER = "brewer"
    DAY = "day"


@dataclass(frozen=True, kw_only=True)
class Line:
    """One thing said, or a stage begun; ``why`` stands with what the program says.

    ``note`` tells what came of words of the brewer's, where they were not heard as they were said.
    """

    at: float
    who: Who
    text: str
    why: Why | None = None
    advice: bool = False
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Answered:
    """An option taken: what it was about, what was found, and what was chosen."""

    at: float
    about: str
    finding: str
    say: str


@dataclass(frozen=True, kw_only=True)
class Rested:
    """A rest as it truly was: wanted and mean temperature, from when to when."""

    name: str
    wanted_c: float
    mean_c: float
    from_s: float
    to_s: float


@dataclass(frozen=True, kw_only=True)
class Reached:
    """What the day truly came to."""

    original_gravity: float
    fermenter_volume_l: float
    ibu: float
    rests: tuple[Rested, ...]
    pitched_at_s: float
    late_min: float


@dataclass(frozen=True, kw_only=True)
class Rehearsed:
    """A day that was rehearsed; ``not_used`` holds every sentence the core could make nothing of.

    ``boiled_s`` is how long it truly boiled. ``sentences`` are those of the brewer's that were said
    by sound.
    """

    schedule: Schedule
    plan: Plan
    state: State
    log: tuple[Line, ...]
    answers: tuple[Answered, ...]
    not_used: tuple[str, ...]
    reached: Reached
    boiled_s: float
    sentences: tuple[Sentence, ...] = ()
