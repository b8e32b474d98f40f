"""What to do about wort that is too hot or too cold to meet the yeast."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.schedule.model import Ferment, Schedule, Units

FINE_ABOVE_K = 2.0
FINE_BELOW_K = 3.0
"""Pitching within this of the fermentation's range is fine; common practice, no source."""

HOTTEST_PITCH_C = 27.0
"""Yeast is never advised into wort warmer than this; common practice, no source."""


def pitch_finding(schedule: Schedule, wort_c: float) -> Finding | None:
    """The finding for wort at ``wort_c`` about to be pitched; None where it is fine."""
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
        hottest = wort_c > HOTTEST_PITCH_C
        limit = f"yeast is not pitched above {figures.degrees_read(HOTTEST_PITCH_C, units)}"
        return Finding(
            about="fermenter_temperature",
            finding=off,
            options=(chill,) if hottest else (chill, leave),
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


def _span(ferment: Ferment, units: Units) -> str:
    low, high = (figures.degrees(one, units) for one in (ferment.low_c, ferment.high_c))
    return low if low == high else f"{low} to {high}"
