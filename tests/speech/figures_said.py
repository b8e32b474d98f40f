"""Readings and bare numbers: every quantity, asked for or not, in every form of its figure."""

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from assistant.advice.timeline import Stage
from assistant.day.plausible import Likely, likely
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.schedule.model import Units
from assistant.schedule.units import convert
from speech.corpus import Kind, Utterance, utterance
from speech.moments import Moment, context_for, doubted
from speech.sayings import figure_forms, gravity_forms

UNLIKELY = 0.08
"""Share of the figures that are not what the plan makes likely."""

METRIC, US = Units.METRIC, Units.US


@dataclass(frozen=True, kw_only=True)
class Said:
    """How a quantity is said: its names, its units' words, what an instrument is read to, and when.

    ``step`` and ``fine`` are a usual and a careful reading's steps, in the unit it is asked for in;
    ``sampled`` are words that tell the temperature of the sample, with its bounds.
    """

    names: tuple[str, ...]
    stages: tuple[Stage, ...]
    units: Mapping[Units, tuple[str, ...]]
    step: Mapping[Units, float]
    fine: Mapping[Units, float]


def _temperature(names: tuple[str, ...], *stages: Stage) -> Said:
    return Said(
        names=names,
        stages=stages,
        units={
            METRIC: ("degrees", "degrees celsius", "celsius"),
            US: ("degrees", "degrees fahrenheit", "fahrenheit"),
        },
        step={METRIC: 0.5, US: 1.0},
        fine={METRIC: 0.1, US: 0.5},
    )


def _volume(names: tuple[str, ...], *stages: Stage) -> Said:
    return Said(
        names=names,
        stages=stages,
        units={METRIC: ("litres",), US: ("gallons",)},
        step={METRIC: 0.5, US: 0.25},
        fine={METRIC: 0.25, US: 0.1},
    )


def _same(value: float) -> Mapping[Units, float]:
    return {METRIC: value, US: value}


SAID: Mapping[Quantity, Said] = {
    Quantity.WATER_TEMPERATURE: _temperature(
        ("water temperature", "strike water", "the water is at"), Stage.STRIKE
    ),
    Quantity.MASH_TEMPERATURE: _temperature(
        ("mash temperature", "mash", "the mash is at"), Stage.MASH
    ),
    Quantity.KETTLE_TEMPERATURE: _temperature(
        ("kettle temperature", "wort temperature", "wort"),
        Stage.BOIL_UP,
        Stage.WHIRLPOOL,
        Stage.CHILL,
    ),
    Quantity.ROOM_TEMPERATURE: _temperature(
        ("room temperature", "room", "the room is at"), Stage.GATHER, Stage.STRIKE
    ),
    Quantity.TOP_UP_TEMPERATURE: _temperature(
        ("top up temperature", "top up water", "top up"), Stage.TRANSFER
    ),
    Quantity.FERMENTER_TEMPERATURE: _temperature(
        ("fermenter temperature", "fermenter", "the fermenter is at"), Stage.TRANSFER, Stage.PITCH
    ),
    Quantity.KETTLE_VOLUME: _volume(
        ("kettle volume", "volume", "pre boil volume"), Stage.LIFT, Stage.BOIL_UP, Stage.BOIL
    ),
    Quantity.FERMENTER_VOLUME: _volume(("fermenter volume",), Stage.TRANSFER, Stage.PITCH),
    Quantity.GRAVITY: Said(
        names=("gravity", "original gravity", "s g", "specific gravity", "the gravity is"),
        stages=(Stage.BOIL_UP, Stage.BOIL, Stage.TRANSFER),
        units={METRIC: (), US: ()},
        step=_same(0.001),
        fine=_same(0.001),
    ),
    Quantity.BRIX: Said(
        names=("brix",),
        stages=(Stage.LIFT, Stage.BOIL_UP, Stage.TRANSFER),
        units={METRIC: ("brix",), US: ("brix",)},
        step=_same(0.5),
        fine=_same(0.1),
    ),
    Quantity.MASH_PH: Said(
        names=("mash p h", "p h"),
        stages=(Stage.MASH,),
        units={METRIC: ("p h",), US: ("p h",)},
        step=_same(0.1),
        fine=_same(0.01),
    ),
}

SAMPLES_AT: Mapping[Units, tuple[float, float]] = {METRIC: (16.0, 35.0), US: (60.0, 95.0)}
KETTLE_AT: Mapping[Units, tuple[float, float]] = {METRIC: (70.0, 99.0), US: (160.0, 210.0)}

READINGS_OF_EACH = 7
GRAVITIES = 16
DOUBTS = 8
BARE = {
    Quantity.MASH_TEMPERATURE: 10,
    Quantity.WATER_TEMPERATURE: 5,
    Quantity.KETTLE_TEMPERATURE: 5,
    Quantity.FERMENTER_TEMPERATURE: 4,
    Quantity.KETTLE_VOLUME: 8,
    Quantity.FERMENTER_VOLUME: 4,
    Quantity.GRAVITY: 10,
    Quantity.BRIX: 4,
    Quantity.MASH_PH: 3,
    Quantity.ROOM_TEMPERATURE: 3,
    Quantity.TOP_UP_TEMPERATURE: 2,
}


def figures_said(source: random.Random) -> Iterator[Utterance]:
    """Named readings asked for or not, bare numbers asked for, sample temperatures, the rest."""
    for units in Units:
        for quantity in SAID:
            count = GRAVITIES if quantity is Quantity.GRAVITY else READINGS_OF_EACH
            for _ in range(count):
                yield _named(quantity, units, source)
            for _ in range(BARE[quantity]):
                yield _bare(quantity, units, source)
        for quantity in (Quantity.GRAVITY, Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME):
            for _ in range(4):
                yield _sampled(quantity, units, source)
        yield from _of_their_own(units, source)
        yield from _settling(units, source)


def _named(quantity: Quantity, units: Units, source: random.Random) -> Utterance:
    said = SAID[quantity]
    moment = _moment(quantity, units, source, asked=source.random() < 0.5)
    words, form, unlikely = _figure(quantity, moment, units, source)
    in_points = form == "in points"
    unit = source.choice(("", "", *said.units[units])) if not in_points else ""
    named_twice = unit in ("brix", "p h")
    parts = (source.choice(said.names), words, "" if named_twice else unit)
    sentence = " ".join(part for part in parts if part)
    return utterance(sentence, Kind.READING, moment, source, form=form, unlikely=unlikely)


def _bare(quantity: Quantity, units: Units, source: random.Random) -> Utterance:
    moment = _moment(quantity, units, source, asked=True)
    words, form, unlikely = _figure(quantity, moment, units, source)
    unit = source.choice(("", "", "", *SAID[quantity].units[units]))
    sentence = f"{words} {unit}".strip() if form != "in points" else words
    return utterance(sentence, Kind.NUMBER, moment, source, form=form, unlikely=unlikely)


def _sampled(quantity: Quantity, units: Units, source: random.Random) -> Utterance:
    moment = _moment(quantity, units, source, asked=source.random() < 0.5)
    words, form, unlikely = _figure(quantity, moment, units, source)
    low, high = (KETTLE_AT if quantity is Quantity.KETTLE_VOLUME else SAMPLES_AT)[units]
    forms = figure_forms(float(round(source.uniform(low, high))))
    sample = forms[source.choice(sorted(forms))]
    unit = source.choice(SAID[quantity].units[units] or ("",))
    said = " ".join(part for part in (SAID[quantity].names[0], words, unit, "at", sample) if part)
    if form == "in points":
        said = f"gravity {words} at {sample}"
    degrees = source.choice(("", " degrees"))
    return utterance(said + degrees, Kind.READING, moment, source, form=form, unlikely=unlikely)


def _settling(units: Units, source: random.Random) -> Iterator[Utterance]:
    """Numbers said again, since they were in doubt: as they are, or digit by digit as is asked."""
    for doubt in source.sample(doubted(units, 2), DOUBTS):
        forms = figure_forms(float(source.choice(doubt.numbers)))
        form = source.choice(("digit by digit", "digit by digit", "cardinal"))
        name = "in doubt, cardinal" if form == "cardinal" else "in doubt, digits"
        yield utterance(forms[form], Kind.NUMBER, doubt.moment, source, form=name)


def _of_their_own(units: Units, source: random.Random) -> Iterator[Utterance]:
    """Forms that one quantity only has: cold rooms, plato, a boil that is none yet."""
    cold = context_for(Stage.GATHER, units=units)
    for _ in range(3):
        below = source.randint(1, 9)
        words = f"room temperature minus {figure_forms(float(below))['cardinal']}"
        yield utterance(words, Kind.READING, cold, source, form="minus", unlikely=True)
    for _ in range(3):
        moment = _moment(Quantity.GRAVITY, units, source, asked=False)
        plato = round(source.uniform(8.0, 16.0), 1)
        forms = figure_forms(plato)
        form = source.choice(sorted(forms))
        words = source.choice(("gravity {} plato", "plato {}", "{} degrees plato"))
        yield utterance(words.format(forms[form]), Kind.READING, moment, source, form=form)
    # A unit that only one quantity has tells what is read, asked for or not.
    for quantity in (Quantity.BRIX, Quantity.MASH_PH):
        for _ in range(2):
            moment = _moment(quantity, units, source, asked=False)
            words, form, unlikely = _figure(quantity, moment, units, source)
            sentence = f"{words} {SAID[quantity].units[units][0]}"
            yield utterance(sentence, Kind.READING, moment, source, form=form, unlikely=unlikely)
    freezing = context_for(Stage.GATHER, (Quantity.ROOM_TEMPERATURE,), units)
    words = f"minus {figure_forms(float(source.randint(1, 9)))['cardinal']}"
    yield utterance(words, Kind.NUMBER, freezing, source, form="minus", unlikely=True)
    boiling = context_for(Stage.BOIL_UP, (Quantity.BOILING,), units)
    for words in ("not yet", "not boiling yet"):
        yield utterance(words, Kind.READING, boiling, source)


def _moment(quantity: Quantity, units: Units, source: random.Random, asked: bool) -> Moment:
    stages = SAID[quantity].stages
    # Most readings have their moment: the first stage is the usual one.
    stage = source.choice((stages[0], *stages))
    wanted = (quantity,) if asked else ()
    return context_for(stage, wanted, units, which=source.randrange(12))


def _figure(
    quantity: Quantity, moment: Moment, units: Units, source: random.Random
) -> tuple[str, str, bool]:
    """A figure's words, the name of their form, and whether it is an unlikely figure."""
    unlikely = source.random() < UNLIKELY
    value = _value(quantity, moment, units, source, unlikely)
    if quantity is Quantity.GRAVITY:
        forms = gravity_forms(round(value * 1000))
    else:
        said = SAID[quantity]
        step = source.choice((said.step[units], said.step[units], said.fine[units]))
        forms = figure_forms(round(value / step) * step)
    form = source.choice(_usual_first(sorted(forms)))
    return forms[form], form, unlikely


def _usual_first(forms: Sequence[str]) -> list[str]:
    """The forms, those that most people use three times as often."""
    usual = ("cardinal", "run together", "cardinal point", "in pairs", "with its point")
    return [form for form in forms for _ in range(3 if form in usual else 1)]


def _value(
    quantity: Quantity, moment: Moment, units: Units, source: random.Random, unlikely: bool
) -> float:
    spec = QUANTITIES[quantity]
    around = likely(moment.state, quantity)
    if around is None:
        raise ValueError(f"nothing is known of what a {spec.spoken} is likely to be")
    value = _beside(around, spec.possible, source) if unlikely else _within(around, source)
    asked_unit = spec.asked_unit(units)
    return value if asked_unit == spec.unit else convert(value, spec.unit, asked_unit)


def _within(around: Likely, source: random.Random) -> float:
    return source.uniform(
        0.9 * around.low + 0.1 * around.high, 0.1 * around.low + 0.9 * around.high
    )


def _beside(around: Likely, possible: tuple[float, float], source: random.Random) -> float:
    width = around.high - around.low
    below = (max(possible[0], around.low - 0.4 * width), around.low - 0.05 * width)
    above = (around.high + 0.05 * width, min(possible[1], around.high + 0.4 * width))
    sides = [(low, high) for low, high in (below, above) if low < high]
    low, high = source.choice(sides or [(around.low, around.high)])
    return source.uniform(low, high)
