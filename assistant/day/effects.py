"""What the core asks of the world: words to say, things to show, timers to keep.

Effects carry no judgement; an adapter speaks, draws or writes them as they are.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from assistant.advice.actions import Action, Option
from assistant.advice.timeline import Stage
from assistant.day.manner import VoiceManner
from assistant.day.quantities import Quantity


class Why(Enum):
    """Why something is said; an adapter lets the earlier kinds here outrank the later ones."""

    WARNING = "warning"
    REMINDER = "reminder"
    QUESTION = "question"
    CAUTION = "caution"
    READBACK = "readback"
    ANSWER = "answer"
    PROMPT = "prompt"


@dataclass(frozen=True, kw_only=True)
class Say:
    """Words for the brewer's ear, and for the screen."""

    text: str
    why: Why


@dataclass(frozen=True, kw_only=True)
class StageBegan:
    """A stage, or a rest of the mash, begins."""

    stage: Stage
    rest: str | None = None


@dataclass(frozen=True, kw_only=True)
class TaskOpened:
    """Something to do now."""

    id: int
    action: Action


@dataclass(frozen=True, kw_only=True)
class AskOpened:
    """A reading is wanted now, in ``unit``."""

    id: int
    quantity: Quantity
    unit: str
    why: str


class TimerNews(Enum):
    """What happened to a timer."""

    SET = "set"
    SOON = "soon"
    DUE = "due"
    LATE = "late"
    DONE = "done"
    CANCELLED = "cancelled"


@dataclass(frozen=True, kw_only=True)
class TimerChanged:
    """A timer was set, neared, fell due, was late, done or cancelled; ``due`` None while paused."""

    name: str
    state: TimerNews
    due: float | None


@dataclass(frozen=True, kw_only=True)
class ReadingJudged:
    """A reading went on the record, or why it did not (yet)."""

    quantity: Quantity
    value: float
    unit: str
    accepted: bool
    reason: str | None = None


@dataclass(frozen=True, kw_only=True)
class AdviceOffered:
    """A choice for the brewer."""

    id: int
    about: str
    finding: str
    options: tuple[Option, ...]
    recommended: str


@dataclass(frozen=True, kw_only=True)
class ForecastChanged:
    """Where the day is heading now."""

    original_gravity: float
    fermenter_volume_l: float
    ibu: float
    strike_at_s: float
    boil_at_s: float
    pitch_at_s: float
    low_high: Mapping[str, tuple[float, float]]


@dataclass(frozen=True, kw_only=True)
class VoiceChanged:
    """How the program speaks from here on."""

    manner: VoiceManner


@dataclass(frozen=True, kw_only=True)
class Hushed:
    """What is being said, and the alarm that sounds, end at once."""


@dataclass(frozen=True, kw_only=True)
class Refused:
    """The event could not be used; nothing changed."""

    text: str


Effect = (
    Say
    | StageBegan
    | TaskOpened
    | AskOpened
    | TimerChanged
    | ReadingJudged
    | AdviceOffered
    | ForecastChanged
    | VoiceChanged
    | Hushed
    | Refused
)
