"""A reading from the moment it is read to its place on the record, or to a question about it."""

from assistant.advice import figures
from assistant.advice.batch import Place
from assistant.brewing.errors import OutOfRange
from assistant.day.consequences import believe, follow_up
from assistant.day.effects import ReadingJudged, Why
from assistant.day.events import ReadingTaken, Source
from assistant.day.plausible import likely
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.read_values import VOLUMES, as_said, at_20, not_taken, possible_value
from assistant.day.state import Question, Reading, State
from assistant.day.steeping import wort_c
from assistant.day.streaming import (
    STALLED,
    acts,
    as_placed,
    doubted_aloud,
    hangs_in_nothing,
    is_fine,
    reports,
    stalls,
)
from assistant.day.turn import Turn
from assistant.schedule.model import Units
from assistant.schedule.units import convert

HOT_C = 40.0
"""Wort warmer than this fills clearly more of the kettle than it will cold."""

TOO_HOT_FOR_A_HYDROMETER_C = 45.0
"""Above this the correction of a hydrometer is worth little; common practice, no source."""

STREAM_S = 60.0
"""A sensor that reads more often than this is not read back each time."""


def take_reading(turn: Turn, event: ReadingTaken) -> None:
    """Judge a reading: take it, ask about it, or say why it can't be.

    One the brewer has confirmed already is not asked about again, however unlikely. Of a sensor
    that reports by itself little is said: see :mod:`~assistant.day.streaming`.
    """
    event = as_placed(turn.state, event)
    spec = QUANTITIES[event.quantity]
    if event.unit not in spec.units:
        wanted = " or ".join(spec.units)
        turn.refuse(f"{spec.spoken} in {event.unit} can't be used; it is read in {wanted}")
        return
    if reports(event) and hangs_in_nothing(turn.state, event.quantity):
        turn.effects.append(not_taken(event, "the wort is in the fermenter"))
        return
    value = possible_value(event)
    if value is None:
        _cannot_be(turn, event, f"{as_said(event)} can't be a {spec.spoken}")
        return
    sample_c = event.sample_c
    if sample_c is None and event.source is not Source.SENSOR:
        sample_c = _hot_wort_c(turn.state, event.quantity)
    try:
        value = at_20(event.quantity, value, sample_c, turn.state.schedule.kettle.hydrometer_c)
    except OutOfRange as error:
        _cannot_be(turn, event, str(error))
        return
    reading = Reading(
        at=turn.now_s,
        quantity=event.quantity,
        value=value,
        said=event.value,
        said_unit=event.unit,
        sample_c=sample_c,
    )
    doubt = None if turn.confirmed else _doubt(turn.state, reading)
    if doubt is not None and reports(event) and not _may_ask(turn, reading.quantity):
        turn.effects.append(not_taken(event, "not likely"))
        return
    if doubt is not None:
        turn.change(question=Question(reading=reading, text=doubt))
        turn.effects.append(not_taken(event, "not likely; waiting for yes or no"))
        turn.say(doubt, Why.QUESTION)
        return
    if reports(event):
        is_fine(turn, reading.quantity)
        _take_from_stream(turn, reading)
        return
    if turn.state.question and turn.state.question.reading.quantity is reading.quantity:
        turn.change(question=None)
    streamed = event.source is Source.SENSOR and _streams(turn.state, event.quantity)
    accept(turn, reading, aloud=not streamed)


def accept(turn: Turn, reading: Reading, *, aloud: bool = True) -> None:
    """Put a reading on the record, read it back, and do what follows from it."""
    asked = _asked(turn.state, reading.quantity)
    _put_on_record(turn, reading)
    if aloud and reading.quantity is not Quantity.BOILING:
        turn.say(_read_back(reading, turn.units), Why.READBACK)
    follow_up(turn, reading, asked=asked)


def _take_from_stream(turn: Turn, reading: Reading) -> None:
    """As :func:`accept`, in silence where nobody asked, and acting on it now and then only."""
    asked = _asked(turn.state, reading.quantity)
    if acts(turn, reading.quantity, asked=asked):
        accept(turn, reading, aloud=asked)
    else:
        _put_on_record(turn, reading)
        believe(turn, reading)
    if stalls(turn, reading):
        turn.say(STALLED, Why.WARNING)


def _asked(state: State, quantity: Quantity) -> bool:
    return any(ask.quantity is quantity for ask in state.asks)


def _put_on_record(turn: Turn, reading: Reading) -> None:
    turn.change(readings=(*turn.state.readings, reading))
    turn.answered(reading.quantity)
    turn.effects.append(
        ReadingJudged(
            quantity=reading.quantity,
            value=reading.said,
            unit=reading.said_unit,
            accepted=True,
        )
    )


def _may_ask(turn: Turn, quantity: Quantity) -> bool:
    """Whether a sensor's reading may be asked about: never over another question."""
    state = turn.state
    return state.question is None and state.open_doubt() is None and doubted_aloud(turn, quantity)


def _cannot_be(turn: Turn, event: ReadingTaken, reason: str) -> None:
    """Refuse a reading; a sensor that reports by itself is told of instead, if it is news."""
    turn.effects.append(not_taken(event, reason))
    if not reports(event):
        turn.refuse(f"{figures.sentence(reason)}.")
    elif doubted_aloud(turn, event.quantity):
        turn.say(f"{figures.sentence(reason)}. Look at its sensor.", Why.WARNING)


def _hot_wort_c(state: State, quantity: Quantity) -> float | None:
    """A volume said without a temperature is read off the kettle as it stands, hot or cold."""
    warm_c = wort_c(state)
    if quantity is not Quantity.KETTLE_VOLUME or warm_c <= HOT_C:
        return None
    return None if state.batch.place is Place.FERMENTER else min(warm_c, 100.0)


def _streams(state: State, quantity: Quantity) -> bool:
    if _asked(state, quantity):
        return False
    before = [reading for reading in state.readings if reading.quantity is quantity]
    return bool(before) and state.now_s - before[-1].at < STREAM_S


def _doubt(state: State, reading: Reading) -> str | None:
    quantity, shown = reading.quantity, _shown(reading, state.schedule.units)
    if (
        quantity is Quantity.GRAVITY
        and reading.sample_c is not None
        and reading.sample_c > TOO_HOT_FOR_A_HYDROMETER_C
    ):
        return f"That sample is too hot to trust. Keep {shown} all the same?"
    expected = likely(state, quantity)
    if expected is None or expected.holds(reading.value):
        return None
    about = "That is unusual"
    if expected.expected is not None:
        rough = QUANTITIES[quantity].show(expected.expected, state.schedule.units)
        about = f"I expected about {rough}"
    return f"{figures.sentence(shown)}? {about}. Yes or no?"


def _shown(reading: Reading, units: Units) -> str:
    return QUANTITIES[reading.quantity].show(reading.value, units)


def _read_back(reading: Reading, units: Units) -> str:
    if reading.sample_c is not None and reading.sample_c > HOT_C and reading.quantity in VOLUMES:
        litres = convert(reading.said, reading.said_unit, "L")
        cold = figures.volume(reading.value, units)
        return f"{figures.sentence(figures.volume_read(litres, units))} hot, {cold} cold, noted."
    shown = _shown(reading, units).removesuffix(" degrees")
    return f"{figures.sentence(shown)}, noted."
