"""Does it fit: what a brewer should know of a plan before lighting the kettle."""

from assistant.advice import figures
from assistant.advice.timeline import CLOSEST_TO_COOLANT_K
from assistant.schedule.model import ChillMethod, Schedule, Vessel

MASH_FILL_LIMIT = 0.97
"""Share of the brim a mash may reach: room to stir; common practice, no source."""

MASH_FILL_WARNING = 0.90
"""From this share of the brim on a mash is called nearly full; common practice, no source."""

BOIL_FILL_WARNING = 0.85
BOIL_FILL_LIMIT = 0.92
"""Shares of the brim the hot wort may reach before the boil; common practice, no source."""


def fits(schedule: Schedule, *, mash_l: float, preboil_hot_l: float) -> bool:
    """Whether the hot mash and the hot wort before the boil stay below their limits."""
    holds_l = schedule.kettle.holds_l
    return mash_l <= MASH_FILL_LIMIT * holds_l and preboil_hot_l <= BOIL_FILL_LIMIT * holds_l


def warnings(
    schedule: Schedule, *, strike_c: float, boiling_c: float, mash_l: float, preboil_hot_l: float
) -> tuple[str, ...]:
    """What a brewer should know before lighting the kettle, worst first; each fit to be heard."""
    kettle, units = schedule.kettle, schedule.units
    holds = figures.volume(kettle.holds_l, units)
    mash, boil = figures.volume(mash_l, units), figures.volume(preboil_hot_l, units)
    found = []
    if mash_l > MASH_FILL_LIMIT * kettle.holds_l:
        less = figures.volume(mash_l - MASH_FILL_LIMIT * kettle.holds_l, units)
        found.append(
            f"The mash does not fit: {mash} of {holds}. Hold back {less} and rinse the bag with it."
        )
    elif mash_l > MASH_FILL_WARNING * kettle.holds_l:
        found.append(f"The mash nearly fills the kettle: {mash} of {holds}. Stir gently.")
    if preboil_hot_l > BOIL_FILL_LIMIT * kettle.holds_l:
        found.append(f"The boil does not fit: {boil} hot, of {holds}, will boil over. Brew less.")
    elif preboil_hot_l > BOIL_FILL_WARNING * kettle.holds_l:
        found.append(f"Little head space: {boil} hot in {holds}. Stay beside the boil.")
    if strike_c >= boiling_c - 2:
        found.append("The strike water would have to boil. Use more water or warm the grain.")
    coil = schedule.chill.method is ChillMethod.COIL
    if coil and schedule.chill.to_c < kettle.tap_water_c + CLOSEST_TO_COOLANT_K:
        found.append(
            f"Tap water of {figures.temperature(kettle.tap_water_c, units)} hardly chills to "
            f"{figures.temperature(schedule.chill.to_c, units)}. Plan on ice."
        )
    if schedule.package and schedule.package.into is Vessel.BOTTLES:
        found.extend(bottle_warnings(schedule.package.carbonation_vol))
    return tuple(found)


def bottle_warnings(carbonation_vol: float) -> list[str]:
    """Ordinary bottles are held to 2.8 volumes, 3.0 at most; common practice, no source."""
    if carbonation_vol > 3.0:
        return [
            f"{carbonation_vol:.1f} volumes can burst ordinary bottles. "
            "Use bottles rated for it, or less sugar."
        ]
    if carbonation_vol > 2.8:
        return [f"{carbonation_vol:.1f} volumes is much for ordinary bottles: use sound, new ones."]
    return []
