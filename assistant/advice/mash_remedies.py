"""What to do about a mash, or strike water, that is too cold or too hot."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.batch import Batch, volume_now_l
from assistant.advice.fit import FULLEST_MASH
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.heat import (
    boiling_point_c,
    heating_seconds,
    mash_heat_capacity_j_k,
    mash_temperature_c,
    water_to_move_mash_l,
)
from assistant.brewing.water import mash_volume_l
from assistant.schedule.model import Rest, Schedule

ACT_ON_K = 1.5
"""A mash nearer to its rest than this is left alone, being hardly to be tasted; common practice."""

LONGEST_BURST_S = 900.0
"""Heat for longer than a quarter of an hour is a heating of its own, not a correction."""

PRACTICAL_WATER_L = 0.2
"""Less water than this is not worth boiling; common practice, no source."""


def mash_finding(
    schedule: Schedule, batch: Batch, rest: Rest, mash_c: float, at_s: float
) -> Finding | None:
    """The finding for a mash read at ``mash_c`` in a rest; None when it is near enough."""
    off_k = mash_c - rest.temperature_c
    if abs(off_k) <= ACT_ON_K:
        return None
    units = schedule.units
    side = "cold" if off_k < 0 else "hot"
    options = [
        *_heat(schedule, batch, rest, mash_c, at_s),
        *_water(schedule, batch, rest, mash_c, at_s),
    ]
    drift = "drier" if off_k < 0 else "sweeter"
    leave = Option(
        say="leave it",
        phrase=f"leave it: {drift}",
        action=Action(do=Do.LEAVE_IT),
        effect=f"stays at {figures.temperature(mash_c, units)}; {drift}",
    )
    return Finding(
        about="mash_temperature",
        finding=f"{figures.temperature_difference(off_k, units)} {side}",
        options=(*options, leave),
        recommended=(options or [leave])[0].say,
        why=_mash_why(schedule, batch, rest, mash_c, at_s, (options or [leave])[0].action),
    )


def _mash_why(
    schedule: Schedule, batch: Batch, rest: Rest, mash_c: float, at_s: float, best: Action
) -> str:
    """What the mash and its remedy come to: the reading, what is to be moved and what moves it."""
    kettle, units = schedule.kettle, schedule.units
    read = figures.degrees_read(mash_c, units)
    off = f"The mash read {read}, not {figures.degrees(rest.temperature_c, units)}"
    litres = figures.about_volume(volume_now_l(batch, kettle, at_s), units)
    if best.do is Do.HEAT_FOR:
        burst = figures.duration(best.seconds or 0.0)
        power = figures.power(kettle.heater.reaches_w)
        return f"{off}: {litres} and the grain need {burst} with {power} reaching them."
    if best.do is Do.ADD_WATER:
        water = f"{figures.volume(best.litres or 0.0, units)} of"
        if mash_c < rest.temperature_c:
            return f"{off}: {litres} and the grain need {water} boiling water."
        tap = figures.degrees(kettle.tap_water_c, units)
        return f"{off}: {litres} and the grain need {water} water at {tap}."
    if mash_c < rest.temperature_c:
        longest = figures.duration(LONGEST_BURST_S)
        return f"{off}: neither {longest} of heat nor a practical measure of boiling water helps."
    return f"{off}: no practical measure of cold water helps."


def _heat(schedule: Schedule, batch: Batch, rest: Rest, mash_c: float, at_s: float) -> list[Option]:
    if mash_c >= rest.temperature_c:
        return []
    kettle = schedule.kettle
    try:
        seconds = heating_seconds(
            capacity_j_k=mash_j_k(schedule, batch, at_s),
            from_c=mash_c,
            to_c=rest.temperature_c,
            power_w=kettle.heater.reaches_w,
            loss_w_k=kettle.heat_loss_w_k,
            room_c=kettle.room_c,
        )
    except NeverReaches:
        return []
    if seconds > LONGEST_BURST_S:
        return []
    seconds = max(round(seconds / 5) * 5, 5)
    return [
        Option(
            say="heat",
            phrase=f"heat {figures.duration(seconds)} at full power",
            action=Action(do=Do.HEAT_FOR, seconds=seconds, power=1.0),
            effect=f"back to {figures.temperature(rest.temperature_c, schedule.units)}",
        )
    ]


def _water(
    schedule: Schedule, batch: Batch, rest: Rest, mash_c: float, at_s: float
) -> list[Option]:
    kettle = schedule.kettle
    cold_mash = mash_c < rest.temperature_c
    water_c = boiling_point_c(kettle.altitude_m) if cold_mash else kettle.tap_water_c
    litres = _litres_that_fit(
        schedule,
        volume_l=volume_now_l(batch, kettle, at_s),
        capacity_j_k=mash_j_k(schedule, batch, at_s),
        from_c=mash_c,
        to_c=rest.temperature_c,
        water_c=water_c,
    )
    if litres is None:
        return []
    kind = "boiling" if cold_mash else "cold"
    shown = figures.volume(litres, schedule.units)
    return [
        Option(
            say=f"{kind} water",
            phrase=f"add {shown} of {kind} water",
            action=Action(do=Do.ADD_WATER, litres=litres, temperature_c=water_c),
            effect=f"back to {figures.temperature(rest.temperature_c, schedule.units)}, "
            f"{shown} more to boil off",
        )
    ]


def _litres_that_fit(
    schedule: Schedule,
    *,
    volume_l: float,
    capacity_j_k: float,
    from_c: float,
    to_c: float,
    water_c: float,
) -> float | None:
    """Water that moves what holds ``volume_l`` to a temperature; None where it is no way out."""
    holds_l = schedule.kettle.holds_l
    try:
        litres = water_to_move_mash_l(
            capacity_j_k=capacity_j_k, from_c=from_c, to_c=to_c, water_c=water_c
        )
    except OutOfRange:
        return None
    if not PRACTICAL_WATER_L <= litres <= holds_l:
        return None
    mash_l = mash_volume_l(volume_l + litres, schedule.grain_kg, to_c)
    return round(litres, 1) if mash_l <= FULLEST_MASH * holds_l else None


def mash_j_k(schedule: Schedule, batch: Batch, at_s: float) -> float:
    """Heat capacity of mash and kettle, J/K."""
    return mash_heat_capacity_j_k(
        volume_now_l(batch, schedule.kettle, at_s),
        schedule.grain_kg,
        schedule.kettle.heat_capacity_j_k,
    )


def strike_finding(
    schedule: Schedule, batch: Batch, strike_c: float, water_c: float, at_s: float
) -> Finding | None:
    """The finding for strike water hotter than wanted; None when it is near enough, or below."""
    if water_c - strike_c <= ACT_ON_K:
        return None
    kettle, units = schedule.kettle, schedule.units
    volume_l = volume_now_l(batch, kettle, at_s)
    try:
        lands_c = mash_temperature_c(
            strike_c=water_c,
            grain_c=kettle.room_c,
            grain_kg=schedule.grain_kg,
            water_l=volume_l,
            kettle_j_k=kettle.heat_capacity_j_k,
        )
    except OutOfRange:
        lands_c = water_c
    leave = Option(
        say="leave it",
        phrase=f"leave it: mash at {figures.temperature(lands_c, units)}",
        action=Action(do=Do.LEAVE_IT),
        effect=f"the mash lands at {figures.temperature(lands_c, units)}",
    )
    options = _cold_strike_water(schedule, volume_l, strike_c, water_c)
    options.append(
        Option(
            say="stir it cool",
            phrase="stir, lid off",
            action=Action(do=Do.STIR, minutes=max(round(2 * (water_c - strike_c)), 2)),
            effect=f"back to {figures.temperature(strike_c, units)} in a while",
        )
    )
    return Finding(
        about="water_temperature",
        finding=f"{figures.temperature_difference(water_c - strike_c, units)} over",
        options=(*options, leave),
        recommended=options[0].say,
        why=_strike_why(schedule, strike_c, water_c, lands_c, options[0].action),
    )


def _strike_why(
    schedule: Schedule, strike_c: float, water_c: float, lands_c: float, best: Action
) -> str:
    kettle, units = schedule.kettle, schedule.units
    read = figures.degrees_read(water_c, units)
    off = f"The water read {read}, not {figures.degrees(strike_c, units)}"
    lands = f"the mash lands at {figures.degrees(lands_c, units)}"
    if best.do is Do.ADD_WATER:
        litres = figures.volume(best.litres or 0.0, units)
        tap = figures.degrees(kettle.tap_water_c, units)
        return f"{off}: it takes {litres} of water at {tap}, or {lands}."
    return f"{off}: {lands}, and no practical measure of cold water helps."


def _cold_strike_water(
    schedule: Schedule, volume_l: float, strike_c: float, water_c: float
) -> list[Option]:
    kettle, units = schedule.kettle, schedule.units
    litres = _litres_that_fit(
        schedule,
        volume_l=volume_l,
        capacity_j_k=mash_heat_capacity_j_k(volume_l, 0.0, kettle.heat_capacity_j_k),
        from_c=water_c,
        to_c=strike_c,
        water_c=kettle.tap_water_c,
    )
    if litres is None:
        return []
    return [
        Option(
            say="cold water",
            phrase=f"add {figures.volume(litres, units)} of cold water",
            action=Action(do=Do.ADD_WATER, litres=litres, temperature_c=kettle.tap_water_c),
            effect=f"back to {figures.temperature(strike_c, units)}",
        )
    ]
