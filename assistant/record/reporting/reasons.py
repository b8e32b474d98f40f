"""Why the beer came out otherwise than planned: each cause by itself, with what it moved.

The plan's sums are done again with one figure after another as it turned out, in the order of the
day; what each changes is its share of the difference. What is left is what no figure here tells:
scales, readings that contradict each other, wort on the floor.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from assistant.advice.batch import Place, boiled_s, fresh_batch
from assistant.advice.bitterness import total_ibu
from assistant.advice.ending import outcome
from assistant.advice.forecast import Forecast, Prospect
from assistant.advice.learned import Trait, with_traits
from assistant.advice.worts import Extract, extract_of, potential_extract_kg, sugars_in_boil
from assistant.brewing.errors import OutOfRange
from assistant.day.state import Fate, State
from assistant.record.reporting.account import AdditionAccount, Cause, Reason
from assistant.record.reporting.followed import Followed
from assistant.schedule.model import Moment, Schedule

LEAST_L, LEAST_SG, LEAST_IBU = 0.05, 0.0002, 0.3
"""A cause that moved nothing by so much is not worth a line."""

LEAST_KG = 0.001


@dataclass(frozen=True, kw_only=True)
class _Way:
    """The figures a batch runs through from the mash to the fermenter."""

    schedule: Schedule
    water_l: float
    extract_kg: float
    extracts: tuple[Extract, ...]
    added_water_l: float
    boil_minutes: float
    top_up_l: float

    def ends(self, state: State) -> tuple[float, float]:
        """Litres in the fermenter and their gravity."""
        batch = replace(
            fresh_batch(self.schedule, state.plan, 0.0),
            volume_l=self.water_l,
            extract_kg=self.extract_kg,
        )
        water = Extract(mass_kg=0.0, swell_l=self.added_water_l, boil_minutes=0.0)
        end = outcome(
            batch,
            self.schedule,
            at_s=0.0,
            boil_minutes_left=self.boil_minutes,
            extracts_to_come=(*self.extracts, water),
            top_up_l=self.top_up_l,
        )
        return end.fermenter_volume_l, end.original_gravity


def wort_reasons(
    state: State, followed: Followed, made: Forecast, ahead: Prospect
) -> tuple[Reason, ...]:
    """What moved volume and gravity in the fermenter, in the order of the day.

    Nothing where a figure lies outside what the sums hold for.
    """
    found: list[Reason] = []
    try:
        way = _planned_way(state)
        volume_l, gravity = way.ends(state)
        for reason, later in _turned_out(state, followed, ahead, way):
            moved_l, moved_sg = later.ends(state)
            found.append(replace(reason, volume_l=moved_l - volume_l, gravity=moved_sg - gravity))
            volume_l, gravity = moved_l, moved_sg
    except OutOfRange:
        return ()
    rest = Reason(
        cause=Cause.REST,
        volume_l=made.fermenter_volume_l - volume_l,
        gravity=made.original_gravity - gravity,
    )
    return tuple(
        reason
        for reason in (*found, rest)
        if abs(reason.volume_l) >= LEAST_L or abs(reason.gravity) >= LEAST_SG
    )


def _planned_way(state: State) -> _Way:
    schedule = replace(state.schedule, kettle=state.card)
    return _Way(
        schedule=schedule,
        water_l=state.plan.strike_volume_l,
        extract_kg=state.card.extract_efficiency * potential_extract_kg(schedule),
        extracts=sugars_in_boil(schedule),
        added_water_l=0.0,
        boil_minutes=schedule.boil_minutes,
        top_up_l=schedule.chill.top_up_l,
    )


def _turned_out(
    state: State, followed: Followed, ahead: Prospect, way: _Way
) -> Iterator[tuple[Reason, _Way]]:
    """The way with one figure more as it turned out, each time."""
    belief, batch = state.batch.belief, state.batch

    def step(
        cause: Cause, planned: float, was: float, unit: str, later: _Way
    ) -> tuple[Reason, _Way]:
        nonlocal way
        way = later
        return Reason(cause=cause, planned=planned, was=was, unit=unit), later

    def trait(cause: Cause, of: Trait, unit: str) -> tuple[Reason, _Way]:
        kettle = with_traits(way.schedule.kettle, {of: belief.value(of)})
        changed = replace(way, schedule=replace(way.schedule, kettle=kettle))
        planned = getattr(state.card, of.value)
        return step(cause, planned, belief.value(of), unit, changed)

    in_mash_l = batch.volume_l if batch.place is Place.MASH else way.water_l
    water_l = in_mash_l if followed.lifted_l is None else followed.lifted_l
    yield step(Cause.WATER, way.water_l, water_l, "L", replace(way, water_l=water_l))
    yield trait(Cause.GRAIN, Trait.ABSORPTION, "L/kg")
    share, potential_kg = belief.value(Trait.EXTRACT), potential_extract_kg(way.schedule)
    richer = replace(way, extract_kg=share * potential_kg)
    yield step(Cause.EXTRACT, state.card.extract_efficiency, share, "share", richer)
    extracts = _extracts(state, followed)
    planned_kg, was_kg = (sum(e.mass_kg for e in each) for each in (way.extracts, extracts))
    yield step(Cause.ADDED_EXTRACT, planned_kg, was_kg, "kg", replace(way, extracts=extracts))
    litres = _poured_l(followed, Place.KETTLE)
    yield step(Cause.ADDED_WATER, 0.0, litres, "L", replace(way, added_water_l=litres))
    yield trait(Cause.BOIL_OFF, Trait.BOIL_OFF, "L/h")
    minutes = boiled_s(batch, state.now_s) / 60 + ahead.boil_minutes_left
    planned_min = way.boil_minutes
    longer = replace(way, boil_minutes=minutes)
    yield step(Cause.BOIL_LENGTH, planned_min, minutes, "min", longer)
    yield trait(Cause.LEFT_BEHIND, Trait.LEFT_BEHIND, "L")
    top_up_l = _poured_l(followed, Place.FERMENTER) + ahead.top_up_l
    yield step(Cause.TOP_UP, way.top_up_l, top_up_l, "L", replace(way, top_up_l=top_up_l))


def _poured_l(followed: Followed, place: Place) -> float:
    return sum(
        poured.litres
        for poured in followed.poured
        if poured.place is place and poured.extract_kg < LEAST_KG
    )


def _extracts(state: State, followed: Followed) -> tuple[Extract, ...]:
    """What the schedule's sugars came to, and what advice added."""
    scheduled = [
        extract_of(replace(addition, weight_g=entry.weight_g), boil_minutes=0.0)
        for addition, entry in zip(state.schedule.additions, state.additions, strict=True)
        if addition.extract is not None
        and addition.moment is not Moment.DAY
        and entry.fate is not Fate.LEFT_OUT
    ]
    advised = [
        Extract(mass_kg=poured.advised_kg, swell_l=poured.litres, boil_minutes=0.0)
        for poured in followed.poured
        if poured.advised_kg >= LEAST_KG
    ]
    return (*scheduled, *advised)


def bitterness_reasons(
    state: State, additions: tuple[AdditionAccount, ...], made: Forecast, ahead: Prospect
) -> tuple[Reason, ...]:
    """What moved bitterness: what was weighed, how long it was hot, and in which wort."""
    plan, schedule = state.plan, state.schedule
    weighed = sum(_by_weight(additions, name) for name in {a.addition for a in additions})
    undiluted = (schedule.volume_l - schedule.chill.top_up_l) / schedule.volume_l
    timed = undiluted * total_ibu(
        ahead.doses,
        boil_gravity=plan.boil_gravity,
        postboil_volume_l=plan.postboil_volume_l,
        boiling_c=ahead.boiling_c,
    )
    moves = (
        (Cause.HOP_WEIGHTS, weighed - plan.ibu),
        (Cause.HOP_TIMES, timed - weighed),
        (Cause.WORT, made.ibu - timed),
    )
    return tuple(Reason(cause=cause, ibu=ibu) for cause, ibu in moves if abs(ibu) >= LEAST_IBU)


def _by_weight(additions: tuple[AdditionAccount, ...], which: object) -> float:
    """The planned bitterness of an addition at the weight that really went in."""
    lines = [line for line in additions if line.addition == which and line.planned_ibu is not None]
    extra_g = sum(line.weight_g for line in additions if line.addition == which and line.extra)
    return sum(
        (line.planned_ibu or 0.0)
        * ((0.0 if line.fate is Fate.LEFT_OUT else line.weight_g) + extra_g / len(lines))
        / line.planned_g
        for line in lines
        if line.planned_g
    )
