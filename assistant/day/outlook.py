"""What is still to come, read off the state: for the forecast and for advice."""

from dataclasses import replace

from assistant.advice.actions import Do
from assistant.advice.batch import Place
from assistant.advice.bitterness import Dose, hop_factor, is_bittering
from assistant.advice.forecast import Prospect, make_forecast
from assistant.advice.happenings import at_moment
from assistant.advice.landing import likely_top_up_l, look_ahead, stops_at_l
from assistant.advice.timeline import ORDER, Stage
from assistant.advice.wort_remedies import ABOUT_WORT
from assistant.advice.worts import boil_minutes_planned, extract_of
from assistant.brewing.water import GRAIN_DISPLACES_L_KG, volume_at_20
from assistant.day.boil_clock import boil_end_s, boil_left_min, spells
from assistant.day.effects import ForecastChanged
from assistant.day.state import AdditionState, Fate, State
from assistant.day.steeping import Steeped, steeped
from assistant.day.timing import times
from assistant.day.turn import Turn
from assistant.schedule.model import Addition, Moment

LEAVE_IT = "leave it"

TELL_GRAVITY = 0.0005
TELL_VOLUME_L = 0.05
TELL_IBU = 0.5
TELL_PITCH_S = 60.0
"""A forecast is told again when a figure has moved by this much."""


def grain_is_in(state: State) -> bool:
    """Whether what stands in the kettle is a mash, its grain with it."""
    if state.stage is Stage.DOUGH_IN:
        return not any(task.action.do is Do.DOUGH_IN for task in state.tasks)
    return state.batch.place is Place.MASH and state.stage in (Stage.MASH, Stage.LIFT)


def displaced_at_20_l(state: State) -> float:
    """What the grain adds to a mash's volume, in the litres at 20 °C a volume is kept in."""
    displaced_l = GRAIN_DISPLACES_L_KG * state.schedule.grain_kg
    return volume_at_20(displaced_l, min(state.batch.temperature_c, 100.0))


def prospect(state: State) -> Prospect:
    """The boil, sugars, top-up and hops still to come, the fermenter filled no fuller than wanted.

    Strong wort is taken to be let down in the fermenter, unless the brewer has left such advice
    before: with the bitterness from the start, with gravity and volume once the boil is over.
    """
    ahead = unlimited(state)
    if state.batch.place is Place.FERMENTER:
        return ahead
    now = at_moment(state.batch, state.schedule.kettle, state.now_s)
    worlds = look_ahead(now, state.schedule, state.plan, ahead)
    boiled = ORDER.index(state.stage) >= ORDER.index(Stage.WHIRLPOOL)
    follows = takes_advice(state)
    water_l = likely_top_up_l(worlds) if follows else 0.0
    stops_l = stops_at_l(worlds, let_down=follows and boiled)
    task = next((task for task in state.tasks if task.action.do is Do.TRANSFER), None)
    most_l = stops_l if task is None or task.action.litres is None else task.action.litres
    filled_l = stops_at_l(worlds, let_down=True) + ahead.top_up_l
    return replace(
        ahead,
        most_l=most_l,
        top_up_l=ahead.top_up_l + (water_l if boiled else 0.0),
        let_down=1.0 if boiled else filled_l / (filled_l + water_l),
    )


def takes_advice(state: State) -> bool:
    """Whether the brewer has taken what was advised for the wort, and is likely to go on so."""
    return not any(t.say == LEAVE_IT and t.about in ABOUT_WORT for t in state.taken)


def unlimited(state: State) -> Prospect:
    """The boil, sugars, top-up and hops still to come, all the wort going into the fermenter."""
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
            for dose in doses_of(state, addition, entry, after_boil)
        ),
        boiling_c=state.plan.boiling_point_c,
        times=times(state),
    )


def doses_of(
    state: State, addition: Addition, entry: AdditionState, after_boil: Steeped
) -> list[Dose]:
    """One addition as doses of bitterness, what advice had added to it later after the first.

    None where it brings no bitterness or was left out.
    """
    if not is_bittering(addition.kind, addition.alpha) or addition.alpha is None:
        return []
    alpha, end_s = addition.alpha, boil_end_s(state)
    planned_min = boil_minutes_planned(addition, state.schedule.boil_minutes)
    minutes: float | None
    if entry.fate is Fate.LEFT_OUT:
        return []
    boils = state.stage is Stage.BOIL and end_s is not None
    waits = entry.fate is Fate.PENDING or (entry.fate is Fate.DUE and end_s is None)
    if planned_min is None or (waits and not boils):
        minutes = planned_min
    elif entry.fate in (Fate.PENDING, Fate.DUE):
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


def tell_forecast(turn: Turn) -> None:
    """Tell the forecast if it has moved since it was last told."""
    state = turn.state
    made = make_forecast(state.batch, state.schedule, prospect(state), state.now_s)
    told = state.forecast
    if (
        told is not None
        and abs(made.strike_at_s - told.strike_at_s) < TELL_PITCH_S
        and abs(made.boil_at_s - told.boil_at_s) < TELL_PITCH_S
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
        strike_at_s=made.strike_at_s,
        boil_at_s=made.boil_at_s,
        pitch_at_s=made.pitch_at_s,
        low_high=made.low_high,
    )
    turn.change(forecast=news)
    turn.effects.append(news)
