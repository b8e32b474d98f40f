"""Carbon dioxide in beer: what fermentation leaves, priming sugar, pressure of keg and bottle.

A volume of carbonation is a litre of gas at 0 °C and one atmosphere in a litre of beer.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from assistant.brewing.air import SEA_LEVEL_KPA, air_pressure_kpa
from assistant.brewing.curves import Figure, exp, held
from assistant.brewing.errors import VOLUME_L, Bounds, OverPressure, UnknownSugar, require
from assistant.brewing.fermentation import APPARENT_SHARE, GAS_PER_EXTRACT

CO2_GRAMS_PER_LITRE: Final = 1.977
"""Grams in a litre of carbon dioxide at 0 °C and one atmosphere (CRC Handbook)."""

SUGAR_YIELD: Final[Mapping[str, float]] = MappingProxyType(
    {"sucrose": 0.5143, "glucose": 0.4886, "glucose monohydrate": 0.4442}
)
"""Grams of carbon dioxide from a gram of sugar wholly fermented, by stoichiometry: two molecules
for each of glucose, four for each of sucrose, with IUPAC atomic masses."""

BOTTLE_LIMIT_VOL: Final[Mapping[str, float]] = MappingProxyType({"ordinary": 3.0, "thick": 4.5})
"""Most volumes of carbonation for sound bottles of ordinary glass and of thick-walled glass rated
for it (common practice, no source; 2.5 to 4 are told for ordinary ones). New bottles are proved
at 10 bar and more, but scratches and use take much of that."""

_WARM_ROOM_C: Final = 30.0

_KPA_PER_PSI: Final = 6.894757
_CARBONATION: Final[Bounds] = (0.0, 6.0, "volumes")
_BEER_C: Final[Bounds] = (0.0, 35.0, "°C")
_BOTTLE_C: Final[Bounds] = (0.0, 50.0, "°C")
_POINTS: Final[Bounds] = (0.0, 30.0, "points")

# At the end of fermentation: the slope of the ASBC cubic at 1.010, and the density there.
_PLATO_PER_POINT: Final = 0.2542
_BEER_KG_L: Final = 1.008


def residual_co2_vol(temperature_c: Figure, altitude_m: float = 0.0) -> Figure:
    """Volumes of carbon dioxide still in beer that has finished fermenting in an airlocked vessel.

    `temperature_c`, the warmest the beer has been since gas stopped forming, is 0 to 35 °C;
    `altitude_m` -500 to 6000 m: thin air holds less gas in. Raises `OutOfRange` outside those. The
    fit was made for 0 to 25 °C, where it is 2 to 5 % above the gas that pure water holds under
    moist carbon dioxide (IAPWS G7-04): alcohol makes beer hold more, and its extract less, than
    water does. Warmer than that it is too high, by a fifth at 35 °C, which makes priming low: the
    safe side. Lists in print differ by 0.03 volumes.
    Source: quadratic fit for beer under one atmosphere of carbon dioxide, as widely printed in
    homebrewing literature; for altitude Henry's law, with ISO 2533:1975.
    """
    require("beer temperature", temperature_c, *_BEER_C)
    fahrenheit = _fahrenheit(temperature_c)
    at_sea_level = 3.0378 - 0.050062 * fahrenheit + 0.00026555 * fahrenheit * fahrenheit
    return at_sea_level * (air_pressure_kpa(altitude_m) / SEA_LEVEL_KPA)


def gas_to_come_vol(points: Figure) -> Figure:
    """Volumes of carbon dioxide that come of gravity points still to ferment: 0.49 for each.

    `points`, thousandths of gravity yet to fall, is 0 to 30: beer with more to come is not ready
    for any bottle. Raises `OutOfRange` outside that. The slope is that at 1.010, within 1 % from
    1.000 to 1.020. The beer is taken to weigh what its wort did; worked in full, with worts of
    1.030 to 1.100 that end at 1.000 to 1.020, Balling's relation gives up to 4.5 % more. Beer
    bottled three points too early is over-primed by 1.5 volumes.
    Source: Balling's relation (0.8192 g of extract for each gram the hydrometer shows, 0.9565 g
    of gas from 2.0665 g of extract), with the ASBC cubic.
    """
    require("points still to ferment", points, *_POINTS)
    extract_g_l = 10.0 * _BEER_KG_L * _PLATO_PER_POINT * APPARENT_SHARE * points
    return extract_g_l * GAS_PER_EXTRACT / CO2_GRAMS_PER_LITRE


def priming_g(
    *,
    volume_l: float,
    carbonation_vol: float,
    temperature_c: float,
    sugar: str,
    altitude_m: float = 0.0,
    most_vol: float = BOTTLE_LIMIT_VOL["ordinary"],
) -> float:
    """Grams of sugar that carbonate a batch in the bottle; zero when it is gassy enough already.

    `volume_l` is 0 to 1000 L; `carbonation_vol`, the wanted volumes, 0 to 6; `temperature_c` and
    `altitude_m` as for `residual_co2_vol`; `sugar` one of "sucrose", "glucose" and "glucose
    monohydrate"; `most_vol`, 0 to 6, what the bottles are good for, as in `BOTTLE_LIMIT_VOL`.
    Raises `OutOfRange` outside those, `UnknownSugar` for another sugar, and `OverPressure` where
    the wanted volumes, or the gas already in the beer, are more than `most_vol`. The beer must
    have finished fermenting. What the yeast keeps for itself, 5 to 10 % of the sugar by Balling's
    relation, is left out, which makes priming low: the safe side.
    Source: stoichiometry of alcoholic fermentation (IUPAC atomic masses).
    """
    require("volume", volume_l, *VOLUME_L)
    require("carbonation", carbonation_vol, *_CARBONATION)
    require("most the bottles are good for", most_vol, *_CARBONATION)
    if sugar not in SUGAR_YIELD:
        raise UnknownSugar(sugar, tuple(SUGAR_YIELD))
    residual_vol = residual_co2_vol(temperature_c, altitude_m)
    bottled_vol = max(carbonation_vol, residual_vol)
    if bottled_vol > most_vol:
        raise OverPressure(bottled_vol, most_vol, bottle_pressure_kpa(bottled_vol, _WARM_ROOM_C))
    return volume_l * (bottled_vol - residual_vol) * CO2_GRAMS_PER_LITRE / SUGAR_YIELD[sugar]


def keg_pressure_kpa(
    *, temperature_c: Figure, carbonation_vol: float, altitude_m: float = 0.0
) -> Figure:
    """Gauge pressure in kPa that holds a keg at the wanted carbonation; never below zero.

    `temperature_c` of the beer is 0 to 35 °C, `carbonation_vol` 0 to 6 volumes, `altitude_m` -500
    to 6000 m (the thinner the air, the more the gauge must show). Raises `OutOfRange` outside
    those. The polynomial in volumes and °F that is printed more often agrees within 2.5 kPa from 0
    to 10 °C and 2 to 3 volumes, but asks 3 to 16 kPa less at 20 °C, where Henry's law for water
    (IAPWS G7-04) sides with this fit to 3 %; hence the choice.
    Source: A. J. deLange's exponential fit to the carbonation table of ASBC Methods of Analysis,
    from a post of his in a homebrewing forum; by his own figures it misses the table by 0.01
    volumes (root mean square), and by 0.044 at worst.
    """
    require("beer temperature", temperature_c, *_BEER_C)
    sea_level_kpa = _pressure_kpa(temperature_c, carbonation_vol)
    return held(sea_level_kpa + SEA_LEVEL_KPA - air_pressure_kpa(altitude_m), 0.0, math.inf)


def bottle_pressure_kpa(carbonation_vol: float, temperature_c: Figure) -> Figure:
    """Pressure over the air in kPa inside a bottle of this carbonation; never below zero.

    `carbonation_vol` is 0 to 6 volumes, `temperature_c` 0 to 50 °C; raises `OutOfRange` outside
    those. The gas that goes into the neck is left out, which makes it a little high.
    Source: as for `keg_pressure_kpa`; above 20 °C an extrapolation, but for 2 to 4 volumes within
    3 % of Henry's law for water (IAPWS G7-04) from 20 to 50 °C.
    """
    require("bottle temperature", temperature_c, *_BOTTLE_C)
    return held(_pressure_kpa(temperature_c, carbonation_vol), 0.0, math.inf)


def _pressure_kpa(temperature_c: Figure, carbonation_vol: float) -> Figure:
    require("carbonation", carbonation_vol, *_CARBONATION)
    solubility = 0.01821 + 0.090115 * exp((32.0 - _fahrenheit(temperature_c)) / 43.11)
    return _KPA_PER_PSI * ((carbonation_vol + 0.003342) / solubility - 14.695)


def _fahrenheit(temperature_c: Figure) -> Figure:
    return temperature_c * 1.8 + 32.0
