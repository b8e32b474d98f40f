"""What the simulated brewer reads off each instrument, and the sentence it is said in.

A person reads a thermometer to half a degree Celsius or a whole degree Fahrenheit, a hydrometer to
0.001, a dipstick to a quarter of a litre or of a gallon. The scatter is common practice, no source.
"""

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from assistant.advice.figures import number
from assistant.brewing.gravity import plato_from_gravity
from assistant.day.quantities import Quantity
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.schedule.model import Schedule, Units
from assistant.schedule.units import convert


@dataclass(frozen=True, kw_only=True)
class Noise:
    """How finely the instruments are read and how they scatter (standard deviations).

    A volume's scatter is the root of the sum of squares of ``volume_l`` and of ``volume_share`` of
    the volume; ``volume_step`` is in the brewer's own unit.
    """

    thermometer_k: float = 0.15
    thermometer_step_c: float = 0.5
    thermometer_step_f: float = 1.0
    hydrometer: float = 0.0004
    hydrometer_step: float = 0.001
    volume_l: float = 0.08
    volume_share: float = 0.0
    volume_step: float = 0.25


@dataclass(frozen=True, kw_only=True)
class Seen:
    """A value as read, in the brewer's unit; ``sample_c`` is what a volume's wort was read at."""

    value: float
    unit: str
    sample_c: float | None = None


TOP_UP_C = 4.0
"""Top-up water out of a refrigerator; common practice, no source."""


class Instruments:
    """The brewer's thermometer, hydrometer and dipstick, in the brewer's units."""

    def __init__(
        self,
        kettle: SimulatedKettle,
        schedule: Schedule,
        source: random.Random,
        noise: Noise | None = None,
    ) -> None:
        self.kettle = kettle
        self.schedule = schedule
        self.source = source
        self.noise = noise or Noise()

    @property
    def us(self) -> bool:
        """Whether the brewer reads in US measure."""
        return self.schedule.units is Units.US

    def sentence(self, quantity: Quantity) -> str:
        """Read an instrument and say it; what nobody could read is skipped."""
        seen = self.seen(quantity)
        return "skip" if seen is None else SAYINGS[quantity](self, seen)

    def seen(self, quantity: Quantity) -> Seen | None:
        """Read an instrument; None for what nobody could read."""
        reading = READINGS.get(quantity)
        return reading(self) if reading else None

    def temperature(self, true_c: float) -> Seen:
        """A temperature as read."""
        read_c = true_c + self.kettle.truths.thermometer_k
        read_c += self.source.gauss(0.0, self.noise.thermometer_k)
        if self.us:
            step_f = self.noise.thermometer_step_f
            return Seen(value=_stepped(convert(read_c, "degC", "degF"), step_f), unit="degF")
        return Seen(value=_stepped(read_c, self.noise.thermometer_step_c), unit="degC")

    def volume(self, true_l: float) -> Seen:
        """A volume as read."""
        scatter_l = math.hypot(self.noise.volume_l, self.noise.volume_share * true_l)
        read_l = max(true_l + self.source.gauss(0.0, scatter_l), 0.25)
        unit = "gal" if self.us else "L"
        return Seen(value=_stepped(convert(read_l, "L", unit), self.noise.volume_step), unit=unit)

    def gravity(self, true: float) -> Seen:
        """A gravity as read, sample cooled."""
        read = true + self.source.gauss(0.0, self.noise.hydrometer)
        return Seen(value=_stepped(read, self.noise.hydrometer_step), unit="SG")

    def kettle_volume(self) -> Seen:
        """What stands in the kettle, with its temperature."""
        volume = self.volume(self.kettle.volume_as_it_stands_l)
        warm = self.temperature(self.kettle.shown_c)
        return replace(volume, sample_c=convert(warm.value, warm.unit, "degC"))

    def gravity_of_wort(self) -> Seen:
        """Of whatever holds the wort; of a mash, a stirred sample of its liquor."""
        inside = self.kettle.fermenter
        return self.gravity(self.kettle.sample_gravity if inside is None else inside.gravity)

    def brix(self) -> Seen:
        """The same by refractometer, to a tenth."""
        correction = self.schedule.kettle.wort_correction
        plato = plato_from_gravity(max(self.gravity_of_wort().value, 1.0))
        return Seen(value=_stepped(plato * correction, 0.1), unit="brix")

    def fermenter_volume(self) -> Seen:
        """What is in the fermenter."""
        inside = self.kettle.fermenter
        return self.volume(inside.volume_l if inside else 0.0)

    def fermenter_temperature(self) -> Seen:
        """How warm that is."""
        inside = self.kettle.fermenter
        return self.temperature(inside.temperature_c if inside else self.kettle.shown_c)

    def boiling(self) -> Seen:
        """Whether it boils."""
        return Seen(value=1.0 if self.kettle.steaming else 0.0, unit="1")

    def one_way_or_another(self, name: str, seen: Seen) -> str:
        """``mash temperature 64.5``."""
        shown = _figure(seen)
        return self.source.choice((f"{name} temperature {shown}", f"{name} temperature is {shown}"))

    def volume_and_temperature(self, seen: Seen) -> str:
        """``kettle volume 25.5 at 80 degrees``."""
        warm_c = seen.sample_c or 0.0
        warm = Seen(value=warm_c, unit="degC")
        if self.us:
            warm = Seen(value=convert(warm_c, "degC", "degF"), unit="degF")
        return f"kettle volume {_figure(seen)} at {_figure(warm)} degrees"


def _stepped(value: float, step: float) -> float:
    """To the nearest step, without the dust that binary fractions leave."""
    return round(round(value / step) * step, 6)


def _figure(seen: Seen) -> str:
    return number(seen.value, DECIMALS[seen.unit])


DECIMALS = {"degC": 1, "degF": 0, "L": 2, "gal": 2, "brix": 1}

READINGS: Mapping[Quantity, Callable[[Instruments], Seen]] = {
    Quantity.WATER_TEMPERATURE: lambda read: read.temperature(read.kettle.shown_c),
    Quantity.MASH_TEMPERATURE: lambda read: read.temperature(read.kettle.shown_c),
    Quantity.KETTLE_TEMPERATURE: lambda read: read.temperature(read.kettle.shown_c),
    Quantity.ROOM_TEMPERATURE: lambda read: read.temperature(read.kettle.true.room_c),
    Quantity.TOP_UP_TEMPERATURE: lambda read: read.temperature(TOP_UP_C),
    Quantity.FERMENTER_TEMPERATURE: Instruments.fermenter_temperature,
    Quantity.KETTLE_VOLUME: Instruments.kettle_volume,
    Quantity.FERMENTER_VOLUME: Instruments.fermenter_volume,
    Quantity.GRAVITY: Instruments.gravity_of_wort,
    Quantity.BRIX: Instruments.brix,
    Quantity.BOILING: Instruments.boiling,
}

SAYINGS: Mapping[Quantity, Callable[[Instruments, Seen], str]] = {
    Quantity.WATER_TEMPERATURE: lambda by, seen: by.one_way_or_another("water", seen),
    Quantity.MASH_TEMPERATURE: lambda by, seen: by.one_way_or_another("mash", seen),
    Quantity.KETTLE_TEMPERATURE: lambda by, seen: by.one_way_or_another("kettle", seen),
    Quantity.ROOM_TEMPERATURE: lambda by, seen: by.one_way_or_another("room", seen),
    Quantity.TOP_UP_TEMPERATURE: lambda by, seen: by.one_way_or_another("top-up", seen),
    Quantity.FERMENTER_TEMPERATURE: lambda by, seen: f"fermenter temperature {_figure(seen)}",
    Quantity.KETTLE_VOLUME: Instruments.volume_and_temperature,
    Quantity.FERMENTER_VOLUME: lambda by, seen: f"fermenter volume {_figure(seen)}",
    Quantity.GRAVITY: lambda by, seen: f"gravity {seen.value:.3f}",
    Quantity.BRIX: lambda by, seen: f"brix {_figure(seen)}",
    Quantity.BOILING: lambda by, seen: "boiling" if seen.value else "not yet",
}
