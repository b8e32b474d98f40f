"""The file of the sensors: the broker, and which topic tells which quantity in which unit.

It is read as a schedule is: all of its faults are told at once. A password never stands in it, only
where it is to be had.
"""

from dataclasses import dataclass, replace
from pathlib import Path

from assistant.day.quantities import QUANTITIES, Quantity
from assistant.schedule.faults import Place, Report, ScheduleError
from assistant.schedule.groups import Values, take
from assistant.schedule.reading import Unreadable, read_text, read_tree
from assistant.schedule.units import UnitError, convert_difference, parse_quantity
from assistant.sensor_broker import Broker, build_broker
from assistant.sensor_payload import WHOLE, FieldPath
from assistant.sensor_tables import EVERY_S, SENSORS
from assistant.wire import UNITLESS, BadLine, reading_event


@dataclass(frozen=True, kw_only=True)
class Topic:
    """One sensor: what its messages mean and how often one becomes a reading.

    ``add`` is added to each value, in ``unit``, to put the sensor right.
    """

    topic: str
    quantity: Quantity
    unit: str | None
    path: FieldPath = WHOLE
    every_s: float = EVERY_S
    add: float = 0.0


@dataclass(frozen=True, kw_only=True)
class SensorCard:
    """A checked file; ``warnings`` are what of it is not as safe as it could be."""

    broker: Broker
    topics: tuple[Topic, ...]
    warnings: tuple[str, ...] = ()


def slowed(card: SensorCard, every_s: float) -> SensorCard:
    """The sensors of a card, each read once in ``every_s`` seconds at most."""
    topics = (replace(topic, every_s=max(topic.every_s, every_s)) for topic in card.topics)
    return replace(card, topics=tuple(topics))


def load_sensors(path: Path) -> SensorCard:
    """Read and check a file of sensors. Raises ScheduleError with every fault of it."""
    report = Report(file=str(path))
    card = None
    try:
        values = take(SENSORS, read_tree(read_text(path), report), report.top())
    except Unreadable as fault:
        # An empty file is one that can be read: what is missing are the keys.
        wanted = SENSORS.wanted if fault.found == "an empty file" else fault.wanted
        report.add(fault.line, None, fault.found, wanted)
    else:
        card = _card(values, path.parent, report) if values is not None else None
    if report.faults or card is None:
        raise ScheduleError(tuple(report.in_order()))
    return card


def _card(values: Values, folder: Path, report: Report) -> SensorCard | None:
    broker, listed = values.get("broker"), values.get("topics") or ()
    warnings: list[str] = []
    place = report.top()
    checked = (
        None if broker is None else build_broker(broker, place.under("broker"), folder, warnings)
    )
    topics = [
        None if topic is None else _topic(topic, place.under("topics").item(number))
        for number, topic in enumerate(listed, start=1)
    ]
    _report_twice([topic for topic in listed if topic is not None], place.under("topics"))
    if checked is None or report.faults:
        return None
    kept = tuple(topic for topic in topics if topic is not None)
    return SensorCard(broker=checked, topics=kept, warnings=tuple(warnings))


def _report_twice(topics: list[Values], place: Place) -> None:
    first: dict[Quantity, int] = {}
    for topic in topics:
        quantity = topic.get("quantity")
        if quantity is None:
            continue
        line = topic.line_of("quantity")
        if quantity in first:
            found = f"{quantity.value} again, first on line {first[quantity]}"
            place.under("quantity").fault(line, found, "one sensor for each quantity")
        first.setdefault(quantity, line)


def _topic(values: Values, place: Place) -> Topic | None:
    quantity, unit = values.get("quantity"), values.get("unit")
    if quantity is None or values.get("topic") is None or (unit is None and values.gives("unit")):
        return None
    try:
        reading_event({"quantity": quantity.value, "value": 1, "unit": unit}, at=0.0)
    except BadLine:
        spec = QUANTITIES[quantity]
        wanted = f"a unit of a {spec.spoken}: {' or '.join(spec.units)}, or one like it"
        place.under("unit").fault(values.line_of("unit"), values.written("unit"), wanted)
        return None
    add = _added(values, unit, place.under("add"))
    every_s, path = values.get("every"), values.get("field")
    if add is None or every_s is None or path is None:
        return None
    return Topic(
        topic=values["topic"],
        quantity=quantity,
        unit=unit,
        path=path,
        every_s=every_s,
        add=add,
    )


def _added(values: Values, unit: str | None, place: Place) -> float | None:
    """What is added to each value, in its unit; None once its fault is reported."""
    text = values.get("add")
    if text is None:
        return None if values.gives("add") else 0.0
    wanted = "a difference in a unit of the sensor such as -0.4 degC"
    try:
        difference = parse_quantity(text)
        if unit is None or unit in UNITLESS.values() or difference.unit == unit:
            if difference.unit not in ("", unit):
                raise UnitError(f"{difference.unit} is not {unit}")
            return difference.value
        return convert_difference(difference.value, difference.unit, unit)
    except UnitError:
        place.fault(values.line_of("add"), text, wanted)
        return None
