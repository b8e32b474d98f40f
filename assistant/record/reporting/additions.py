"""Each addition as it was planned and as it went in, with the bitterness it brought."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from assistant.advice.bitterness import Dose, dose_ibu
from assistant.advice.ending import Outcome
from assistant.advice.forecast import Prospect
from assistant.advice.plan import PlannedAddition
from assistant.advice.timeline import Stage
from assistant.day.outlook import boiled_from_min, doses_of
from assistant.day.state import AdditionState, Fate, State
from assistant.day.steeping import steeped
from assistant.day.wording import addition_names
from assistant.record.reporting.account import AdditionAccount, StirredIn
from assistant.record.reporting.stages import planned_s
from assistant.schedule.model import Addition, Moment

ADDITION_STAGES: Mapping[Moment, Stage] = {
    Moment.FIRST_WORT: Stage.BOIL_UP,
    Moment.BOIL_START: Stage.BOIL,
    Moment.BEFORE_END: Stage.BOIL,
    Moment.FLAMEOUT: Stage.WHIRLPOOL,
    Moment.WHIRLPOOL: Stage.WHIRLPOOL,
}
"""The stage an addition goes in with, by the plan; one for the fermenter belongs to none."""


def addition_accounts(state: State, ahead: Prospect, end: Outcome) -> tuple[AdditionAccount, ...]:
    """Every addition in the schedule's order, what advice had added to it right behind it."""
    names = addition_names(state.schedule)
    parts = zip(names, state.schedule.additions, state.additions, state.plan.additions, strict=True)
    return tuple(
        line
        for name, addition, entry, planned in parts
        for line in _lines(state, ahead, end, name, addition, entry, planned)
    )


def stirred_in(state: State) -> tuple[StirredIn, ...]:
    """The salts and acids of the mash, as they went in or were left out."""
    return tuple(
        StirredIn(
            at_s=stirred.at,
            item=stirred.action.item or "",
            grams=stirred.action.grams,
            millilitres=stirred.action.millilitres,
            left_out=stirred.left_out,
        )
        for stirred in state.stirred
    )


def _lines(
    state: State,
    ahead: Prospect,
    end: Outcome,
    name: str,
    addition: Addition,
    entry: AdditionState,
    planned: PlannedAddition,
) -> Iterator[AdditionAccount]:
    in_s = entry.in_at_s if entry.fate is Fate.IN else None
    boils = addition.minutes_before_end is not None or addition.moment in (
        Moment.FIRST_WORT,
        Moment.BOIL_START,
    )
    line = AdditionAccount(
        name=name,
        addition=addition,
        planned_g=addition.weight_g,
        weight_g=entry.weight_g,
        due_s=_due_s(state, addition),
        in_s=in_s,
        fate=entry.fate,
        planned_boiled_min=planned.at_min if boils else None,
        boiled_min=boiled_from_min(state, in_s) if boils and in_s is not None else None,
    )
    doses = doses_of(state, addition, entry, steeped(state))
    brings = addition.alpha is not None and addition.moment is not Moment.DAY
    if brings:
        line = replace(
            line,
            planned_ibu=planned.ibu,
            ibu=0.0,
            planned_hot_min=_planned_hot_min(state, addition),
        )
    if doses and brings:
        in_time = replace(doses[0], minutes=planned.at_min)
        ibu = _ibu(ahead, end, doses[0])
        line = replace(
            line,
            ibu=ibu,
            hot_min=doses[0].after_min,
            time_ibu=ibu - _ibu(ahead, end, in_time),
        )
    yield line
    for place, extra in enumerate(entry.extra, start=1):
        later = doses[place] if place < len(doses) else None
        yield AdditionAccount(
            name=f"more {addition.name}",
            addition=addition,
            planned_g=None,
            weight_g=extra.grams,
            due_s=None,
            in_s=extra.at_s,
            fate=Fate.IN,
            boiled_min=boiled_from_min(state, extra.at_s) if boils else None,
            hot_min=None if later is None else later.after_min,
            ibu=None if later is None else _ibu(ahead, end, later),
            extra=True,
        )


def _planned_hot_min(state: State, addition: Addition) -> float:
    after_boil = state.plan.after_boil
    at_whirlpool = addition.moment is Moment.WHIRLPOOL
    return after_boil.whirlpool_min if at_whirlpool else after_boil.whole_min


def _ibu(ahead: Prospect, end: Outcome, dose: Dose) -> float:
    """Bitterness in the fermenter, as the forecast counts it."""
    in_boil = dose_ibu(
        dose,
        boil_gravity=end.boiled.gravity,
        postboil_volume_l=end.boiled.volume_l,
        boiling_c=ahead.boiling_c,
    )
    return ahead.let_down * end.undiluted * in_boil


def _due_s(state: State, addition: Addition) -> float | None:
    if addition.moment is Moment.DAY:
        return None
    due_s = planned_s(state, ADDITION_STAGES[addition.moment])
    if addition.minutes_before_end is None:
        return due_s
    return due_s + (state.schedule.boil_minutes - addition.minutes_before_end) * 60
