"""What can be read of a beer, in which unit the core keeps it, and how it is shown."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum

from assistant.advice import figures
from assistant.schedule.model import Units


class Quantity(Enum):
    """A quantity a brewer or a sensor can read; the value is its name outside the program."""

    WATER_TEMPERATURE = "water_temperature"
    MASH_TEMPERATURE = "mash_temperature"
    KETTLE_TEMPERATURE = "kettle_temperature"
    ROOM_TEMPERATURE = "room_temperature"
    TOP_UP_TEMPERATURE = "top_up_temperature"
    FERMENTER_TEMPERATURE = "fermenter_temperature"
    KETTLE_VOLUME = "kettle_volume"
    FERMENTER_VOLUME = "fermenter_volume"
    GRAVITY = "gravity"
    BRIX = "brix"
    MASH_PH = "mash_ph"
    SLURRY_VOLUME = "slurry_volume"
    BOILING = "boiling"


@dataclass(frozen=True, kw_only=True)
class QuantitySpec:
    """One quantity: its name aloud, the unit kept, the units heard, and what is possible at all.

    ``possible`` is in the unit kept; outside it a reading is refused, whatever the brewer says.
    """

    spoken: str
    unit: str
    us_unit: str
    units: tuple[str, ...]
    possible: tuple[float, float]
    show: Callable[[float, Units], str]

    def asked_unit(self, units: Units) -> str:
        """The unit a reading is asked for in."""
        return self.us_unit if units is Units.US else self.unit


def _temperature(spoken: str, possible: tuple[float, float] = (0.0, 103.0)) -> QuantitySpec:
    return QuantitySpec(
        spoken=spoken,
        unit="degC",
        us_unit="degF",
        units=("degC", "degF"),
        possible=possible,
        show=figures.temperature_read,
    )


def _volume(spoken: str) -> QuantitySpec:
    return QuantitySpec(
        spoken=spoken,
        unit="L",
        us_unit="gal",
        units=("L", "gal"),
        possible=(0.1, 500.0),
        show=figures.volume_read,
    )


QUANTITIES: Mapping[Quantity, QuantitySpec] = {
    Quantity.WATER_TEMPERATURE: _temperature("water temperature"),
    Quantity.MASH_TEMPERATURE: _temperature("mash temperature"),
    Quantity.KETTLE_TEMPERATURE: _temperature("kettle temperature"),
    Quantity.ROOM_TEMPERATURE: _temperature("room temperature", possible=(-25.0, 50.0)),
    Quantity.TOP_UP_TEMPERATURE: _temperature("top-up temperature"),
    Quantity.FERMENTER_TEMPERATURE: _temperature("fermenter temperature", possible=(-5.0, 103.0)),
    Quantity.KETTLE_VOLUME: _volume("kettle volume"),
    Quantity.FERMENTER_VOLUME: _volume("fermenter volume"),
    Quantity.GRAVITY: QuantitySpec(
        spoken="gravity",
        unit="SG",
        us_unit="SG",
        units=("SG", "degP"),
        possible=(0.995, 1.15),
        show=lambda value, units: figures.gravity(value),
    ),
    Quantity.BRIX: QuantitySpec(
        spoken="brix",
        unit="brix",
        us_unit="brix",
        units=("brix",),
        possible=(0.0, 35.0),
        show=lambda value, units: f"{figures.number(value, 1)} brix",
    ),
    Quantity.MASH_PH: QuantitySpec(
        spoken="mash pH",
        unit="pH",
        us_unit="pH",
        units=("pH",),
        possible=(3.0, 9.0),
        show=lambda value, units: f"pH {figures.number(value, 2)}",
    ),
    Quantity.SLURRY_VOLUME: QuantitySpec(
        spoken="slurry",
        unit="mL",
        us_unit="fluid_ounce",
        units=("mL", "fluid_ounce"),
        possible=(1.0, 20_000.0),
        show=figures.small_volume,
    ),
    Quantity.BOILING: QuantitySpec(
        spoken="boiling",
        unit="1",
        us_unit="1",
        units=("1",),
        possible=(0.0, 1.0),
        show=lambda value, units: "boiling" if value else "not boiling yet",
    ),
}
