"""The plan of a beer: what the schedule comes to with the kettle's figures, worked backwards.

From the volume wanted in the fermenter back to the water: what stays with the trub, what boils
off, what the grain holds. From the grist forward to the gravity: the share of its extract that
reaches the kettle, concentrated by the boil, shared between fermenter and trub.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.advice.bitterness import Dose, dose_ibu, is_bittering, steep_minutes_at_boil
from assistant.advice.fit import fits, warnings
from assistant.advice.timeline import (
    HANDWORK_MINUTES,
    PlannedStage,
    Stage,
    timeline,
)
from assistant.brewing.colour import beer_colour_ebc
from assistant.brewing.errors import require
from assistant.brewing.fermentation import abv_percent, final_gravity
from assistant.brewing.gas import keg_pressure_kpa, priming_g
from assistant.brewing.gravity import gravity_from_extract, plato_from_gravity
from assistant.brewing.heat import boiling_point_c, strike_temperature_c
from assistant.brewing.water import absorbed_l, mash_volume_l, volume_hot
from assistant.brewing.yeast import cells_billion, dry_yeast_g, oxygen_ppm
from assistant.schedule.model import (
    Addition,
    Moment,
    Schedule,
    Vessel,
    YeastForm,
)

LAGER_RATE_MILLION_ML_P = 1.25
"""From this pitching rate on a beer is oxygenated as a lager; between the usual 0.75 and 1.5."""

WARMEST_PRIMED_C = 35.0
"""Residual gas is reckoned no warmer than this: taking it for more there primes with less."""

STRONGEST_KG_L = 0.36
"""Extract in a litre of wort of 1.15, where the density equations end."""

KEG_SERVING_C = 4.0
"""The temperature of the keg the pressure is meant for; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class PlannedAddition:
    """One addition with the bitterness it brings in the fermenter.

    ``at_min`` is minutes before the end of the boil (first wort and boil start: the whole boil;
    flameout and whirlpool: 0; None for additions to the fermenter).
    """

    add: str
    kind: str
    grams: float
    at_min: float | None
    ibu: float


@dataclass(frozen=True, kw_only=True)
class Plan:
    """Every figure of the plan; volumes are litres at 20 °C, gravities SG 20/20 °C.

    A figure that does not apply is None. ``mash_volume_l`` is the hot mash as it stands in the
    kettle. ``warnings`` are sentences fit to be heard, worst first.
    """

    total_water_l: float
    strike_volume_l: float
    strike_temperature_c: float
    strike_heat_minutes: float
    mash_volume_l: float
    fits_kettle: bool
    preboil_volume_l: float
    preboil_gravity: float
    boil_minutes: float
    postboil_volume_l: float
    original_gravity: float
    fermenter_volume_l: float
    final_gravity: float
    abv_percent: float
    ibu: float
    colour_ebc: float
    grain_kg: float
    extract_kg: float
    yeast_cells_billion: float
    yeast_dry_g: float | None
    oxygen_ppm: float
    priming_sugar_g: float | None
    keg_pressure_kpa: float | None
    boiling_point_c: float
    stages: tuple[PlannedStage, ...]
    additions: tuple[PlannedAddition, ...]
    warnings: tuple[str, ...]

    def stage_minutes(self, stage: Stage) -> float:
        """How long a stage should take."""
        return next(planned.minutes for planned in self.stages if planned.stage == stage.value)


def sugar_kg(additions: Sequence[Addition]) -> float:
    """Extract that additions to the kettle bring, in kg."""
    return sum(
        addition.weight_g / 1000 * addition.extract
        for addition in additions
        if addition.extract is not None and addition.moment is not Moment.DAY
    )


def boil_minutes_planned(addition: Addition, boil_minutes: float) -> float | None:
    """Minutes an addition spends in the boil; None for one that goes into the fermenter.

    First-wort hops count as a full boil (common practice varies from 1.0 to 1.1 times it).
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


def make_plan(schedule: Schedule) -> Plan:
    """The plan of a checked schedule.

    Raises :class:`~assistant.brewing.errors.OutOfRange` where the schedule leads outside what the
    sums hold for, and :class:`~assistant.brewing.errors.NeverReaches` where the heater is too weak
    to boil the wort.
    """
    kettle = schedule.kettle
    grain_kg = schedule.grain_kg
    postboil_l = schedule.volume_l - schedule.chill.top_up_l + kettle.left_behind_l
    preboil_l = postboil_l + kettle.boil_off_l_h * schedule.boil_minutes / 60
    strike_l = preboil_l + absorbed_l(grain_kg, kettle.absorption_l_kg)

    mash_extract_kg = kettle.extract_efficiency * sum(
        malt.weight_kg * malt.extract for malt in schedule.grist
    )
    sugars_kg = sugar_kg(schedule.additions)
    extract_kg = mash_extract_kg + sugars_kg
    require("extract of the grist", extract_kg, 0.001, 1000.0, "kg")
    require("extract in a litre of wort", extract_kg / postboil_l, 0.0, STRONGEST_KG_L, "kg")
    preboil_gravity = gravity_from_extract(mash_extract_kg, preboil_l)
    postboil_gravity = gravity_from_extract(extract_kg, postboil_l)
    fermenter_kg = extract_kg * (postboil_l - kettle.left_behind_l) / postboil_l
    original_gravity = gravity_from_extract(fermenter_kg, schedule.volume_l)
    finish = final_gravity(
        original_gravity=original_gravity,
        attenuation=schedule.yeast.attenuation,
        sugar_share=sugars_kg / extract_kg if extract_kg else 0.0,
    )

    first_rest_c = schedule.mash[0].temperature_c
    strike_c = strike_temperature_c(
        mash_c=first_rest_c,
        grain_c=kettle.room_c,
        grain_kg=grain_kg,
        water_l=strike_l,
        kettle_j_k=kettle.heat_capacity_j_k,
    )
    boiling_c = boiling_point_c(kettle.altitude_m)
    hottest_c = max(rest.temperature_c for rest in schedule.mash)
    mash_l = mash_volume_l(strike_l, grain_kg, hottest_c)
    preboil_hot_l = volume_hot(preboil_l, boiling_c)
    stages = timeline(
        schedule,
        strike_volume_l=strike_l,
        strike_temperature_c=strike_c,
        preboil_volume_l=preboil_l,
        preboil_gravity=preboil_gravity,
        postboil_volume_l=postboil_l,
        postboil_gravity=postboil_gravity,
    )
    additions = plan_additions(
        schedule,
        boil_gravity=(preboil_gravity + postboil_gravity) / 2,
        postboil_volume_l=postboil_l,
        steep_minutes=steep_minutes_at_boil(schedule, boiling_c),
    )
    cells = cells_billion(
        volume_l=schedule.volume_l,
        plato=plato_from_gravity(original_gravity),
        rate_million_ml_p=schedule.yeast.rate_million_ml_p,
    )
    priming, keg = packaging(schedule)
    strike_minutes = next(stage.minutes for stage in stages if stage.stage == Stage.STRIKE.value)
    return Plan(
        total_water_l=strike_l + schedule.chill.top_up_l,
        strike_volume_l=strike_l,
        strike_temperature_c=strike_c,
        strike_heat_minutes=strike_minutes - HANDWORK_MINUTES[Stage.STRIKE],
        mash_volume_l=mash_l,
        fits_kettle=fits(schedule, mash_l=mash_l, preboil_hot_l=preboil_hot_l),
        preboil_volume_l=preboil_l,
        preboil_gravity=preboil_gravity,
        boil_minutes=schedule.boil_minutes,
        postboil_volume_l=postboil_l,
        original_gravity=original_gravity,
        fermenter_volume_l=schedule.volume_l,
        final_gravity=finish,
        abv_percent=abv_percent(original_gravity, finish),
        ibu=sum(addition.ibu for addition in additions),
        colour_ebc=beer_colour_ebc(
            [(malt.weight_kg, malt.colour_ebc) for malt in schedule.grist], schedule.volume_l
        ),
        grain_kg=grain_kg,
        extract_kg=extract_kg,
        yeast_cells_billion=cells,
        yeast_dry_g=dry_yeast_g(cells) if schedule.yeast.form is YeastForm.DRY else None,
        oxygen_ppm=oxygen_ppm(lager=schedule.yeast.rate_million_ml_p >= LAGER_RATE_MILLION_ML_P),
        priming_sugar_g=priming,
        keg_pressure_kpa=keg,
        boiling_point_c=boiling_c,
        stages=stages,
        additions=additions,
        warnings=warnings(
            schedule,
            strike_c=strike_c,
            boiling_c=boiling_c,
            mash_l=mash_l,
            preboil_hot_l=preboil_hot_l,
        ),
    )


def plan_additions(
    schedule: Schedule, *, boil_gravity: float, postboil_volume_l: float, steep_minutes: float
) -> tuple[PlannedAddition, ...]:
    """The additions in the schedule's order, each with its bitterness in the fermenter."""
    diluted = (schedule.volume_l - schedule.chill.top_up_l) / schedule.volume_l
    planned = []
    for addition in schedule.additions:
        minutes = boil_minutes_planned(addition, schedule.boil_minutes)
        ibu = 0.0
        if is_bittering(addition.kind, addition.alpha) and addition.alpha is not None:
            ibu = diluted * dose_ibu(
                Dose(weight_g=addition.weight_g, alpha=addition.alpha, minutes=minutes),
                boil_gravity=boil_gravity,
                postboil_volume_l=postboil_volume_l,
                steep_minutes=steep_minutes,
            )
        planned.append(
            PlannedAddition(
                add=addition.name,
                kind=addition.kind.value,
                grams=addition.weight_g,
                at_min=minutes,
                ibu=ibu,
            )
        )
    return tuple(planned)


def packaging(schedule: Schedule) -> tuple[float | None, float | None]:
    """Priming sugar in g for bottles, gauge pressure in kPa for a keg; None for the other."""
    package = schedule.package
    if package is None:
        return None, None
    if package.into is Vessel.KEG:
        return None, keg_pressure_kpa(
            temperature_c=KEG_SERVING_C,
            carbonation_vol=package.carbonation_vol,
            altitude_m=schedule.kettle.altitude_m,
        )
    return (
        priming_g(
            volume_l=schedule.volume_l,
            carbonation_vol=package.carbonation_vol,
            temperature_c=min(schedule.ferment.high_c, WARMEST_PRIMED_C),
            sugar=package.sugar.value,
        ),
        None,
    )
