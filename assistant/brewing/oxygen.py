"""Oxygen for the yeast: how much to aim for, and how much air can give."""

from typing import Final

from assistant.brewing.air import SEA_LEVEL_KPA, air_pressure_kpa
from assistant.brewing.curves import Figure, exp
from assistant.brewing.errors import EXTRACT_PLATO, Bounds, require

_WATER_C: Final[Bounds] = (0.0, 40.0, "°C")

_SATURATION: Final = (-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11)
_VAPOUR: Final = (11.8571, -3840.70, -216_961.0)
_VIRIAL: Final = (0.000975, -1.426e-5, 6.436e-8)

_LOSS_PER_PLATO: Final = 0.015


def oxygen_ppm(*, lager: bool) -> float:
    """Dissolved oxygen to aim for at pitching, in ppm (mg/L): 8 for an ale, 10 for a `lager`.

    Dry yeast needs little or none (common practice, no source).
    Source: the low ends of the ranges 8 to 12 and 10 to 15 mg/L of M. Raines-Casselman, taken from
    a later quotation.
    """
    return 10.0 if lager else 8.0


def oxygen_saturation_ppm(temperature_c: Figure, altitude_m: float = 0.0) -> Figure:
    """Dissolved oxygen of pure water in balance with the air above it, in ppm (mg/L).

    `temperature_c` is 0 to 40 °C, `altitude_m` -500 to 6000 m; raises `OutOfRange` outside those.
    Older tables differ by up to 0.15 mg/L.
    Source: B. B. Benson and D. Krause, Limnol. Oceanogr. 29 (1984) 620-632, in the form of APHA
    Standard Methods 4500-O; the coefficients for vapour and for pressure from memory, checked
    against the vapour pressure of water and a printed table.
    """
    require("water temperature", temperature_c, *_WATER_C)
    kelvin = temperature_c + 273.15
    pressure_atm = air_pressure_kpa(altitude_m) / SEA_LEVEL_KPA
    s0, s1, s2, s3, s4 = _SATURATION
    at_sea_level = exp(s0 + (s1 + (s2 + (s3 + s4 / kelvin) / kelvin) / kelvin) / kelvin)
    v0, v1, v2 = _VAPOUR
    vapour_atm = exp(v0 + (v1 + v2 / kelvin) / kelvin)
    t0, t1, t2 = _VIRIAL
    theta = t0 + temperature_c * (t1 + temperature_c * t2)
    dry_air = (pressure_atm - vapour_atm) / (1.0 - vapour_atm)
    return at_sea_level * dry_air * (1.0 - theta * pressure_atm) / (1.0 - theta)


def splashed_oxygen_ppm(temperature_c: Figure, plato: float, altitude_m: float = 0.0) -> Figure:
    """The most dissolved oxygen that splashing or shaking with air gives wort, in ppm (mg/L).

    `temperature_c` is 0 to 40 °C, `plato` 0 to 34.24 °P, `altitude_m` -500 to 6000 m; raises
    `OutOfRange` outside those. Extract crowds the gas out: 1.5 % is taken off what water holds
    for each °P, so 18 % at 12 °P. Sources run from 10 to 15 % less in ordinary wort (from memory,
    unchecked) to the 26 % less at 15 °P of the Oxford Companion to Beer (2012). Only pure oxygen
    gives more.
    Source: `oxygen_saturation_ppm`, with the solubility of oxygen in wort of 12 °P in W. Kunze,
    Technology Brewing and Malting, from memory, unchecked.
    """
    require("original extract", plato, 0.0, EXTRACT_PLATO[1], "°P")
    return oxygen_saturation_ppm(temperature_c, altitude_m) * (1.0 - _LOSS_PER_PLATO * plato)
