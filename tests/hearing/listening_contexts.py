"""Moments of a brew day to say things in."""

from dataclasses import replace

from assistant.advice.timeline import Stage
from assistant.day.listening import Listening
from assistant.day.quantities import Quantity
from assistant.schedule.model import Units

BOIL = Listening(
    stage=Stage.BOIL,
    units=Units.METRIC,
    asked=(),
    options=(),
    additions=(
        "Challenger",
        "East Kent Goldings",
        "First Gold at 10 minutes",
        "First Gold at whirlpool",
        "kettle finings",
    ),
    timers=("boil", "East Kent Goldings", "kettle finings", "timer", "yeast", "wort chiller"),
)
US_BOIL = replace(BOIL, units=Units.US)


def asking(*quantities: Quantity, units: Units = Units.METRIC) -> Listening:
    return replace(BOIL, asked=quantities, units=units)
