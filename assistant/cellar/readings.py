"""A reading of the beer from the moment it is read to the record, or to a question about it."""

from dataclasses import replace

from assistant.advice import figures
from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import plato_from_gravity
from assistant.brewing.refractometer import final_gravity_from_brix
from assistant.cellar.assessing import original_gravity
from assistant.cellar.plausible import likely
from assistant.cellar.state import BeerReading, CellarState, Question
from assistant.cellar.turn import Turn
from assistant.cellar.warmth import is_alarming, warmth_words
from assistant.day.effects import ReadingJudged, Why
from assistant.day.events import ReadingTaken, Source
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.read_values import as_said, at_20, not_taken, possible_value

READ = (
    Quantity.GRAVITY,
    Quantity.BRIX,
    Quantity.FERMENTER_TEMPERATURE,
    Quantity.FERMENTER_VOLUME,
    Quantity.ROOM_TEMPERATURE,
    Quantity.SLURRY_VOLUME,
)
"""What can be read of a beer in its fermenter."""

OF_THE_BEER = {
    Quantity.KETTLE_TEMPERATURE: Quantity.FERMENTER_TEMPERATURE,
    Quantity.KETTLE_VOLUME: Quantity.FERMENTER_VOLUME,
}
"""What is meant on a visit, where "kettle" is but the word that the program is woken by."""

HYDROMETER_SPREAD, FLOATING_SPREAD, REFRACTOMETER_SPREAD = 0.001, 0.002, 0.0025
"""How sure a gravity is, as a standard deviation: by hydrometer and by an instrument that floats in
beer, common practice, no source; for the refractometer see
:func:`~assistant.brewing.refractometer.final_gravity_from_brix`."""

DOUBTED_AGAIN_S = 6 * 3600.0
"""A sensor that reports what can hardly be is asked about once in so long."""

STREAM_S = 3600.0
"""A sensor that reads more often than this is not read back each time."""

TOO_EARLY_FOR_BRIX = (
    "Noted. So early a refractometer can't tell the gravity for the alcohol: use the hydrometer."
)


def take_reading(turn: Turn, event: ReadingTaken) -> BeerReading | None:
    """Judge a reading: the one that is taken, or None where it is asked about or refused."""
    if event.source is Source.WORDS:
        event = replace(event, quantity=OF_THE_BEER.get(event.quantity, event.quantity))
    spec = QUANTITIES[event.quantity]
    if event.quantity not in READ:
        turn.refuse(f"{figures.sentence(spec.spoken)} is none of a beer in its fermenter.")
        return None
    if event.unit not in spec.units:
        wanted = " or ".join(spec.units)
        turn.refuse(f"{spec.spoken} in {event.unit} can't be used; it is read in {wanted}")
        return None
    value = possible_value(event)
    if value is None:
        _refuse(turn, event, f"{as_said(event)} can't be a {spec.spoken}")
        return None
    try:
        hydrometer_c = turn.state.schedule.kettle.hydrometer_c
        value = float(at_20(event.quantity, value, event.sample_c, hydrometer_c))
    except OutOfRange as error:
        _refuse(turn, event, str(error))
        return None
    low, high = spec.possible
    if not low <= value <= high:
        shown = spec.show(value, turn.units)
        _refuse(turn, event, f"{as_said(event)} comes to {shown} at 20 °C: can't be")
        return None
    reading = _reading(turn.state, event, value)
    expected = likely(turn.state, event.quantity)
    if not turn.confirmed and expected is not None and not expected.holds(value):
        shown = spec.show(value, turn.units)
        about = "That is unusual"
        if expected.expected is not None:
            about = f"I expected about {spec.show(expected.expected, turn.units)}"
        text = f"{figures.sentence(shown)}? {about}. Yes or no?"
        turn.effects.append(not_taken(event, "not likely; waiting for yes or no"))
        if _is_doubted_aloud(turn.state, event):
            turn.change(question=Question(reading=reading, text=text))
            if event.source is Source.STREAM:
                others = tuple(each for each in turn.state.doubted if each[0] is not event.quantity)
                turn.change(doubted=(*others, (event.quantity, turn.now_s)))
            turn.say(text, Why.QUESTION)
        return None
    open_question = turn.state.question
    if open_question is not None and open_question.reading.quantity is event.quantity:
        turn.change(question=None)
    aloud = event.source is Source.WORDS or not _streams(turn.state, event.quantity)
    accept(turn, reading, aloud=aloud)
    return reading


def _is_doubted_aloud(state: CellarState, event: ReadingTaken) -> bool:
    """Whether to ask about an unlikely reading: of a sensor that goes wrong, once in hours."""
    return event.source is not Source.STREAM or (
        state.question is None
        and not any(
            quantity is event.quantity and state.now_s - at_s < DOUBTED_AGAIN_S
            for quantity, at_s in state.doubted
        )
    )


def accept(turn: Turn, reading: BeerReading, *, aloud: bool = True) -> None:
    """Put a reading on the record and read it back; a temperature with what it means."""
    turn.change(readings=(*turn.state.readings, reading))
    if not reading.sensed:
        turn.change(unwise="")
    turn.answered(reading.quantity)
    if reading.quantity is Quantity.BRIX:
        turn.answered(Quantity.GRAVITY)
    turn.effects.append(
        ReadingJudged(
            quantity=reading.quantity,
            value=reading.said,
            unit=reading.said_unit,
            accepted=True,
        )
    )
    means = ""
    if reading.quantity is Quantity.FERMENTER_TEMPERATURE:
        means = warmth_words(turn.state, reading.value)
    if aloud:
        turn.say(_read_back(turn.state, reading), Why.READBACK)
    if means and (aloud or _is_news(turn.state, reading)):
        alarming = is_alarming(turn.state, reading.value)
        turn.say(means, Why.WARNING if alarming else Why.ANSWER)
        turn.change(reason=means)


def _is_news(state: CellarState, reading: BeerReading) -> bool:
    """Whether the temperature before this one meant something else."""
    alike = (r for r in reversed(state.readings) if r.quantity is reading.quantity)
    next(alike, None)
    before = next(alike, None)
    return before is None or warmth_words(state, before.value) != warmth_words(state, reading.value)


def _reading(state: CellarState, event: ReadingTaken, value: float) -> BeerReading:
    gravity, spread = None, 0.0
    if event.quantity is Quantity.GRAVITY:
        floats = event.source is Source.STREAM
        gravity, spread = value, FLOATING_SPREAD if floats else HYDROMETER_SPREAD
    elif event.quantity is Quantity.BRIX:
        gravity, spread = gravity_of_brix(state, value), REFRACTOMETER_SPREAD
    return BeerReading(
        at=event.at,
        quantity=event.quantity,
        value=value,
        said=event.value,
        said_unit=event.unit,
        sample_c=event.sample_c,
        gravity=gravity,
        spread=spread,
        sensed=event.source is not Source.WORDS,
        streamed=event.source is Source.STREAM,
    )


def gravity_of_brix(state: CellarState, brix: float) -> float | None:
    """The beer's gravity by a refractometer, corrected for alcohol; None where that can't be told.

    Where the wort was not read in Brix, its gravity tells what would have been; sugar that went in
    since counts with it.
    """
    correction = state.schedule.kettle.wort_correction
    wort_plato = float(plato_from_gravity(state.beer.original_gravity))
    fed_plato = float(plato_from_gravity(original_gravity(state))) - wort_plato
    original = state.beer.original_brix
    if original is None:
        original = wort_plato * correction
    original += fed_plato * correction
    try:
        return float(final_gravity_from_brix(original, brix, correction))
    except OutOfRange:
        return None


def _read_back(state: CellarState, reading: BeerReading) -> str:
    shown = QUANTITIES[reading.quantity].show(reading.value, state.schedule.units)
    if reading.quantity is Quantity.BRIX:
        if reading.gravity is None:
            return TOO_EARLY_FOR_BRIX
        about = figures.gravity(reading.gravity)
        return f"{figures.sentence(shown)}, about {about} with its alcohol, noted."
    return f"{figures.sentence(shown.removesuffix(' degrees'))}, noted."


def _streams(state: CellarState, quantity: Quantity) -> bool:
    if any(ask.quantity is quantity for ask in state.asks):
        return False
    before = state.last(quantity)
    return before is not None and state.now_s - before.at < STREAM_S


def _refuse(turn: Turn, event: ReadingTaken, reason: str) -> None:
    turn.effects.append(not_taken(event, reason))
    turn.refuse(f"{figures.sentence(reason)}.")
