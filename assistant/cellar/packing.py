"""What bottles or a keg need for the beer that is really there, or why it must not be packaged."""

import math
from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.packaging import KEG_SERVING_C, WARMEST_PRIMED_C
from assistant.brewing.errors import OutOfRange, OverPressure
from assistant.brewing.gas import (
    BOTTLE_LIMIT_VOL,
    bottle_pressure_kpa,
    gas_to_come_vol,
    keg_pressure_kpa,
    priming_g,
    residual_co2_vol,
)
from assistant.cellar.assessing import Assessment, Progress
from assistant.cellar.state import CellarState, Packaged
from assistant.day.quantities import Quantity
from assistant.schedule.model import Units, Vessel
from assistant.schedule.units import convert

BOTTLE_ML = {Units.METRIC: 500.0, Units.US: convert(12.0, "fluid_ounce", "mL")}
"""The bottle that is counted in where none was named; common practice, no source."""

WARM_ROOM_C = 30.0
"""As warm as a room that bottles stand in may well become."""


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """Why the beer must not be packaged as it is: ``why`` and what to ``do`` instead, sentences."""

    why: str
    do: str


def packing(state: CellarState, assessed: Assessment) -> Packaged | Refusal:
    """How to package the beer now, or why not.

    The gas that is in the beer already is that of the warmest it has been since its gravity last
    fell. Sugar is given for the volume read, less what the gravity has still to fall by the
    brewer's own trial. Source: ``brewing.gas``.
    """
    refusal = _unfinished(assessed, state)
    if refusal is not None:
        return refusal
    volume_l = _volume_l(state)
    warmest_c = min(warmest_c_since_steady(state, assessed), WARMEST_PRIMED_C)
    try:
        if state.wanted.into is Vessel.KEG:
            return _keg(state, assessed, volume_l, warmest_c)
        return _bottles(state, assessed, volume_l, warmest_c)
    except OverPressure as error:
        return _over(state, error)
    except OutOfRange as error:
        return Refusal(why=f"That can't be reckoned with: {error}.", do="Read it again.")


def warmest_c_since_steady(state: CellarState, assessed: Assessment) -> float:
    """The warmest that the beer has been since its gravity last fell.

    What it was read at before stands until it is read again. A beer that was only read later may
    have been cooled by then: it has been as warm as was wanted, and the least of that makes priming
    low. Where it was never read, the most that was wanted.
    """
    since_s = assessed.steady_s if assessed.steady_s is not None else state.now_s
    read = [r for r in state.readings if r.quantity is Quantity.FERMENTER_TEMPERATURE]
    before = [reading.value for reading in read if reading.at < since_s]
    since = [reading.value for reading in read if reading.at >= since_s]
    if not read:
        return state.schedule.ferment.high_c
    at_first = before[-1:] or [state.schedule.ferment.low_c]
    return max([*at_first, *since])


def _volume_l(state: CellarState) -> float:
    read = state.last(Quantity.FERMENTER_VOLUME)
    return state.beer.volume_l if read is None else read.value


def _unfinished(assessed: Assessment, state: CellarState) -> Refusal | None:
    gravity = assessed.gravity
    if gravity is None:
        return Refusal(
            why="No gravity of it is on record.",
            do="Read it with the hydrometer, and again in three days.",
        )
    shown, wanted = figures.gravity(gravity), figures.gravity(assessed.final_gravity)
    match assessed.progress:
        case Progress.FINISHED:
            return None
        case Progress.STUCK:
            return Refusal(
                why=f"It stands still at {shown} and should end at {wanted}: it may yet go on.",
                do="Warm it, rouse it, wait; or see where a warm sample with much yeast ends.",
            )
        case Progress.SETTLING:
            days = figures.counted(figures.number(assessed.steady_days, 1), "day")
            return Refusal(
                why=f"{shown} has been steady for {days} by the hydrometer, and three are wanted.",
                do="Read the gravity again then.",
            )
        case _:
            return Refusal(
                why=f"It still ferments: {shown} of {wanted}.",
                do="Wait until the hydrometer has shown the same for three days.",
            )


def _to_come_vol(assessed: Assessment, state: CellarState) -> float:
    """Gas that the beer will still make by itself, by a trial of the brewer's."""
    if state.found_final is None:
        return 0.0
    return float(gas_to_come_vol(max(assessed.points_above, 0.0)))


def _bottles(
    state: CellarState, assessed: Assessment, volume_l: float, warmest_c: float
) -> Packaged:
    wanted, altitude_m = state.wanted, state.schedule.kettle.altitude_m
    most_vol = BOTTLE_LIMIT_VOL[wanted.glass.value]
    to_come_vol = _to_come_vol(assessed, state)
    residual_vol = float(residual_co2_vol(warmest_c, altitude_m))
    if residual_vol + to_come_vol > most_vol:
        in_glass_vol = residual_vol + to_come_vol
        raise OverPressure(in_glass_vol, most_vol, bottle_pressure_kpa(in_glass_vol, WARM_ROOM_C))
    # The limit holds for what was wanted, before the gas to come takes some of it.
    priming_g(
        volume_l=volume_l,
        carbonation_vol=wanted.carbonation_vol,
        temperature_c=warmest_c,
        sugar=wanted.sugar.value,
        altitude_m=altitude_m,
        most_vol=most_vol,
    )
    sugar_g = priming_g(
        volume_l=volume_l,
        carbonation_vol=max(wanted.carbonation_vol - to_come_vol, 0.0),
        temperature_c=warmest_c,
        sugar=wanted.sugar.value,
        altitude_m=altitude_m,
        most_vol=most_vol,
    )
    bottle_ml = state.bottle_ml or BOTTLE_ML[state.schedule.units]
    return Packaged(
        at=state.now_s,
        into=Vessel.BOTTLES,
        carbonation_vol=wanted.carbonation_vol,
        volume_l=volume_l,
        temperature_c=warmest_c,
        final_gravity=assessed.gravity or assessed.final_gravity,
        sugar=wanted.sugar,
        sugar_g=sugar_g,
        bottles=math.ceil(volume_l * 1000 / bottle_ml - 1e-9),
        bottle_ml=bottle_ml,
    )


def _keg(state: CellarState, assessed: Assessment, volume_l: float, warmest_c: float) -> Packaged:
    serving_c = KEG_SERVING_C if state.serving_c is None else state.serving_c
    return Packaged(
        at=state.now_s,
        into=Vessel.KEG,
        carbonation_vol=state.wanted.carbonation_vol,
        volume_l=volume_l,
        temperature_c=warmest_c,
        final_gravity=assessed.gravity or assessed.final_gravity,
        pressure_kpa=float(
            keg_pressure_kpa(
                temperature_c=serving_c,
                carbonation_vol=state.wanted.carbonation_vol,
                altitude_m=state.schedule.kettle.altitude_m,
            )
        ),
        serving_c=serving_c,
    )


def _over(state: CellarState, error: OverPressure) -> Refusal:
    glass = state.wanted.glass.value
    found, most = (figures.number(vol, 1) for vol in (error.wanted_vol, error.limit_vol))
    pressure = figures.pressure(float(error.pressure_kpa), state.schedule.units)
    return Refusal(
        why=f"{found} volumes are more than {glass} bottles bear: {pressure} in a warm room.",
        do=f"Take {most} at most, or glass that is rated for it, or a keg.",
    )
