"""What to do about wort that is too hot or too cold to meet the yeast."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.brewing.capacity import WATER_HEAT_J_KG_K
from assistant.brewing.cooling import ice_kg
from assistant.brewing.water import WATER_KG_L
from assistant.schedule.model import Ferment, Schedule, Units

FINE_ABOVE_K = 2.0
FINE_BELOW_K = 3.0
"""Pitching within this of the fermentation's range is fine; common practice, no source."""

HOTTEST_PITCH_C = 27.0
"""Yeast is never advised into wort warmer than this; common practice, no source."""


ICE = "ice"
LEAST_ICE_KG = 0.1
ICE_OVER_L = 0.3
"""Ice may fill the fermenter so much past what is wanted; common practice, no source."""


def pitch_finding(schedule: Schedule, wort_c: float, volume_l: float) -> Finding | None:
    """The finding for so much wort at ``wort_c`` about to be pitched; None where it is fine."""
    ferment, units = schedule.ferment, schedule.units
    read = f"The wort read {figures.degrees_read(wort_c, units)}"
    fine = f"this beer ferments at {_span(ferment, units)}"
    if wort_c > ferment.high_c + FINE_ABOVE_K:
        off = f"{figures.temperature_difference(wort_c - ferment.high_c, units)} too warm"
        target_c = max(schedule.chill.to_c, ferment.low_c)
        chill = Option(
            say="chill more",
            phrase=f"chill to {figures.temperature(target_c, units)}, overnight if need be",
            action=Action(do=Do.CHILL, to_c=target_c),
            effect="pitch within a day, fermenter closed",
        )
        leave = Option(
            say="leave it",
            phrase="leave it: more esters",
            action=Action(do=Do.LEAVE_IT),
            effect="a warm start: more esters",
        )
        ice = _ice(schedule, wort_c, target_c, volume_l)
        hottest = wort_c > HOTTEST_PITCH_C
        limit = f"yeast is not pitched above {figures.degrees_read(HOTTEST_PITCH_C, units)}"
        return Finding(
            about="fermenter_temperature",
            finding=off,
            options=(chill, *ice) if hottest else (chill, *ice, leave),
            recommended=chill.say,
            why=f"{read}: {fine}, and {limit if hottest else 'a warmer start makes more esters'}.",
        )
    if wort_c < ferment.low_c - FINE_BELOW_K:
        off = f"{figures.temperature_difference(ferment.low_c - wort_c, units)} too cold"
        leave = Option(
            say="leave it",
            phrase="leave it: let it warm up with the yeast in",
            action=Action(do=Do.LEAVE_IT),
            effect="a slow start",
        )
        return Finding(
            about="fermenter_temperature",
            finding=off,
            options=(leave,),
            recommended=leave.say,
            why=f"{read}: {fine}, and cold yeast only starts more slowly.",
        )
    return None


def _ice(schedule: Schedule, wort_c: float, target_c: float, volume_l: float) -> tuple[Option, ...]:
    """Ice in the wort, where it is short of the water that the ice becomes."""
    capacity_j_k = volume_l * WATER_KG_L * WATER_HEAT_J_KG_K
    mass_kg = ice_kg(capacity_j_k=capacity_j_k, from_c=wort_c, to_c=target_c)
    missing_l = schedule.volume_l - volume_l + ICE_OVER_L
    if not LEAST_ICE_KG <= mass_kg <= missing_l * WATER_KG_L:
        return ()
    units = schedule.units
    return (
        Option(
            say=ICE,
            phrase=f"stir in {figures.weight(mass_kg * 1000, units)} of ice from boiled water",
            action=Action(do=Do.TOP_UP, item=ICE, litres=mass_kg / WATER_KG_L, temperature_c=0.0),
            effect=f"{figures.temperature(target_c, units)} at once, "
            f"{figures.volume(mass_kg / WATER_KG_L, units)} more",
        ),
    )


def _span(ferment: Ferment, units: Units) -> str:
    low, high = (figures.degrees(one, units) for one in (ferment.low_c, ferment.high_c))
    return low if low == high else f"{low} to {high}"
