"""What bottles or a keg need for the carbonation wanted."""

from assistant.brewing.errors import OverPressure
from assistant.brewing.gas import BOTTLE_LIMIT_VOL, keg_pressure_kpa, priming_g
from assistant.schedule.model import Schedule, Vessel

WARMEST_PRIMED_C = 35.0
"""Residual gas is reckoned no warmer than this: taking it for more there primes with less."""

KEG_SERVING_C = 4.0
"""The temperature of the keg the pressure is meant for; common practice, no source."""


def packaging(schedule: Schedule) -> tuple[float | None, float | None]:
    """Priming sugar in g for bottles, gauge pressure in kPa for a keg; None for the other.

    None for both where the bottles are not good for the carbonation wanted.
    """
    package = schedule.package
    if package is None:
        return None, None
    if package.into is Vessel.KEG:
        return None, keg_pressure_kpa(
            temperature_c=KEG_SERVING_C,
            carbonation_vol=package.carbonation_vol,
            altitude_m=schedule.kettle.altitude_m,
        )
    try:
        sugar_g = priming_g(
            volume_l=schedule.volume_l,
            carbonation_vol=package.carbonation_vol,
            temperature_c=min(schedule.ferment.high_c, WARMEST_PRIMED_C),
            sugar=package.sugar.value,
            altitude_m=schedule.kettle.altitude_m,
            most_vol=BOTTLE_LIMIT_VOL[package.glass.value],
        )
    except OverPressure:
        return None, None
    return sugar_g, None
