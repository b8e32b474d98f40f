"""The number in a sensor's message: bare, or somewhere in an object of JSON.

A message may hold anything. What is no number is told in a few harmless words, whatever it was.
"""

import json
import math
import re
from dataclasses import dataclass

from assistant.schedule.faults import harmless

LARGEST_PAYLOAD = 16 * 1024
"""Bytes; no thermometer needs more to say how warm it is."""

LARGEST_VALUE = 1e9
DEEPEST = 8
LONGEST_STEP = 40
SHOWN = 40

_number = re.compile(
    r"[+-]?(?:[0-9]{1,12}(?:\.[0-9]{0,20})?|\.[0-9]{1,20})(?:[eE][+-]?[0-9]{1,2})?"
)


class NoNumber(ValueError):
    """A message without a number where one is wanted; its text says what was found."""


@dataclass(frozen=True)
class FieldPath:
    """The way to a value inside an object: names, and places in lists counted from 0."""

    steps: tuple[str, ...] = ()

    @classmethod
    def parse(cls, text: str) -> "FieldPath":
        """Read ``sensors.0.value``. Raises ValueError for an empty step, or for too many."""
        steps = tuple(text.split("."))
        usable = all(0 < len(step) <= LONGEST_STEP and step.isprintable() for step in steps)
        if not usable or len(steps) > DEEPEST:
            raise ValueError(text)
        return cls(steps)

    def __str__(self) -> str:
        return ".".join(self.steps)


WHOLE = FieldPath()
"""The message is the number."""


def number_in(payload: bytes, path: FieldPath) -> float:
    """The number of a message, finite. Raises :class:`NoNumber` where there is none."""
    if len(payload) > LARGEST_PAYLOAD:
        raise NoNumber(f"{len(payload)} bytes")
    try:
        text = payload.decode("utf-8").strip()
    except UnicodeDecodeError as error:
        raise NoNumber("what is no text in UTF-8") from error
    value = _at(_parsed(text), path) if path.steps else text
    if isinstance(value, str) and _number.fullmatch(value.strip()):
        value = float(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise NoNumber(_shown(value))
    # An int of hundreds of digits has no float.
    if not abs(value) <= LARGEST_VALUE or not math.isfinite(value):
        raise NoNumber("a number out of all bounds")
    return float(value)


def _parsed(text: str) -> object:
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise NoNumber(f"{_shown(text)}, which is not JSON") from error


def _at(value: object, path: FieldPath) -> object:
    for step in path.steps:
        if isinstance(value, dict) and step in value:
            value = value[step]
        elif isinstance(value, list) and step.isdecimal() and int(step) < len(value):
            value = value[int(step)]
        else:
            raise NoNumber(f"nothing at {harmless(str(path))}")
    return value


def _shown(value: object) -> str:
    match value:
        case str():
            return harmless(value, SHOWN) or "nothing"
        case dict():
            return "an object"
        case list():
            return "a list"
        case None | bool():
            return json.dumps(value)
    return "something else"
