"""The plan of a beer: what the schedule comes to with the kettle's figures, worked backwards.

From the volume wanted in the fermenter back to the water: what stays with the trub, what boils
off, what the grain holds. From the grist forward to the gravity: the share of its extract that
reaches the kettle, concentrated by the boil, shared between fermenter and trub.
"""

from dataclasses import dataclass

from assistant.advice.after_boil import AfterBoil, planned_after_boil
from assistant.advice.bitterness import Dose, dose_ibu, hop_factor, is_bittering
from assistant.advice.fit import fits, warnings
from assistant.advice.packaging import packaging
from assistant.advice.timeline import (
    HANDWORK_MINUTES,
    PlannedStage,
    Stage,
    timeline,
)
from assistant.advice.worts import Worts, boil_minutes_planned, worts
from assistant.brewing.colour import beer_colour_ebc
from assistant.brewing.fermentation import abv_percent, final_gravity
from assistant.brewing.gravity import plato_from_gravity
from assistant.brewing.heat import boiling_point_c, strike_temperature_c, wort_heat_capacity_j_k
from assistant.brewing.oxygen import oxygen_ppm
from assistant.brewing.water import mash_volume_l, volume_hot
from assistant.brewing.yeast import cells_billion, dry_yeast_g
from assistant.schedule.model import (
    Moment,
    Schedule,
    YeastForm,
)

LAGER_RATE_MILLION_ML_P = 1.25
"""From this pitching rate on a beer is oxygenated as a lager; between the usual 0.75 and 1.5."""


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
    fermented_gravity: float
    sugar_share: float
    postboil_gravity: float
    boil_gravity: float
    after_boil: AfterBoil
    warnings: tuple[str, ...]

    def stage_minutes(self, stage: Stage) -> float:
        """How long a stage should take."""
        return next(planned.minutes for planned in self.stages if planned.stage == stage.value)


@dataclass(frozen=True, kw_only=True)
class _Hot:
    """The kettle while it is hot: temperatures in °C and the room its content takes, in litres."""

    strike_c: float
    boiling_c: float
    mash_l: float
    preboil_l: float
    after_boil: AfterBoil


def _hot(schedule: Schedule, wort: Worts) -> _Hot:
    kettle, grain_kg = schedule.kettle, schedule.grain_kg
    boiling_c = boiling_point_c(kettle.altitude_m)
    hottest_c = max(rest.temperature_c for rest in schedule.mash)
    return _Hot(
        strike_c=strike_temperature_c(
            mash_c=schedule.mash[0].temperature_c,
            grain_c=kettle.room_c,
            grain_kg=grain_kg,
            water_l=wort.strike_l,
            kettle_j_k=kettle.heat_capacity_j_k,
        ),
        boiling_c=boiling_c,
        mash_l=mash_volume_l(wort.strike_l, grain_kg, hottest_c),
        preboil_l=volume_hot(wort.preboil_l, boiling_c),
        after_boil=planned_after_boil(
            schedule,
            boiling_c=boiling_c,
            capacity_j_k=wort_heat_capacity_j_k(
                wort.postboil_l, wort.postboil_gravity, kettle.heat_capacity_j_k
            ),
        ),
    )


def _stages(schedule: Schedule, wort: Worts, hot: _Hot) -> tuple[PlannedStage, ...]:
    return timeline(
        schedule,
        strike_volume_l=wort.strike_l,
        strike_temperature_c=hot.strike_c,
        preboil_volume_l=wort.preboil_l,
        preboil_gravity=wort.preboil_gravity,
        whirlpool_minutes=sum(leg.minutes for leg in hot.after_boil.legs[:-1]),
        chill_minutes=hot.after_boil.legs[-1].minutes,
    )


def make_plan(schedule: Schedule) -> Plan:
    """The plan of a checked schedule.

    Raises :class:`~assistant.brewing.errors.OutOfRange` where the schedule leads outside what the
    sums hold for, and :class:`~assistant.brewing.errors.NeverReaches` where the heater is too weak
    to boil the wort.
    """
    yeast, wort = schedule.yeast, worts(schedule)
    hot = _hot(schedule, wort)
    stages = _stages(schedule, wort, hot)
    additions = plan_additions(
        schedule,
        boil_gravity=wort.boil_gravity,
        postboil_volume_l=wort.postboil_l,
        boiling_c=hot.boiling_c,
        after_boil=hot.after_boil,
    )
    ibu = sum(addition.ibu for addition in additions)
    finish = final_gravity(
        original_gravity=wort.fermented_gravity,
        attenuation=yeast.attenuation,
        sugar_share=wort.sugar_share,
    )
    cells = cells_billion(
        volume_l=schedule.volume_l,
        plato=plato_from_gravity(wort.original_gravity),
        rate_million_ml_p=yeast.rate_million_ml_p,
    )
    priming, keg = packaging(schedule)
    strike_minutes = next(stage.minutes for stage in stages if stage.stage == Stage.STRIKE.value)
    return Plan(
        total_water_l=wort.strike_l + schedule.chill.top_up_l,
        strike_volume_l=wort.strike_l,
        strike_temperature_c=hot.strike_c,
        strike_heat_minutes=strike_minutes - HANDWORK_MINUTES[Stage.STRIKE],
        mash_volume_l=hot.mash_l,
        fits_kettle=fits(schedule, mash_l=hot.mash_l, preboil_hot_l=hot.preboil_l),
        preboil_volume_l=wort.preboil_l,
        preboil_gravity=wort.preboil_gravity,
        boil_minutes=schedule.boil_minutes,
        postboil_volume_l=wort.postboil_l,
        original_gravity=wort.original_gravity,
        fermenter_volume_l=schedule.volume_l,
        final_gravity=finish,
        abv_percent=abv_percent(wort.fermented_gravity, finish),
        ibu=ibu,
        colour_ebc=beer_colour_ebc(
            [(malt.weight_kg, malt.colour_ebc) for malt in schedule.grist], schedule.volume_l
        ),
        grain_kg=schedule.grain_kg,
        extract_kg=wort.extract_kg,
        yeast_cells_billion=cells,
        yeast_dry_g=dry_yeast_g(cells) if yeast.form is YeastForm.DRY else None,
        oxygen_ppm=oxygen_ppm(lager=yeast.rate_million_ml_p >= LAGER_RATE_MILLION_ML_P),
        priming_sugar_g=priming,
        keg_pressure_kpa=keg,
        boiling_point_c=hot.boiling_c,
        stages=stages,
        additions=additions,
        fermented_gravity=wort.fermented_gravity,
        sugar_share=wort.sugar_share,
        postboil_gravity=wort.postboil_gravity,
        boil_gravity=wort.boil_gravity,
        after_boil=hot.after_boil,
        warnings=warnings(
            schedule,
            strike_c=hot.strike_c,
            boiling_c=hot.boiling_c,
            mash_l=hot.mash_l,
            preboil_hot_l=hot.preboil_l,
            ibu=ibu,
        ),
    )


def plan_additions(
    schedule: Schedule,
    *,
    boil_gravity: float,
    postboil_volume_l: float,
    boiling_c: float,
    after_boil: AfterBoil,
) -> tuple[PlannedAddition, ...]:
    """The additions in the schedule's order, each with its bitterness in the fermenter."""
    diluted = (schedule.volume_l - schedule.chill.top_up_l) / schedule.volume_l
    planned = []
    for addition in schedule.additions:
        minutes = boil_minutes_planned(addition, schedule.boil_minutes)
        ibu = 0.0
        if is_bittering(addition.kind, addition.alpha) and addition.alpha is not None:
            at_whirlpool = addition.moment is Moment.WHIRLPOOL
            ibu = diluted * dose_ibu(
                Dose(
                    weight_g=addition.weight_g,
                    alpha=addition.alpha,
                    minutes=minutes,
                    after_min=after_boil.whirlpool_min if at_whirlpool else after_boil.whole_min,
                    factor=hop_factor(addition),
                ),
                boil_gravity=boil_gravity,
                postboil_volume_l=postboil_volume_l,
                boiling_c=boiling_c,
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
