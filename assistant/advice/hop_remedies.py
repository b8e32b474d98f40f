"""What to do about hops that went in late, or have not gone in though they were due."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.wort_remedies import LONGEST_BOIL_MIN
from assistant.brewing.hops import utilisation, weight_to_hold_g
from assistant.schedule.model import Addition, Schedule

NOTICEABLE_IBU = 1.5
"""A smaller change in bitterness is told but not worth a remedy; common practice, no source."""

MOST_TIMES = 3.0
"""More than this many times the hops planned is never advised; common practice, no source."""

MOST_HOPS_G = 2000.0
"""Nor more than this at once, in a kettle at home; common practice, no source."""

FLAVOUR_MINUTES = 20.0
"""Hops meant for less boil than this are for flavour: time, not weight, puts them right."""


def hops_finding(
    schedule: Schedule,
    addition: Addition,
    *,
    planned_min: float,
    left_min: float,
    boil_total_min: float,
    boil_gravity: float,
    planned_ibu: float,
    already_in: bool,
) -> Finding | None:
    """The finding for hops meant to boil ``planned_min`` with only ``left_min`` left.

    ``planned_ibu`` is what they were to bring. None where the loss cannot be tasted. Offered:
    boiling longer by what was lost, more hops to hold bitterness (bittering hops only; source:
    Tinseth's utilisation), or leaving it.
    """
    share = utilisation(boil_gravity, max(left_min, 0.0)) / utilisation(boil_gravity, planned_min)
    lost_ibu = planned_ibu * (1 - share)
    late_min = planned_min - left_min
    if lost_ibu < NOTICEABLE_IBU or late_min < 1:
        return None
    units = schedule.units
    options = []
    more_min = round(late_min)
    if boil_total_min + more_min <= LONGEST_BOIL_MIN:
        options.append(
            Option(
                say="boil longer",
                phrase=f"boil {figures.duration(more_min * 60)} longer",
                action=Action(do=Do.BOIL_LONGER, minutes=more_min),
                effect="bitterness as planned, a little less wort",
            )
        )
    if left_min >= 10 and planned_min >= FLAVOUR_MINUTES:
        wanted_g = weight_to_hold_g(
            weight_g=addition.weight_g,
            gravity=boil_gravity,
            minutes=planned_min,
            new_gravity=boil_gravity,
            new_minutes=left_min,
        )
        grams = round(wanted_g - addition.weight_g if already_in else wanted_g, 1)
        if wanted_g <= min(MOST_TIMES * addition.weight_g, MOST_HOPS_G):
            options.insert(
                0,
                Option(
                    say="more hops",
                    phrase=f"add {figures.weight(grams, units)}{' more' if already_in else ' now'}",
                    action=Action(do=Do.ADD, item=addition.name, grams=grams),
                    effect="bitterness as planned",
                ),
            )
    leave = Option(
        say="leave it",
        phrase=f"leave it: {figures.number(lost_ibu, 0)} IBU less",
        action=Action(do=Do.LEAVE_IT),
        effect=f"{figures.number(lost_ibu, 0)} IBU less",
    )
    slight = lost_ibu < 2 * NOTICEABLE_IBU
    return Finding(
        about="additions",
        finding=f"{addition.name} {figures.duration(late_min * 60)} late",
        options=(*options, leave),
        recommended=leave.say if slight or not options else options[0].say,
    )
