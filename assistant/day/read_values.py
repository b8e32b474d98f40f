"""What was read, in the unit it is kept in: a figure in words becomes a figure to reckon with."""

from assistant.advice import figures
from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import gravity_from_plato, hydrometer_at_20
from assistant.brewing.water import volume_at_20
from assistant.day.effects import ReadingJudged
from assistant.day.events import ReadingTaken
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.schedule.units import convert

VOLUMES = (Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME)


def possible_value(event: ReadingTaken) -> float | None:
    """The value in the unit its quantity is kept in; None for one that can't be.

    Its unit must be one the quantity is read in.
    """
    spec = QUANTITIES[event.quantity]
    try:
        value = _kept(event)
    except OutOfRange:
        return None
    low, high = spec.possible
    return value if low <= value <= high else None


def _kept(event: ReadingTaken) -> float:
    if event.quantity is Quantity.GRAVITY and event.unit == "degP":
        return gravity_from_plato(event.value)
    kept = QUANTITIES[event.quantity].unit
    return event.value if event.unit == kept else convert(event.value, event.unit, kept)


def at_20(quantity: Quantity, value: float, sample_c: float | None, hydrometer_c: float) -> float:
    """A volume or a gravity read at ``sample_c`` as it is at 20 °C; anything else as it is.

    ``hydrometer_c`` is the temperature printed on the hydrometer. Raises
    :class:`~assistant.brewing.errors.OutOfRange` where it can't be corrected.
    """
    if sample_c is None:
        return value
    if quantity in VOLUMES:
        return volume_at_20(value, sample_c)
    if quantity is Quantity.GRAVITY:
        return hydrometer_at_20(value, sample_c, hydrometer_c)
    return value


def not_taken(event: ReadingTaken, reason: str) -> ReadingJudged:
    """What is told of a reading that is not on the record, or not yet."""
    return ReadingJudged(
        quantity=event.quantity,
        value=event.value,
        unit=event.unit,
        accepted=False,
        reason=reason,
    )


def as_said(event: ReadingTaken) -> str:
    """The figure and the unit of a reading as they came, for the words of a refusal."""
    if event.unit == "pH":
        return f"pH {figures.number(event.value, 2)}"
    unit = "" if event.unit in ("SG", "1") else f" {event.unit}"
    return f"{figures.number(event.value, 3)}{unit}"
