"""Sensors that can't be reached or fall silent: told once, and once when they are back."""

from dataclasses import replace

from assistant.day.effects import Say, Why
from assistant.day.events import SensorsTroubled, SensorTrouble
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.sensor_state import Sensing
from assistant.day.unrest import put, stirred, unrest_of

ALL = "all"


def after_trouble_of_sensors(
    sensing: Sensing, event: SensorsTroubled
) -> tuple[Sensing, tuple[Say, ...]]:
    """Which sensors can't be had after an event, and what is said of it: nothing where it is known.

    What comes and goes is told as that, once.
    """
    after = _after(sensing, event)
    if after == sensing:
        return sensing, ()
    field = ALL if event.quantity is None else event.quantity.value
    was = unrest_of(field, sensing.unrest)
    now = stirred(was, event.at)
    after = replace(after, unrest=put(now, sensing.unrest))
    if now.told:
        restless = Say(text=_restless(event.quantity), why=Why.WARNING)
        return after, () if was.told else (restless,)
    why = Why.WARNING if is_loss(event.trouble) else Why.PROMPT
    return after, (Say(text=sensor_words(event), why=why),)


def is_loss(trouble: SensorTrouble) -> bool:
    """Whether something can't be had from now on, rather than again."""
    return trouble in (SensorTrouble.GONE, SensorTrouble.SILENT)


def sensor_words(event: SensorsTroubled) -> str:
    """What is said of a trouble of the sensors, or would be if it were not told already."""
    match event.trouble:
        case SensorTrouble.GONE:
            return "The sensors can't be reached. Read by hand."
        case SensorTrouble.BACK:
            return "The sensors are back."
        case SensorTrouble.SILENT:
            return f"{_one(event.quantity)} is silent. Read by hand."
        case SensorTrouble.HEARD_AGAIN:
            return f"{_one(event.quantity)} is back."


def _after(sensing: Sensing, event: SensorsTroubled) -> Sensing:
    others = tuple(each for each in sensing.silent if each is not event.quantity)
    match event.trouble, event.quantity:
        case SensorTrouble.GONE, None:
            return replace(sensing, gone=True)
        case SensorTrouble.BACK, None:
            return replace(sensing, gone=False)
        case SensorTrouble.SILENT, Quantity() as quantity if quantity not in sensing.silent:
            return replace(sensing, silent=(*sensing.silent, quantity))
        case SensorTrouble.HEARD_AGAIN, Quantity():
            return replace(sensing, silent=others)
    return sensing


def _one(quantity: Quantity | None) -> str:
    return "A sensor" if quantity is None else f"The {QUANTITIES[quantity].spoken} sensor"


def _restless(quantity: Quantity | None) -> str:
    if quantity is None:
        return "The sensors come and go. Read by hand."
    return f"{_one(quantity)} comes and goes. Read by hand."
