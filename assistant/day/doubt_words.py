"""Words heard unsurely, put as the shortest question that tells them apart.

Thirteen and thirty, fifteen and fifty: such pairs an ear takes for one another again and again, so
the question also says how to answer digit by digit.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Protocol

from assistant.advice import figures
from assistant.day.commands import COMMANDS, Command
from assistant.day.events import (
    CommandGiven,
    Meaning,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    TimerRequested,
)
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import Ask
from assistant.schedule.model import Schedule, Units

UNIT_WORDS: Mapping[str, str] = {
    "degC": "degrees Celsius",
    "degF": "degrees Fahrenheit",
    "L": "litres",
    "gal": "gallons",
    "degP": "degrees Plato",
    "brix": "brix",
}
USUAL: Mapping[Units, tuple[str, ...]] = {
    Units.METRIC: ("degC", "L"),
    Units.US: ("degF", "gal"),
}
"""Units that go without saying where nothing else tells two figures apart."""

UNNAMED_TIMER = "timer"

_DIGIT_WORDS = {
    "0": "oh",
    "1": "one",
    "2": "two",
    "3": "three",
    "4": "four",
    "5": "five",
    "6": "six",
    "7": "seven",
    "8": "eight",
    "9": "nine",
    ".": "point",
    "-": "minus",
}

_looks_like_gravity = (0.98, 1.2)


class Asking(Protocol):
    """What the words hang on: the readings that were asked for, and the brewer's units."""

    @property
    def asks(self) -> Sequence[Ask]:
        """The readings that are wanted."""
        ...

    @property
    def schedule(self) -> Schedule:
        """The beer's schedule."""
        ...


def doubt_words(state: Asking, meanings: Sequence[Meaning]) -> str:
    """``66.5? Yes or no.``, ``15 or 50? Say one five, or five oh.``, ``Skip or mash pH 5.4?``.

    There must be at least one meaning.
    """
    labels = labels_of(state, meanings)
    asked = f"{figures.sentence(' or '.join(filter(None, (', '.join(labels[:-1]), labels[-1]))))}?"
    if len(meanings) == 1:
        return f"{asked} Yes or no."
    hint = _hint(meanings)
    return f"{asked} Say {hint[0]}, or {hint[1]}." if hint else asked


def labels_of(state: Asking, meanings: Sequence[Meaning]) -> list[str]:
    """A few words for each meaning, more where it takes more to tell them apart."""
    name = _one_subject(state, meanings)
    if name is not None:
        short = [_figure(state, meaning) for meaning in meanings]
        if len(set(short)) == len(short):
            return [f"{name}{short[0]}", *short[1:]]
    timers_only = len(meanings) > 1 and all(isinstance(m, TimerRequested) for m in meanings)
    kinds = {meaning.quantity for meaning in meanings if isinstance(meaning, ReadingTaken)}
    labels = [
        _label(state, meaning, named=len(kinds) > 1, bare_timer=timers_only) for meaning in meanings
    ]
    return [
        label if labels.count(label) == 1 else _label(state, meaning, full=True)
        for label, meaning in zip(labels, meanings, strict=True)
    ]


def figure_of(meaning: Meaning) -> float | None:
    """The figure a meaning is told by, as it would be said alone; None where it has none."""
    if isinstance(meaning, ReadingTaken | NumberSaid):
        return meaning.value
    if isinstance(meaning, TimerRequested):
        number, _, rest = length_words(meaning.seconds).partition(" ")
        return float(number) if " " not in rest else None
    return None


def length_words(seconds: float) -> str:
    """The length of a timer, exactly: ``90 seconds``, ``15 minutes``, ``2 minutes 10 seconds``."""
    if not math.isfinite(seconds) or (seconds < 120 and seconds != 60) or seconds % 1:
        return figures.counted(figures.number(seconds, 1), "second")
    minutes, rest_s = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60) if minutes >= 100 or minutes % 60 == 0 else (0, minutes)
    parts = [(hours, "hour"), (minutes, "minute"), (rest_s, "second")]
    return " ".join(figures.counted(str(count), noun) for count, noun in parts if count)


def _one_subject(state: Asking, meanings: Sequence[Meaning]) -> str | None:
    """What all the readings are of, with a space after it: nothing where just that was asked."""
    kinds = {meaning.quantity for meaning in meanings if isinstance(meaning, ReadingTaken)}
    readings = all(isinstance(meaning, ReadingTaken) for meaning in meanings)
    if not readings or len(kinds) != 1 or Quantity.BOILING in kinds:
        return None
    quantity = next(iter(kinds))
    asked = any(ask.quantity is quantity for ask in state.asks)
    return "" if asked or quantity is Quantity.MASH_PH else f"{QUANTITIES[quantity].spoken} "


def _label(
    state: Asking,
    meaning: Meaning,
    *,
    named: bool = False,
    full: bool = False,
    bare_timer: bool = False,
) -> str:
    match meaning:
        case ReadingTaken(quantity=Quantity.BOILING):
            return QUANTITIES[Quantity.BOILING].show(meaning.value, state.schedule.units)
        case ReadingTaken():
            asked = any(ask.quantity is meaning.quantity for ask in state.asks)
            named = named or full or not (asked or meaning.quantity is Quantity.MASH_PH)
            name = f"{QUANTITIES[meaning.quantity].spoken} " if named else ""
            return f"{name}{_figure(state, meaning, full=full)}"
        case NumberSaid():
            return _figure(state, meaning, full=full)
        case OptionChosen():
            return meaning.say
        case TimerRequested():
            length = length_words(meaning.seconds)
            if meaning.name != UNNAMED_TIMER and (full or not bare_timer):
                return f"{length} for {meaning.name}"
            return length if bare_timer else f"a timer of {length}"
        case CommandGiven():
            return _command_words(meaning)


def _command_words(given: CommandGiven) -> str:
    words = COMMANDS[given.command].words
    naming = [said for said in words if "*" in said]
    if given.command is Command.NO:
        # "No" is only ever asked about where it would take something back.
        return COMMANDS[Command.UNDO].words[0]
    if given.subject is None or not naming:
        return words[0]
    return naming[0].replace("*", given.subject)


def _figure(state: Asking, meaning: Meaning, *, full: bool = False) -> str:
    if not isinstance(meaning, ReadingTaken | NumberSaid):
        return ""
    unit, shown = meaning.unit, _number(meaning)
    if unit == "pH":
        return f"pH {shown}"
    if (
        unit is not None
        and unit in UNIT_WORDS
        and (full or unit not in USUAL[state.schedule.units])
    ):
        shown = f"{shown} {UNIT_WORDS[unit]}"
    if isinstance(meaning, ReadingTaken) and meaning.sample_c is not None:
        warm = figures.temperature_read(meaning.sample_c, state.schedule.units)
        shown = f"{shown} at {warm}"
    return shown


def _number(meaning: ReadingTaken | NumberSaid) -> str:
    low, high = _looks_like_gravity
    bare = isinstance(meaning, NumberSaid) and meaning.unit is None
    like_gravity = bare and low <= meaning.value < high and meaning.value != 1
    if meaning.unit == "SG" or like_gravity:
        return figures.gravity(meaning.value)
    return figures.number(meaning.value, 3)


def _hint(meanings: Sequence[Meaning]) -> tuple[str, str] | None:
    """Both figures digit by digit, where one is a teen and the other the ty it sounds like."""
    if len(meanings) != 2:
        return None
    one, other = (_digits(meaning) for meaning in meanings)
    if one is None or other is None:
        return None
    one, other = _as_long(one, other), _as_long(other, one)
    if not (_teen_and_ty(one, other) or _teen_and_ty(other, one)):
        return None
    return _spelt(one), _spelt(other)


def _as_long(digits: str, other: str) -> str:
    """With noughts behind the point, as in ``5.40`` beside ``5.14``."""
    whole, point, decimals = digits.partition(".")
    return f"{whole}{point}{decimals.ljust(len(other.partition('.')[2]), '0') if point else ''}"


def _digits(meaning: Meaning) -> str | None:
    """The digits as they are said: a gravity's without its point."""
    figure = figure_of(meaning)
    if figure is None:
        return None
    if isinstance(meaning, ReadingTaken | NumberSaid):
        shown = _number(meaning)
        return shown.replace(".", "") if shown == figures.gravity(figure) else shown
    return figures.number(figure, 3)


def _teen_and_ty(teen: str, ty: str) -> bool:
    """``15`` and ``50``, ``118.5`` and ``180.5``, ``1015`` and ``1050``; the rest the same."""
    if len(teen) != len(ty):
        return False
    return any(
        teen[i] == "1"
        and ty[i + 1] == "0"
        and teen[i + 1] == ty[i] in "3456789"
        and teen[:i] + teen[i + 2 :] == ty[:i] + ty[i + 2 :]
        for i in range(len(teen) - 1)
    )


def _spelt(digits: str) -> str:
    return " ".join(_DIGIT_WORDS[digit] for digit in digits)
