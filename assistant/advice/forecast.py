"""Where the day is heading: gravity, volume, bitterness and the time of pitching, with a range.

The range is the 80 % range that follows from how well each figure of the kettle card is known
until a reading replaces it. The shares below are a home kettle's usual scatter; common practice,
no source.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from assistant.advice.batch import Batch, Outcome, Place, outcome
from assistant.advice.bitterness import Dose, total_ibu
from assistant.advice.worts import Extract
from assistant.schedule.model import Schedule

EFFICIENCY_SPREAD = 0.05
"""Standard deviation of the extract, as a share of it, until a gravity is read; 1 % after."""

BOIL_OFF_SPREAD = 0.15
"""Standard deviation of the rate of boil-off, as a share of it."""

ABSORPTION_SPREAD = 0.15
"""Standard deviation of what the grain holds, as a share of it, until a volume is read."""

LEFT_BEHIND_SPREAD = 0.25
"""Standard deviation of what stays with the trub, as a share of it."""

VOLUME_READING_SPREAD = 0.01
"""Standard deviation of a volume read in the kettle, as a share of it."""

BITTERNESS_SPREAD = 0.08
"""Standard deviation of bitterness against its own formula, as a share: scales, and an alpha acid
that crop and age move by 10 %; the formula's own error against a laboratory comes on top."""

TIME_SPREAD = 0.06
"""Standard deviation of the time still to go, as a share of it."""

EIGHTY_PERCENT = 1.2816
"""Half-width of the central 80 % of a normal distribution, in standard deviations."""


@dataclass(frozen=True, kw_only=True)
class Prospect:
    """What is still to come for a batch: boil, sugars, top-up water and hops."""

    boil_minutes_left: float
    extracts_to_come: tuple[Extract, ...]
    top_up_l: float
    doses: tuple[Dose, ...]
    boiling_c: float
    pitch_at_s: float


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """The figures the day is heading for; ``low_high`` holds the 80 % range of each by its name."""

    original_gravity: float
    fermenter_volume_l: float
    ibu: float
    pitch_at_s: float
    low_high: Mapping[str, tuple[float, float]]


def end_of(batch: Batch, schedule: Schedule, prospect: Prospect, at_s: float) -> Outcome:
    """Where the batch ends if everything still to come comes as told."""
    return outcome(
        batch,
        schedule,
        at_s=at_s,
        boil_minutes_left=prospect.boil_minutes_left,
        extracts_to_come=prospect.extracts_to_come,
        top_up_l=prospect.top_up_l,
    )


def finished_ibu(end: Outcome, doses: Sequence[Dose], boiling_c: float) -> float:
    """Bitterness in the fermenter, in IBU."""
    return end.undiluted * total_ibu(
        doses,
        boil_gravity=end.boiled.gravity,
        postboil_volume_l=end.boiled.volume_l,
        boiling_c=boiling_c,
    )


def make_forecast(batch: Batch, schedule: Schedule, prospect: Prospect, at_s: float) -> Forecast:
    """The forecast at ``at_s`` (seconds since the day began)."""
    best = figures(batch, schedule, prospect, at_s)
    squares = [0.0, 0.0, 0.0]
    for changed_batch, changed_schedule in variations(batch, schedule):
        varied = figures(changed_batch, changed_schedule, prospect, at_s)
        for index in range(3):
            squares[index] += (varied[index] - best[index]) ** 2
    squares[2] += (BITTERNESS_SPREAD * best[2]) ** 2
    widths = [EIGHTY_PERCENT * square**0.5 for square in squares]
    time_width = EIGHTY_PERCENT * TIME_SPREAD * max(prospect.pitch_at_s - at_s, 0.0)
    names = ("original_gravity", "fermenter_volume_l", "ibu")
    ranges = {
        name: (value - width, value + width)
        for name, value, width in zip(names, best, widths, strict=True)
    }
    ranges["pitch_at_s"] = (prospect.pitch_at_s - time_width, prospect.pitch_at_s + time_width)
    return Forecast(
        original_gravity=best[0],
        fermenter_volume_l=best[1],
        ibu=best[2],
        pitch_at_s=prospect.pitch_at_s,
        low_high=ranges,
    )


def figures(
    batch: Batch, schedule: Schedule, prospect: Prospect, at_s: float
) -> tuple[float, float, float]:
    """Gravity, volume and bitterness at the end."""
    end = end_of(batch, schedule, prospect, at_s)
    return (
        end.original_gravity,
        end.fermenter_volume_l,
        finished_ibu(end, prospect.doses, prospect.boiling_c),
    )


def variations(batch: Batch, schedule: Schedule) -> list[tuple[Batch, Schedule]]:
    """The batch and kettle with each uncertain figure one standard deviation up, one at a time."""
    kettle = schedule.kettle
    extract_spread = 0.01 if batch.gravity_read else EFFICIENCY_SPREAD
    varied = [(replace(batch, extract_kg=batch.extract_kg * (1 + extract_spread)), schedule)]
    if batch.volume_read:
        varied.append(
            (replace(batch, volume_l=batch.volume_l * (1 + VOLUME_READING_SPREAD)), schedule)
        )
    if batch.place is Place.FERMENTER:
        return varied
    cards = [
        replace(kettle, boil_off_l_h=kettle.boil_off_l_h * (1 + BOIL_OFF_SPREAD)),
        replace(kettle, left_behind_l=kettle.left_behind_l * (1 + LEFT_BEHIND_SPREAD)),
    ]
    if batch.place is Place.MASH:
        absorption = kettle.absorption_l_kg * (1 + ABSORPTION_SPREAD)
        cards.append(replace(kettle, absorption_l_kg=absorption))
    varied += [(batch, replace(schedule, kettle=card)) for card in cards]
    return varied
