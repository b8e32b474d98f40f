"""How long a packaged beer takes to be ready, and how to keep it until then."""

from assistant.cellar.state import Packaged
from assistant.schedule.model import Vessel

BOTTLE_DAYS, KEG_DAYS = 14.0, 7.0
"""Bottles for their sugar to ferment at room temperature, a keg to take up gas under pressure;
common practice, no source."""

STRONG_SG, STRONG_DAYS = 1.070, 14.0
"""A strong beer takes so much longer to come round; common practice, no source."""


def ready_days(packaged: Packaged, original_gravity: float) -> float:
    """Days from packaging until the beer is ready to drink.

    Source: two weeks for bottles at 18 to 24 °C and one for a keg; common practice, no source.
    """
    days = BOTTLE_DAYS if packaged.into is Vessel.BOTTLES else KEG_DAYS
    return days + (STRONG_DAYS if original_gravity >= STRONG_SG else 0.0)


def ready_words(packaged: Packaged) -> str:
    """How to keep it until then, in a sentence or two."""
    if packaged.into is Vessel.KEG:
        return "Keep the keg cold and its pressure steady until then."
    return (
        "Keep the bottles at 18 to 24 °C until then, upright, covered and away from people. "
        "Chill one and try it; if it gushes, chill all of them at once."
    )
