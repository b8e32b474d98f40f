"""A small, good schedule to spoil or to add to, one top-level key to a line."""

from assistant.schedule import Fault, Schedule, ScheduleError, load_text

FILE = "ale.yaml"

GOOD = {
    "beer": "Quayside Ale",
    "volume": "20 L",
    "kettle": "{holds: 30 L, heater: {power: 2.5 kW}}",
    "grist": "[{malt: pale malt, weight: 4 kg}]",
    "mash": "[{at: 66 degC, for: 60 min}]",
    "boil": "{for: 70 min}",
    "yeast": "{name: ale yeast}",
}


def schedule_text(**changes: str | None) -> str:
    """The good schedule with keys replaced, added at its end, or (None) left out."""
    parts = {**GOOD, **changes}
    return "".join(f"{key}: {value}\n" for key, value in parts.items() if value is not None)


def line_of(key: str) -> int:
    """The line of a key of ``schedule_text``, also of one added at the end."""
    return [*GOOD, key].index(key) + 1


def schedule_with(**changes: str | None) -> Schedule:
    """The checked schedule of ``schedule_text``."""
    return load_text(schedule_text(**changes), FILE)


def faults_of(text: str, kettle_text: str | None = None) -> tuple[Fault, ...]:
    """The faults of a text; it fails where there are none."""
    try:
        load_text(text, FILE, kettle_text)
    except ScheduleError as error:
        return error.faults
    raise AssertionError("the schedule was taken without a fault")


def kettle(keys: str) -> str:
    return "{holds: 30 L, heater: {power: 2.5 kW}, KEYS}".replace("KEYS", keys)


def malt(keys: str) -> str:
    return "[{malt: pale malt, KEYS}]".replace("KEYS", keys)


def hops(keys: str) -> str:
    return "[{add: Challenger, weight: 25 g, KEYS}]".replace("KEYS", keys)
