"""The wort from mash to fermenter: volumes worked backwards, gravities worked forwards."""

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.brewing.balance import dissolved_volume_l
from assistant.brewing.efficiency import brewhouse_efficiency
from assistant.brewing.errors import require
from assistant.brewing.gravity import extract_kg, gravity_from_extract
from assistant.brewing.water import absorbed_l
from assistant.schedule.model import Addition, Moment, Schedule

STRONGEST_KG_L = 0.36
"""Extract in a litre of wort of 1.15, where the density equations end."""


@dataclass(frozen=True, kw_only=True)
class Worts:
    """The wort from mash to fermenter: litres at 20 °C, gravities and the extract behind them."""

    strike_l: float
    preboil_l: float
    preboil_gravity: float
    postboil_l: float
    postboil_gravity: float
    original_gravity: float
    extract_kg: float
    sugar_share: float


def worts(schedule: Schedule) -> Worts:
    """Volumes worked back from the fermenter, and gravities worked forward from the grist.

    Raises :class:`~assistant.brewing.errors.OutOfRange` where the wort would be outside what the
    density tables hold for.
    """
    kettle = schedule.kettle
    sugars_kg = sugar_kg(schedule.additions)
    postboil_l = schedule.volume_l - schedule.chill.top_up_l + kettle.left_behind_l
    boiled_off_l = kettle.boil_off_l_h * schedule.boil_minutes / 60
    preboil_l = postboil_l - dissolved_volume_l(sugars_kg, 1.0) + boiled_off_l
    mash_kg = mash_extract_kg(schedule)
    whole_kg = mash_kg + sugars_kg
    require("extract of the grist", whole_kg, 0.001, 1000.0, "kg")
    require("extract in a litre of wort", whole_kg / postboil_l, 0.0, STRONGEST_KG_L, "kg")
    fermenter_kg = whole_kg * (postboil_l - kettle.left_behind_l) / postboil_l
    return Worts(
        strike_l=preboil_l + absorbed_l(schedule.grain_kg, kettle.absorption_l_kg),
        preboil_l=preboil_l,
        preboil_gravity=gravity_from_extract(mash_kg, preboil_l),
        postboil_l=postboil_l,
        postboil_gravity=gravity_from_extract(whole_kg, postboil_l),
        original_gravity=gravity_from_extract(fermenter_kg, schedule.volume_l),
        extract_kg=whole_kg,
        sugar_share=sugars_kg / whole_kg,
    )


def sugar_kg(additions: Sequence[Addition]) -> float:
    """Extract that additions to the kettle bring, in kg."""
    return sum(
        addition.weight_g / 1000 * addition.extract
        for addition in additions
        if addition.extract is not None and addition.moment is not Moment.DAY
    )


def potential_extract_kg(schedule: Schedule) -> float:
    """All the extract the grist could give, in kg."""
    return sum(malt.weight_kg * malt.extract for malt in schedule.grist)


def mash_extract_kg(schedule: Schedule) -> float:
    """Extract that reaches the kettle from the grist, in kg."""
    return schedule.kettle.extract_efficiency * potential_extract_kg(schedule)


def brewhouse_share(schedule: Schedule, *, volume_l: float, gravity: float) -> float:
    """Share of the grist's extract that a fermenter of this volume and gravity holds.

    What sugars brought is taken off in the proportion of the plan. Raises
    :class:`~assistant.brewing.errors.OutOfRange` where it comes to more than there was.
    """
    mash_kg = mash_extract_kg(schedule)
    from_malt = mash_kg / (mash_kg + sugar_kg(schedule.additions))
    in_fermenter_kg = max(extract_kg(volume_l, gravity), 0.0)
    return brewhouse_efficiency(from_malt * in_fermenter_kg, potential_extract_kg(schedule))
