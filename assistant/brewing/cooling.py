"""Chilling wort: immersion coil, cold bath, counterflow, and ice.

The wort is taken as one well-stirred body, and the cooling water as staying at its temperature.
How fast a real chiller works depends on stirring; the defaults are rough and are meant to be
replaced by what the first minutes of chilling show.
"""

import math
from typing import Final

from assistant.brewing.capacity import WATER_HEAT_J_KG_K, wort_heat_capacity_j_k
from assistant.brewing.curves import Figure, exp, expm1, swapped
from assistant.brewing.errors import CAPACITY_J_K, LIQUID_C, ROOM_C, Bounds, NeverReaches, require
from assistant.brewing.water import WATER_KG_L

ICE_MELTS_J_KG: Final = 333_600.0
"""Heat to melt a kilogram of ice at 0 °C, J/kg (CRC Handbook of Chemistry and Physics)."""

_COIL_L_MIN: Final[Bounds] = (0.1, 60.0, "L/min")
_THROUGH_L_MIN: Final[Bounds] = (0.5, 60.0, "L/min")
_CONDUCTANCE_W_K: Final[Bounds] = (1.0, 10_000.0, "W/K")
_COOLING_WATER_C: Final[Bounds] = (0.0, 60.0, "°C")
_WATER_J_L_K: Final = WATER_KG_L * WATER_HEAT_J_KG_K


def cooling_seconds(
    *, capacity_j_k: float, from_c: float, to_c: float, toward_c: float, taken_w_k: float
) -> float:
    """Seconds for wort to cool from `from_c` to `to_c`; zero if already there.

    `toward_c`, -30 to 60 °C, is what takes its heat: the room or the cooling water. `taken_w_k`,
    0.01 to 10 000 W/K, is what that takes for each degree the wort is warmer. `capacity_j_k` is 1
    to 10 000 000 J/K, `from_c` and `to_c` 0 to 105 °C. Raises `OutOfRange` outside those and
    `NeverReaches` when `to_c` is not above `toward_c`. Undoes `heat.temperature_after` without
    power.
    Source: Newton's law of cooling.
    """
    require("what takes the heat", toward_c, *ROOM_C)
    require("heat taken", taken_w_k, 0.01, _CONDUCTANCE_W_K[1], "W/K")
    _require_wort(capacity_j_k, from_c, to_c)
    return capacity_j_k / taken_w_k * _folds_nearer(from_c, to_c, toward_c)


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
    require("cooling water temperature", water_c, *_COOLING_WATER_C)
    return cooling_seconds(
        capacity_j_k=capacity_j_k,
        from_c=from_c,
        to_c=to_c,
        toward_c=water_c,
        taken_w_k=coil_w_k(flow_l_min, ua_w_k),
    )


def coil_w_k(flow_l_min: Figure, ua_w_k: float) -> Figure:
    """Watts an immersion coil takes for each degree the wort is warmer than the tap water.

    `flow_l_min` is 0.1 to 60 L/min, `ua_w_k`, what the stirred coil passes per degree, 1 to
    10 000 W/K; raises `OutOfRange` outside those. It is less than either `ua_w_k` or the flow
    alone allows, since the water warms on its way. As `loss_w_k`, with the tap water as the room,
    it draws the cooling curve by `heat.temperature_after`.
    Source: effectiveness of a heat exchanger with one side well mixed (any heat transfer
    textbook).
    """
    require("chiller flow", flow_l_min, *_COIL_L_MIN)
    require("chiller conductance", ua_w_k, *_CONDUCTANCE_W_K)
    flow_w_k = flow_l_min / 60.0 * _WATER_J_L_K
    return -flow_w_k * expm1(-ua_w_k / flow_w_k)


def coil_water_l(
    *,
    capacity_j_k: float,
    from_c: float,
    to_c: float,
    water_c: float,
    flow_l_min: float = 6.0,
    ua_w_k: float = 400.0,
) -> float:
    """Litres of tap water an immersion coil uses to cool wort from `from_c` to `to_c`.

    Ranges, defaults and errors as for `coil_cooling_seconds`. A slower flow takes longer and uses
    less.
    Source: as for `coil_cooling_seconds`.
    """
    seconds = coil_cooling_seconds(
        capacity_j_k=capacity_j_k,
        from_c=from_c,
        to_c=to_c,
        water_c=water_c,
        flow_l_min=flow_l_min,
        ua_w_k=ua_w_k,
    )
    return flow_l_min * seconds / 60.0


def counterflow_outlet_c(
    *,
    wort_c: float,
    water_c: float,
    wort_l_min: Figure,
    water_l_min: float,
    ua_w_k: float,
    gravity: float = 1.050,
) -> Figure:
    """Temperature in °C at which wort leaves a counterflow or plate chiller.

    `water_c` is 0 to 60 °C, `wort_c` no colder than that and up to 105; the flows of wort and
    water are 0.5 to 60 L/min, `ua_w_k`, what the chiller passes per degree, 1 to 10 000 W/K,
    `gravity` of the wort 0.98 to 1.15. Raises `OutOfRange` outside those. The wort never leaves
    colder than the water came.
    A slower flow of either side also lowers `ua_w_k`, which is left to the caller.
    Source: effectiveness and number of transfer units of a counterflow exchanger (W. M. Kays and
    A. L. London, Compact Heat Exchangers).
    """
    require("cooling water temperature", water_c, *_COOLING_WATER_C)
    require("wort temperature", wort_c, water_c, *LIQUID_C[1:])
    require("flow of wort", wort_l_min, *_THROUGH_L_MIN)
    require("flow of water", water_l_min, *_THROUGH_L_MIN)
    require("chiller conductance", ua_w_k, *_CONDUCTANCE_W_K)
    wort_units = ua_w_k / (wort_l_min / 60.0 * wort_heat_capacity_j_k(1.0, gravity, 0.0))
    unmatched = wort_units - ua_w_k / (water_l_min / 60.0 * _WATER_J_L_K)
    # Where both sides carry the same heat the formula is 0/0; so near it, the limit is exact.
    unmatched = swapped(unmatched, abs(unmatched) < 1e-9, by=1e-9)
    matched_units = wort_units * -expm1(-unmatched) / unmatched
    share_of_way = matched_units / (matched_units + exp(-unmatched))
    return wort_c - share_of_way * (wort_c - water_c)


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
    require("bath conductance", ua_w_k, *_CONDUCTANCE_W_K)
    require("cooling water temperature", bath_c, *_COOLING_WATER_C)
    return cooling_seconds(
        capacity_j_k=capacity_j_k, from_c=from_c, to_c=to_c, toward_c=bath_c, taken_w_k=ua_w_k
    )


def bath_ice_kg(*, capacity_j_k: float, from_c: float, to_c: float, bath_c: float) -> float:
    """Kilograms of ice that melt outside the kettle to cool it in a bath kept at `bath_c`.

    `capacity_j_k`, wort and kettle together, is 1 to 10 000 000 J/K; the temperatures of the wort
    are 0 to 105 °C, `bath_c` 0 to 60. Raises `OutOfRange` outside those and `NeverReaches` when
    `to_c` is not above the bath. Zero if the wort is already there. The bath's own water, if it
    starts warmer than `bath_c`, needs ice besides (`ice_kg` with its heat capacity), and so does
    what the room warms. Cooling with tap water first saves most of the ice.
    Source: heat balance with the heat of fusion from the CRC Handbook of Chemistry and Physics.
    """
    _require_wort(capacity_j_k, from_c, to_c)
    require("cooling water temperature", bath_c, *_COOLING_WATER_C)
    given_j = capacity_j_k * _fall_k(from_c, to_c, bath_c)
    return given_j / (ICE_MELTS_J_KG + WATER_HEAT_J_KG_K * bath_c)


def conductance_from_readings_w_k(
    *, capacity_j_k: float, from_c: float, to_c: float, seconds: float, water_c: float
) -> float:
    """Watts a chiller takes per degree, found from two readings of the wort.

    The wort fell from `from_c` to `to_c` in `seconds` (1 to 1 000 000) with water or a bath of
    `water_c`, 0 to 60 °C; other ranges as for `coil_cooling_seconds`. Raises `OutOfRange` outside
    those and when the wort grew warmer, `NeverReaches` when it ended no warmer than the water. For
    a coil it stands for `coil_w_k`, for a bath for its `ua_w_k`; five minutes of chilling tell
    more than any default.
    Source: Newton's law of cooling.
    """
    require("time between the readings", seconds, 1.0, 1_000_000.0, "s")
    _require_wort(capacity_j_k, from_c, to_c)
    require("later temperature", to_c, LIQUID_C[0], from_c, LIQUID_C[2])
    require("cooling water temperature", water_c, *_COOLING_WATER_C)
    return capacity_j_k / seconds * _folds_nearer(from_c, to_c, water_c)


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


def _folds_nearer(from_c: float, to_c: float, water_c: float) -> float:
    if _fall_k(from_c, to_c, water_c) == 0.0:
        return 0.0
    return math.log((from_c - water_c) / (to_c - water_c))


def _fall_k(from_c: float, to_c: float, water_c: float) -> float:
    if from_c <= to_c:
        return 0.0
    if to_c <= water_c:
        raise NeverReaches(to_c, water_c)
    return from_c - to_c


def _require_wort(capacity_j_k: float, from_c: float, to_c: float) -> None:
    require("heat capacity", capacity_j_k, *CAPACITY_J_K)
    require("starting temperature", from_c, *LIQUID_C)
    require("target temperature", to_c, *LIQUID_C)
