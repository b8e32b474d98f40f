"""What an account holds of the weeks after a brew day: the beer in its fermenter and out of it.

Seconds are those of the brew day, gone on with; days are counted from the pitching of the yeast.
"""

from dataclasses import dataclass

from assistant.cellar.assessing import Progress
from assistant.cellar.beer import Beer
from assistant.cellar.coming import Coming
from assistant.cellar.curve import Curve
from assistant.cellar.state import BeerReading, Packaged, Slurry
from assistant.cellar.warmth import Warmth
from assistant.day.events import Incident
from assistant.day.state import Note
from assistant.schedule.model import AdditionKind


@dataclass(frozen=True, kw_only=True)
class ReadOfBeer:
    """A reading of the beer, on which day, and for a temperature where it lies by the schedule."""

    reading: BeerReading
    day: float
    warmth: Warmth | None


@dataclass(frozen=True, kw_only=True)
class Tended:
    """A thing to do to the beer: an addition, or its rest.

    ``kind`` and ``weight_g`` are an addition's. ``due_s`` is None where it can't be told any more;
    ``done_s`` when it was done or, where ``left_out``, given up; None for what is still open.
    """

    name: str
    kind: AdditionKind | None
    weight_g: float | None
    due_s: float | None
    done_s: float | None
    left_out: bool = False


@dataclass(frozen=True, kw_only=True)
class Fermentation:
    """What became of a beer, as far as visits to it tell.

    ``zero_wall_s`` is when the brew day's second 0 was, in Unix seconds, by the clock as it was
    last; ``seen_s`` the last moment on record. ``original_gravity`` has in it what went into the
    fermenter. ``final_gravity`` is the one the beer has ended at by its readings, None until it
    has; ``gravity`` is that, or else the last one read, and ``attenuation`` (0 to 1) and
    ``abv_percent`` go with it. ``steady_s`` is since when the hydrometer has shown the same, up to
    ``steady_days`` later. ``ready_s`` is when what was packaged may be drunk.
    """

    zero_wall_s: float
    beer: Beer
    seen_s: float
    progress: Progress
    original_gravity: float
    gravity: float | None
    final_gravity: float | None
    expected_final_gravity: float
    attenuation: float | None
    abv_percent: float | None
    planned_attenuation: float | None
    planned_abv_percent: float | None
    curve: Curve
    steady_s: float | None
    steady_days: float
    readings: tuple[ReadOfBeer, ...]
    tended: tuple[Tended, ...]
    packaged: Packaged | None
    ready_s: float | None
    slurry: Slurry | None
    coming: tuple[Coming, ...]
    notes: tuple[Note, ...]
    incidents: tuple[Incident, ...]

    @property
    def gravity_read(self) -> bool:
        """Whether any gravity was read, so that the curve is more than an expectation."""
        return any(read.reading.gravity is not None for read in self.readings)

    def day(self, at_s: float) -> float:
        """The day of fermentation of a moment; 0 before the yeast was in."""
        return max(at_s - self.beer.pitched_s, 0.0) / 86400.0
