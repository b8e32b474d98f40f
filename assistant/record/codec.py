"""Events and schedules to JSON text and back, the same to the last bit.

A row names its kind by a word of the table below, so that a class renamed in the program still
reads what was written under its old name.
"""

import json
import math
from collections.abc import Mapping
from typing import Any, TypeVar

from cattrs import BaseValidationError, Converter, transform_error
from cattrs.gen import make_dict_structure_fn, make_dict_unstructure_fn, override
from cattrs.strategies import configure_tagged_union

from assistant.advice.learned import Figure, LearnedKettle, Trait
from assistant.cellar.beer import Beer
from assistant.cellar.events import BeerEvent, VisitBegan
from assistant.day.events import (
    ClockJumped,
    CommandGiven,
    DayBegan,
    DayResumed,
    EarTroubled,
    HeardUnsurely,
    Meaning,
    NoteTaken,
    NumberSaid,
    OptionChosen,
    ReadingTaken,
    RecordMended,
    RecordTroubled,
    SensorsTroubled,
    TaskDone,
    TimePassed,
    TimerRequested,
)
from assistant.record.errors import RecordError
from assistant.schedule.faults import harmless
from assistant.schedule.model import Schedule

KINDS: Mapping[str, type[BeerEvent]] = {
    "DayBegan": DayBegan,
    "DayResumed": DayResumed,
    "TimePassed": TimePassed,
    "ReadingTaken": ReadingTaken,
    "NumberSaid": NumberSaid,
    "CommandGiven": CommandGiven,
    "OptionChosen": OptionChosen,
    "TaskDone": TaskDone,
    "TimerRequested": TimerRequested,
    "NoteTaken": NoteTaken,
    "HeardUnsurely": HeardUnsurely,
    "EarTroubled": EarTroubled,
    "RecordTroubled": RecordTroubled,
    "RecordMended": RecordMended,
    "ClockJumped": ClockJumped,
    "VisitBegan": VisitBegan,
    "SensorsTroubled": SensorsTroubled,
}
"""The word on record for each kind of event; once used it stays, whatever the class is called."""

_WORD_OF = {kind: word for word, kind in KINDS.items()}

LONGEST_PLACE = 400
"""A place may be named by the path of a file, and what comes after it must not be cut off."""

MOST_OF_ANY_TRAIT = 1e9
"""No figure of a kettle comes near it in its unit; far past it the sums overflow."""

Kept = TypeVar("Kept")


def _number(value: object, _: type) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError(f"found {value!r}; wanted a number")
    number = float(value)
    if not math.isfinite(number):
        raise ValueError(f"found {number}; wanted a finite number")
    return number


def _trait(value: object, kind: type) -> float:
    number = _number(value, kind)
    if abs(number) > MOST_OF_ANY_TRAIT:
        raise ValueError(f"found {number:g}; wanted a figure of a kettle")
    return number


def _spread(value: object, kind: type) -> float:
    spread = _trait(value, kind)
    if spread <= 0:
        raise ValueError(f"found {spread}; wanted more than nought")
    return spread


def _whole(value: object, _: type) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError(f"found {value!r}; wanted a whole number")
    return value


def _brews(value: object, kind: type) -> int:
    brews = _whole(value, kind)
    if brews < 1:
        raise ValueError(f"found {brews}; wanted one or more")
    return brews


def _truth(value: object, _: type) -> bool:
    if not isinstance(value, bool):
        raise TypeError(f"found {value!r}; wanted true or false")
    return value


def _words(value: object, _: type) -> str:
    if not isinstance(value, str):
        raise TypeError(f"found {value!r}; wanted text")
    return value


def _converter() -> Converter:
    converter = Converter(forbid_extra_keys=True)
    # cattrs would make a number of "12" and text of anything.
    converter.register_structure_hook(float, _number)
    converter.register_structure_hook(int, _whole)
    converter.register_structure_hook(bool, _truth)
    converter.register_structure_hook(str, _words)
    # Each meaning of unsure words names its kind as a row does.
    configure_tagged_union(
        Meaning, converter, tag_generator=lambda kind: _WORD_OF[kind], tag_name="kind"
    )
    _teach_learned(converter)
    return converter


_TRAITS = frozenset(trait.value for trait in Trait)


def _teach_learned(converter: Converter) -> None:
    def figures(value: object, _: type) -> dict[Trait, Figure]:
        if not isinstance(value, dict):
            raise TypeError(f"found {value!r}; wanted an object")
        # What another version has learned besides is of no use here, and no harm.
        known = {name: figure for name, figure in value.items() if name in _TRAITS}
        return converter.structure(known, dict[Trait, Figure])

    figure = make_dict_structure_fn(
        Figure,
        converter,
        _cattrs_forbid_extra_keys=True,
        value=override(struct_hook=_trait),
        spread=override(struct_hook=_spread),
        card=override(struct_hook=_trait),
    )
    converter.register_structure_hook(Figure, figure)
    learned = make_dict_structure_fn(
        LearnedKettle,
        converter,
        _cattrs_forbid_extra_keys=True,
        brews=override(struct_hook=_brews),
        figures=override(struct_hook=figures),
    )
    converter.register_structure_hook(LearnedKettle, learned)
    # An earlier version reads what it knows, and most kettles' cards are never changed.
    unlearned = make_dict_unstructure_fn(
        LearnedKettle, converter, from_card=override(omit_if_default=True)
    )
    converter.register_unstructure_hook(LearnedKettle, unlearned)


_CONVERTER = _converter()


def event_text(event: BeerEvent) -> tuple[str, str]:
    """The kind and the JSON body of an event.

    Raises :class:`~assistant.record.errors.RecordError` for a figure that is not finite.
    """
    kind = _WORD_OF[type(event)]
    return kind, _text(event, kind)


def event_from(kind: str, body: str, row: str) -> BeerEvent:
    """The event of a row; ``row`` says where it stands, such as ``row 7 of day 2``.

    Raises :class:`~assistant.record.errors.RecordError` for an unknown kind or a bad body.
    """
    wanted = KINDS.get(kind)
    if wanted is None:
        place = harmless(row, LONGEST_PLACE)
        raise RecordError(
            f"{place} of the record holds {harmless(repr(kind))}, which is no kind of "
            "event this version knows; read it with the version that wrote it"
        )
    return _from_text(body, wanted, f"{row} of the record, {kind},")


def schedule_text(schedule: Schedule) -> str:
    """A schedule's JSON text.

    Raises :class:`~assistant.record.errors.RecordError` for a figure that is not finite.
    """
    return _text(schedule, "the schedule")


def schedule_from(text: str, row: str) -> Schedule:
    """The schedule of a day; ``row`` says whose, such as ``day 2``.

    Raises :class:`~assistant.record.errors.RecordError` where the text is no schedule.
    """
    return _from_text(text, Schedule, f"the schedule of {row} on record")


def learned_text(learned: LearnedKettle) -> str:
    """The JSON text of what was learned of a kettle.

    Raises :class:`~assistant.record.errors.RecordError` for what :func:`learned_from` would not
    read: a figure that is not finite, a spread of nought or less, less than one brew.
    """
    name = "what was learned of the kettle"
    text = _text(learned, name)
    try:
        _from_text(text, LearnedKettle, "it")
    except RecordError as error:
        raise RecordError(f"{name} can't go on record: {error}") from error
    return text


def learned_from(text: str, row: str) -> LearnedKettle:
    """What a day taught of its kettle; ``row`` says which day, such as ``day 2``.

    Figures under a name that this version does not know are passed over. Raises
    :class:`~assistant.record.errors.RecordError` where the text is none of it.
    """
    return _from_text(text, LearnedKettle, f"what {row} on record taught of its kettle")


def beer_text(beer: Beer) -> str:
    """The JSON text of a beer as its brew day handed it over.

    Raises :class:`~assistant.record.errors.RecordError` for a figure that is not finite.
    """
    return _text(beer, "the beer")


def beer_from(text: str, row: str) -> Beer:
    """A beer as its brew day handed it over; ``row`` says which day, such as ``day 2``.

    Raises :class:`~assistant.record.errors.RecordError` where the text is none.
    """
    return _from_text(text, Beer, f"the beer of {row} on record")


def row_from(row: object, wanted: type[Kept], place: str) -> Kept:
    """The columns of a row, by name or in order, as ``wanted``: SQLite holds any type in any.

    ``place`` says which row, such as ``day 2``. Raises
    :class:`~assistant.record.errors.RecordError` for a column of another type.
    """
    try:
        return _CONVERTER.structure(row, wanted)
    except BaseValidationError as error:
        raise _unfit(f"{harmless(place)} on record", "row", error) from error


def _text(thing: BeerEvent | Schedule | LearnedKettle | Beer, name: str) -> str:
    body = _CONVERTER.unstructure(thing)
    try:
        return json.dumps(body, allow_nan=False, separators=(",", ":"))
    except ValueError as error:
        raise RecordError(f"{name} can't go on record: {error}") from error


def _from_text(text: object, wanted: type[Kept], place: str) -> Kept:
    place = harmless(place, LONGEST_PLACE)
    if not isinstance(text, str):
        raise RecordError(f"{place} can't be read: found {harmless(repr(text))}; wanted text")
    try:
        body: Any = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise RecordError(f"{place} can't be read: it is not JSON ({error})") from error
    if not isinstance(body, dict):
        raise RecordError(f"{place} can't be read: found {harmless(text)}; wanted an object")
    try:
        return _CONVERTER.structure(body, wanted)
    except BaseValidationError as error:
        raise _unfit(place, "body", error) from error


def _unfit(place: str, what: str, error: BaseValidationError) -> RecordError:
    faults = "; ".join(transform_error(error, path=what))
    return RecordError(f"{place} can't be read: {harmless(faults, 300)}")
