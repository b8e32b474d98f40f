"""A day as it truly comes out when the plan is followed with a home's errors, nothing corrected.

The brewer does what the plan says, as it is said (27.3 litres, 67.5 degrees, 15 grams of yeast).
The truth must run forward, since a plan always ends on the volume wanted: the water and the
weights stand as planned, the sums of `advice.batch` tell what volume they make in the true kettle,
and `make_plan` for just that volume, worked backwards, comes to just that water. Its other figures
are then those of the true day; `disagreement` checks it. The rehearsal's simulated kettle steps
through every five seconds of a day, too slow for thousands of days, and differs from the plan by
its own model. Tried on a dozen days with the same truths, its gravities and volumes went with
those found here (correlation 0.99), with 0.4 L less in the fermenter and a point more: it counts
steam off the open kettle below the boil, which the plan does not.

A card's extract efficiency is what reaches the kettle. Here its error is the mash's, and the wort
a thirstier bag keeps takes its extract along, as in the simulated kettle: otherwise a wetter bag
would make stronger wort.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from home_errors import SMALL_SCALE_KG, What, hop_lots

from assistant.advice.after_boil import AfterBoil, worth_min
from assistant.advice.batch import fresh_batch
from assistant.advice.ending import Outcome, outcome
from assistant.advice.forecast import finished_ibu
from assistant.advice.happenings import lifted
from assistant.advice.plan import Plan, make_plan, plan_additions
from assistant.advice.timeline import HANDWORK_MINUTES, PlannedStage, Stage, timeline
from assistant.advice.worts import sugars_in_boil
from assistant.brewing.gas import CO2_GRAMS_PER_LITRE, SUGAR_YIELD, residual_co2_vol
from assistant.brewing.gravity import plato_from_gravity
from assistant.brewing.heat import mash_temperature_c
from assistant.brewing.yeast import DRY_CELLS_BILLION_G
from assistant.day.outlook import prospect
from assistant.day.state import new_day
from assistant.schedule.model import Addition, Malt, Schedule

METRES_PER_KPA = 83.2
"""Metres of the standard atmosphere at sea level that weigh a kilopascal (ISO 2533:1975)."""

Off = Mapping[What, Sequence[float]]
Figures = dict["Figure", float]


class Figure(Enum):
    """A figure of the plan; the value is its name in the table."""

    STRIKE = "strike temperature needed"
    LANDS = "mash lands at"
    STRIKE_MINUTES = "heating to strike"
    MASH = "mash in the kettle, hot"
    PREBOIL = "volume before the boil"
    PREBOIL_GRAVITY = "gravity before the boil"
    BOIL_UP = "heating to the boil"
    POSTBOIL = "volume after the boil"
    ORIGINAL = "original gravity"
    FERMENTER = "volume in the fermenter"
    FINAL = "final gravity"
    ABV = "alcohol"
    IBU = "bitterness"
    COLOUR = "colour"
    RATE = "pitching rate"
    CARBONATION = "carbonation"
    PITCHED = "yeast pitched after"


@dataclass(frozen=True, kw_only=True)
class Followed:
    """What the brewer goes by: the plan as it is said, and what was wanted of the beer."""

    water_l: float
    strike_c: float
    yeast_g: float
    sugar_g: float
    sugar: str
    carbonation_vol: float

    @classmethod
    def of(cls, schedule: Schedule, plan: Plan) -> "Followed":
        """The plan's figures, rounded as they are said.

        Raises ``ValueError`` unless the beer gets dry yeast and goes into bottles.
        """
        package = schedule.package
        if plan.yeast_dry_g is None or plan.priming_sugar_g is None or package is None:
            raise ValueError("wanted a schedule with dry yeast and bottles")
        return cls(
            water_l=round(plan.strike_volume_l, 1),
            strike_c=round(plan.strike_temperature_c * 2) / 2,
            yeast_g=round(plan.yeast_dry_g),
            sugar_g=round(plan.priming_sugar_g),
            sugar=package.sugar.value,
            carbonation_vol=package.carbonation_vol,
        )


def planned(schedule: Schedule, plan: Plan) -> Figures:
    """The figures as the plan has them."""
    return {
        **_figures_of(plan),
        Figure.LANDS: schedule.mash[0].temperature_c,
        Figure.RATE: schedule.yeast.rate_million_ml_p,
        Figure.CARBONATION: Followed.of(schedule, plan).carbonation_vol,
        Figure.PITCHED: _pitched_min(plan.stages, 1.0),
    }


def landed(schedule: Schedule, plan: Plan, off: Off) -> Figures:
    """The figures as they truly come out, the plan followed with these errors."""
    followed = Followed.of(schedule, plan)
    water_l = followed.water_l + off[What.MARKS][0]
    shown_high_c = off[What.THERMOMETER][0]
    true, end = true_run(schedule, plan, off)
    made = make_plan(true)
    after_boil = _chilled_at_pace(made.after_boil, off[What.CHILLER][0])
    additions = plan_additions(
        true,
        boil_gravity=end.boiled.gravity,
        postboil_volume_l=made.postboil_volume_l,
        boiling_c=made.boiling_point_c,
        after_boil=after_boil,
    )
    stages = timeline(
        true,
        strike_volume_l=water_l,
        strike_temperature_c=followed.strike_c - shown_high_c,
        preboil_volume_l=made.preboil_volume_l,
        preboil_gravity=made.preboil_gravity,
        whirlpool_minutes=sum(leg.minutes for leg in after_boil.legs[:-1]),
        chill_minutes=after_boil.legs[-1].minutes,
    )
    strike_min = next(s.minutes for s in stages if s.stage == Stage.STRIKE.value)
    weighing = off[What.SMALL_SCALE]
    billion_ml_p = DRY_CELLS_BILLION_G / plato_from_gravity(end.original_gravity)
    beer_l = end.fermenter_volume_l - off[What.YEAST_CAKE][0]
    sugar_gas_g = (followed.sugar_g + weighing[-1]) * SUGAR_YIELD[followed.sugar]
    return {
        **_figures_of(made),
        Figure.STRIKE: made.strike_temperature_c + shown_high_c,
        Figure.LANDS: mash_temperature_c(
            strike_c=followed.strike_c - shown_high_c,
            grain_c=true.kettle.room_c,
            grain_kg=true.grain_kg,
            water_l=water_l,
            kettle_j_k=true.kettle.heat_capacity_j_k,
        ),
        Figure.STRIKE_MINUTES: strike_min - HANDWORK_MINUTES[Stage.STRIKE],
        Figure.IBU: sum(addition.ibu for addition in additions),
        Figure.RATE: (followed.yeast_g + weighing[-2]) * billion_ml_p / end.fermenter_volume_l,
        Figure.CARBONATION: residual_co2_vol(
            true.ferment.high_c + off[What.WARMEST][0], true.kettle.altitude_m
        )
        + sugar_gas_g / beer_l / CO2_GRAMS_PER_LITRE,
        Figure.PITCHED: _pitched_min(stages, off[What.PACE][0]),
    }


def true_run(schedule: Schedule, plan: Plan, off: Off) -> tuple[Schedule, Outcome]:
    """The schedule as truly brewed, for the volume it truly makes, and the outcome that tells it:
    the plan's water with the bag lifted out, boiled and run off.
    """
    water_l = Followed.of(schedule, plan).water_l + off[What.MARKS][0]
    true = _true_schedule(schedule, off, water_l)
    batch = replace(fresh_batch(true, plan, 0.0), volume_l=water_l)
    end = outcome(
        lifted(batch, true, 0.0),
        true,
        at_s=0.0,
        boil_minutes_left=true.boil_minutes,
        extracts_to_come=sugars_in_boil(true),
        top_up_l=true.chill.top_up_l,
    )
    return replace(true, volume_l=end.fermenter_volume_l), end


def disagreement(schedule: Schedule, plan: Plan, off: Off) -> float:
    """How far the plan for the true volume is from the day's own sums, as a share; nought is right.

    The water it comes to, its gravity and its bitterness.
    """
    true, end = true_run(schedule, plan, off)
    made = make_plan(true)
    water_l = Followed.of(schedule, plan).water_l + off[What.MARKS][0]
    doses = prospect(new_day(true, made)).doses
    pairs = (
        (made.strike_volume_l, water_l),
        (made.original_gravity - 1.0, end.original_gravity - 1.0),
        (made.ibu, finished_ibu(end, doses, made.boiling_point_c)),
    )
    return max(abs(found / wanted - 1.0) for found, wanted in pairs)


def _figures_of(plan: Plan) -> Figures:
    return {
        Figure.STRIKE: plan.strike_temperature_c,
        Figure.STRIKE_MINUTES: plan.strike_heat_minutes,
        Figure.MASH: plan.mash_volume_l,
        Figure.PREBOIL: plan.preboil_volume_l,
        Figure.PREBOIL_GRAVITY: plan.preboil_gravity,
        Figure.BOIL_UP: plan.stage_minutes(Stage.BOIL_UP),
        Figure.POSTBOIL: plan.postboil_volume_l,
        Figure.ORIGINAL: plan.original_gravity,
        Figure.FERMENTER: plan.fermenter_volume_l,
        Figure.FINAL: plan.final_gravity,
        Figure.ABV: plan.abv_percent,
        Figure.IBU: plan.ibu,
        Figure.COLOUR: plan.colour_ebc,
    }


def _true_schedule(schedule: Schedule, off: Off, water_l: float) -> Schedule:
    shown_high_c = off[What.THERMOMETER][0]
    whirlpool, chill, yeast = schedule.whirlpool, schedule.chill, schedule.yeast
    true = replace(
        schedule,
        grist=tuple(_true_malt(malt, place, off) for place, malt in enumerate(schedule.grist)),
        additions=tuple(
            _true_addition(schedule, place, off) for place in range(len(schedule.additions))
        ),
        mash=tuple(
            replace(rest, temperature_c=rest.temperature_c - shown_high_c) for rest in schedule.mash
        ),
        whirlpool=replace(whirlpool, temperature_c=whirlpool.temperature_c - shown_high_c),
        chill=replace(chill, to_c=chill.to_c - shown_high_c),
        yeast=replace(yeast, attenuation=yeast.attenuation + off[What.ATTENUATION][0]),
    )
    card = schedule.kettle
    absorption_l_kg = card.absorption_l_kg * off[What.ABSORPTION][0]
    out_by_card = 1.0 - card.absorption_l_kg * schedule.grain_kg / water_l
    out = 1.0 - absorption_l_kg * true.grain_kg / water_l
    efficiency = card.extract_efficiency + off[What.EFFICIENCY][0]
    heater = replace(card.heater, efficiency=min(card.heater.efficiency * off[What.HEATER][0], 1.0))
    kettle = replace(
        card,
        heater=heater,
        heat_capacity_j_k=card.heat_capacity_j_k * off[What.HEAT_CAPACITY][0],
        heat_loss_w_k=card.heat_loss_w_k * off[What.HEAT_LOSS][0],
        boil_off_l_h=card.boil_off_l_h * off[What.BOIL_OFF][0],
        left_behind_l=max(card.left_behind_l + off[What.LEFT_BEHIND][0], 0.0),
        absorption_l_kg=absorption_l_kg,
        extract_efficiency=efficiency * out / out_by_card,
        room_c=card.room_c + off[What.ROOM][0],
        tap_water_c=max(card.tap_water_c + off[What.TAP][0], 1.0),
        altitude_m=card.altitude_m - METRES_PER_KPA * off[What.AIR][0],
    )
    return replace(true, kettle=kettle)


def _true_malt(malt: Malt, place: int, off: Off) -> Malt:
    on_small_scale_kg = off[What.SMALL_SCALE][place] / 1000
    large = malt.weight_kg > SMALL_SCALE_KG
    return replace(
        malt,
        weight_kg=malt.weight_kg + (off[What.MALT_SCALE][place] if large else on_small_scale_kg),
        extract=(malt.extract + off[What.EXTRACT][place]) * (1.0 - off[What.MOISTURE][0]),
        colour_ebc=malt.colour_ebc * off[What.COLOUR][place],
    )


def _true_addition(schedule: Schedule, place: int, off: Off) -> Addition:
    entry, lots = schedule.additions[place], hop_lots(schedule)
    alpha = entry.alpha
    if alpha is not None and entry.name in lots:
        alpha *= off[What.ALPHA][lots.index(entry.name)]
    weight_g = entry.weight_g + off[What.SMALL_SCALE][len(schedule.grist) + place]
    return replace(entry, weight_g=max(weight_g, 0.0), alpha=alpha)


def _chilled_at_pace(made: AfterBoil, chiller: float) -> AfterBoil:
    """The way down from flameout with a chiller so many times as good as reckoned."""
    legs = tuple(
        replace(leg, minutes=leg.minutes / chiller) if leg.chilled else leg for leg in made.legs
    )
    return replace(made, legs=legs, whole_min=worth_min(legs), whirlpool_min=worth_min(legs[-2:]))


def _pitched_min(stages: Sequence[PlannedStage], pace: float) -> float:
    """Minutes from the start until the yeast is in, the handwork at the brewer's own pace."""
    slower_min = (pace - 1.0) * sum(
        minutes
        for stage, minutes in HANDWORK_MINUTES.items()
        if stage not in (Stage.WHIRLPOOL, Stage.CLEAN)
    )
    return slower_min + next(s.starts_min for s in stages if s.stage == Stage.CLEAN.value)
