"""What is still to come, read off the state: for the forecast and for advice."""

from dataclasses import replace

from assistant.advice.actions import Do
from assistant.advice.batch import Place, boiled_s
from assistant.advice.bitterness import Dose, hop_factor, is_bittering
from assistant.advice.forecast import Prospect, make_forecast
from assistant.advice.timeline import ORDER, Stage
from assistant.advice.worts import boil_minutes_planned, extract_of
from assistant.brewing.water import GRAIN_DISPLACES_L_KG, volume_at_20
from assistant.day.effects import ForecastChanged
from assistant.day.state import AdditionState, BoilClock, Fate, State
from assistant.day.steeping import Steeped, steeped
from assistant.day.turn import Turn
from assistant.schedule.model import Addition, Moment

TELL_GRAVITY = 0.0005
TELL_VOLUME_L = 0.05
TELL_IBU = 0.5
TELL_PITCH_S = 60.0
"""A forecast is told again when a figure has moved by this much."""

BOIL_AGAIN_MIN = 5.0
"""A boil taken up again after flameout, to sanitise a chiller, lasts this long at least."""


def grain_is_in(state: State) -> bool:
    """Whether what stands in the kettle is a mash, its grain with it."""
    if state.stage is Stage.DOUGH_IN:
        return not any(task.action.do is Do.DOUGH_IN for task in state.tasks)
    return state.batch.place is Place.MASH and state.stage in (Stage.MASH, Stage.LIFT)


def displaced_at_20_l(state: State) -> float:
    """What the grain adds to a mash's volume, in the litres at 20 °C a volume is kept in."""
    displaced_l = GRAIN_DISPLACES_L_KG * state.schedule.grain_kg
    return volume_at_20(displaced_l, min(state.batch.temperature_c, 100.0))


def boil_left_min(state: State) -> float:
    """Minutes of boil still to come: all of it before the boil, none after."""
    if ORDER.index(state.stage) < ORDER.index(Stage.BOIL):
        if state.boil is not None:
            return again_min(state.boil)
        return state.schedule.boil_minutes + state.boil_change_min
    if state.stage is not Stage.BOIL or state.boil is None:
        return 0.0
    left_s = state.boil.end_s - state.now_s if state.boil.left_s is None else state.boil.left_s
    return max(left_s / 60, 0.0)


def boiled_min(state: State) -> float:
    """Minutes the wort has boiled so far, in all its boils."""
    return boiled_s(state.batch, state.now_s) / 60


def again_min(before: BoilClock) -> float:
    """How long a boil taken up again lasts: what was cut off the one before, or a few minutes."""
    return max(before.cut_s / 60, BOIL_AGAIN_MIN)


def spells(state: State) -> list[tuple[float, float]]:
    """From when to when the wort has boiled, the last as it is planned to end; pauses left out.

    A boil past its end goes on until the heat is off.
    """
    clock = state.boil
    if clock is None or state.stage is not Stage.BOIL:
        return spells_of(clock)
    if clock.left_s is not None:
        clock = replace(clock, start_s=state.now_s, end_s=state.now_s + clock.left_s)
    return spells_of(replace(clock, end_s=max(clock.end_s, state.now_s)))


def spells_of(clock: BoilClock | None) -> list[tuple[float, float]]:
    """From when to when the wort has boiled by a clock, and by those before it."""
    found: list[tuple[float, float]] = []
    while clock is not None:
        found += [(clock.start_s, clock.end_s), *clock.spells]
        clock = clock.before
    return found


def boil_end_s(state: State) -> float | None:
    """When the boil is, or was, to end; None before it has begun."""
    if state.boil is None:
        return None
    if state.boil.left_s is not None:
        return state.now_s + state.boil.left_s
    return state.boil.end_s


def prospect(state: State) -> Prospect:
    """The boil, sugars, top-up and hops still to come."""
    schedule, after_boil = state.schedule, steeped(state)
    return Prospect(
        boil_minutes_left=boil_left_min(state),
        extracts_to_come=tuple(
            extract_of(
                replace(addition, weight_g=entry.weight_g),
                boil_minutes=boil_minutes_planned(addition, schedule.boil_minutes) or 0.0,
            )
            for addition, entry in zip(schedule.additions, state.additions, strict=True)
            if addition.extract is not None
            and addition.moment is not Moment.DAY
            and entry.fate in (Fate.PENDING, Fate.DUE)
            and state.batch.place is not Place.FERMENTER
        ),
        top_up_l=0.0 if state.topped_up else schedule.chill.top_up_l,
        doses=tuple(
            dose
            for addition, entry in zip(schedule.additions, state.additions, strict=True)
            for dose in _doses(state, addition, entry, after_boil)
        ),
        boiling_c=state.plan.boiling_point_c,
        pitch_at_s=pitch_at_s(state),
    )


def _doses(
    state: State, addition: Addition, entry: AdditionState, after_boil: Steeped
) -> list[Dose]:
    if not is_bittering(addition.kind, addition.alpha) or addition.alpha is None:
        return []
    alpha, end_s = addition.alpha, boil_end_s(state)
    planned_min = boil_minutes_planned(addition, state.schedule.boil_minutes)
    minutes: float | None
    if entry.fate is Fate.LEFT_OUT:
        return []
    waits = entry.fate is Fate.PENDING or (entry.fate is Fate.DUE and end_s is None)
    if planned_min is None or waits:
        minutes = planned_min
    elif entry.fate is Fate.DUE:
        minutes = min(boil_left_min(state), planned_min)
    else:
        minutes = boiled_from_min(state, entry.in_at_s or 0.0)
    in_kettle = entry.fate is Fate.IN
    whole_min = after_boil.so_far_min + after_boil.left_min
    if in_kettle:
        after_min = max(whole_min - entry.in_steeped_min, 0.0)
    elif addition.moment is Moment.WHIRLPOOL:
        after_min = after_boil.whirlpool_min
    else:
        after_min = after_boil.left_min
    dose = Dose(
        weight_g=entry.weight_g,
        alpha=alpha,
        minutes=minutes,
        after_min=after_min,
        factor=hop_factor(addition),
        in_kettle=in_kettle,
    )
    later = [
        replace(
            dose,
            weight_g=extra.grams,
            minutes=boiled_from_min(state, extra.at_s),
            after_min=max(whole_min - extra.steeped_min, 0.0),
            in_kettle=True,
        )
        for extra in entry.extra
    ]
    return [dose, *later]


def boiled_from_min(state: State, in_at_s: float) -> float:
    """Minutes of boil that something in the kettle since ``in_at_s`` gets until the end."""
    if state.boil is None:
        to_come = ORDER.index(state.stage) < ORDER.index(Stage.WHIRLPOOL)
        return state.schedule.boil_minutes if to_come else 0.0
    return sum(max(until_s - max(in_at_s, from_s), 0.0) for from_s, until_s in spells(state)) / 60


def stage_end_s(state: State) -> float:
    """When the stage at hand should be over: as planned from its start, but never in the past."""
    end_s = boil_end_s(state)
    if state.stage is Stage.BOIL and end_s is not None:
        return max(end_s, state.now_s)
    planned_s = state.stage_at_s + state.plan.stage_minutes(state.stage) * 60
    return max(planned_s, state.now_s)


def pitch_at_s(state: State) -> float:
    """When the yeast should go in: the stages still to come take as long as planned."""
    here = ORDER.index(state.stage)
    pitched = next((r.at for r in reversed(state.reached) if r.stage is Stage.CLEAN), None)
    if here >= ORDER.index(Stage.CLEAN):
        return state.stage_at_s if pitched is None else pitched
    later = ORDER[here + 1 : ORDER.index(Stage.CLEAN)]
    longer_min = state.boil_change_min if Stage.BOIL in later else 0.0
    minutes = longer_min + sum(state.plan.stage_minutes(stage) for stage in later)
    return stage_end_s(state) + 60 * minutes


def tell_forecast(turn: Turn) -> None:
    """Tell the forecast if it has moved since it was last told."""
    state = turn.state
    made = make_forecast(state.batch, state.schedule, prospect(state), state.now_s)
    told = state.forecast
    if (
        told is not None
        and abs(made.original_gravity - told.original_gravity) < TELL_GRAVITY
        and abs(made.fermenter_volume_l - told.fermenter_volume_l) < TELL_VOLUME_L
        and abs(made.ibu - told.ibu) < TELL_IBU
        and abs(made.pitch_at_s - told.pitch_at_s) < TELL_PITCH_S
    ):
        return
    news = ForecastChanged(
        original_gravity=made.original_gravity,
        fermenter_volume_l=made.fermenter_volume_l,
        ibu=made.ibu,
        pitch_at_s=made.pitch_at_s,
        low_high=made.low_high,
    )
    turn.change(forecast=news)
    turn.effects.append(news)
