"""What was read in words, as it was said and as it is kept."""

from collections.abc import Callable, Sequence
from typing import TypeVar

from assistant.advice import figures
from assistant.cellar.state import BeerReading
from assistant.day.events import Source
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import Reading
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.section import Paragraph, Section, Table
from assistant.schedule.model import Units

Read = TypeVar("Read")

MOST_READINGS = 300
"""More readings than this are thinned out on a page: those of a sensor, evenly."""


def reading_section(account: Account, clock: Clock) -> Section:
    """Every reading as it was said and as it is kept, and those that were taken back."""
    units = account.schedule.units
    shown = thinned_floods(account.readings, lambda seen: seen.source is not Source.WORDS)
    table = Table(
        caption="Every reading, as said and as kept",
        header=("time", "quantity", "as said", "as kept", "taken back"),
        rows=tuple(
            (
                clock.time(seen.reading.at),
                figures.sentence(QUANTITIES[seen.reading.quantity].spoken),
                said_words(seen.reading, units),
                QUANTITIES[seen.reading.quantity].show(seen.reading.value, units),
                "" if seen.taken_back_s is None else f"at {clock.time(seen.taken_back_s)}",
            )
            for seen in shown
        ),
    )
    left_out = len(account.readings) - len(shown)
    remark = (Paragraph(head="", text=left_out_words(len(account.readings), left_out)),)
    return Section(
        key="readings",
        title="Readings",
        tables=(table,),
        paragraphs=remark if left_out else (),
    )


def thinned_floods(readings: Sequence[Read], sensed: Callable[[Read], bool]) -> list[Read]:
    """The readings with those of a sensor thinned out evenly where there are too many."""
    if len(readings) <= MOST_READINGS:
        return list(readings)
    streamed = sum(sensed(read) for read in readings)
    room = max(MOST_READINGS - (len(readings) - streamed), 20)
    every = max(-(-streamed // room), 1)
    shown, count = [], 0
    for read in readings:
        if not sensed(read):
            shown.append(read)
            continue
        if count % every == 0:
            shown.append(read)
        count += 1
    return shown


def left_out_words(count: int, left_out: int) -> str:
    """How many of so many readings a page does without."""
    return f"Of {count} readings, {left_out} of a sensor are left out here; --csv has them all."


def said_words(reading: Reading | BeerReading, units: Units) -> str:
    """A reading as it came: ``149.9 degF``, ``1.047 at 21 degrees``."""
    if reading.quantity is Quantity.BOILING:
        return "yes" if reading.said else "no"
    said = f"{figures.number(reading.said, 3)} {reading.said_unit}"
    if reading.said_unit == "SG":
        said = figures.gravity(reading.said)
    if reading.sample_c is None:
        return said
    return f"{said} at {figures.temperature_read(reading.sample_c, units)}"
