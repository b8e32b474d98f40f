"""Timers of the brewer's own: how long, and what for."""

import math
import re
from collections.abc import Mapping

from assistant.day.events import TimerRequested
from assistant.hearing.hints import Hint
from assistant.hearing.numbers import FRACTIONS, parse_number
from assistant.hearing.spoken import Words, without_end, without_lead
from assistant.hearing.vocabulary import ARTICLES

SHORTEST_S = 1.0
LONGEST_S = 24 * 3600.0
LONGEST_NAME = 40
UNNAMED = "timer"

TIME_WORDS: Mapping[str, float] = {
    "second": 1.0,
    "seconds": 1.0,
    "sec": 1.0,
    "secs": 1.0,
    "minute": 60.0,
    "minutes": 60.0,
    "min": 60.0,
    "mins": 60.0,
    "hour": 3600.0,
    "hours": 3600.0,
}
SINGLE = frozenset({"second", "minute", "hour"})
"""Said without a number, one of it: "an hour", and in "set an hour timer" just "hour"."""

PARTS: Mapping[Words, float] = {
    ("half", "an"): 0.5,
    ("half", "a"): 0.5,
    ("half",): 0.5,
    ("a", "half"): 0.5,
    ("a", "quarter", "of", "an"): 0.25,
    ("quarter", "of", "an"): 0.25,
    ("three", "quarters", "of", "an"): 0.75,
}
"""Parts of an hour or a minute, as said before it."""

FORM_WORDS: Mapping[str, tuple[str, ...]] = {
    "START": ("set", "start", "give me"),
    "ARTICLE": ("a", "an", "the"),
    "LINK": ("for", "called", "named"),
}
TIMER_FORMS = (
    "[START] [ARTICLE] DURATION timer",
    "[START] [ARTICLE] DURATION timer LINK NAME",
    "[START] [ARTICLE] timer for DURATION",
    "[START] [ARTICLE] timer for DURATION LINK NAME",
    "START [ARTICLE] NAME timer for DURATION",
    "DURATION for NAME",
)
"""How a timer is asked for; in brackets what can be left out, in capitals what is filled in."""


def timer(words: Words, at: float) -> TimerRequested | Hint | None:
    """The timer these words ask for, from one second to 24 hours; a hint where it can't be one."""
    said = " ".join(words)
    for form in _patterns:
        found = form.fullmatch(said)
        if found is None:
            continue
        seconds = parse_duration(tuple(found["duration"].split(" ")))
        name = _name(found.groupdict().get("name"))
        if seconds is None or name is None:
            continue
        if not SHORTEST_S <= seconds <= LONGEST_S:
            return Hint(text="A timer runs from 1 second to 24 hours.")
        return TimerRequested(at=at, seconds=seconds, name=name)
    if "timer" in words:
        return Hint(text='Say a timer as "ten minute timer" or "ten minute timer for the yeast".')
    return None


def parse_duration(words: Words) -> float | None:
    """Seconds: "ninety seconds", "an hour and a half", "one hour and ten minutes"; else None."""
    return _duration(words, math.inf)


def _duration(words: Words, below_s: float) -> float | None:
    """A duration whose longest unit is shorter than ``below_s``."""
    for place in range(len(words), 0, -1):
        unit_s, seconds = _in_one_unit(words[:place])
        if seconds is None or unit_s >= below_s:
            continue
        if place == len(words):
            return seconds
        rest = _duration(without_lead(words[place:], [("and",)]), unit_s)
        if rest is not None:
            return seconds + rest
    return None


def _in_one_unit(words: Words) -> tuple[float, float | None]:
    """The unit in seconds and what the words come to in it, None where they are no duration."""
    unit_words = without_end(words, FRACTIONS)
    more = FRACTIONS.get(words[len(unit_words) :], 0.0)
    unit = unit_words[-1] if unit_words else ""
    unit_s = TIME_WORDS.get(unit, 0.0)
    count = _count(unit_words[:-1], unit) if unit_s else None
    if count is None or (more and count % 1):
        return unit_s, None
    return unit_s, (count + more) * unit_s


def _count(words: Words, unit: str) -> float | None:
    if words in ((), ("a",), ("an",)):
        return 1.0 if unit in SINGLE else None
    if words in PARTS:
        return PARTS[words] if unit in SINGLE else None
    number = parse_number(words)
    return None if number is None or number < 0 else number


def _name(said: str | None) -> str | None:
    if said is None:
        return UNNAMED
    words = without_lead(tuple(said.split(" ")), ARTICLES)
    name = " ".join(words)
    plain = all(any(letter.isalnum() for letter in word) for word in words)
    return name if words and plain and len(name) <= LONGEST_NAME else None


def _pattern(form: str) -> re.Pattern[str]:
    text = ""
    for part in form.split(" "):
        key = part.strip("[]")
        slots = {"DURATION": "(?P<duration>.+?)", "NAME": "(?P<name>.+?)"}
        piece = slots.get(key) or f"(?:{'|'.join(FORM_WORDS.get(key, (key,)))})"
        text += f"(?:{piece} )?" if part.startswith("[") else f"{piece} "
    return re.compile(text.removesuffix(" "))


_patterns = tuple(_pattern(form) for form in TIMER_FORMS)
