"""What the board shows of a day at one moment: a :class:`Picture`, as it goes to the browsers.

Moments are seconds of the day, so that the page counts down by itself and nothing need be sent
while time alone passes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from assistant.advice import figures
from assistant.advice.timeline import ORDER, Stage
from assistant.day import glance
from assistant.day.aim import Aim, aim, told_by
from assistant.day.glance import Upcoming
from assistant.day.hot_side import checklist, gathering
from assistant.day.incidents import RECORD_SHOWN
from assistant.day.listening import READ_IN
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.sayable import worth_pressing, yes_or_no
from assistant.day.state import Reading, State
from assistant.day.wording import ASK_WORDS, STAGE_NAMES, task_words
from assistant.schedule.model import Units
from assistant.schedule.units import convert

NEXT = 3
SAID, HEARD = 12, 6

EXACTLY_S, ABOUT_S = 0.1, 10.0
"""To so many seconds a moment is told; an estimate that moves by less is no news."""

UNIT_SIGNS = {"degC": "°C", "degF": "°F", "L": "L", "gal": "gal"}
"""Units as they stand behind a figure; the others go without saying."""


@dataclass(frozen=True, kw_only=True)
class Words:
    """Something said or heard, and its number among all of its kind."""

    number: int
    at_s: float
    text: str
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class Moment:
    """When a picture is taken: the day's second, the wall clock's, and how the two go on.

    ``speed`` is how many seconds of the day pass in one of the wall clock's; 0 where another
    program drives the day. ``offset_min`` is what the brewer's clock is ahead of UTC.
    """

    at_s: float
    wall_s: float
    speed: float
    offset_min: int


@dataclass(frozen=True, kw_only=True)
class Around:
    """What the page tells besides the state: the ``run`` of the program and the ``day`` on record,
    what was said and heard, the newest last, and what is wrong with ear or voice.
    """

    run: str
    day: int
    takes_words: bool = True
    said: Sequence[Words] = ()
    heard: Sequence[Words] = ()
    troubles: Sequence[str] = ()


Picture = dict[str, Any]
"""Ready for JSON. Everything but ``at`` and ``wall_s`` changes only when the day does."""


def picture(state: State, moment: Moment, around: Around) -> Picture:
    """The picture of a state at a moment."""
    wanted = aim(state)
    return {
        "run": around.run,
        "at": round(moment.at_s, 3),
        "speed": moment.speed,
        "wall_s": round(moment.wall_s, 3),
        "offset_min": moment.offset_min,
        "beer": state.schedule.beer,
        "day": around.day,
        "place": figures.sentence(glance.place(state)),
        "finished": state.stage is Stage.FINISHED,
        "stages": _stages(state.stage),
        "headline": _headline(glance.headline(state)),
        "next": [_following(each) for each in glance.following(state, NEXT)],
        "target": None if wanted is None else _target(wanted, state.schedule.units),
        "last": _last(told_by(state, wanted), state.schedule.units),
        "question": _question(state),
        "advice": _advice(state),
        "asks": _asks(state),
        "tasks": _tasks(state),
        "readings": _readings(state),
        "buttons": worth_pressing(state) if around.takes_words else [],
        "said": [_words(words, around.run) for words in around.said[-SAID:]],
        "heard": [_words(words, f"{around.run}-h") for words in around.heard[-HEARD:]],
        "planned": list(glance.planned(state)),
        "likely": list(glance.likely(state, ranged=True)),
        "troubles": list(around.troubles),
        "record": "" if state.record is None else RECORD_SHOWN[state.record],
        "takes_words": around.takes_words,
    }


def _stages(here: Stage) -> list[dict[str, str]]:
    place = ORDER.index(here)
    return [
        {
            "name": STAGE_NAMES[stage],
            "when": "now" if index == place else "past" if index < place else "to come",
        }
        for index, stage in enumerate(ORDER)
    ]


def _headline(told: Upcoming) -> dict[str, Any]:
    return {
        "label": told.label,
        "due_at": _rounded(told.due_s, ABOUT_S if told.about else EXACTLY_S),
        "left_s": _rounded(told.left_s, EXACTLY_S),
        "due": told.due,
        "about": told.about,
    }


def _following(told: Upcoming) -> dict[str, Any]:
    shown = _headline(told)
    return {"what": shown.pop("label"), "at": shown.pop("due_at"), **shown}


def _rounded(seconds: float | None, step_s: float) -> float | None:
    return None if seconds is None else round(round(seconds / step_s) * step_s, 1)


def _target(wanted: Aim, units: Units) -> dict[str, str]:
    spec = QUANTITIES[wanted.quantity]
    return {
        "what": figures.sentence(spec.spoken),
        "wanted": _aimed_at(wanted, units),
        "when": wanted.when,
    }


def _aimed_at(wanted: Aim, units: Units) -> str:
    """To so many digits as anybody can aim at."""
    unit = QUANTITIES[wanted.quantity].unit
    if unit == "degC":
        return _with_sign(figures.degrees(wanted.value, units), wanted.quantity, units)
    if unit == "L":
        return _litres(wanted.value, 1, wanted.quantity, units)
    return QUANTITIES[wanted.quantity].show(wanted.value, units)


def _last(reading: Reading | None, units: Units) -> dict[str, Any] | None:
    if reading is None:
        return None
    return {
        "what": figures.sentence(QUANTITIES[reading.quantity].spoken),
        "shown": _as_read(reading, units),
        "at": round(reading.at, 1),
    }


def _question(state: State) -> dict[str, Any] | None:
    """The doubt, or else the question, that waits for an answer, and what answers it."""
    doubt = state.open_doubt()
    asked = doubt or state.question
    if asked is not None:
        return {"text": asked.text, "answers": yes_or_no(state)}
    if any(ask.quantity is Quantity.BOILING for ask in state.asks):
        return {"text": ASK_WORDS[Quantity.BOILING], "answers": ["yes", "no"]}
    return None


def _advice(state: State) -> dict[str, Any] | None:
    if state.advice is None:
        return None
    finding = state.advice.finding
    options = sorted(finding.options, key=lambda option: option.say != finding.recommended)
    return {
        "finding": figures.sentence(finding.finding),
        "options": [
            {
                "say": option.say,
                "phrase": option.phrase,
                "effect": "" if option.effect in option.phrase else option.effect,
                "advised": option.say == finding.recommended,
            }
            for option in options
        ],
    }


def _asks(state: State) -> list[dict[str, str]]:
    return [
        {"words": ASK_WORDS[ask.quantity], **_field(ask.quantity, state.schedule.units)}
        for ask in state.asks
        if ask.quantity is not Quantity.BOILING
    ]


def _readings(state: State) -> list[dict[str, str]]:
    asked = {ask.quantity for ask in state.asks}
    others = (quantity for quantity in READ_IN[state.stage] if quantity not in asked)
    return [_field(quantity, state.schedule.units) for quantity in dict.fromkeys(others)]


def _field(quantity: Quantity, units: Units) -> dict[str, str]:
    """What a figure is sent back with: ``mash temperature 66.5``."""
    spec = QUANTITIES[quantity]
    return {"name": spec.spoken, "unit": UNIT_SIGNS.get(spec.asked_unit(units), "")}


def _tasks(state: State) -> list[dict[str, Any]]:
    units = state.schedule.units
    tasks = [
        {"id": task.id, "words": figures.sentence(task_words(task.action, units))}
        for task in state.tasks
    ]
    if gathering(state):
        tasks.insert(0, {"id": 0, "words": checklist(state)[state.gathered]})
    return tasks


def _words(words: Words, prefix: str) -> dict[str, Any]:
    return {
        "id": f"{prefix}-{words.number}",
        "at": round(words.at_s, 1),
        "text": words.text,
        "why": words.why,
    }


def _as_read(reading: Reading, units: Units) -> str:
    spec = QUANTITIES[reading.quantity]
    if spec.unit == "degC":
        return _with_sign(figures.degrees_read(reading.value, units), reading.quantity, units)
    if spec.unit == "L":
        return _litres(reading.value, 2, reading.quantity, units)
    return spec.show(reading.value, units)


def _litres(volume_l: float, decimals: int, quantity: Quantity, units: Units) -> str:
    volume = convert(volume_l, "L", "gal") if units is Units.US else volume_l
    return _with_sign(figures.number(volume, decimals), quantity, units)


def _with_sign(figure: str, quantity: Quantity, units: Units) -> str:
    """``62.4 °C``: short enough to be written large."""
    return f"{figure} {UNIT_SIGNS[QUANTITIES[quantity].asked_unit(units)]}"
