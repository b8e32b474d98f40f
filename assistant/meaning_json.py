"""What words mean, as small JSON objects for programs and as a few words for people."""

import json
from collections.abc import Mapping
from typing import Any

from assistant.day.events import (
    CommandGiven,
    Event,
    HeardUnsurely,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    TimerRequested,
)


def meaning_json(event: Event | None) -> Mapping[str, Any] | None:
    """A meaning as an object of the JSON lines; None where there is nothing to act on."""
    match event:
        case CommandGiven(command=command, subject=None):
            return {"command": command.value}
        case CommandGiven(command=command, subject=subject):
            return {"command": command.value, "subject": subject}
        case ReadingTaken(sample_c=None):
            return {"quantity": event.quantity.value, "value": event.value, "unit": event.unit}
        case ReadingTaken():
            return {
                "quantity": event.quantity.value,
                "value": event.value,
                "unit": event.unit,
                "temperature": {"value": event.sample_c, "unit": "degC"},
            }
        case NumberSaid(unit=None):
            return {"value": event.value}
        case NumberSaid():
            return {"value": event.value, "unit": event.unit}
        case TimerRequested():
            return {"timer": event.name, "seconds": event.seconds}
        case OptionChosen():
            return {"option": event.say}
        case NoteTaken():
            return {"note": event.text}
        case _:
            return None


def unsure_words(heard: HeardUnsurely) -> str:
    """``not sure: 15 or 50?``: the figures where the meanings differ in nothing else."""
    told = [dict(meaning_json(meaning) or {}) for meaning in heard.meanings]
    if len({json.dumps({**one, "value": 0}) for one in told}) == 1 and "value" in told[0]:
        labels = [f"{one['value']:g}" for one in told]
    else:
        labels = [_label(one) for one in told]
    return f"not sure: {' or '.join(labels)}?"


def meaning_words(event: Event | None) -> str:
    """A meaning on one line, such as ``mash_temperature 66.5 degC``."""
    told = meaning_json(event)
    return "nothing to act on" if told is None else _label(told)


def _label(told: Mapping[str, Any]) -> str:
    parts = []
    for key, value in told.items():
        if isinstance(value, Mapping):
            parts.append(f"at {_label(value)}")
        elif isinstance(value, float):
            parts.append(f"{value:g}{' s' if key == 'seconds' else ''}")
        elif value is not None and (key, value) not in (("unit", "SG"), ("unit", "1")):
            parts.append(str(value))
    return " ".join(parts)
