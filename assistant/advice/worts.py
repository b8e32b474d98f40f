"""The wort from mash to fermenter: volumes worked backwards, gravities worked forwards."""

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.brewing.balance import dissolved_volume_l
from assistant.brewing.efficiency import LITRE_DEGREES_OF_EXTRACT, brewhouse_efficiency
from assistant.brewing.errors import require
from assistant.brewing.gravity import extract_kg, gravity_from_extract
from assistant.brewing.water import absorbed_l
from assistant.schedule.model import Addition, AdditionKind, Moment, Schedule

STRONGEST_KG_L = 0.35
"""Extract in a litre of wort of 1.134, short of 1.15 where the density equations end."""


@dataclass(frozen=True, kw_only=True)
class Extract:
    """Extract that goes into the kettle, in kg, and the minutes of boil it gets.

    ``swell_l`` is what it adds to the wort's volume, the water it brings included.
    """

    mass_kg: float
    swell_l: float
    boil_minutes: float


@dataclass(frozen=True, kw_only=True)
class Worts:
    """The wort from mash to fermenter: litres at 20 °C, gravities and the extract behind them.

    ``boil_gravity`` is the mean over the boil. ``fermented_gravity`` is the original gravity with
    the sugars that go into the fermenter counted in, and ``sugar_share`` the share of all that
    extract that is sugar.
    """

    strike_l: float
    preboil_l: float
    preboil_gravity: float
    postboil_l: float
    postboil_gravity: float
    boil_gravity: float
    original_gravity: float
    fermented_gravity: float
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
    swell_l = sum(sugar.swell_l for sugar in sugars)
    postboil_l = schedule.volume_l - schedule.chill.top_up_l + kettle.left_behind_l
    boiled_off_l = kettle.boil_off_l_h * schedule.boil_minutes / 60
    preboil_l = postboil_l - swell_l + boiled_off_l
    mash_kg = mash_extract_kg(schedule)
    whole_kg = mash_kg + sugars_kg
    require("extract of the grist", whole_kg, 0.001, 1000.0, "kg")
    about, most = (
        1 + LITRE_DEGREES_OF_EXTRACT / 1000 * kg_l
        for kg_l in (whole_kg / postboil_l, STRONGEST_KG_L)
    )
    require("gravity of the wort, about", about, 1.0, most)
    preboil_gravity = gravity_from_extract(mash_kg, preboil_l)
    moved = (postboil_l - kettle.left_behind_l) / postboil_l
    fermenter_kg = whole_kg * moved
    later = _into_the_fermenter(schedule)
    fermented_kg = fermenter_kg + sum(extract.mass_kg for extract in later)
    fermented_l = schedule.volume_l + sum(extract.swell_l for extract in later)
    fermenting_sugar_kg = _sugar_kg(schedule, in_kettle=True) * moved + _sugar_kg(
        schedule, in_kettle=False
    )
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
        fermented_gravity=gravity_from_extract(fermented_kg, fermented_l),
        extract_kg=whole_kg,
        sugar_share=fermenting_sugar_kg / fermented_kg,
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
    unsweetened_l = max(postboil_l - sum(extract.swell_l for extract in extracts), 0.01)
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


def extract_of(addition: Addition, *, boil_minutes: float) -> Extract:
    """The extract an addition brings with so much boil; none for what brings none."""
    weight_kg, share = addition.weight_g / 1000, addition.extract or 0.0
    brings = addition.extract is not None
    return Extract(
        mass_kg=weight_kg * share,
        swell_l=dissolved_volume_l(weight_kg, min(share, 1.0)) if brings else 0.0,
        boil_minutes=boil_minutes,
    )


def sugars_in_boil(schedule: Schedule) -> tuple[Extract, ...]:
    """What the additions bring to the kettle, sugar and malt extract alike."""
    return tuple(
        extract_of(
            addition,
            boil_minutes=boil_minutes_planned(addition, schedule.boil_minutes) or 0.0,
        )
        for addition in schedule.additions
        if addition.extract is not None and addition.moment is not Moment.DAY
    )


def _into_the_fermenter(schedule: Schedule) -> tuple[Extract, ...]:
    return tuple(
        extract_of(addition, boil_minutes=0.0)
        for addition in schedule.additions
        if addition.extract is not None and addition.moment is Moment.DAY
    )


def _sugar_kg(schedule: Schedule, *, in_kettle: bool) -> float:
    """Plain sugar alone, which ferments right out."""
    return sum(
        addition.weight_g / 1000 * (addition.extract or 0.0)
        for addition in schedule.additions
        if addition.kind is AdditionKind.SUGAR and (addition.moment is not Moment.DAY) is in_kettle
    )


def potential_extract_kg(schedule: Schedule) -> float:
    """All the extract the grist could give, in kg."""
    return sum(malt.weight_kg * malt.extract for malt in schedule.grist)


def mash_extract_kg(schedule: Schedule) -> float:
    """Extract that reaches the kettle from the grist, in kg."""
    return schedule.kettle.extract_efficiency * potential_extract_kg(schedule)


def brewhouse_share(schedule: Schedule, *, volume_l: float, gravity: float) -> float:
    """Share of the grist's extract that a fermenter of this volume and gravity holds.

    What was added in the boil is taken off in the proportion of the plan. Raises
    :class:`~assistant.brewing.errors.OutOfRange` where it comes to more than there was.
    """
    mash_kg = mash_extract_kg(schedule)
    added_kg = sum(extract.mass_kg for extract in sugars_in_boil(schedule))
    from_malt = mash_kg / max(mash_kg + added_kg, 0.001)
    in_fermenter_kg = max(extract_kg(volume_l, gravity), 0.0)
    return brewhouse_efficiency(from_malt * in_fermenter_kg, potential_extract_kg(schedule))
