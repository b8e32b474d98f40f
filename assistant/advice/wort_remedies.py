"""What to do about a wort that will end too weak, too strong, too little or too much.

Gravity and volume are judged together: each remedy is carried to the fermenter with the same sum
as the forecast and the one that lands nearest with the least disturbance is recommended.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.batch import Batch, Place, kettle_volume_l
from assistant.advice.fit import BOIL_FILL_LIMIT
from assistant.advice.forecast import Prospect, end_of, finished_ibu
from assistant.advice.happenings import with_extract, with_water
from assistant.advice.plan import Plan
from assistant.advice.timeline import CHILLED_WATER_C
from assistant.advice.worts import Extract
from assistant.brewing.balance import dissolved_volume_l
from assistant.brewing.water import volume_hot
from assistant.schedule.model import Schedule

GRAVITY_FINE = 0.002
"""Two points off is left alone; common practice, no source."""

VOLUME_FINE_L = 0.5
"""Half a litre off is left alone in a home batch; common practice, no source."""

LONGEST_BOIL_MIN = 120.0
SHORTEST_BOIL_MIN = 45.0
"""No boil is made longer or shorter than this by advice; common practice, no source."""

MOST_ADDED_EXTRACT = 0.15
"""Dry extract beyond this share of the batch's own changes the beer; common practice, no source."""

ADD_EXTRACT = "add extract"
DRY_EXTRACT_YIELD = 0.96
"""Extract in dry malt extract, as a share; from memory, unchecked (published 0.95 to 0.97)."""

FERMENTER_ROOM = 1.10
"""The fermenter is taken to hold a tenth more than the volume wanted; it is not on the card."""


def dry_extract(weight_kg: float) -> Extract:
    """What so much dry malt extract brings, its minutes in the boil left open."""
    return Extract(
        mass_kg=weight_kg * DRY_EXTRACT_YIELD,
        swell_l=dissolved_volume_l(weight_kg, DRY_EXTRACT_YIELD),
        boil_minutes=0.0,
    )


@dataclass(frozen=True, kw_only=True)
class Course:
    """A remedy carried to the end: what comes out and how much it disturbs (0: nothing)."""

    option_of: Callable[[str], Option]
    original_gravity: float
    fermenter_volume_l: float
    ibu: float
    disturbance: float

    def distance(self, plan: Plan) -> float:
        """How far from the plan it lands.

        One for each 1.5 points, 0.4 L short, 1 L too much or tenth of the bitterness.
        """
        off_l = self.fermenter_volume_l - plan.fermenter_volume_l
        return (
            abs(self.original_gravity - plan.original_gravity) / 0.0015
            + (off_l / 1.0 if off_l > 0 else -off_l / 0.4)
            + abs(self.ibu - plan.ibu) / max(0.1 * plan.ibu, 1.0)
            + self.disturbance
        )


def wort_finding(
    schedule: Schedule,
    plan: Plan,
    batch: Batch,
    prospect: Prospect,
    *,
    at_s: float,
    boiled_min: float,
    pending_min: float,
) -> Finding | None:
    """The finding for a wort off its plan; None while it will end close enough, or where nothing
    can be done about it.

    ``boiled_min`` is how long it has boiled, ``pending_min`` the earliest addition still to come,
    in minutes before the end: a boil is never cut shorter than that.
    """
    end = end_of(batch, schedule, prospect, at_s)
    off = end.original_gravity - plan.original_gravity
    off_l = end.fermenter_volume_l - plan.fermenter_volume_l
    if abs(off) < GRAVITY_FINE and abs(off_l) < VOLUME_FINE_L:
        return None
    leave = _course(schedule, batch, prospect, at_s, 0.0, _leaving)
    in_kettle = batch.place is not Place.FERMENTER
    courses = [leave]
    if in_kettle and prospect.boil_minutes_left > 0:
        courses += _boils(schedule, plan, batch, prospect, at_s, boiled_min, pending_min)
    if off < 0:
        courses += _extract(schedule, plan, batch, prospect, at_s)
    else:
        courses += _water(schedule, plan, batch, prospect, at_s)
    courses.sort(key=lambda course: course.distance(plan))
    options = [course.option_of(_effect(schedule, plan, course)) for course in courses]
    kept = [o for o in options if o.action.do is not Do.LEAVE_IT][:3]
    if not kept:
        return None
    last = next(o for o in options if o.action.do is Do.LEAVE_IT)
    return Finding(
        about="gravity" if abs(off) >= GRAVITY_FINE else "volume",
        finding=_finding_text(schedule, off, off_l),
        options=(*kept, last),
        recommended=options[0].say,
    )


def _finding_text(schedule: Schedule, off: float, off_l: float) -> str:
    parts = []
    if abs(off) >= GRAVITY_FINE:
        parts.append(f"{figures.points(off)} {'low' if off < 0 else 'high'}")
    if abs(off_l) >= VOLUME_FINE_L:
        side = "short" if off_l < 0 else "too much"
        parts.append(f"{figures.volume(abs(off_l), schedule.units)} {side}")
    return " and ".join(parts)


def _effect(schedule: Schedule, plan: Plan, course: Course) -> str:
    parts = [
        figures.gravity(course.original_gravity),
        figures.volume(course.fermenter_volume_l, schedule.units),
    ]
    if abs(course.ibu - plan.ibu) >= 2:
        parts.append(f"{course.ibu:.0f} IBU")
    return ", ".join(parts)


def _course(
    schedule: Schedule,
    batch: Batch,
    prospect: Prospect,
    at_s: float,
    disturbance: float,
    option_of: Callable[[str], Option],
) -> Course:
    end = end_of(batch, schedule, prospect, at_s)
    return Course(
        option_of=option_of,
        original_gravity=end.original_gravity,
        fermenter_volume_l=end.fermenter_volume_l,
        ibu=finished_ibu(end, prospect.doses, prospect.boiling_c),
        disturbance=disturbance,
    )


def _leaving(effect: str) -> Option:
    return Option(
        say="leave it",
        phrase=f"leave it: {effect.partition(',')[0]}",
        action=Action(do=Do.LEAVE_IT),
        effect=effect,
    )


def with_boil(prospect: Prospect, change_min: float) -> Prospect:
    """The prospect with the boil longer or shorter: hops already in the kettle get it too."""
    return replace(
        prospect,
        boil_minutes_left=prospect.boil_minutes_left + change_min,
        doses=tuple(
            replace(dose, minutes=dose.minutes + change_min)
            if dose.in_kettle and dose.minutes is not None
            else dose
            for dose in prospect.doses
        ),
    )


def _boils(
    schedule: Schedule,
    plan: Plan,
    batch: Batch,
    prospect: Prospect,
    at_s: float,
    boiled_min: float,
    pending_min: float,
) -> list[Course]:
    left = prospect.boil_minutes_left
    most = LONGEST_BOIL_MIN - boiled_min - left
    least = max(pending_min, SHORTEST_BOIL_MIN - boiled_min, 0.0) - left

    def gravity_after(change_min: float) -> float:
        end = end_of(batch, schedule, with_boil(prospect, change_min), at_s)
        return end.original_gravity

    if most < least:
        return []
    change = round(_meet(gravity_after, plan.original_gravity, min(least, 0.0), max(most, 0.0)))
    if abs(change) < 3:
        return []
    longer = change > 0
    minutes = abs(change)
    word = "longer" if longer else "shorter"

    def option(effect: str) -> Option:
        return Option(
            say=f"boil {word}",
            phrase=f"boil {figures.duration(minutes * 60)} {word}",
            action=Action(do=Do.BOIL_LONGER if longer else Do.BOIL_SHORTER, minutes=minutes),
            effect=effect,
        )

    disturbance = 0.02 * change if longer else 0.0
    changed = with_boil(prospect, change)
    return [_course(schedule, batch, changed, at_s, disturbance, option)]


def _extract(
    schedule: Schedule, plan: Plan, batch: Batch, prospect: Prospect, at_s: float
) -> list[Course]:
    most_kg = MOST_ADDED_EXTRACT * batch.extract_kg

    def gravity_after(added_kg: float) -> float:
        end = end_of(
            with_extract(batch, schedule.kettle, dry_extract(added_kg / DRY_EXTRACT_YIELD), at_s),
            schedule,
            prospect,
            at_s,
        )
        return end.original_gravity

    if gravity_after(most_kg) < plan.original_gravity:
        return []
    added_kg = _meet(gravity_after, plan.original_gravity, 0.0, most_kg)
    grams = round(added_kg / DRY_EXTRACT_YIELD * 100) * 10
    if grams < 50:
        return []

    def option(effect: str) -> Option:
        return Option(
            say=ADD_EXTRACT,
            phrase=f"add {figures.weight(grams, schedule.units)} of dry extract",
            action=Action(do=Do.ADD, item="dry malt extract", grams=grams),
            effect=effect,
        )

    strengthened = with_extract(batch, schedule.kettle, dry_extract(grams / 1000), at_s)
    return [_course(schedule, strengthened, prospect, at_s, 0.4, option)]


def _water(
    schedule: Schedule, plan: Plan, batch: Batch, prospect: Prospect, at_s: float
) -> list[Course]:
    kettle = schedule.kettle
    in_fermenter = batch.place is Place.FERMENTER
    now_l = kettle_volume_l(batch, schedule, at_s)
    end_l = end_of(batch, schedule, prospect, at_s).fermenter_volume_l
    room_l = FERMENTER_ROOM * schedule.volume_l - end_l
    if not in_fermenter:
        room_l = min(room_l, BOIL_FILL_LIMIT * kettle.holds_l - volume_hot(now_l, 95.0))

    def gravity_after(litres: float) -> float:
        end = end_of(with_water(batch, kettle, litres, at_s), schedule, prospect, at_s)
        return -end.original_gravity

    if room_l < 0.2:
        return []
    litres = round(_meet(gravity_after, -plan.original_gravity, 0.0, room_l), 1)
    if litres < 0.2:
        return []
    water_c = CHILLED_WATER_C if in_fermenter else kettle.tap_water_c

    def option(effect: str) -> Option:
        return Option(
            say="top up" if in_fermenter else "add water",
            phrase=f"add {figures.volume(litres, schedule.units)} of "
            f"{'boiled, chilled ' if in_fermenter else ''}water",
            action=Action(
                do=Do.TOP_UP if in_fermenter else Do.ADD_WATER,
                litres=litres,
                temperature_c=water_c,
            ),
            effect=effect,
        )

    thinned = with_water(batch, kettle, litres, at_s)
    return [_course(schedule, thinned, prospect, at_s, 0.1, option)]


def _meet(rising: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where a rising function meets a value between two bounds, or the nearer bound."""
    if rising(low) >= wanted:
        return low
    if rising(high) <= wanted:
        return high
    for _ in range(40):
        middle = (low + high) / 2
        if rising(middle) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2
