"""What to do about hops that went in late, or have not gone in though they were due."""

from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.batch import Boiled
from assistant.advice.bitterness import boil_minutes_worth
from assistant.advice.wort_remedies import LONGEST_BOIL_MIN
from assistant.brewing.hops import utilisation, weight_to_hold_g
from assistant.schedule.model import Addition, Schedule

NOTICEABLE_IBU = 1.5
"""A smaller change in bitterness is told but not worth a remedy; common practice, no source."""

SLIGHT_IBU = 2 * NOTICEABLE_IBU
"""Up to here leaving it is what is recommended; common practice, no source."""

MOST_TIMES = 3.0
"""More than this many times the hops planned is never advised; common practice, no source."""

MOST_HOPS_G = 2000.0
"""Nor more than this at once, in a kettle at home; common practice, no source."""

LEAST_LEFT_MIN = 10.0
"""With less boil left than this, more hops bring flavour rather than bitterness."""

FLAVOUR_MINUTES = 20.0
"""Hops meant for less boil than this are for flavour: time, not weight, puts them right."""


@dataclass(frozen=True, kw_only=True)
class LateHops:
    """Hops meant to boil ``planned_min`` with only ``left_min`` left.

    ``planned_ibu`` is what they were to bring to the beer, ``boiling_c`` where it boils and
    ``weight_g`` what went in or is to go in.
    ``after_min`` is what the time after flameout is worth in minutes of boil, and
    ``boil_total_min`` the whole boil as it stands.
    ``planned_boil`` and ``boil`` are the boil's mean gravity and end volume, planned and now.
    """

    addition: Addition
    planned_min: float
    left_min: float
    after_min: float
    boiling_c: float
    boil_total_min: float
    planned_boil: Boiled
    boil: Boiled
    planned_ibu: float
    weight_g: float
    already_in: bool


def hops_finding(schedule: Schedule, late: LateHops) -> Finding | None:
    """The finding for late hops; None where the loss cannot be tasted.

    Offered: boiling longer by what was lost, more hops to hold bitterness (bittering hops only;
    source: Tinseth's utilisation), or leaving it.
    """
    gravity, planned_min = late.boil.gravity, _worth_min(late, late.planned_min)
    share = utilisation(gravity, _worth_min(late, late.left_min)) / utilisation(
        gravity, planned_min
    )
    lost_ibu = late.planned_ibu * (1 - share)
    late_min = late.planned_min - late.left_min
    if lost_ibu < NOTICEABLE_IBU or late_min < 1:
        return None
    options = [*_more_hops(schedule, late), *_boil_longer(late)]
    leave = Option(
        say="leave it",
        phrase=f"leave it: {figures.number(lost_ibu, 0)} IBU less",
        action=Action(do=Do.LEAVE_IT),
        effect=f"{figures.number(lost_ibu, 0)} IBU less",
    )
    slight = lost_ibu < SLIGHT_IBU
    best = leave if slight or not options else options[0]
    return Finding(
        about="additions",
        finding=f"{late.addition.name} {figures.duration(late_min * 60)} late",
        options=(*options, leave),
        recommended=best.say,
        why=_why(schedule, late, lost_ibu, best.action),
    )


def _why(schedule: Schedule, late: LateHops, lost_ibu: float, best: Action) -> str:
    boiled = figures.counted(figures.number(late.left_min, 0), "minute")
    planned = figures.number(late.planned_min, 0)
    # Of rounded figures, so that what is kept and what is lost make up what was planned.
    whole, lost = round(late.planned_ibu), round(lost_ibu)
    kept = f"The hops boil {boiled}, not {planned}: {whole - lost} of {whole} IBU"
    if best.do is Do.ADD:
        weight = figures.weight(best.grams or 0.0, schedule.units)
        more = f"the rest takes {weight} more"
        return f"{kept}; {more if late.already_in else f'all {whole} take {weight}'}."
    if best.do is Do.BOIL_LONGER:
        return f"{kept}; the rest takes {figures.duration((best.minutes or 0.0) * 60)} more."
    if lost_ibu < SLIGHT_IBU:
        return f"{kept}, and a loss up to {SLIGHT_IBU:.0f} is hardly tasted."
    return f"{kept}; a longer boil would pass {LONGEST_BOIL_MIN:.0f} minutes."


def _worth_min(late: LateHops, boil_min: float) -> float:
    """Minutes at 100 °C that hops of so much boil get, the way down with them."""
    return boil_minutes_worth(boil_min, late.boiling_c) + late.after_min


def _more_hops(schedule: Schedule, late: LateHops) -> list[Option]:
    if late.left_min < LEAST_LEFT_MIN or late.planned_min < FLAVOUR_MINUTES:
        return []
    addition = late.addition
    wanted_g = weight_to_hold_g(
        weight_g=addition.weight_g,
        gravity=late.planned_boil.gravity,
        minutes=_worth_min(late, late.planned_min),
        volume_l=late.planned_boil.volume_l,
        new_gravity=late.boil.gravity,
        new_minutes=max(_worth_min(late, late.left_min), 1.0),
        new_volume_l=late.boil.volume_l,
    )
    grams = round(wanted_g - late.weight_g if late.already_in else wanted_g, 1)
    if grams <= 0 or wanted_g > min(MOST_TIMES * addition.weight_g, MOST_HOPS_G):
        return []
    weight = figures.weight(grams, schedule.units)
    return [
        Option(
            say="more hops",
            phrase=f"add {weight}{' more' if late.already_in else ' now'}",
            action=Action(do=Do.ADD, item=addition.name, grams=grams),
            effect="bitterness as planned",
        )
    ]


def _boil_longer(late: LateHops) -> list[Option]:
    more_min = round(late.planned_min - late.left_min)
    if late.boil_total_min + more_min > LONGEST_BOIL_MIN:
        return []
    return [
        Option(
            say="boil longer",
            phrase=f"boil {figures.duration(more_min * 60)} longer",
            action=Action(do=Do.BOIL_LONGER, minutes=more_min),
            effect="bitterness as planned, a little less wort",
        )
    ]
