"""What can be said at a moment: the word tables put together as one grammar.

The words stand where they are given their meaning: commands in ``day.commands``, readings in
``vocabulary``, timers in ``timers``. Here they are narrowed to the stage, to what was asked, and
to the figures that are likely, with weights for how often each kind of sentence is said. Whatever
this grammar makes, ``understand`` reads.
"""

from collections.abc import Iterable, Iterator, Mapping

from assistant.advice.timeline import Stage
from assistant.day.commands import Command
from assistant.day.events import NumberSaid, ReadingTaken, TimerRequested
from assistant.day.listening import Listening
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.hearing.commands import LITERAL, NAME, NAMED_BY, NAMING
from assistant.hearing.grammar.names import names_said
from assistant.hearing.grammar.number_forms import (
    ONE_DECIMAL,
    TWO_DECIMALS,
    Range,
    decimal_number,
    gravity_number,
    minus,
    whole_number,
)
from assistant.hearing.grammar.timer_sentences import timer_sentences
from assistant.hearing.grammar.tree import Either, Grammar, Maybe, Node, Say, any_of, say
from assistant.hearing.grammar.tree import then as in_order
from assistant.hearing.readings import OWNED_UNITS
from assistant.hearing.spoken import Words, spoken
from assistant.hearing.vocabulary import (
    LEADS,
    LINKS,
    MOMENTS,
    NOT_BOILING,
    SAMPLED,
    SUBJECTS,
    WAKE_WORD,
)
from assistant.schedule.model import Units
from assistant.schedule.units import convert

ANSWER, COMMAND, READING, TIMER = 6.0, 3.2, 2.0, 1.0
"""How often what was asked for is said, beside a command, another reading, and a timer.

A command shares its part with all the others: the part grows with them, so that a new one does
not make the old ones less likely beside a reading.
"""

SPOKEN_UNITS: Mapping[str, tuple[str, ...]] = {
    "degC": ("degrees", "degrees celsius", "degrees centigrade", "celsius", "centigrade"),
    "degF": ("degrees", "degrees fahrenheit", "fahrenheit"),
    "L": ("litres", "litre"),
    "gal": ("gallons", "gallon"),
    "SG": (),
    "degP": ("plato", "degrees plato"),
    "brix": ("brix", "degrees brix"),
    "pH": ("p h",),
    "mL": ("millilitres", "millilitre"),
    "fluid_ounce": ("fluid ounces", "fluid ounce"),
}
"""How each unit is said aloud; of the other units' words, those that could mean ours are left."""

OTHER_UNIT: Mapping[str, str] = {"degC": "degF", "degF": "degC", "L": "gal", "gal": "L"}
FAINT = 0.04

DECIMALS: Mapping[str, tuple[Node, float]] = {
    "degC": (ONE_DECIMAL, 0.5),
    "degF": (ONE_DECIMAL, 0.3),
    "L": (TWO_DECIMALS, 0.6),
    "gal": (TWO_DECIMALS, 0.7),
    "degP": (ONE_DECIMAL, 0.7),
    "brix": (ONE_DECIMAL, 0.7),
    "pH": (TWO_DECIMALS, 0.95),
    "mL": (ONE_DECIMAL, 0.01),
    "fluid_ounce": (ONE_DECIMAL, 0.1),
}
"""The decimals each unit is read to, and how often it is read with some."""

PLATO_POSSIBLE = (0.0, 35.0)
LARGEST_SPOKEN = 250.0

IN_TENS: Mapping[str, tuple[float, int]] = {"mL": (990.0, 10)}
"""Units of which more is said, as far as words for numbers go, but none between two marks: the
largest and the step."""

BELOW_NOUGHT = Quantity.ROOM_TEMPERATURE

SAMPLE_C: Mapping[Quantity, tuple[float, float]] = {
    Quantity.GRAVITY: (10.0, 60.0),
    Quantity.KETTLE_VOLUME: (10.0, 102.0),
    Quantity.FERMENTER_VOLUME: (10.0, 60.0),
}


def grammar_of(context: Listening) -> Grammar:
    """Everything that can be said at this moment, with or without the wake word before it."""
    options: list[tuple[float, Node]] = [(COMMAND, _commands(context))]
    options += [(ANSWER, node) for node in _answers(context)]
    options += [(READING, node) for node in _named_readings(context)]
    options += [(1.0, node) for node in _naming(context)]
    if context.stage is not Stage.FINISHED:
        options.append((TIMER, timer_sentences(context)))
    sentence = Either(tuple(options))
    woken = say(WAKE_WORD)
    return Grammar(Either(((40.0, in_order(Maybe(woken), sentence)), (1.0, woken))))


def _commands(context: Listening) -> Node:
    """The plain commands; those that answer what is open weigh more."""
    expected = {Command.DONE}
    if context.question or context.doubt:
        expected = {Command.YES, Command.NO, Command.FIRST, Command.SECOND, Command.THIRD}
    phrases: dict[Words, float] = {}
    for words, command in LITERAL.items():
        if command in context.commands:
            phrases[words] = 3.0 if command in expected else 1.0
            if len(words) > 1:
                phrases.setdefault(("the", *words), 0.1)
    return Either(tuple((weight, Say(words)) for words, weight in phrases.items()))


def _naming(context: Listening) -> Iterator[Node]:
    for phrase, command in NAMING:
        names = NAMED_BY[command][1](context)
        if command not in context.commands or not names:
            continue
        place = phrase.index(NAME)
        head, tail = phrase[:place], phrase[place + 1 :]
        if name := names_said(names, context.timers):
            yield in_order(Say(head), Maybe(say("the"), 0.3), name, Say(tail))


def _answers(context: Listening) -> Iterator[Node]:
    if context.options:
        yield any_of(spoken(option) for option in context.options)
    if context.doubt:
        yield from _settling(context)
    for quantity in context.asked:
        if quantity is Quantity.BOILING:
            yield any_of(NOT_BOILING)
        else:
            yield in_order(Maybe(any_of(LEADS), 0.1), figure(quantity, context))


def _settling(context: Listening) -> Iterator[Node]:
    """The figures in doubt, said again in any of their forms."""
    for meaning in context.doubt:
        if isinstance(meaning, ReadingTaken | NumberSaid):
            value = meaning.value
            if 0.9 <= value <= 1.2:
                yield gravity_number(_only(round(value * 1000)))
                continue
            number = whole_number(_only(int(value)))
            yield in_order(number, Maybe(TWO_DECIMALS)) if value % 1 else number
        elif isinstance(meaning, TimerRequested):
            yield timer_sentences(context)


def _only(number: int) -> Range:
    return Range(low=number, high=number, likely_low=number, likely_high=number)


def _named_readings(context: Listening) -> Iterator[Node]:
    likely = tuple(dict.fromkeys((*context.asked, *context.likely)))
    by_quantity: dict[Quantity, list[Words]] = {}
    for words, subject in SUBJECTS.items():
        if words == (WAKE_WORD,):
            continue
        found = [quantity for quantity in subject.quantities if quantity in likely]
        if found and subject.unit is None:
            by_quantity.setdefault(found[0], []).append(words)
    for quantity, names in by_quantity.items():
        yield in_order(
            Maybe(say("the"), 0.1),
            any_of(names),
            Maybe(any_of(MOMENTS), 0.02) if quantity in SAMPLED else Say(()),
            Maybe(any_of(LINKS), 0.3),
            figure(quantity, context),
            Maybe(any_of(MOMENTS), 0.02) if quantity in SAMPLED else Say(()),
        )
    for unit, quantity in OWNED_UNITS.items():
        if quantity in likely and SPOKEN_UNITS[unit]:
            number = _number(unit, quantity, context)
            yield in_order(number, any_said(SPOKEN_UNITS[unit]))
    if Quantity.GRAVITY in likely:
        plato = _number("degP", Quantity.GRAVITY, context)
        yield in_order(say("plato"), Maybe(any_of(LINKS), 0.3), plato)


def figure(quantity: Quantity, context: Listening) -> Node:
    """The figure of a reading in each unit it can be said in, with its sample's temperature."""
    unit = QUANTITIES[quantity].asked_unit(context.units)
    number = _number(unit, quantity, context)
    options: list[tuple[float, Node]] = [(1.0, in_order(number, _unit(SPOKEN_UNITS[unit])))]
    if unit in OTHER_UNIT:
        other = OTHER_UNIT[unit]
        words = tuple(words for words in SPOKEN_UNITS[other] if words != "degrees")
        options.append((FAINT, in_order(_number(other, quantity, context), any_said(words))))
    if quantity is Quantity.GRAVITY:
        plato = _number("degP", quantity, context)
        options.append((FAINT, in_order(plato, any_said(SPOKEN_UNITS["degP"]))))
    said = Either(tuple(options))
    if quantity not in SAMPLED:
        return said
    return in_order(said, Maybe(_sample(quantity, context.units), 0.03))


def any_said(texts: Iterable[str]) -> Node:
    """One of some texts."""
    return any_of(spoken(text) for text in texts)


def _unit(words: tuple[str, ...]) -> Node:
    return Maybe(any_said(words), 0.4) if words else Say(())


def _sample(quantity: Quantity, units: Units) -> Node:
    low, high = SAMPLE_C[quantity]
    if units is Units.US:
        low, high = (convert(value, "degC", "degF") for value in (low, high))
    within = Range(low=round(low), high=round(high), likely_low=low, likely_high=high)
    number = decimal_number(within, ONE_DECIMAL, 0.1)
    return in_order(say("at"), number, Maybe(any_said(("degrees",)), 0.5))


def _number(unit: str, quantity: Quantity, context: Listening) -> Node:
    within = _range(unit, quantity, context)
    if unit == "SG":
        return gravity_number(within)
    decimals, share = DECIMALS[unit]
    number = decimal_number(within, decimals, share)
    if quantity is BELOW_NOUGHT:
        cold = Range(low=1, high=25, likely_low=1, likely_high=15)
        return Either(((1.0, number), (FAINT, minus(decimal_number(cold, ONE_DECIMAL, 0.2)))))
    return number


def _range(unit: str, quantity: Quantity, context: Listening) -> Range:
    """What is possible and what is likely of a quantity, in a unit it can be said in."""
    spec = QUANTITIES[quantity]
    likely = context.likely.get(quantity, spec.possible)
    if unit == "degP":
        gravity = context.likely.get(quantity, (1.0, 1.1))
        low, high = ((value - 1) * 250 for value in gravity)
        return Range(low=0, high=PLATO_POSSIBLE[1], likely_low=low - 1, likely_high=high + 1)
    if unit == "SG":
        bounds = [round(value * 1000) for value in (*spec.possible, *likely)]
        return Range(low=bounds[0], high=bounds[1], likely_low=bounds[2], likely_high=bounds[3])
    low, high, likely_low, likely_high = (
        value if unit == spec.unit else convert(value, spec.unit, unit)
        for value in (*spec.possible, *likely)
    )
    largest, step = IN_TENS.get(unit, (LARGEST_SPOKEN, 1))
    return Range(
        low=max(low, 0.0),
        high=min(high, largest, max(likely_high * 2, 100.0)),
        likely_low=likely_low,
        likely_high=likely_high,
        step=step,
    )
