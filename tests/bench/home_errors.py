"""How far the kettle card, the malt, the hops and the instruments of a home may be off: one table.

``measured`` is for a kettle whose card was measured and has been right for a few brews,
``first_brew`` for a card that was guessed. Unless a row names a source, its figures are common
practice, no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from assistant.schedule.model import AdditionKind, Schedule

Array = NDArray[np.float64]

SMALL_SCALE_KG = 0.5
"""Malt up to this weight goes on the small scale, with the hops."""


class What(Enum):
    """What may be off; the value is its name in a brewer's words."""

    MALT_SCALE = "malt scale"
    SMALL_SCALE = "small scale"
    ALPHA = "alpha acid"
    EXTRACT = "extract of the malt"
    MOISTURE = "moisture of the malt"
    COLOUR = "colour of the malt"
    EFFICIENCY = "extract efficiency"
    BOIL_OFF = "boil-off"
    ABSORPTION = "absorption"
    LEFT_BEHIND = "wort left behind"
    MARKS = "kettle marks"
    THERMOMETER = "thermometer"
    ROOM = "room"
    TAP = "tap water"
    HEATER = "heater efficiency"
    HEAT_LOSS = "heat loss"
    HEAT_CAPACITY = "kettle's heat capacity"
    AIR = "weather"
    CHILLER = "chiller"
    PACE = "pace of the handwork"
    ATTENUATION = "attenuation"
    WARMEST = "warmest of the fermentation"
    YEAST_CAKE = "beer left with the yeast"


class Shape(Enum):
    """How an error is spread, and so what its figures are."""

    NORMAL = "standard deviation"
    FACTOR = "standard deviation as a share, log-normal so that it never falls below nothing"
    EVEN = "half-width, everything inside it as likely"


class Each(Enum):
    """What draws an error of its own."""

    DAY = "the day"
    MALT = "a line of the grist"
    LOT = "a name of hops: two additions of one name come out of one bag"
    WEIGHING = "a malt, an addition, the yeast, the priming sugar"


@dataclass(frozen=True, kw_only=True)
class Error:
    """One row: what is off, how far in both cases, in which unit, and why so far.

    ``first_brew`` is None where it makes no difference. ``middle`` is where the error scatters
    about, if not about what the schedule says.
    """

    what: What
    measured: float
    first_brew: float | None = None
    unit: str
    shape: Shape
    why: str
    each: Each = Each.DAY
    middle: float = 0.0


ERRORS = (
    Error(
        what=What.MALT_SCALE,
        measured=0.020,
        unit="kg",
        shape=Shape.EVEN,
        why="a luggage or bathroom scale's step and slope",
        each=Each.MALT,
    ),
    Error(
        what=What.SMALL_SCALE,
        measured=1.0,
        unit="g",
        shape=Shape.EVEN,
        why="a kitchen scale's last digit",
        each=Each.WEIGHING,
    ),
    Error(
        what=What.ALPHA,
        measured=0.10,
        unit="share",
        shape=Shape.FACTOR,
        why="crop, and the months since the bag was analysed",
        each=Each.LOT,
    ),
    Error(
        what=What.EXTRACT,
        measured=0.01,
        unit="share of the malt",
        shape=Shape.NORMAL,
        why="one lot of malt against the next, and against the typical analysis",
        each=Each.MALT,
    ),
    Error(
        what=What.MOISTURE,
        measured=0.01,
        unit="share of the malt",
        shape=Shape.EVEN,
        why="3 to 5 % met, and an open sack draws damp; all malts of a house alike",
    ),
    Error(
        what=What.COLOUR,
        measured=0.10,
        unit="share",
        shape=Shape.FACTOR,
        why="one lot of malt against the next",
        each=Each.MALT,
    ),
    Error(
        what=What.EFFICIENCY,
        measured=0.03,
        first_brew=0.05,
        unit="share of the extract",
        shape=Shape.NORMAL,
        why="crush, stirring and pH differ from brew to brew; first brew: another mill's crush. "
        "A forum post has 50 brews of one home at 4 points from 1.050 to 1.059, of all recipes",
    ),
    Error(
        what=What.BOIL_OFF,
        measured=0.10,
        first_brew=0.25,
        unit="share",
        shape=Shape.FACTOR,
        why="how hard it is let boil, lid and draught; first brew: 2 to 5 L/h are all usual",
    ),
    Error(
        what=What.ABSORPTION,
        measured=0.10,
        first_brew=0.20,
        unit="share",
        shape=Shape.FACTOR,
        why="how long the bag hangs; first brew: 0.5 to 0.8 L/kg are all usual unsqueezed",
    ),
    Error(
        what=What.LEFT_BEHIND,
        measured=0.3,
        unit="L",
        shape=Shape.NORMAL,
        why="how much trub there is, and when the brewer closes the tap",
    ),
    Error(
        what=What.MARKS,
        measured=0.25,
        unit="L",
        shape=Shape.EVEN,
        why="half a step of the marks, a kettle out of level",
    ),
    Error(
        what=What.THERMOMETER,
        measured=0.5,
        unit="°C",
        shape=Shape.EVEN,
        why="what makers of kitchen thermometers state; one offset all day",
    ),
    Error(
        what=What.ROOM,
        measured=2.0,
        unit="°C",
        shape=Shape.NORMAL,
        why="the season, and grain from a colder cupboard",
    ),
    Error(
        what=What.TAP,
        measured=2.0,
        unit="°C",
        shape=Shape.NORMAL,
        why="the season",
    ),
    Error(
        what=What.HEATER,
        measured=0.03,
        first_brew=0.08,
        unit="share",
        shape=Shape.FACTOR,
        why="mains voltage, scale on the element; first brew: the nameplate believed",
    ),
    Error(
        what=What.HEAT_LOSS,
        measured=0.20,
        first_brew=0.40,
        unit="share",
        shape=Shape.FACTOR,
        why="lid, jacket and draught",
    ),
    Error(
        what=What.HEAT_CAPACITY,
        measured=0.10,
        unit="share",
        shape=Shape.FACTOR,
        why="the kettle's weight, and how much of it is warm",
    ),
    Error(
        what=What.AIR,
        measured=1.0,
        unit="kPa",
        shape=Shape.NORMAL,
        why="highs and lows about the standard atmosphere",
    ),
    Error(
        what=What.CHILLER,
        measured=0.15,
        first_brew=0.30,
        unit="share",
        shape=Shape.FACTOR,
        why="the coil and its flow are on no card: the program's figures are an estimate",
    ),
    Error(
        what=What.PACE,
        measured=0.15,
        first_brew=0.30,
        unit="share",
        shape=Shape.FACTOR,
        why="weighing, lifting, racking take as long as they take",
    ),
    Error(
        what=What.ATTENUATION,
        measured=0.03,
        unit="share",
        shape=Shape.NORMAL,
        why="the range on a packet is 3 to 5 points either way; the mash's share is in it",
    ),
    Error(
        what=What.WARMEST,
        measured=1.5,
        unit="°C",
        shape=Shape.NORMAL,
        why="fermenting beer runs warmer than its room",
    ),
    Error(
        what=What.YEAST_CAKE,
        measured=0.5,
        unit="L",
        shape=Shape.EVEN,
        why="0 to 1 L stays in the fermenter while the sugar goes into the rest",
        middle=0.5,
    ),
)


def hop_lots(schedule: Schedule) -> tuple[str, ...]:
    """The names of the schedule's hops, each once."""
    hops = [entry.name for entry in schedule.additions if entry.kind is AdditionKind.HOPS]
    return tuple(dict.fromkeys(hops))


def drawn(schedule: Schedule, draws: int, start: int) -> Mapping[What, Array]:
    """Errors of size one: a row for each draw, a column for each thing that draws its own.

    The same ``start`` gives the same errors.
    """
    source = np.random.default_rng(start)
    columns = {
        Each.DAY: 1,
        Each.MALT: len(schedule.grist),
        Each.LOT: len(hop_lots(schedule)),
        Each.WEIGHING: len(schedule.grist) + len(schedule.additions) + 2,
    }
    return {
        error.what: source.uniform(-1.0, 1.0, (draws, columns[error.each]))
        if error.shape is Shape.EVEN
        else source.standard_normal((draws, columns[error.each]))
        for error in ERRORS
    }


def sized(unit_errors: Mapping[What, Array], *, first_brew: bool) -> Mapping[What, Array]:
    """The same errors as large as the table has them; FACTOR rows come out as factors."""
    sizes = {}
    for error in ERRORS:
        guessed = error.measured if error.first_brew is None else error.first_brew
        size = guessed if first_brew else error.measured
        off = error.middle + size * unit_errors[error.what]
        sizes[error.what] = np.exp(off) if error.shape is Shape.FACTOR else off
    return sizes
