"""Does it fit: what a brewer should know of a plan before lighting the kettle."""

import math
from collections.abc import Mapping

from assistant.advice import figures
from assistant.advice.timeline import chill_target_c, reachable_c
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

STIRRING_ROOM_CM = 3.0
"""A mash stays this far below the brim, to be stirred; common practice, no source."""

FULLEST_MASH = 0.97
"""Share of the brim that a mash once stirred may be topped up to; common practice, no source."""

MASH_FILL_WARNING = 0.015
"""Nearer than this share of the pot to its limit a mash is called nearly full."""

BOIL_FILL_WARNING = 0.85
BOIL_FILL_LIMIT = 0.92
"""Shares of the brim the hot wort may reach before the boil; common practice, no source."""

NOTHING_L_H = 0.1
"""Less than this is no boil to speak of."""

NEARLY_VOL = 0.2
"""Bottles this close to their limit are warned of, in volumes; common practice, no source."""

OLD_DAYS: Mapping[YeastForm, float] = {YeastForm.LIQUID: 120.0, YeastForm.SLURRY: 14.0}
"""From this age on the count is a guess; common practice, no source."""


def fits(schedule: Schedule, *, mash_l: float, preboil_hot_l: float) -> bool:
    """Whether the hot mash and the hot wort before the boil stay below their limits."""
    holds_l = schedule.kettle.holds_l
    return mash_l <= most_mash_l(holds_l) and preboil_hot_l <= BOIL_FILL_LIMIT * holds_l


def most_mash_l(holds_l: float) -> float:
    """The fullest a pot can be mashed in, taking it to be as high as it is wide."""
    height_cm = math.cbrt(4000 * holds_l / math.pi)
    return holds_l * (1 - STIRRING_ROOM_CM / height_cm)


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
    if schedule.package and schedule.package.into is Vessel.BOTTLES:
        found.extend(bottle_warnings(schedule.package))
    if mash_l > most_mash_l(kettle.holds_l):
        less = figures.volume(max(mash_l - most_mash_l(kettle.holds_l), 0.1), units)
        found.append(
            f"The mash does not fit: {mash} of {holds}. Hold back {less} and rinse the bag with it."
        )
    elif mash_l > most_mash_l(kettle.holds_l) - MASH_FILL_WARNING * kettle.holds_l:
        found.append(f"The mash nearly fills the kettle: {mash} of {holds}. Stir gently.")
    if preboil_hot_l > BOIL_FILL_LIMIT * kettle.holds_l:
        found.append(f"The boil does not fit: {boil} hot, of {holds}, will boil over. Brew less.")
    elif preboil_hot_l > BOIL_FILL_WARNING * kettle.holds_l:
        found.append(f"Little head space: {boil} hot in {holds}. Stay beside the boil.")
    if strike_c >= boiling_c - 2:
        found.append("The strike water would have to boil. Use more water or warm the grain.")
    found.extend(boil_warnings(kettle, boiling_c, units))
    found.extend(chill_warnings(schedule))
    if ibu > MOST_IBU:
        found.append(
            f"{ibu:.0f} IBU is more than wort can hold; expect nearer {MOST_IBU:.0f} than that."
        )
    found.extend(yeast_warnings(schedule.yeast))
    return tuple(found)


def boil_warnings(kettle: Kettle, boiling_c: float, units: Units) -> list[str]:
    """A heater that cannot boil off what the card says."""
    reaches_w = kettle.heater.reaches_w
    loss_w = kettle.heat_loss_w_k * max(boiling_c - kettle.room_c, 0.0)
    most_l_h = boil_off_kg_h(reaches_w, loss_w) / WATER_KG_L
    if most_l_h >= kettle.boil_off_l_h:
        return []
    card = figures.volume(kettle.boil_off_l_h, units)
    if most_l_h < NOTHING_L_H:
        return [f"This heater hardly boils the wort, let alone {card} an hour off it."]
    most = figures.volume(most_l_h, units)
    return [f"This heater boils off {most} an hour at most, not the {card} of the card."]


def chill_warnings(schedule: Schedule) -> list[str]:
    """Cooling water too warm for what the kettle has to be cooled to."""
    kettle, method, units = schedule.kettle, schedule.chill.method, schedule.units
    wanted_c = chill_target_c(schedule)
    if reachable_c(kettle, method, wanted_c) <= wanted_c:
        return []
    wanted = figures.temperature(wanted_c, units)
    if method is ChillMethod.ICE_BATH:
        return [f"An ice bath hardly chills to {wanted}. Allow for hours in a cold place."]
    tap = figures.temperature(kettle.tap_water_c, units)
    return [f"Tap water of {tap} hardly chills to {wanted}. Plan on ice."]


def bottle_warnings(package: Package) -> list[str]:
    """Bottles that are asked to hold more than they are good for, or nearly so."""
    wanted, limit = package.carbonation_vol, BOTTLE_LIMIT_VOL[package.glass.value]
    if wanted > limit:
        instead = "Use thick glass rated for it" if package.glass is Glass.ORDINARY else "Use kegs"
        volumes, bottles = figures.number(wanted, 2), f"{package.glass.value} bottles"
        return [
            f"{volumes} volumes can burst {bottles}: no sugar is given. {instead}, or less gas."
        ]
    if wanted > limit - NEARLY_VOL:
        return [f"{wanted:.1f} volumes is much for {package.glass.value} bottles: use sound ones."]
    return []


def is_old(yeast: Yeast) -> bool:
    """Whether yeast has been kept so long that its living cells are anybody's guess."""
    old = OLD_DAYS.get(yeast.form)
    return old is not None and yeast.age_days is not None and yeast.age_days > old


def yeast_warnings(yeast: Yeast) -> list[str]:
    """Yeast so old that a sum over its living cells says little."""
    if not is_old(yeast):
        return []
    days = figures.counted(figures.number(yeast.age_days or 0.0, 0), "day")
    return [f"{figures.sentence(yeast.form.value)} yeast {days} old: grow a starter, or buy fresh."]
