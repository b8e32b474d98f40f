"""Carbon dioxide in beer: what is left from fermentation, priming sugar, keg pressure.

A volume of carbonation is a litre of gas at 0 °C and one atmosphere in a litre of beer.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from assistant.brewing.air import SEA_LEVEL_KPA, air_pressure_kpa
from assistant.brewing.errors import VOLUME_L, Bounds, UnknownSugar, require

CO2_GRAMS_PER_LITRE: Final = 1.977
"""Grams in a litre of carbon dioxide at 0 °C and one atmosphere (CRC Handbook)."""

SUGAR_YIELD: Final[Mapping[str, float]] = MappingProxyType(
    {"sucrose": 0.5143, "glucose": 0.4886, "glucose monohydrate": 0.4442}
)
"""Grams of carbon dioxide from a gram of sugar wholly fermented, by stoichiometry: two molecules
for each of glucose, four for each of sucrose, with IUPAC atomic masses."""

_KPA_PER_PSI: Final = 6.894757
_CARBONATION: Final[Bounds] = (0.0, 6.0, "volumes")


def residual_co2_vol(temperature_c: float) -> float:
    """Volumes of carbon dioxide still in beer that has finished fermenting in an airlocked vessel.

    `temperature_c`, the warmest the beer has been since gas stopped forming, is 0 to 35 °C;
    raises `OutOfRange` outside that. The fit was made for 0 to 25 °C; warmer than that it is
    rather high, which makes priming rather low: the safe side.
    Source: quadratic fit for beer under one atmosphere of carbon dioxide, as widely printed in
    homebrewing literature.
    """
    require("beer temperature", temperature_c, 0.0, 35.0, "°C")
    fahrenheit = _fahrenheit(temperature_c)
    return 3.0378 - 0.050062 * fahrenheit + 0.00026555 * fahrenheit**2


def priming_g(
    *, volume_l: float, carbonation_vol: float, temperature_c: float, sugar: str
) -> float:
    """Grams of sugar that carbonate a batch in the bottle; zero when it is gassy enough already.

    `volume_l` is 0 to 1000 L; `carbonation_vol`, the wanted volumes, 0 to 6 (ordinary bottles
    are not safe above 3); `temperature_c` as for `residual_co2_vol`; `sugar` one of "sucrose",
    "glucose" and "glucose monohydrate". Raises `OutOfRange` outside those and `UnknownSugar` for
    another sugar. The beer must have finished fermenting.
    Source: stoichiometry of alcoholic fermentation (IUPAC atomic masses).
    """
    require("volume", volume_l, *VOLUME_L)
    require("carbonation", carbonation_vol, *_CARBONATION)
    if sugar not in SUGAR_YIELD:
        raise UnknownSugar(sugar, tuple(SUGAR_YIELD))
    missing_vol = max(0.0, carbonation_vol - residual_co2_vol(temperature_c))
    return volume_l * missing_vol * CO2_GRAMS_PER_LITRE / SUGAR_YIELD[sugar]


def keg_pressure_kpa(
    *, temperature_c: float, carbonation_vol: float, altitude_m: float = 0.0
) -> float:
    """Gauge pressure in kPa that holds a keg at the wanted carbonation; never below zero.

    `temperature_c` of the beer is 0 to 35 °C, `carbonation_vol` 0 to 6 volumes, `altitude_m` -500
    to 6000 m (the thinner the air, the more the gauge must show). Raises `OutOfRange` outside
    those.
    Source: A. J. deLange's exponential fit to the carbonation table of ASBC Methods of Analysis,
    from memory, unchecked; within 0.02 volumes of the printed table from 0 to 10 °C. Chosen over
    the usual polynomial because it stays physical in a warm room.
    """
    require("beer temperature", temperature_c, 0.0, 35.0, "°C")
    require("carbonation", carbonation_vol, *_CARBONATION)
    solubility = 0.01821 + 0.090115 * math.exp(-(_fahrenheit(temperature_c) - 32.0) / 43.11)
    absolute_kpa = _KPA_PER_PSI * (carbonation_vol + 0.003342) / solubility
    sea_level_kpa = absolute_kpa - 14.695 * _KPA_PER_PSI
    return max(0.0, sea_level_kpa + SEA_LEVEL_KPA - air_pressure_kpa(altitude_m))


def _fahrenheit(temperature_c: float) -> float:
    return temperature_c * 1.8 + 32.0
