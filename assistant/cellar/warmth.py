"""How warm a fermenting beer should be, and what it means where it is not."""

from enum import Enum

from assistant.advice import figures
from assistant.cellar.state import CellarState

LITTLE_K = 1.0
"""Within so much of the range nobody tastes it, and a strip thermometer can't tell."""

MUCH_K = 4.0
"""Further off than this the beer will tell of it; common practice, no source."""

DEADLY_C = 38.0
"""Brewer's yeast does not live long above this; common practice, no source."""

ASLEEP_C = 4.0
"""Nor does ale or lager yeast do anything to speak of below this; common practice, no source."""

EARLY_DAYS = 4.0
"""Yeast makes most of what it leaves in the taste while it grows; common practice, no source."""


class Warmth(Enum):
    """Where a temperature lies against the range wanted."""

    DEADLY = "deadly"
    MUCH_TOO_WARM = "much too warm"
    TOO_WARM = "too warm"
    RIGHT = "right"
    TOO_COLD = "too cold"
    MUCH_TOO_COLD = "much too cold"
    ASLEEP = "asleep"


def warmth(state: CellarState, temperature_c: float) -> Warmth:
    """Where a temperature of the beer, in °C, lies against the schedule's range.

    Source: common practice, no source; the range is the schedule's, which the brewer takes from
    the yeast's packet.
    """
    ferment = state.schedule.ferment
    if temperature_c >= DEADLY_C:
        return Warmth.DEADLY
    if temperature_c <= ASLEEP_C and ferment.low_c > ASLEEP_C + LITTLE_K:
        return Warmth.ASLEEP
    over_k, under_k = temperature_c - ferment.high_c, ferment.low_c - temperature_c
    if over_k > LITTLE_K:
        return Warmth.MUCH_TOO_WARM if over_k > MUCH_K else Warmth.TOO_WARM
    if under_k > LITTLE_K:
        return Warmth.MUCH_TOO_COLD if under_k > MUCH_K else Warmth.TOO_COLD
    return Warmth.RIGHT


def wanted_words(state: CellarState) -> str:
    """``18 to 20 degrees``: the range wanted."""
    ferment, units = state.schedule.ferment, state.schedule.units
    low, high = (figures.degrees(value_c, units) for value_c in (ferment.low_c, ferment.high_c))
    return f"{low} to {high} degrees"


def warmth_words(state: CellarState, temperature_c: float) -> str:
    """What a temperature outside the range means and what to do, at most 20 words; else nothing."""
    wanted, early = wanted_words(state), state.age_days < EARLY_DAYS
    degrees = figures.temperature_difference(2.0, state.schedule.units)
    match warmth(state, temperature_c):
        case Warmth.DEADLY:
            return f"That kills yeast. Cool it to {wanted}, and pitch fresh yeast if nothing falls."
        case Warmth.MUCH_TOO_WARM if early:
            return f"Far above {wanted}: it will taste harsh, of solvent. Cool it gently."
        case Warmth.TOO_WARM if early:
            return f"Above {wanted}: it will taste fruitier. Cool it by a degree or two."
        case Warmth.MUCH_TOO_WARM | Warmth.TOO_WARM:
            return f"Above {wanted}, but late: little harm now, and it helps the yeast to finish."
        case Warmth.TOO_COLD:
            return f"Below {wanted}: it will go slowly. Warm it by {degrees} a day at most."
        case Warmth.MUCH_TOO_COLD:
            return f"Far below {wanted}: yeast may drop out early. Warm it by {degrees} a day."
        case Warmth.ASLEEP:
            return f"Yeast sleeps at that. Warm it slowly to {wanted}."
        case _:
            return ""


def is_alarming(state: CellarState, temperature_c: float) -> bool:
    """Whether a temperature calls for doing something now."""
    found = warmth(state, temperature_c)
    if found is Warmth.MUCH_TOO_WARM:
        return state.age_days < EARLY_DAYS
    return found in (Warmth.DEADLY, Warmth.MUCH_TOO_COLD, Warmth.ASLEEP)
