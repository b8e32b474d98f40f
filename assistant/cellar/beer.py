"""What a brew day hands over to the fermenter: where every later sum about the beer begins."""

from dataclasses import dataclass

from assistant.advice.batch import Place, gravity_now
from assistant.advice.timeline import ORDER, Stage
from assistant.brewing.errors import OutOfRange
from assistant.brewing.fermentation import final_gravity
from assistant.day.quantities import Quantity
from assistant.day.state import State

RECKONED = 1
"""Raised when a beer is reckoned otherwise from the same day, so that none is kept from before."""

PITCHED = ORDER[ORDER.index(Stage.CLEAN) :]
"""A day that has come to one of these has its yeast in the wort."""


@dataclass(frozen=True, kw_only=True)
class Beer:
    """A beer as it went into the fermenter, and as it was planned.

    ``pitched_s`` is when the yeast went in, in seconds of the brew day. ``volume_l`` is litres at
    20 °C; ``gravity_read`` and ``volume_read`` tell what was read in the fermenter from what is
    reckoned. ``original_brix`` is what a refractometer showed of the wort there, None where it was
    not read. ``final_gravity`` is where the yeast should take it, with all that is still to go into
    the fermenter.
    """

    pitched_s: float
    volume_l: float
    volume_read: bool
    original_gravity: float
    gravity_read: bool
    original_brix: float | None
    final_gravity: float
    ibu: float | None
    planned_volume_l: float
    planned_original_gravity: float
    planned_final_gravity: float


def beer_of(state: State) -> Beer | None:
    """The beer of a brew day, as far as it has come; None before its yeast is in.

    Raises :class:`~assistant.brewing.errors.OutOfRange` for a day whose wort no sum holds for.
    """
    pitched_s = _pitched_s(state)
    if pitched_s is None or state.batch.place is not Place.FERMENTER:
        return None
    plan = state.plan
    original = gravity_now(state.batch, state.schedule, pitched_s)
    return Beer(
        pitched_s=pitched_s,
        volume_l=state.batch.volume_l,
        volume_read=_last_in_fermenter(state, Quantity.FERMENTER_VOLUME) is not None,
        original_gravity=original,
        gravity_read=_last_in_fermenter(state, Quantity.GRAVITY) is not None
        or _last_in_fermenter(state, Quantity.BRIX) is not None,
        original_brix=_last_in_fermenter(state, Quantity.BRIX),
        final_gravity=_final(state, original),
        ibu=state.forecast.ibu if state.forecast is not None else None,
        planned_volume_l=plan.fermenter_volume_l,
        planned_original_gravity=plan.original_gravity,
        planned_final_gravity=plan.final_gravity,
    )


def _final(state: State, original_gravity: float) -> float:
    """Where it should end, with the plan's share of sugar and all that the fermenter is to get."""
    plan = state.plan
    try:
        return float(
            final_gravity(
                original_gravity=original_gravity + plan.fermented_gravity - plan.original_gravity,
                attenuation=state.schedule.yeast.attenuation,
                sugar_share=plan.sugar_share,
            )
        )
    except OutOfRange:
        return plan.final_gravity


def _pitched_s(state: State) -> float | None:
    """When the stage after the pitching first began for good."""
    found: float | None = None
    for entry in state.reached:
        if entry.stage not in PITCHED:
            found = None
        elif found is None:
            found = entry.at
    return found


def _last_in_fermenter(state: State, quantity: Quantity) -> float | None:
    """The last reading of a quantity since the wort was run into the fermenter."""
    moved_s = next((r.at for r in reversed(state.reached) if r.stage is Stage.TRANSFER), None)
    found = [
        reading.value
        for reading in state.readings
        if reading.quantity is quantity and moved_s is not None and reading.at >= moved_s
    ]
    return found[-1] if found else None
