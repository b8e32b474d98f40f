"""Whether what was heard is what the plan and the readings before it make likely."""

from assistant.day.events import Event, NumberSaid, ReadingTaken
from assistant.day.listening import Listening
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.schedule.units import convert


def is_likely(event: Event, context: Listening) -> bool | None:
    """Whether a reading is in its likely range; None where nothing is known of it."""
    match event:
        case ReadingTaken(quantity=quantity, value=value, unit=unit):
            return _in_range(quantity, value, unit, context)
        case NumberSaid(value=value, unit=unit):
            found = [
                _in_range(quantity, value, unit or spec.asked_unit(context.units), context)
                for quantity in context.asked
                if unit is None or unit in QUANTITIES[quantity].units
                for spec in (QUANTITIES[quantity],)
            ]
            known = [one for one in found if one is not None]
            return any(known) if known else None
        case _:
            return None


def _in_range(quantity: Quantity, value: float, unit: str, context: Listening) -> bool | None:
    bounds = context.likely.get(quantity)
    spec = QUANTITIES[quantity]
    if bounds is None or unit not in spec.units:
        return None
    kept = value
    if unit != spec.unit:
        kept = 1 + value / 250 if unit == "degP" else convert(value, unit, spec.unit)
    return bounds[0] <= kept <= bounds[1]
