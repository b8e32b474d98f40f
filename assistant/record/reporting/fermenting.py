"""Making the account of a beer's weeks in the fermenter from the visits to it."""

from assistant.advice.plan import Plan
from assistant.cellar.assessing import (
    Assessment,
    Progress,
    abv_percent_at,
    addition_key,
    assess,
    attenuation_at,
    curve_of,
)
from assistant.cellar.coming import Coming
from assistant.cellar.dates import READY_KEY, REST_KEY, coming
from assistant.cellar.state import DAY_S, BeerReading, CellarState
from assistant.cellar.warmth import warmth
from assistant.day.quantities import Quantity
from assistant.day.wording import addition_names
from assistant.record.reporting.fermentation import Fermentation, ReadOfBeer, Tended
from assistant.schedule.model import Moment

REST_NAME = "diacetyl rest"


def fermentation_of(state: CellarState, plan: Plan, zero_wall_s: float) -> Fermentation:
    """The account of a beer that was visited; ``zero_wall_s`` as in :class:`Fermentation`.

    Raises :class:`~assistant.brewing.errors.OutOfRange` for a beer no curve holds for.
    """
    assessed, ahead = assess(state), coming(state)
    final = _final(state, assessed)
    gravity = assessed.gravity if final is None else final
    original = assessed.original_gravity
    # What was fed since it was read ferments too.
    fed = None if gravity is None else gravity + assessed.fed
    return Fermentation(
        zero_wall_s=zero_wall_s,
        beer=state.beer,
        seen_s=state.now_s,
        progress=assessed.progress,
        original_gravity=original,
        gravity=gravity,
        final_gravity=final,
        expected_final_gravity=assessed.final_gravity,
        attenuation=attenuation_at(original, fed),
        abv_percent=abv_percent_at(original, fed),
        planned_attenuation=attenuation_at(plan.fermented_gravity, plan.final_gravity),
        planned_abv_percent=plan.abv_percent,
        curve=curve_of(state),
        steady_s=assessed.steady_s,
        steady_days=assessed.steady_days,
        readings=tuple(_read(state, reading) for reading in state.readings),
        tended=_tended(state, ahead),
        packaged=state.packaged,
        ready_s=next((each.at_s for each in ahead if each.key == READY_KEY), None),
        slurry=state.slurry,
        coming=() if state.packaged is not None else ahead,
        notes=state.notes,
        incidents=state.incidents,
    )


def _final(state: CellarState, assessed: Assessment) -> float | None:
    """The gravity at which the beer has ended, where that was read."""
    packaged = state.packaged
    if packaged is not None:
        read = any(r.gravity is not None and r.at <= packaged.at for r in state.readings)
        return packaged.final_gravity if read else None
    if assessed.progress is not Progress.FINISHED:
        return None
    return next(r.gravity for r in reversed(state.readings) if r.by_hydrometer)


def _read(state: CellarState, reading: BeerReading) -> ReadOfBeer:
    warm = reading.quantity is Quantity.FERMENTER_TEMPERATURE
    return ReadOfBeer(
        reading=reading,
        day=max(reading.at - state.beer.pitched_s, 0.0) / DAY_S,
        warmth=warmth(state, reading.value) if warm else None,
    )


def _tended(state: CellarState, ahead: tuple[Coming, ...]) -> tuple[Tended, ...]:
    names = addition_names(state.schedule)
    settled = {each.key: each for each in state.settled}
    found = []
    for index, addition in enumerate(state.schedule.additions):
        if addition.moment is Moment.DAY:
            became = settled.get(addition_key(index))
            found.append(
                Tended(
                    name=names[index],
                    kind=addition.kind,
                    weight_g=addition.weight_g,
                    due_s=state.beer.pitched_s + (addition.day or 0) * DAY_S,
                    done_s=None if became is None else became.at_s,
                    left_out=became is not None and became.left_out,
                )
            )
    rested = settled.get(REST_KEY)
    rest_due_s = next((each.at_s for each in ahead if each.key == REST_KEY), None)
    if rested is not None or rest_due_s is not None:
        found.append(
            Tended(
                name=REST_NAME,
                kind=None,
                weight_g=None,
                due_s=rest_due_s,
                done_s=None if rested is None else rested.at_s,
                left_out=rested is not None and rested.left_out,
            )
        )
    return tuple(found)
