"""What the simulated brewer reads off each instrument, and the sentence it is said in.

A person reads a thermometer to half a degree Celsius or a whole degree Fahrenheit, a hydrometer to
0.001, a dipstick to a quarter of a litre or of a gallon. The scatter is common practice, no source.
"""

import random
from collections.abc import Callable, Mapping

from assistant.advice.figures import number
from assistant.day.quantities import Quantity
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.schedule.model import Units
from assistant.schedule.units import convert

THERMOMETER_SCATTER_K = 0.15
HYDROMETER_SCATTER = 0.0004
DIPSTICK_SCATTER_L = 0.08


class Instruments:
    """The brewer's thermometer, hydrometer and dipstick, in the brewer's units."""

    def __init__(self, kettle: SimulatedKettle, units: Units, source: random.Random) -> None:
        self.kettle = kettle
        self.units = units
        self.source = source

    def sentence(self, quantity: Quantity) -> str:
        """Read an instrument and say it; what nobody could read is skipped."""
        saying = SAYINGS.get(quantity)
        return saying(self) if saying else "skip"

    def temperature(self, true_c: float) -> str:
        """A temperature as read."""
        read_c = true_c + self.kettle.truths.thermometer_k
        read_c += self.source.gauss(0.0, THERMOMETER_SCATTER_K)
        if self.units is Units.US:
            return number(convert(read_c, "degC", "degF"), 0)
        return number(round(read_c * 2) / 2, 1)

    def volume(self, true_l: float) -> str:
        """A volume as read."""
        read_l = max(true_l + self.source.gauss(0.0, DIPSTICK_SCATTER_L), 0.25)
        shown = convert(read_l, "L", "gal") if self.units is Units.US else read_l
        return number(round(shown * 4) / 4, 2)

    def gravity(self, true: float) -> str:
        """A gravity as read, sample cooled."""
        return f"{true + self.source.gauss(0.0, HYDROMETER_SCATTER):.3f}"

    def kettle_temperature(self, name: str) -> str:
        """``mash temperature 64.5``, said one way or another."""
        shown = self.temperature(self.kettle.temperature_c)
        return self.source.choice((f"{name} temperature {shown}", f"{name} temperature is {shown}"))

    def kettle_volume(self) -> str:
        """``kettle volume 25.5 at 80 degrees``."""
        volume = self.volume(self.kettle.volume_as_it_stands_l)
        warm = self.temperature(self.kettle.temperature_c)
        return f"kettle volume {volume} at {warm} degrees"

    def gravity_of_wort(self) -> str:
        """``gravity 1.046``, of whatever holds the wort."""
        inside = self.kettle.fermenter
        return f"gravity {self.gravity(self.kettle.gravity if inside is None else inside.gravity)}"

    def fermenter_volume(self) -> str:
        """``fermenter volume 19.75``."""
        inside = self.kettle.fermenter
        return f"fermenter volume {self.volume(inside.volume_l if inside else 0.0)}"

    def fermenter_temperature(self) -> str:
        """``fermenter temperature 18.5``."""
        inside = self.kettle.fermenter
        warm_c = inside.temperature_c if inside else self.kettle.temperature_c
        return f"fermenter temperature {self.temperature(warm_c)}"

    def boiling(self) -> str:
        """``boiling`` or ``not yet``."""
        return "boiling" if self.kettle.steaming else "not yet"


SAYINGS: Mapping[Quantity, Callable[[Instruments], str]] = {
    Quantity.WATER_TEMPERATURE: lambda read: read.kettle_temperature("water"),
    Quantity.MASH_TEMPERATURE: lambda read: read.kettle_temperature("mash"),
    Quantity.KETTLE_TEMPERATURE: lambda read: read.kettle_temperature("kettle"),
    Quantity.FERMENTER_TEMPERATURE: Instruments.fermenter_temperature,
    Quantity.KETTLE_VOLUME: Instruments.kettle_volume,
    Quantity.FERMENTER_VOLUME: Instruments.fermenter_volume,
    Quantity.GRAVITY: Instruments.gravity_of_wort,
    Quantity.BOILING: Instruments.boiling,
}
