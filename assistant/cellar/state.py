"""Everything the core knows of a beer after its brew day, frozen: the fold of what happened."""

from dataclasses import dataclass, field

from assistant.cellar.beer import Beer
from assistant.cellar.events import Errand
from assistant.day.ear_troubles import Ear
from assistant.day.events import Incident, RecordTrouble
from assistant.day.manner import VoiceManner
from assistant.day.quantities import Quantity
from assistant.day.sensor_state import Sensing
from assistant.day.state import DOUBT_STANDS_S, Ask, Doubt, Note, Task
from assistant.schedule.model import Package, PrimingSugar, Schedule, Vessel

DAY_S = 86400.0

USUAL_PACKAGE = Package(into=Vessel.BOTTLES, carbonation_vol=2.4, sugar=PrimingSugar.SUCROSE)
"""For a schedule that says nothing of it; its reader takes the same where only a part is said."""


@dataclass(frozen=True, kw_only=True)
class BeerReading:
    """A reading of the beer, in the unit kept.

    ``gravity`` is the beer's at 20 °C as a hydrometer or a refractometer has it, with its
    ``spread`` (standard deviation); None for a reading that tells of none. ``sensed`` tells a
    sensor from the brewer, ``streamed`` one that reports by itself.
    """

    at: float
    quantity: Quantity
    value: float
    said: float
    said_unit: str
    sample_c: float | None
    gravity: float | None = None
    spread: float = 0.0
    sensed: bool = False
    streamed: bool = False

    @property
    def by_hydrometer(self) -> bool:
        """Whether it is one that fermentation may be called finished by.

        An instrument that floats in the beer is no more that than a refractometer.
        """
        return self.quantity is Quantity.GRAVITY and not self.streamed


@dataclass(frozen=True, kw_only=True)
class Question:
    """A reading that waits for yes or no before it goes on the record."""

    reading: BeerReading
    text: str


@dataclass(frozen=True, kw_only=True)
class Settled:
    """What became of a thing to come, by its key: done or ``left_out`` at ``at_s``."""

    key: str
    at_s: float
    left_out: bool = False


@dataclass(frozen=True, kw_only=True)
class Opened:
    """A thing that is due, by its key, as something to do."""

    key: str
    task: Task


@dataclass(frozen=True, kw_only=True)
class Packaged:
    """How the beer was packaged.

    ``sugar_g`` stands for bottles, ``pressure_kpa`` (over the air) for a keg; ``bottles`` is how
    many of ``bottle_ml`` it fills.
    """

    at: float
    into: Vessel
    carbonation_vol: float
    volume_l: float
    temperature_c: float
    final_gravity: float
    sugar: PrimingSugar | None = None
    sugar_g: float | None = None
    bottles: int | None = None
    bottle_ml: float | None = None
    pressure_kpa: float | None = None
    serving_c: float | None = None


@dataclass(frozen=True, kw_only=True)
class Slurry:
    """Yeast kept for another brew: when it was cropped and how much, in millilitres."""

    at: float
    volume_ml: float


@dataclass(frozen=True, kw_only=True)
class Past:
    """One thing that can be taken back, and the state before it."""

    what: str
    before: "CellarState"


@dataclass(frozen=True, kw_only=True)
class CellarState:
    """A beer from the pitching on.

    ``wanted`` is how it is to be packaged, ``bottle_ml`` and ``serving_c`` what goes with that;
    ``found_final`` is a final gravity that the brewer has found by a trial. ``settled`` is what
    became of the things to come, ``opened`` what is due of them. ``advised`` is what was measured
    out for packaging, and ``unwise`` why it should not be packaged, while that is asked about.
    ``doubted`` is when a sensor's reading was last asked about, by quantity.
    ``spoken`` is the last thing said and ``reason`` why. ``over`` tells that the visit is at its
    end. ``history`` holds what can be taken back on this visit, oldest first; neither it nor what
    was spoken is a part of what two equal beers share.
    """

    schedule: Schedule
    beer: Beer
    wanted: Package
    now_s: float
    visited: bool = False
    errand: Errand = Errand.TEND
    bottle_ml: float | None = None
    serving_c: float | None = None
    found_final: float | None = None
    readings: tuple[BeerReading, ...] = ()
    settled: tuple[Settled, ...] = ()
    advised: Packaged | None = None
    packaged: Packaged | None = None
    slurry: Slurry | None = None
    next_id: int = 1
    opened: tuple[Opened, ...] = ()
    asks: tuple[Ask, ...] = ()
    question: Question | None = None
    unwise: str = ""
    doubt: Doubt | None = None
    notes: tuple[Note, ...] = ()
    spoken: str = field(default="", compare=False)
    reason: str = ""
    over: bool = False
    manner: VoiceManner = field(default_factory=VoiceManner)
    ear: Ear = field(default_factory=Ear)
    sensing: Sensing = field(default_factory=Sensing)
    doubted: tuple[tuple[Quantity, float], ...] = ()
    record: RecordTrouble | None = None
    incidents: tuple[Incident, ...] = ()
    history: tuple[Past, ...] = field(default=(), compare=False, repr=False)

    def open_doubt(self) -> Doubt | None:
        """The doubt that waits for an answer; after a minute without one it is dropped."""
        stands = self.doubt is not None and self.now_s - self.doubt.at_s < DOUBT_STANDS_S
        return self.doubt if stands else None

    def settled_s(self, key: str) -> float | None:
        """When a thing to come was done; None where it was not, or left out."""
        return next((s.at_s for s in self.settled if s.key == key and not s.left_out), None)

    def is_settled(self, key: str) -> bool:
        """Whether a thing to come is done or left out."""
        return any(settled.key == key for settled in self.settled)

    def last(self, *quantities: Quantity) -> BeerReading | None:
        """The last reading of one of these."""
        return next((r for r in reversed(self.readings) if r.quantity in quantities), None)

    @property
    def age_days(self) -> float:
        """Days since the yeast went in."""
        return max(self.now_s - self.beer.pitched_s, 0.0) / DAY_S


def new_beer(schedule: Schedule, beer: Beer) -> CellarState:
    """The beer as its brew day left it."""
    return CellarState(
        schedule=schedule,
        beer=beer,
        wanted=wanted_of(schedule),
        now_s=beer.pitched_s,
    )


def wanted_of(schedule: Schedule) -> Package:
    """How the schedule wants its beer packaged."""
    return schedule.package or USUAL_PACKAGE
