"""The account of a brew day: everything a report holds, in plain figures with their units.

Seconds are the day's own (``at_s``), volumes litres at 20 °C, gravities SG 20/20 °C. Words are made
of it by whoever writes it out; only what was said or noted on the day is text here already.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from assistant.advice.learned import Trait
from assistant.advice.plan import Plan
from assistant.advice.planned_course import Point, Target
from assistant.advice.timeline import Stage
from assistant.day.course import Mark
from assistant.day.events import Incident
from assistant.day.state import Fate, Note
from assistant.record.journal import Day
from assistant.record.reporting.fermentation import Fermentation
from assistant.record.reporting.followed import Asked, Believed, Held, SeenReading, TakenBack
from assistant.schedule.model import Addition, Schedule


class Figure(Enum):
    """A figure of the beer that is planned and reached; the value is its name in JSON and CSV."""

    VOLUME = "fermenter_volume_l"
    GRAVITY = "original_gravity"
    BITTERNESS = "ibu"
    ALCOHOL = "abv_percent"
    EXTRACT = "extract_in_fermenter_percent"

    @property
    def unit(self) -> str:
        """What it is counted in."""
        return FIGURE_UNITS[self]


FIGURE_UNITS: Mapping[Figure, str] = {
    Figure.VOLUME: "L",
    Figure.GRAVITY: "SG",
    Figure.BITTERNESS: "IBU",
    Figure.ALCOHOL: "%",
    Figure.EXTRACT: "%",
}


class Known(Enum):
    """How a reached figure is known."""

    READ = "by the readings"
    RECKONED = "reckoned"
    EXPECTED = "expected"
    IN_FERMENTER = "in the fermenter"


class Cause(Enum):
    """Why a figure came out otherwise than planned."""

    WATER = "water poured in"
    GRAIN = "grain held"
    EXTRACT = "extract of the grist"
    ADDED_EXTRACT = "extract added"
    ADDED_WATER = "water added"
    BOIL_OFF = "boil-off"
    BOIL_LENGTH = "boil length"
    LEFT_BEHIND = "left behind"
    TOP_UP = "topped up"
    REST = "unexplained"
    HOP_WEIGHTS = "hop weights"
    HOP_TIMES = "hop times"
    WORT = "wort, its volume and gravity"


@dataclass(frozen=True, kw_only=True)
class Reason:
    """What moved the beer off its plan: a figure ``planned`` and as it ``was``, in ``unit``.

    The moves are taken one after another in the order of the day, so that they add up to the
    whole difference.
    """

    cause: Cause
    planned: float | None = None
    was: float | None = None
    unit: str = ""
    volume_l: float = 0.0
    gravity: float = 0.0
    ibu: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A figure planned and reached; ``reached`` is None where it can't be told."""

    figure: Figure
    planned: float | None
    reached: float | None
    known: Known


@dataclass(frozen=True, kw_only=True)
class StageSpent:
    """A stage, or a rest of the mash: from when to when, and how long it should have taken.

    ``planned_s`` is None where the plan says nothing of it; ``with_heating`` tells that the heating
    to a rest comes on top. ``open`` is the one at hand.
    """

    stage: Stage
    rest: str | None
    from_s: float
    until_s: float
    planned_s: float | None
    with_heating: bool = False
    open: bool = False


@dataclass(frozen=True, kw_only=True)
class Milestone:
    """A great moment: when it should have been and was, and the stages that made it late or early.

    ``because`` holds the stages since the milestone before and how much longer each took.
    """

    name: str
    planned_s: float
    reached_s: float | None
    because: tuple[tuple[Stage, float], ...] = ()


@dataclass(frozen=True, kw_only=True)
class AdditionAccount:
    """An addition as planned and as it went in; ``name`` tells it from the others.

    ``due_s`` is by the plan, None for one to the fermenter. ``boiled_min`` is what it had of the
    boil, ``hot_min`` what its time after flameout was worth in minutes of boil; both None, as the
    bitterness, for what brings none. ``time_ibu`` is what it brought more than it would have with
    its planned time of boil. ``extra`` tells more of it that advice had.
    """

    name: str
    addition: Addition
    planned_g: float | None
    weight_g: float
    due_s: float | None
    in_s: float | None
    fate: Fate
    planned_boiled_min: float | None = None
    boiled_min: float | None = None
    planned_hot_min: float | None = None
    hot_min: float | None = None
    planned_ibu: float | None = None
    ibu: float | None = None
    time_ibu: float | None = None
    extra: bool = False


@dataclass(frozen=True, kw_only=True)
class StirredIn:
    """A salt or acid of the mash; grams, or millilitres of acid."""

    at_s: float
    item: str
    grams: float | None
    millilitres: float | None
    left_out: bool


@dataclass(frozen=True, kw_only=True)
class AdviceAccount:
    """Advice: what was found, offered and chosen, and where that was to lead.

    ``chosen`` is None where it was never answered. ``options`` are the words that choose.
    """

    at_s: float
    about: str
    finding: str
    options: tuple[str, ...]
    recommended: str | None
    chosen: str | None
    chosen_s: float | None
    effect: str | None


class Off(Enum):
    """A way to be off the plan that is worth learning from."""

    STAGE = "stage"
    REST = "rest"
    KETTLE = "kettle"
    LESS_BOIL = "addition boiled less"
    MORE_BOIL = "addition boiled longer"
    LEFT_OUT = "addition left out"
    CHANGED = "addition changed"


@dataclass(frozen=True, kw_only=True)
class Deviation:
    """Something that was not as expected, and what it made of the beer.

    ``stage`` or ``trait`` says of what, or else ``name``. ``planned`` and ``was`` are in ``unit``;
    the last three are what it moved the beer in the fermenter by, None where that can't be told.
    """

    off: Off
    name: str
    planned: float
    was: float
    unit: str
    at_s: float | None = None
    stage: Stage | None = None
    trait: Trait | None = None
    volume_l: float | None = None
    gravity: float | None = None
    ibu: float | None = None


@dataclass(frozen=True, kw_only=True)
class Taught:
    """A figure of the kettle: the card's, what was believed before the day, and now."""

    trait: Trait
    card: float
    before: float
    before_spread: float
    value: float
    spread: float


@dataclass(frozen=True, kw_only=True)
class Account:
    """Everything a report of a day holds.

    ``schedule`` is as the day began with it, its units those to be shown. ``planned_course``
    to ``believed`` belong to the charts: the plan's course of the temperature, the targets it was
    to meet, what went in when, and what was believed on the way. ``fermentation`` is what became of
    the beer, None where nobody has come to it yet.
    """

    day: Day
    schedule: Schedule
    plan: Plan
    began_s: float
    ended_s: float
    outcomes: tuple[Outcome, ...]
    reasons: tuple[Reason, ...]
    milestones: tuple[Milestone, ...]
    stages: tuple[StageSpent, ...]
    planned_course: tuple[Point, ...]
    targets: tuple[Target, ...]
    marks: tuple[Mark, ...]
    believed: tuple[Believed, ...]
    held: tuple[Held, ...]
    readings: tuple[SeenReading, ...]
    additions: tuple[AdditionAccount, ...]
    stirred: tuple[StirredIn, ...]
    advice: tuple[AdviceAccount, ...]
    deviations: tuple[Deviation, ...]
    brews: int
    taught: tuple[Taught, ...]
    asked: tuple[Asked, ...]
    taken_back: tuple[TakenBack, ...]
    notes: tuple[Note, ...]
    incidents: tuple[Incident, ...]
    fermentation: Fermentation | None = None
