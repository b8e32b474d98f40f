"""The wort from mash to fermenter: volumes worked backwards, gravities worked forwards."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.brewing.balance import dissolved_volume_l
from assistant.brewing.efficiency import brewhouse_efficiency
from assistant.brewing.errors import require
from assistant.brewing.gravity import extract_kg, gravity_from_extract
from assistant.brewing.water import absorbed_l
from assistant.schedule.model import Addition, Moment, Schedule

STRONGEST_KG_L = 0.35
"""Extract in a litre of wort of 1.134, short of 1.15 where the density equations end."""


@dataclass(frozen=True, kw_only=True)
class Extract:
    """Extract that goes into the kettle, in kg, and the minutes of boil it gets."""

    mass_kg: float
    boil_minutes: float


@dataclass(frozen=True, kw_only=True)
class Worts:
    """The wort from mash to fermenter: litres at 20 °C, gravities and the extract behind them.

    ``boil_gravity`` is the mean over the boil.
    """

    strike_l: float
    preboil_l: float
    preboil_gravity: float
    postboil_l: float
    postboil_gravity: float
    boil_gravity: float
    original_gravity: float
    extract_kg: float
    sugar_share: float


def worts(schedule: Schedule) -> Worts:
    """Volumes worked back from the fermenter, and gravities worked forward from the grist.

    Raises :class:`~assistant.brewing.errors.OutOfRange` where the wort would be outside what the
    density tables hold for.
    """
    kettle = schedule.kettle
    sugars = sugars_in_boil(schedule)
    sugars_kg = sum(sugar.mass_kg for sugar in sugars)
    swell_l = sum(
        dissolved_volume_l(addition.weight_g / 1000, min(addition.extract or 0.0, 1.0))
        for addition in schedule.additions
        if _sweetens(addition)
    )
    postboil_l = schedule.volume_l - schedule.chill.top_up_l + kettle.left_behind_l
    boiled_off_l = kettle.boil_off_l_h * schedule.boil_minutes / 60
    preboil_l = postboil_l - swell_l + boiled_off_l
    mash_kg = mash_extract_kg(schedule)
    whole_kg = mash_kg + sugars_kg
    require("extract of the grist", whole_kg, 0.001, 1000.0, "kg")
    require("extract in a litre of wort", whole_kg / postboil_l, 0.0, STRONGEST_KG_L, "kg")
    preboil_gravity = gravity_from_extract(mash_kg, preboil_l)
    fermenter_kg = whole_kg * (postboil_l - kettle.left_behind_l) / postboil_l
    return Worts(
        strike_l=preboil_l + absorbed_l(schedule.grain_kg, kettle.absorption_l_kg),
        preboil_l=preboil_l,
        preboil_gravity=preboil_gravity,
        postboil_l=postboil_l,
        postboil_gravity=gravity_from_extract(whole_kg, postboil_l),
        boil_gravity=mean_boil_gravity(
            sugars,
            start_gravity=preboil_gravity,
            whole_kg=whole_kg,
            postboil_l=postboil_l,
            boil_minutes=schedule.boil_minutes,
        ),
        original_gravity=gravity_from_extract(fermenter_kg, schedule.volume_l),
        extract_kg=whole_kg,
        sugar_share=sugars_kg / whole_kg,
    )


def mean_boil_gravity(
    added: Iterable[Extract],
    *,
    start_gravity: float,
    whole_kg: float,
    postboil_l: float,
    boil_minutes: float,
) -> float:
    """The gravity of a boil on average, each extract counted for the share of it that it was in.

    ``whole_kg`` is the extract at its end, what was ``added`` included; ``start_gravity`` is
    without that.
    """
    extracts = tuple(added)
    added_kg = sum(extract.mass_kg for extract in extracts)
    unsweetened_l = max(postboil_l - dissolved_volume_l(added_kg, 1.0), 0.01)
    plain = believed_gravity(max(whole_kg - added_kg, 0.0), unsweetened_l)
    mean = (start_gravity + plain) / 2
    if added_kg == 0 or boil_minutes <= 0:
        return mean
    shares = (extract.mass_kg * min(extract.boil_minutes / boil_minutes, 1) for extract in extracts)
    return mean + sum(shares) / added_kg * (believed_gravity(whole_kg, postboil_l) - plain)


def believed_gravity(extract_kg: float, volume_l: float) -> float:
    """The gravity of a volume with its extract, at most what the density tables reach.

    A boil nobody ends would concentrate past every table; what is believed of it stops there.
    """
    return gravity_from_extract(extract_kg, max(volume_l, extract_kg / STRONGEST_KG_L, 0.01))


def boil_minutes_planned(addition: Addition, boil_minutes: float) -> float | None:
    """Minutes an addition spends in the boil; None for one that goes into the fermenter.

    First-wort hops boil as long as the boil does.
    """
    fixed: dict[Moment, float | None] = {
        Moment.FIRST_WORT: boil_minutes,
        Moment.BOIL_START: boil_minutes,
        Moment.BEFORE_END: addition.minutes_before_end,
        Moment.FLAMEOUT: 0.0,
        Moment.WHIRLPOOL: 0.0,
        Moment.DAY: None,
    }
    return fixed[addition.moment]


def sugars_in_boil(schedule: Schedule) -> tuple[Extract, ...]:
    """What the additions bring to the kettle."""
    return tuple(
        Extract(
            mass_kg=addition.weight_g / 1000 * addition.extract,
            boil_minutes=boil_minutes_planned(addition, schedule.boil_minutes) or 0.0,
        )
        for addition in schedule.additions
        if addition.extract is not None and _sweetens(addition)
    )


def sugar_kg(additions: Sequence[Addition]) -> float:
    """Extract that additions to the kettle bring, in kg."""
    return sum(
        addition.weight_g / 1000 * addition.extract
        for addition in additions
        if addition.extract is not None and _sweetens(addition)
    )


def _sweetens(addition: Addition) -> bool:
    return addition.extract is not None and addition.moment is not Moment.DAY


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
