"""The pipe's lines: a JSON object to an event, an effect to a JSON object."""

import json
import math
from collections.abc import Mapping
from dataclasses import fields
from typing import Any, TypeGuard

from assistant.advice.actions import Action, Option
from assistant.day.effects import (
    AdviceOffered,
    AskOpened,
    Effect,
    ForecastChanged,
    Hushed,
    ReadingJudged,
    Refused,
    Say,
    StageBegan,
    TaskOpened,
    TimerChanged,
    VoiceChanged,
)
from assistant.day.events import Event, ReadingTaken, Source, TaskDone, TimePassed
from assistant.day.listening import Listening
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.hearing.words import understand
from assistant.schedule.faults import harmless
from assistant.schedule.units import UnitError, convert

LATEST_S = 30 * 24 * 3600.0
"""No brew day lasts a month; a larger ``at`` is a slip."""

CONTENTS = ("say", "reading", "done")
UNITLESS = {
    Quantity.GRAVITY: "SG",
    Quantity.BRIX: "brix",
    Quantity.MASH_PH: "pH",
    Quantity.BOILING: "1",
}


class BadLine(ValueError):
    """A line that can't be used; its message says what was found and what is wanted."""


def parse_line(raw: bytes) -> Mapping[str, Any]:
    """The object on a line. Raises :class:`BadLine` for anything else."""
    try:
        line = json.loads(raw)
    except (ValueError, RecursionError):
        raise BadLine(
            f"{_found(raw.decode(errors='replace').strip())} is not JSON; "
            'wanted is one object a line such as {"at": 610, "say": "done"}'
        ) from None
    if not isinstance(line, dict):
        raise BadLine(f"the line holds {_found(line)}; wanted is an object with at")
    unknown = [key for key in line if key not in ("at", *CONTENTS)]
    if unknown:
        raise BadLine(f"{_found(unknown[0])} is not known; wanted are at and say, reading or done")
    if sum(key in line for key in CONTENTS) > 1:
        raise BadLine("a line holds one of say, reading and done, not several")
    return line


def line_at(line: Mapping[str, Any], before_s: float, latest_s: float = LATEST_S) -> float:
    """The seconds of a line. Raises :class:`BadLine` where they go back or are none."""
    at = line.get("at")
    if not _is_number(at) or not 0 <= at <= latest_s:
        raise BadLine(f"at is {_found(at)}; wanted are seconds since the day began")
    if at < before_s:
        raise BadLine(f"at {at:g} lies before {before_s:g}: time never goes back")
    return float(at)


def line_event(line: Mapping[str, Any], at: float, context: Listening) -> Event:
    """The event on a line, words understood as they are meant now.

    Raises :class:`BadLine`, or :class:`~assistant.hearing.words.NotUnderstood` for words.
    """
    if "say" in line:
        words = line["say"]
        if not isinstance(words, str):
            raise BadLine(f"say holds {_found(words)}; wanted are words")
        return understand(words, context, at)
    if "reading" in line:
        return reading_event(line["reading"], at)
    if "done" in line:
        task_id = line["done"]
        if not isinstance(task_id, int) or isinstance(task_id, bool):
            raise BadLine(f"done holds {_found(task_id)}; wanted is a task's number")
        return TaskDone(at=at, task_id=task_id)
    return TimePassed(at=at)


def reading_event(body: object, at: float) -> ReadingTaken:
    """A reading's event, in a unit the core knows. Raises :class:`BadLine` where it is none."""
    if not isinstance(body, dict):
        raise BadLine(f"reading holds {_found(body)}; wanted are quantity, value and unit")
    unknown = [key for key in body if key not in ("quantity", "value", "unit", "temperature")]
    if unknown:
        raise BadLine(
            f"{_found(unknown[0])} is no part of a reading: quantity, value, unit, temperature"
        )
    try:
        quantity = Quantity(body.get("quantity"))
    except ValueError:
        names = ", ".join(q.value for q in Quantity)
        raise BadLine(
            f"quantity is {_found(body.get('quantity'))}; wanted is one of {names}"
        ) from None
    value = body.get("value")
    if not _is_number(value):
        raise BadLine(f"value is {_found(value)}; wanted is a number")
    value, unit = _in_known_unit(quantity, float(value), body.get("unit"))
    return ReadingTaken(
        at=at,
        quantity=quantity,
        value=value,
        unit=unit,
        sample_c=_sample_c(body.get("temperature")),
        source=Source.SENSOR,
    )


def _in_known_unit(quantity: Quantity, value: float, unit: object) -> tuple[float, str]:
    spec = QUANTITIES[quantity]
    wanted = " or ".join(spec.units)
    if quantity in UNITLESS and unit in (None, "", "1", "sg"):
        return value, UNITLESS[quantity]
    if unit in spec.units:
        return value, str(unit)
    if not isinstance(unit, str) or not unit:
        raise BadLine(f"unit is {_found(unit)}; {quantity.value} is read in {wanted}")
    try:
        return convert(value, unit, spec.unit), spec.unit
    except UnitError:
        raise BadLine(f"unit is {_found(unit)}; {quantity.value} is read in {wanted}") from None


def _sample_c(temperature: object) -> float | None:
    """A sample's temperature in °C: a bare number is °C, or ``{"value": 104, "unit": "degF"}``."""
    if temperature is None:
        return None
    value, unit = temperature, "degC"
    if isinstance(temperature, dict):
        value, unit = temperature.get("value"), temperature.get("unit", "degC")
    if not _is_number(value) or not isinstance(unit, str) or unit not in ("degC", "degF"):
        raise BadLine(f"temperature is {_found(temperature)}; wanted are degrees Celsius")
    return convert(float(value), unit, "degC")


def _is_number(value: object) -> TypeGuard[float]:
    return (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and abs(value) < 1e12
        and math.isfinite(value)
    )


def _found(value: object) -> str:
    try:
        return harmless(value if isinstance(value, str) else json.dumps(value, default=str))
    except RecursionError:
        # A line can nest just deep enough to be read, but not to be written again.
        return "something nested too deep"


def effect_json(effect: Effect, at: float) -> dict[str, Any] | None:
    """An effect as the object that goes out; None for what is a loudspeaker's business only."""
    head: dict[str, Any] = {"at": at}
    match effect:
        case Say():
            return head | {"kind": "say", "text": effect.text, "why": effect.why.value}
        case StageBegan():
            rest = {} if effect.rest is None else {"rest": effect.rest}
            return head | {"kind": "stage", "stage": effect.stage.value} | rest
        case TaskOpened():
            return head | {"kind": "task", "id": effect.id} | action_json(effect.action)
        case AskOpened():
            return head | {
                "kind": "ask",
                "id": effect.id,
                "quantity": effect.quantity.value,
                "unit": effect.unit,
                "why": effect.why,
            }
        case TimerChanged():
            return head | {
                "kind": "timer",
                "name": effect.name,
                "state": effect.state.value,
                "due": effect.due,
            }
        case ReadingJudged():
            reason = {} if effect.reason is None else {"reason": effect.reason}
            return (
                head
                | {
                    "kind": "reading",
                    "quantity": effect.quantity.value,
                    "value": effect.value,
                    "unit": effect.unit,
                    "accepted": effect.accepted,
                }
                | reason
            )
        case AdviceOffered():
            return head | {
                "kind": "advice",
                "id": effect.id,
                "about": effect.about,
                "finding": effect.finding,
                "options": [option_json(option) for option in effect.options],
                "recommended": effect.recommended,
            }
        case ForecastChanged():
            return head | {
                "kind": "forecast",
                "original_gravity": effect.original_gravity,
                "fermenter_volume_l": effect.fermenter_volume_l,
                "ibu": effect.ibu,
                "strike_at_s": effect.strike_at_s,
                "boil_at_s": effect.boil_at_s,
                "pitch_at_s": effect.pitch_at_s,
                "low_high": {name: list(ends) for name, ends in effect.low_high.items()},
            }
        case VoiceChanged() | Hushed():
            return None
        case Refused():
            return head | {"kind": "error", "text": effect.text}


def action_json(action: Action) -> dict[str, Any]:
    """What is to be done with the figures that belong to it."""
    figures = {
        field.name: getattr(action, field.name) for field in fields(action) if field.name != "do"
    }
    return {"do": action.do.value} | {
        name: round(value, 3) if isinstance(value, float) else value
        for name, value in figures.items()
        if value is not None
    }


def option_json(option: Option) -> dict[str, Any]:
    """An option of advice."""
    then = [action_json(action) for action in option.then]
    return (
        {"say": option.say}
        | action_json(option.action)
        | {"effect": option.effect}
        | ({"then": then} if then else {})
    )
