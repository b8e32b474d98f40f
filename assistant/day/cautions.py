"""The usual cautions, each spoken once a day at the stage it belongs to.

Sources: common trade and kitchen safety practice; burn times at 60 to 69 °C after Moritz &
Henriques, Am. J. Pathology 23 (1947) 695 stand behind the wording "in seconds". They are reminders,
not instructions: local codes, the makers' instructions and licensed practice come first.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum

from assistant.advice.mash_water import ACID_CAUTION
from assistant.advice.timeline import Stage
from assistant.schedule.model import ChillMethod, HeaterKind, Schedule, Vessel


class Caution(Enum):
    """One caution."""

    ELECTRICITY = "electricity"
    GAS = "gas"
    SCALD = "scald"
    BAG = "bag"
    BOIL_OVER = "boil-over"
    CHILLER = "chiller"
    ICE = "ice"
    GLASS = "glass"
    CAUSTIC = "caustic"
    BOTTLES = "bottles"
    CARBON_DIOXIDE = "carbon dioxide"
    ACID = "acid"


@dataclass(frozen=True, kw_only=True)
class CautionSpec:
    """Where a caution is spoken, to whom it applies, and its words.

    One that applies to no schedule is spoken when what it warns of is called for.
    """

    stage: Stage
    text: str
    applies: Callable[[Schedule], bool] = lambda schedule: True


def _gas(schedule: Schedule) -> bool:
    return schedule.kettle.heater.kind is HeaterKind.GAS


def _plugged_in(schedule: Schedule) -> bool:
    return not _gas(schedule)


CAUTIONS: Mapping[Caution, CautionSpec] = {
    Caution.ELECTRICITY: CautionSpec(
        stage=Stage.GATHER,
        text="Plug into a protected outlet, RCD or GFCI. Dry hands. Never heat a dry kettle.",
        applies=_plugged_in,
    ),
    Caution.GAS: CautionSpec(
        stage=Stage.GATHER,
        text="Gas needs open air, level ground and a carbon monoxide alarm. Check for leaks.",
        applies=_gas,
    ),
    Caution.ACID: CautionSpec(
        stage=Stage.STRIKE,
        text=ACID_CAUTION,
        applies=lambda schedule: False,
    ),
    Caution.SCALD: CautionSpec(
        stage=Stage.DOUGH_IN,
        text="This water scalds in seconds. Closed shoes, long gloves, children and pets out.",
    ),
    Caution.BAG: CautionSpec(
        stage=Stage.LIFT,
        text="The bag weighs about {bag}, and drips hot. Use a hoist or a second person.",
    ),
    Caution.BOIL_OVER: CautionSpec(
        stage=Stage.BOIL_UP,
        text="Lid off, and stay beside it: it can boil over. If it surges, heat off first.",
    ),
    Caution.CHILLER: CautionSpec(
        stage=Stage.CHILL,
        text="Hoses on a hot chiller spit steam. Check the clamps and open the tap slowly.",
        applies=lambda schedule: schedule.chill.method is ChillMethod.COIL,
    ),
    Caution.ICE: CautionSpec(
        stage=Stage.CHILL,
        text="The kettle is heavy and hot. Never put hot glass in ice.",
        applies=lambda schedule: schedule.chill.method is not ChillMethod.COIL,
    ),
    Caution.GLASS: CautionSpec(
        stage=Stage.TRANSFER,
        text="Never hot wort into glass. Never lift a glass fermenter by its neck.",
    ),
    Caution.CARBON_DIOXIDE: CautionSpec(
        stage=Stage.PITCH,
        text="Fermentation gives off carbon dioxide. Air the room, and let the fermenter vent.",
    ),
    Caution.CAUSTIC: CautionSpec(
        stage=Stage.CLEAN,
        text="Gloves and goggles for cleaners. Never mix two. Pour cleaner into water.",
    ),
    Caution.BOTTLES: CautionSpec(
        stage=Stage.CLEAN,
        text="Bottle only beer that has finished, and weigh its sugar: over-primed bottles burst.",
        applies=lambda schedule: (
            schedule.package is not None and schedule.package.into is Vessel.BOTTLES
        ),
    ),
}

WET_GRAIN_FIRST_LIFT = 2.4
"""Weight of the bag as it leaves the wort per weight of grain; from memory, unchecked."""
