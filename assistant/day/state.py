"""Everything the core knows of a day, frozen: the fold of its events."""

from dataclasses import dataclass, field
from enum import Enum

from assistant.advice.actions import Action, Finding
from assistant.advice.batch import Batch, fresh_batch
from assistant.advice.learned import LearnedKettle
from assistant.advice.plan import Plan
from assistant.advice.timeline import Stage
from assistant.day.cautions import Caution
from assistant.day.ear_troubles import Ear
from assistant.day.effects import ForecastChanged
from assistant.day.events import Event, Incident, Meaning, RecordTrouble
from assistant.day.manner import VoiceManner
from assistant.day.quantities import Quantity
from assistant.day.sensor_state import Sensing, Stream
from assistant.schedule.model import Kettle, Schedule


class TimerKind(Enum):
    """What a timer is for; what happens when it is due follows from it."""

    REST = "rest"
    STIR = "stir"
    ASK = "ask"
    BURST = "burst"
    BOIL_OVER = "boil-over"
    BOIL = "boil"
    ADDITION = "addition"
    CHILLER = "chiller"
    OVERDUE = "overdue"
    STEEP = "steep"
    SETTLE = "settle"
    PATIENCE = "patience"
    CLEANING = "cleaning"
    OWN = "own"


class Phase(Enum):
    """How far a timer has come: still running, announced as near, announced as due."""

    SET = "set"
    SOON = "soon"
    DUE = "due"


@dataclass(frozen=True, kw_only=True)
class Timer:
    """A named timer.

    ``index`` is the addition it is for and ``quantity`` what it will ask. ``heads_up_s`` is how
    long before it is due it is announced (0: not). While DUE it is repeated at ``repeat_at_s``,
    counted from ``announced_s``. ``left_s`` stands while it is paused.
    """

    name: str
    kind: TimerKind
    due_s: float
    heads_up_s: float = 0.0
    phase: Phase = Phase.SET
    repeat_at_s: float | None = None
    announced_s: float | None = None
    left_s: float | None = None
    index: int | None = None
    quantity: Quantity | None = None


@dataclass(frozen=True, kw_only=True)
class Task:
    """Something the brewer has been asked to do; ``index`` is the addition it is for."""

    id: int
    action: Action
    index: int | None = None


@dataclass(frozen=True, kw_only=True)
class Ask:
    """A reading that is wanted; the stage waits for it where ``needed``."""

    id: int
    quantity: Quantity
    unit: str
    why: str
    needed: bool = False


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A reading in the unit kept; ``said`` and ``said_unit`` are as it came."""

    at: float
    quantity: Quantity
    value: float
    said: float
    said_unit: str
    sample_c: float | None


@dataclass(frozen=True, kw_only=True)
class Question:
    """A reading that waits for yes or no before it goes on the record."""

    reading: Reading
    text: str


DOUBT_STANDS_S = 60.0
"""A brewer who has not answered by then has other things to do."""


@dataclass(frozen=True, kw_only=True)
class Doubt:
    """Words that could mean one of ``meanings``: asked about in ``text``, last at ``at_s``.

    ``depth`` is how much could be taken back by then: what came later is later than the doubt.
    """

    at_s: float
    depth: int
    meanings: tuple[Meaning, ...]
    text: str


@dataclass(frozen=True, kw_only=True)
class Advice:
    """A finding that waits for a choice."""

    id: int
    finding: Finding


class Fate(Enum):
    """What became of an addition."""

    PENDING = "pending"
    DUE = "due"
    IN = "in"
    LEFT_OUT = "left out"


@dataclass(frozen=True, kw_only=True)
class Extra:
    """More of an addition, as advice had it: when it went in, and what the time since flameout had
    been worth in minutes of boil by then."""

    grams: float
    at_s: float
    steeped_min: float = 0.0


@dataclass(frozen=True, kw_only=True)
class AdditionState:
    """What became of one addition of the schedule, by its place there.

    ``weight_g`` is what is to go in or went in, ``in_at_s`` stands once it is IN, with
    ``in_steeped_min``, what the time since flameout had been worth in minutes of boil by then;
    ``extra`` holds what advice added later. ``cut`` tells what was left out because its time ended
    with its stage from what the brewer left out.
    """

    fate: Fate
    weight_g: float
    in_at_s: float | None = None
    in_steeped_min: float = 0.0
    cut: bool = False
    extra: tuple[Extra, ...] = ()


@dataclass(frozen=True, kw_only=True)
class BoilClock:
    """The boil from when it began to when it is to end; ``left_s`` stands while it is paused.

    ``cut_s`` is how much of it was still to come when the heat went off. ``spells`` holds the
    beginnings and ends of what it boiled before it was paused, and ``before`` the boil before it,
    where the wort was brought to the boil again.
    """

    start_s: float
    end_s: float
    left_s: float | None = None
    cut_s: float = 0.0
    spells: tuple[tuple[float, float], ...] = ()
    before: "BoilClock | None" = None


@dataclass(frozen=True, kw_only=True)
class Note:
    """What the brewer dictated."""

    at: float
    text: str


@dataclass(frozen=True, kw_only=True)
class Taken:
    """Advice as it was answered; ``about`` is what it was about."""

    at: float
    about: str
    finding: str
    say: str
    effect: str


@dataclass(frozen=True, kw_only=True)
class Stirred:
    """A salt or acid for the mash: what it was and when; ``left_out`` where it never went in."""

    at: float
    action: Action
    left_out: bool = False


@dataclass(frozen=True, kw_only=True)
class Reached:
    """When a stage, or a rest, began.

    ``wanted_c`` is the temperature that was wanted in it, once that was there, from ``there_s`` on.
    """

    at: float
    stage: Stage
    rest: str | None = None
    wanted_c: float | None = None
    there_s: float | None = None


@dataclass(frozen=True, kw_only=True)
class Past:
    """One thing that can be taken back: the state before it, itself, and what happened since."""

    what: str
    before: "State"
    event: Event
    since: tuple[Event, ...] = ()


@dataclass(frozen=True, kw_only=True)
class State:
    """A whole day.

    ``card`` is the kettle as the day began with it, while that of ``schedule`` is as it is believed
    to be by now. ``rest`` is the rest of the mash at hand, ``gathered`` the checklist's place.

    ``doubt`` is what was last heard unsurely; :meth:`open_doubt` tells whether it still stands.
    ``boil_change_min`` is what advice has made the boil longer by, and
    ``waived`` what the brewer chose to leave as it is in this stage or rest; ``let_go_ibu`` is the
    bitterness lost that way. ``spoken`` is the last thing said, and ``reason`` why the last advice,
    or the last correction nobody was asked about, was what it was. ``learned`` is what past brews
    had taught of the kettle when the day began. ``record`` is why what happens can't be written
    down now, and ``incidents`` what befell the program itself so far. ``sensing`` is which sensors
    can't be had now, and ``streams`` what was made of those that report by themselves. ``history``
    holds what can be taken back, oldest first; it is no part of what two equal days share.
    """

    schedule: Schedule
    plan: Plan
    card: Kettle
    batch: Batch
    learned: LearnedKettle | None = None
    now_s: float = 0.0
    begun: bool = False
    stage: Stage = Stage.GATHER
    stage_at_s: float = 0.0
    rest: int = 0
    gathered: int = 0
    next_id: int = 1
    timers: tuple[Timer, ...] = ()
    tasks: tuple[Task, ...] = ()
    asks: tuple[Ask, ...] = ()
    question: Question | None = None
    doubt: Doubt | None = None
    advice: Advice | None = None
    additions: tuple[AdditionState, ...] = ()
    boil: BoilClock | None = None
    boil_change_min: float = 0.0
    waived: tuple[str, ...] = ()
    let_go_ibu: float = 0.0
    readings: tuple[Reading, ...] = ()
    stirred: tuple[Stirred, ...] = ()
    notes: tuple[Note, ...] = ()
    taken: tuple[Taken, ...] = ()
    reached: tuple[Reached, ...] = ()
    cautioned: frozenset[Caution] = frozenset()
    topped_up: bool = False
    spoken: str = ""
    reason: str = ""
    manner: VoiceManner = field(default_factory=VoiceManner)
    ear: Ear = field(default_factory=Ear)
    record: RecordTrouble | None = None
    incidents: tuple[Incident, ...] = ()
    sensing: Sensing = field(default_factory=Sensing)
    streams: tuple[Stream, ...] = ()
    forecast: ForecastChanged | None = None
    history: tuple[Past, ...] = field(default=(), compare=False, repr=False)

    def timer(self, name: str) -> Timer | None:
        """The timer of that name, if there is one."""
        return next((timer for timer in self.timers if timer.name == name), None)

    def stream(self, quantity: Quantity) -> Stream:
        """What was made so far of the sensor that reports a quantity by itself.

        What hangs in the kettle goes by the name of the kettle, whatever that holds.
        """
        known = (stream for stream in self.streams if stream.quantity is quantity)
        return next(known, Stream(quantity=quantity))

    def open_doubt(self) -> Doubt | None:
        """The doubt that waits for an answer; after a minute without one it is dropped."""
        stands = self.doubt is not None and self.now_s - self.doubt.at_s < DOUBT_STANDS_S
        return self.doubt if stands else None


def new_day(schedule: Schedule, plan: Plan) -> State:
    """The state before a day begins."""
    return State(
        schedule=schedule,
        plan=plan,
        card=schedule.kettle,
        batch=fresh_batch(schedule, plan, 0.0),
        additions=tuple(
            AdditionState(fate=Fate.PENDING, weight_g=addition.weight_g)
            for addition in schedule.additions
        ),
    )
