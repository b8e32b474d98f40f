"""What is heard of one sensor: its messages, its readings and its silence."""

from dataclasses import dataclass

from assistant.day.events import SensorTrouble
from assistant.day.quantities import Quantity
from assistant.schedule.faults import harmless
from assistant.sensor_card import Topic
from assistant.sensor_pace import Paced
from assistant.sensor_payload import NoNumber, number_in
from assistant.wire import BadLine, reading_event


@dataclass(frozen=True, kw_only=True)
class SensorReading:
    """What a sensor shows now, in a unit that the quantity is read in."""

    quantity: Quantity
    value: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class SensorNews:
    """A ``trouble`` with all sensors or with that of one ``quantity``, a ``line`` to show, or both.

    Of a ``line`` alone the day need not know.
    """

    trouble: SensorTrouble | None = None
    quantity: Quantity | None = None
    line: str = ""


class Sensor:
    """One topic of the card with what has come of it; it belongs to who holds the lock.

    ``now_s`` is of one clock that never goes back.
    """

    def __init__(self, topic: Topic, now_s: float) -> None:
        self._of = topic
        self.topic, self.quantity = topic.topic, topic.quantity
        self._unit = self._reading(1.0).unit
        self._pace = Paced(every_s=topic.every_s, unit=self._unit, from_s=now_s)
        self._unusable = 0

    @property
    def silent(self) -> bool:
        """Whether it was found silent and has not been heard since."""
        return self._pace.silent

    @property
    def silence(self) -> SensorNews:
        """What is to be told of its silence."""
        line = f"Nothing comes of {harmless(self.topic)}."
        return SensorNews(trouble=SensorTrouble.SILENT, quantity=self.quantity, line=line)

    def take_in(self, payload: bytes, now_s: float) -> SensorNews | None:
        """A message came; what is to be told of it, which is little."""
        try:
            value = self._reading(number_in(payload, self._of.path) + self._of.add).value
        except (NoNumber, BadLine) as error:
            self._unusable += 1
            if self._unusable > 1:
                return None
            line = f"{harmless(self.topic)}: found {error}; wanted a number. It is passed over."
            return SensorNews(line=line)
        if not self._pace.came(value, now_s):
            return None
        line = f"{harmless(self.topic)} is heard again."
        return SensorNews(trouble=SensorTrouble.HEARD_AGAIN, quantity=self.quantity, line=line)

    def reading(self, now_s: float, *, wanted: bool) -> SensorReading | None:
        """The reading to take now, if there is one; where it is ``wanted``, unmoved as well."""
        value = self._pace.due(now_s, wanted=wanted)
        if value is None:
            return None
        return SensorReading(quantity=self.quantity, value=round(value, 4), unit=self._unit)

    def fell_silent(self, now_s: float) -> bool:
        """Whether it falls silent at this moment."""
        return self._pace.fell_silent(now_s)

    def waits_from(self, now_s: float) -> None:
        """Nothing could be heard until now."""
        self._pace.waits_from(now_s)

    def _reading(self, value: float) -> SensorReading:
        """A value in a unit the day knows, by the same way as a line of the pipe."""
        body = {"quantity": self.quantity.value, "value": value, "unit": self._of.unit}
        read = reading_event(body, at=0.0)
        return SensorReading(quantity=read.quantity, value=read.value, unit=read.unit)
