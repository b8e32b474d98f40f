"""Heat held by water, malt, wort and kettle, per degree."""

from typing import Final

from assistant.brewing.curves import Figure
from assistant.brewing.errors import (
    EXTRACT_PLATO,
    GRAIN_KG,
    KETTLE_J_K,
    LIQUID_C,
    VOLUME_L,
    require,
)
from assistant.brewing.gravity import plato_from_gravity
from assistant.brewing.water import WATER_KG_L

WATER_HEAT_J_KG_K: Final = 4186.0
"""Specific heat of water, J/(kg K); it is 4184 at 20 °C, 4188 at 67 °C (IAPWS-95)."""

GRAIN_HEAT_J_KG_K: Final = 1670.0
"""Specific heat of malt at 4 % moisture, J/(kg K); 0.40 kcal/(kg K) in the Pauls & Whites Brewing
Room Book (1984/85), taken from a later quotation of it."""

STEAM_J_KG: Final = 2_256_500.0
"""Heat to boil off a kilogram of water at one atmosphere, J/kg (IAPWS-95)."""


def wort_heat_j_kg_k(plato: float, temperature_c: Figure) -> Figure:
    """Specific heat of wort in J/(kg K).

    `plato` is 0 to 34.24 °P (a reading slightly below zero counts as water), `temperature_c` 0 to
    105 °C; raises `OutOfRange` outside those.
    Source: formula for pure sucrose solutions of Z. Bubnik and others, Sugar Technologists Manual
    (1995), from memory, unchecked; wort taken as a sucrose solution.
    """
    require("extract", plato, *EXTRACT_PLATO)
    require("wort temperature", temperature_c, *LIQUID_C)
    dissolved = max(plato, 0.0)
    return 4186.8 - 25.1 * dissolved + 0.075 * dissolved * temperature_c


def mash_heat_capacity_j_k(water_l: float, grain_kg: float, kettle_j_k: float) -> float:
    """Heat capacity in J/K of a mash with its kettle.

    `water_l` is 0 to 1000 L at 20 °C, `grain_kg` 0 to 500 kg, `kettle_j_k` (the empty kettle) 0
    to 500 000 J/K: 500 J/K for each kg of steel, 900 for aluminium. Raises `OutOfRange` outside
    those.
    Source: sum of mass times specific heat; the metals from memory of the CRC Handbook, unchecked.
    """
    require("mash water", water_l, *VOLUME_L)
    require("grain weight", grain_kg, *GRAIN_KG)
    require("kettle heat capacity", kettle_j_k, *KETTLE_J_K)
    return water_l * WATER_KG_L * WATER_HEAT_J_KG_K + grain_kg * GRAIN_HEAT_J_KG_K + kettle_j_k


def wort_heat_capacity_j_k(
    volume_l: float, gravity: float, kettle_j_k: float, temperature_c: float = 80.0
) -> float:
    """Heat capacity in J/K of wort with its kettle.

    `volume_l` is 0 to 1000 L at 20 °C, `gravity` 0.98 to 1.15, `kettle_j_k` 0 to 500 000 J/K.
    `temperature_c` (0 to 105 °C) is the middle of the span to be heated or cooled; from cold to
    the boil it changes the result by about 2 %. Raises `OutOfRange` outside those.
    Source: sum of mass times specific heat, with `wort_heat_j_kg_k`.
    """
    require("volume", volume_l, *VOLUME_L)
    require("kettle heat capacity", kettle_j_k, *KETTLE_J_K)
    specific_j_kg_k = wort_heat_j_kg_k(plato_from_gravity(gravity), temperature_c)
    return volume_l * gravity * WATER_KG_L * specific_j_kg_k + kettle_j_k
