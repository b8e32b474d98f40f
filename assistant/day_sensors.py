"""What the loop of a day needs of sensors, and the sensors of a day that has none."""

from collections.abc import Collection
from typing import Protocol

from assistant.day.quantities import Quantity
from assistant.sensor_heard import SensorNews, SensorReading


class DaySensors(Protocol):
    """What the loop needs of sensors; see :class:`~assistant.sensing.Sensors`."""

    @property
    def trouble(self) -> str:
        """What is wrong now; empty while nothing is."""
        ...

    def taken(self, wanted: Collection[Quantity] = ()) -> list[SensorReading]:
        """The readings to take now."""
        ...

    def news(self) -> list[SensorNews]:
        """What went wrong, or right again, since the last time."""
        ...


class NoSensors:
    """A day that is read by hand."""

    trouble = ""

    def taken(self, wanted: Collection[Quantity] = ()) -> list[SensorReading]:
        """Never any."""
        return []

    def news(self) -> list[SensorNews]:
        """Never anything."""
        return []
