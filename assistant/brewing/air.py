"""Air pressure by altitude, and where water and wort boil under it."""

from typing import Final

from assistant.brewing.curves import Figure, held, power, sqrt
from assistant.brewing.errors import EXTRACT_PLATO, Bounds, require

SEA_LEVEL_KPA: Final = 101.325
"""Pressure of the standard atmosphere at sea level, kPa (ISO 2533:1975)."""

ALTITUDE_M: Final[Bounds] = (-500.0, 6000.0, "m")

_PRESSURE_KPA: Final[Bounds] = (40.0, 120.0, "kPa")

_EARTH_RADIUS_M: Final = 6_356_766.0

_WATER_G_MOL: Final = 18.015
_EXTRACT_G_MOL: Final = 342.3

_N1: Final = 1167.0521452767
_N2: Final = -724213.16703206
_N3: Final = -17.073846940092
_N4: Final = 12020.82470247
_N5: Final = -3232555.0322333
_N6: Final = 14.91510861353
_N7: Final = -4823.2657361591
_N8: Final = 405113.40542057
_N9: Final = -0.23855557567849
_N10: Final = 650.17534844798


def air_pressure_kpa(altitude_m: Figure) -> Figure:
    """Air pressure in kPa at this altitude in the standard atmosphere.

    `altitude_m` is -500 to 6000 m; raises `OutOfRange` outside that. Weather moves the true
    pressure by about 3 % either way.
    Source: ISO 2533:1975, Standard Atmosphere (288.15 K at sea level, 6.5 K/km).
    """
    require("altitude", altitude_m, *ALTITUDE_M)
    geopotential_m = _EARTH_RADIUS_M * altitude_m / (_EARTH_RADIUS_M + altitude_m)
    return SEA_LEVEL_KPA * power(1.0 - 0.0065 * geopotential_m / 288.15, 5.25588)


def boiling_point_c(altitude_m: Figure) -> Figure:
    """Boiling point of water in °C at this altitude.

    `altitude_m` is -500 to 6000 m; raises `OutOfRange` outside that. Weather moves it by about
    1 °C; wort of 12 °P boils about 0.2 °C higher.
    Source: pressure by ISO 2533:1975; saturation temperature by IAPWS-IF97, region 4, equation 31.
    """
    return boiling_point_at_pressure_c(air_pressure_kpa(altitude_m))


def boiling_point_at_pressure_c(pressure_kpa: Figure) -> Figure:
    """Boiling point of water in °C under this air pressure.

    `pressure_kpa`, 40 to 120 kPa, is what a barometer beside the kettle shows (station pressure);
    the figure of a weather report is reduced to sea level and serves only there. A kilopascal is
    worth 0.28 °C. Raises `OutOfRange` outside that range.
    Source: IAPWS-IF97, region 4, equation 31.
    """
    require("air pressure", pressure_kpa, *_PRESSURE_KPA)
    beta = power(pressure_kpa / 1000.0, 0.25)
    e = beta * beta + _N3 * beta + _N6
    f = _N1 * beta * beta + _N4 * beta + _N7
    g = _N2 * beta * beta + _N5 * beta + _N8
    d = 2.0 * g / (-f - sqrt(f * f - 4.0 * e * g))
    root = sqrt((_N10 + d) * (_N10 + d) - 4.0 * (_N9 + _N10 * d))
    return (_N10 + d - root) / 2.0 - 273.15


def wort_boils_higher_k(plato: Figure) -> Figure:
    """Kelvin by which wort boils above water.

    `plato` is 0 to 34.24 °P (a reading below zero counts as water); raises `OutOfRange` outside
    that. It is for one atmosphere, and 6 % less at 3000 m. Extract is taken as a disaccharide
    of 342.3 g/mol, as sucrose and maltose are: glucose and minerals in wort are lighter and
    dextrins heavier, and with a mean of 330 to 400 g/mol (from memory, unchecked) 12 °P comes to
    0.17 to 0.21 K. Real sucrose is 4 % above the law at 12 °P and 10 % at 25 °P, less than a
    thermometer shows.
    Source: Raoult's law with the steam pressure of IAPWS-IF97; real sucrose by M. Starzak and
    S. D. Peacock, Zuckerindustrie 122 (1997), with the coefficients of a printed abstract of it.
    """
    require("extract", plato, *EXTRACT_PLATO)
    dissolved = held(plato, 0.0, EXTRACT_PLATO[1])
    molecules_per_water = dissolved / (100.0 - dissolved) * _WATER_G_MOL / _EXTRACT_G_MOL
    steam_kpa = SEA_LEVEL_KPA * (1.0 + molecules_per_water)
    return boiling_point_at_pressure_c(steam_kpa) - boiling_point_at_pressure_c(SEA_LEVEL_KPA)
