"""What is said of a beer: how far it has come, what it comes to, what the brewer may do.

Every sentence has at most 20 words, as many as an ear takes in.
"""

from assistant.advice import figures
from assistant.brewing.gas import residual_co2_vol
from assistant.cellar.assessing import STEADY_DAYS, Assessment, Progress, curve_of
from assistant.cellar.coming import Coming, Kind
from assistant.cellar.state import DAY_S, CellarState, Packaged
from assistant.schedule.model import Units, Vessel

WARMED_BY_K = 2.5
"""How much warmer brewers make a beer that is stuck; common practice, no source."""

NOT_STARTED_REMEDIES = (
    "Check its temperature first, and rouse it gently.",
    "If nothing has fallen three days after pitching, pitch fresh yeast.",
)

SOON_DAYS = 0.75

SHORTEST_STEADY_DAYS = 0.05
"""Readings closer together tell of no standing still, and would be told as 0 days."""


def stuck_remedies(units: Units) -> tuple[str, ...]:
    """What brewers try where a beer is stuck; common practice, no source."""
    degrees = figures.temperature_difference(WARMED_BY_K, units)
    return (
        f"Brewers warm it by {degrees}, rouse the yeast gently, and wait three days.",
        "If that fails: fresh, lively yeast, begun in a little wort. Don't bottle it.",
    )


def in_days(days: float) -> str:
    """``today``, ``tomorrow``, ``in about 3 days``: as far off as a moment is."""
    if days < SOON_DAYS:
        return "today"
    if days < 1.5:
        return "tomorrow"
    return f"in about {figures.counted(figures.number(round(days), 0), 'day')}"


def age_words(state: CellarState) -> str:
    """``day 5`` of a beer whose yeast went in five times 24 hours ago."""
    return f"day {int(state.age_days)}"


def came_to(assessed: Assessment) -> str:
    """``71 percent fermented, 4.1 percent alcohol``; nothing where neither can be told."""
    parts = []
    if assessed.attenuation is not None:
        parts.append(f"{figures.number(assessed.attenuation * 100, 0)} percent fermented")
    if assessed.abv_percent is not None:
        parts.append(f"{figures.number(assessed.abv_percent, 1)} percent alcohol")
    return ", ".join(parts)


def progress_words(state: CellarState, assessed: Assessment) -> tuple[str, ...]:
    """How far it has come and what follows from it, in one to three sentences."""
    gravity, final = assessed.gravity, figures.gravity(assessed.final_gravity)
    shown = "" if gravity is None else figures.gravity(gravity)
    steady = figures.counted(figures.number(assessed.steady_days, 1), "day")
    match assessed.progress:
        case Progress.UNREAD:
            return ("No gravity of it has been read yet.",)
        case Progress.WAKING:
            return ("Nothing has fallen yet; yeast takes a day or two to start.",)
        case Progress.NOT_STARTED:
            return (f"Still {shown} after two days: it has not started.", *NOT_STARTED_REMEDIES)
        case Progress.FERMENTING:
            return (f"{figures.sentence(finish_words(state))}.",)
        case Progress.STUCK:
            above = figures.points(assessed.points_above / 1000)
            return (
                f"Steady at {shown} for {steady}, {above} above its end: stuck.",
                *stuck_remedies(state.schedule.units),
            )
        case Progress.SETTLING:
            if assessed.near_s is None:
                return (
                    f"Near its end, {final}. Read it with the hydrometer, and again in three days.",
                )
            left = in_days(days_to_steady(state, assessed))
            if assessed.steady_days < SHORTEST_STEADY_DAYS:
                return (f"Near its end, {final}. Read it again {left}.",)
            return (f"Near its end, {final}. Steady for {steady}: read it again {left}.",)
        case Progress.FINISHED:
            return (
                f"Steady at {shown} for {steady}: fermentation is over.",
                "Taste a sample: with no butter in it, it can be packaged.",
            )


def finish_words(state: CellarState) -> str:
    """``finished in about 3 days, at 1.011; it may take 2 to 5 days``."""
    curve = curve_of(state)
    left, low, high = (
        day - state.age_days for day in (curve.finish_day, curve.finish_low, curve.finish_high)
    )
    ends = f"at about {figures.gravity(curve.final_gravity)}"
    soonest, latest = max(round(low), 0), max(round(high), 0)
    if latest <= 1 or soonest == latest:
        return f"finished {in_days(left)}, {ends}"
    return f"finished {in_days(left)}, {ends}; it may take {soonest} to {latest} days"


def days_to_steady(state: CellarState, assessed: Assessment) -> float:
    """Days until the gravity has been the same for long enough, as its last reading has it."""
    if assessed.near_s is None:
        return STEADY_DAYS
    return max(assessed.near_s / DAY_S + STEADY_DAYS - state.now_s / DAY_S, 0.0)


def coming_words(state: CellarState, each: Coming) -> str:
    """``In about 2 days: add 57 grams of Cascade``; ``Today`` where it is overdue.

    A beer that is ready was so from its day on.
    """
    if each.kind is Kind.READY and each.at_s < state.now_s:
        return each.what
    when = figures.sentence(in_days((each.at_s - state.now_s) / DAY_S))
    return f"{when}: {each.what[:1].lower()}{each.what[1:]}"


def packing_words(packing: Packaged, units: Units) -> tuple[str, ...]:
    """What to measure out, in one to three sentences."""
    volume = figures.volume(packing.volume_l, units)
    warm = figures.temperature(packing.temperature_c, units)
    if packing.into is Vessel.KEG:
        pressure = figures.pressure(packing.pressure_kpa or 0.0, units)
        cold = figures.temperature(packing.serving_c or 0.0, units)
        return (f"For {volume} in the keg: {pressure} at {cold}.",)
    assert packing.sugar is not None
    if not packing.sugar_g:
        return (
            f"For {volume}: no sugar. It holds gas enough already.",
            bottles_words(packing, units),
        )
    sugar = figures.weight(packing.sugar_g, units)
    return (
        f"For {volume}, {warm} at its warmest: {sugar} of {packing.sugar.value}.",
        bottles_words(packing, units),
        "Boil the sugar in a little water, and stir it in gently.",
    )


def packing_reason(packing: Packaged, state: CellarState) -> str:
    """Why that much sugar or pressure, for a brewer who asks, at most 20 words."""
    units = state.schedule.units
    wanted = figures.number(packing.carbonation_vol, 1)
    if packing.into is Vessel.KEG:
        cold = figures.temperature(packing.serving_c or 0.0, units)
        return f"At {cold} that pressure holds {wanted} volumes of gas in the beer."
    altitude_m = state.schedule.kettle.altitude_m
    held = figures.number(float(residual_co2_vol(packing.temperature_c, altitude_m)), 1)
    warm = figures.temperature(packing.temperature_c, units)
    return f"Beer that was at {warm} holds {held} volumes of gas; {wanted} are wanted."


def bottles_words(packing: Packaged, units: Units) -> str:
    """``40 bottles of 500 millilitres.``"""
    size = figures.small_volume(packing.bottle_ml or 0.0, units)
    return f"{figures.counted(str(packing.bottles), 'bottle')} of {size}."


CAUTIONS = {
    Vessel.BOTTLES: "Over-primed bottles burst. Weigh the sugar, mix it well, use sound bottles.",
    Vessel.KEG: "Secure the gas cylinder, air the room, and vent the keg before you open it.",
}
"""Spoken before what is to be measured out."""

THICK_ONLY = "Only in thick glass that is rated for it: this would burst ordinary bottles."
"""Spoken after the caution where the gas that is wanted is more than ordinary glass bears."""
