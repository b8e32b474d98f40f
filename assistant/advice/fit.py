"""Does it fit: what a brewer should know of a plan before lighting the kettle."""

from collections.abc import Mapping

from assistant.advice import figures
from assistant.advice.timeline import CLOSEST_TO_COOLANT_K
from assistant.brewing.gas import BOTTLE_LIMIT_VOL
from assistant.brewing.heat import boil_off_kg_h
from assistant.brewing.hops import MOST_IBU
from assistant.brewing.water import WATER_KG_L
from assistant.schedule.model import (
    ChillMethod,
    Glass,
    Kettle,
    Package,
    Schedule,
    Units,
    Vessel,
    Yeast,
    YeastForm,
)

MASH_FILL_LIMIT = 0.97
"""Share of the brim a mash may reach: room to stir; common practice, no source."""

MASH_FILL_WARNING = 0.90
"""From this share of the brim on a mash is called nearly full; common practice, no source."""

BOIL_FILL_WARNING = 0.85
BOIL_FILL_LIMIT = 0.92
"""Shares of the brim the hot wort may reach before the boil; common practice, no source."""

NEARLY_VOL = 0.2
"""Bottles this close to their limit are warned of, in volumes; common practice, no source."""

OLD_DAYS: Mapping[YeastForm, float] = {YeastForm.LIQUID: 120.0, YeastForm.SLURRY: 14.0}
"""From this age on the count is a guess; common practice, no source."""


def fits(schedule: Schedule, *, mash_l: float, preboil_hot_l: float) -> bool:
    """Whether the hot mash and the hot wort before the boil stay below their limits."""
    holds_l = schedule.kettle.holds_l
    return mash_l <= MASH_FILL_LIMIT * holds_l and preboil_hot_l <= BOIL_FILL_LIMIT * holds_l


def warnings(
    schedule: Schedule,
    *,
    strike_c: float,
    boiling_c: float,
    mash_l: float,
    preboil_hot_l: float,
    ibu: float,
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
    found.extend(boil_warnings(kettle, boiling_c, units))
    coil = schedule.chill.method is ChillMethod.COIL
    if coil and schedule.chill.to_c < kettle.tap_water_c + CLOSEST_TO_COOLANT_K:
        found.append(
            f"Tap water of {figures.temperature(kettle.tap_water_c, units)} hardly chills to "
            f"{figures.temperature(schedule.chill.to_c, units)}. Plan on ice."
        )
    if ibu > MOST_IBU:
        found.append(
            f"{ibu:.0f} IBU is more than wort can hold; expect nearer {MOST_IBU:.0f} than that."
        )
    if schedule.package and schedule.package.into is Vessel.BOTTLES:
        found.extend(bottle_warnings(schedule.package))
    found.extend(yeast_warnings(schedule.yeast))
    return tuple(found)


def boil_warnings(kettle: Kettle, boiling_c: float, units: Units) -> list[str]:
    """A heater that cannot boil off what the card says."""
    reaches_w = kettle.heater.power_w * kettle.heater.efficiency
    loss_w = kettle.heat_loss_w_k * max(boiling_c - kettle.room_c, 0.0)
    most_l_h = boil_off_kg_h(reaches_w, loss_w) / WATER_KG_L
    if most_l_h >= kettle.boil_off_l_h:
        return []
    most, card = figures.volume(most_l_h, units), figures.volume(kettle.boil_off_l_h, units)
    return [f"This heater boils off {most} an hour at most, not the {card} of the card."]


def bottle_warnings(package: Package) -> list[str]:
    """Bottles that are asked to hold more than they are good for, or nearly so."""
    wanted, limit = package.carbonation_vol, BOTTLE_LIMIT_VOL[package.glass.value]
    if wanted > limit:
        instead = "Use thick glass rated for it" if package.glass is Glass.ORDINARY else "Use kegs"
        return [
            f"{wanted:.1f} volumes can burst {package.glass.value} bottles: no sugar is given. "
            f"{instead}, or less gas."
        ]
    if wanted > limit - NEARLY_VOL:
        return [f"{wanted:.1f} volumes is much for {package.glass.value} bottles: use sound ones."]
    return []


def yeast_warnings(yeast: Yeast) -> list[str]:
    """Yeast so old that a sum over its living cells says little."""
    old = OLD_DAYS.get(yeast.form)
    if old is None or yeast.age_days is None or yeast.age_days <= old:
        return []
    days = figures.counted(figures.number(yeast.age_days, 0), "day")
    return [f"{figures.sentence(yeast.form.value)} yeast {days} old: grow a starter, or buy fresh."]
