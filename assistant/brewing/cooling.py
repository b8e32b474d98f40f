"""Chilling wort: immersion coil, cold bath, and ice in the wort.

The wort is taken as one well-stirred body, and the cooling water as staying at its temperature.
How fast a real chiller works depends on stirring; the defaults are rough and are meant to be
replaced by what the first minutes of chilling show.
"""

import math
from typing import Final

from assistant.brewing.errors import CAPACITY_J_K, LIQUID_C, NeverReaches, require
from assistant.brewing.heat import WATER_HEAT_J_KG_K
from assistant.brewing.water import WATER_KG_L

ICE_MELTS_J_KG: Final = 333_600.0
"""Heat to melt a kilogram of ice at 0 °C, J/kg (CRC Handbook of Chemistry and Physics)."""


def coil_cooling_seconds(
    *,
    capacity_j_k: float,
    from_c: float,
    to_c: float,
    water_c: float,
    flow_l_min: float = 6.0,
    ua_w_k: float = 400.0,
) -> float:
    """Seconds for an immersion coil to cool wort from `from_c` to `to_c`; zero if already there.

    `capacity_j_k` is 1 to 10 000 000 J/K; `from_c` and `to_c` are 0 to 105 °C; `water_c`, the tap
    water, 0 to 60 °C; `flow_l_min` 0.1 to 60 L/min; `ua_w_k`, what the stirred coil passes per
    degree, 1 to 10 000 W/K. Raises `OutOfRange` outside those and `NeverReaches` when `to_c` is
    not above the water.
    Source: effectiveness of a heat exchanger with one side well mixed (any heat transfer
    textbook); 6 L/min and 400 W/K are estimates, no source.
    """
    require("chiller flow", flow_l_min, 0.1, 60.0, "L/min")
    require("chiller conductance", ua_w_k, 1.0, 10_000.0, "W/K")
    flow_w_k = flow_l_min / 60.0 * WATER_KG_L * WATER_HEAT_J_KG_K
    taken_w_k = flow_w_k * -math.expm1(-ua_w_k / flow_w_k)
    return _cooling_seconds(capacity_j_k, from_c, to_c, water_c, taken_w_k)


def bath_cooling_seconds(
    *, capacity_j_k: float, from_c: float, to_c: float, bath_c: float, ua_w_k: float = 60.0
) -> float:
    """Seconds for a kettle in a cold bath to cool from `from_c` to `to_c`; zero if already there.

    `bath_c`, 0 to 60 °C, is kept there by ice or fresh water; `ua_w_k`, what passes through the
    kettle wall per degree, is 1 to 10 000 W/K, about 30 for 20 L left still and 60 to 100
    stirred. Other ranges as for `coil_cooling_seconds`. Raises `OutOfRange` outside those and
    `NeverReaches` when `to_c` is not above the bath.
    Source: Newton's law of cooling; the conductances are estimates from memory, unchecked.
    """
    require("bath conductance", ua_w_k, 1.0, 10_000.0, "W/K")
    return _cooling_seconds(capacity_j_k, from_c, to_c, bath_c, ua_w_k)


def ice_kg(*, capacity_j_k: float, from_c: float, to_c: float) -> float:
    """Kilograms of ice at 0 °C that, melted in the wort, cool it from `from_c` to `to_c`.

    `capacity_j_k` is 1 to 10 000 000 J/K, the temperatures 0 to 105 °C; raises `OutOfRange`
    outside those. Zero if the wort is already there. The melted ice thins the wort by as many
    litres.
    Source: heat balance with the heat of fusion from the CRC Handbook of Chemistry and Physics.
    """
    _require_wort(capacity_j_k, from_c, to_c)
    if from_c <= to_c:
        return 0.0
    return capacity_j_k * (from_c - to_c) / (ICE_MELTS_J_KG + WATER_HEAT_J_KG_K * to_c)


def _cooling_seconds(
    capacity_j_k: float, from_c: float, to_c: float, water_c: float, taken_w_k: float
) -> float:
    _require_wort(capacity_j_k, from_c, to_c)
    require("cooling water temperature", water_c, 0.0, 60.0, "°C")
    if from_c <= to_c:
        return 0.0
    if to_c <= water_c:
        raise NeverReaches(to_c, water_c)
    return capacity_j_k / taken_w_k * math.log((from_c - water_c) / (to_c - water_c))


def _require_wort(capacity_j_k: float, from_c: float, to_c: float) -> None:
    require("heat capacity", capacity_j_k, *CAPACITY_J_K)
    require("starting temperature", from_c, *LIQUID_C)
    require("target temperature", to_c, *LIQUID_C)
