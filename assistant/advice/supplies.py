"""What to have in the house for a plan: energy, cooling water or ice, yeast by the pack."""

from dataclasses import dataclass, replace

from assistant.advice import figures
from assistant.advice.fit import is_old
from assistant.advice.plan import Plan
from assistant.advice.timeline import COIL_FLOW_L_MIN, COIL_W_K, Stage, boil_power_share
from assistant.brewing.cooling import bath_ice_kg, coil_water_l
from assistant.brewing.gravity import plato_from_gravity
from assistant.brewing.heat import energy_kwh
from assistant.brewing.yeast import cells_billion, dry_yeast_g, liquid_packs, slurry_ml
from assistant.schedule.model import ChillMethod, Schedule, Units, YeastForm


@dataclass(frozen=True, kw_only=True)
class Supplies:
    """What a day uses up; None for what it does not need.

    ``energy_kwh`` is what the heater draws, or burns. ``cooling_water_l`` runs through the coil,
    ``ice_kg`` melts in the bath, and ``liquid_packs`` and ``slurry_ml`` allow for the age of the
    yeast where it is known.
    """

    energy_kwh: float
    cooling_water_l: float | None
    ice_kg: float | None
    liquid_packs: float | None
    slurry_ml: float | None


def supplies(schedule: Schedule, plan: Plan) -> Supplies:
    """What the day of a plan uses up.

    Source: heat balances of ``brewing.heat`` and ``brewing.cooling``, yeast counts of
    ``brewing.yeast``.
    """
    form, age_days = schedule.yeast.form, schedule.yeast.age_days or 0.0
    cells = plan.yeast_cells_billion
    water_l, ice_kg = _cooling(schedule, plan)
    return Supplies(
        energy_kwh=_energy_kwh(schedule, plan),
        cooling_water_l=water_l,
        ice_kg=ice_kg,
        liquid_packs=liquid_packs(cells, schedule.yeast.pack_billion, age_days)
        if form is YeastForm.LIQUID
        else None,
        slurry_ml=slurry_ml(cells, age_days) if form is YeastForm.SLURRY else None,
    )


YEAST_SHARE = 0.08
"""Yeast is weighed anew for a wort that wants so much more or less; common practice, no source."""


def with_yeast_for(schedule: Schedule, plan: Plan, volume_l: float, gravity: float) -> Plan:
    """The plan with the yeast for the wort there is, where that is another amount.

    ``volume_l`` is litres in the fermenter, ``gravity`` their original gravity.
    """
    yeast = schedule.yeast
    cells = cells_billion(
        volume_l=volume_l,
        plato=plato_from_gravity(gravity),
        rate_million_ml_p=yeast.rate_million_ml_p,
    )
    if abs(cells - plan.yeast_cells_billion) < YEAST_SHARE * plan.yeast_cells_billion:
        return plan
    dry_g = dry_yeast_g(cells) if yeast.form is YeastForm.DRY else None
    return replace(plan, yeast_cells_billion=cells, yeast_dry_g=dry_g)


def yeast_words(schedule: Schedule, plan: Plan) -> str:
    """``15 grams of ale yeast``, ``2 packs of ale yeast``: what is to be pitched."""
    yeast, units = schedule.yeast, schedule.units
    cells, age_days = plan.yeast_cells_billion, schedule.yeast.age_days or 0.0
    if is_old(yeast):
        return f"{yeast.name}, {figures.cells(cells)} if it still has them"
    if yeast.form is YeastForm.LIQUID:
        amount = figures.packs(liquid_packs(cells, yeast.pack_billion, age_days))
    elif yeast.form is YeastForm.SLURRY:
        amount = f"{figures.small_volume(slurry_ml(cells, age_days), units)} of slurry"
    else:
        amount = figures.weight(plan.yeast_dry_g or 0.0, Units.METRIC)
    return f"{amount} of {yeast.name}"


def _energy_kwh(schedule: Schedule, plan: Plan) -> float:
    """At the plug: full power to heat, what the boil wants, and what the mash loses to the room."""
    kettle = schedule.kettle
    held_min = sum(rest.minutes for rest in schedule.mash)
    full_min = (
        plan.strike_heat_minutes
        + (plan.stage_minutes(Stage.MASH) - held_min)
        + plan.stage_minutes(Stage.BOIL_UP)
    )
    boil_min = plan.boil_minutes * boil_power_share(kettle, plan.boiling_point_c)
    lost_j = sum(
        kettle.heat_loss_w_k * max(rest.temperature_c - kettle.room_c, 0.0) * rest.minutes * 60
        for rest in schedule.mash
    )
    drawn_j = kettle.heater.power_w * (full_min + boil_min) * 60
    return energy_kwh(drawn_j + lost_j / kettle.heater.efficiency)


def _cooling(schedule: Schedule, plan: Plan) -> tuple[float | None, float | None]:
    """Litres through the coil and kilos of ice in the bath, over all the chilling."""
    kettle, method = schedule.kettle, schedule.chill.method
    chilled = [leg for leg in plan.after_boil.legs if leg.chilled]
    capacity_j_k = plan.after_boil.capacity_j_k
    if method is ChillMethod.COIL:
        return (
            sum(
                coil_water_l(
                    capacity_j_k=capacity_j_k,
                    from_c=leg.from_c,
                    to_c=leg.to_c,
                    water_c=kettle.tap_water_c,
                    flow_l_min=COIL_FLOW_L_MIN,
                    ua_w_k=COIL_W_K,
                )
                for leg in chilled
            ),
            None,
        )
    if method is ChillMethod.ICE_BATH:
        return None, sum(
            bath_ice_kg(
                capacity_j_k=capacity_j_k, from_c=leg.from_c, to_c=leg.to_c, bath_c=leg.toward_c
            )
            for leg in chilled
        )
    return None, None
