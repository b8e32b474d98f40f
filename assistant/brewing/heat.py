"""Heat in the kettle: what it takes to warm water, mash and wort, and how long that lasts.

A mash or wort is taken as one well-stirred body of a given heat capacity (J/K) that gains the
heater's power and loses heat to the room in proportion to how much warmer it is (Newton's law of
cooling). `power_w` is always what reaches the wort, not what the plug draws.
"""

import math
from collections.abc import Iterable
from typing import Final

from assistant.brewing.air import air_pressure_kpa as air_pressure_kpa
from assistant.brewing.air import boiling_point_c as boiling_point_c
from assistant.brewing.curves import Figure, expm1
from assistant.brewing.errors import (
    CAPACITY_J_K,
    EXTRACT_PLATO,
    FILLED_L,
    GRAIN_KG,
    KETTLE_J_K,
    LIQUID_C,
    LOSS_W_K,
    POWER_W,
    ROOM_C,
    VOLUME_L,
    NeverReaches,
    OutOfRange,
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

_NEGLIGIBLE_LOSS_W_K: Final = 1e-6


def wort_heat_j_kg_k(plato: float, temperature_c: float) -> float:
    """Specific heat of wort in J/(kg K).

    `plato` is 0 to 34.3 °P (a reading slightly below zero counts as water), `temperature_c` 0 to
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


def strike_temperature_c(
    *, mash_c: float, grain_c: float, grain_kg: float, water_l: float, kettle_j_k: float
) -> float:
    """Temperature in °C the water needs so that the mash lands on `mash_c` at dough-in.

    The kettle is as hot as the water. `mash_c` is 0 to 105 °C, `grain_c` -30 to 60 °C,
    `grain_kg` 0 to 500 kg, `water_l` 0.001 to 1000 L at 20 °C, `kettle_j_k` 0 to 500 000 J/K.
    Raises `OutOfRange` outside those, and when the water would have to be above 105 °C: too
    little water for the grain. Stirring cools the mash and wetting the grain warms it by up to
    1 °C; they roughly cancel and both are left out.
    Source: heat balance as in J. Palmer, How to Brew, with the kettle added.
    """
    require("mash temperature", mash_c, *LIQUID_C)
    grain_j_k, hot_j_k = _grain_and_hot_side(grain_c, grain_kg, water_l, kettle_j_k)
    strike_c = mash_c + grain_j_k * (mash_c - grain_c) / hot_j_k
    require("strike temperature", strike_c, *LIQUID_C)
    return strike_c


def mash_temperature_c(
    *, strike_c: float, grain_c: float, grain_kg: float, water_l: float, kettle_j_k: float
) -> float:
    """Temperature in °C a mash lands on when grain meets water of `strike_c`.

    Undoes `strike_temperature_c` and has its ranges, with `strike_c` 0 to 105 °C; raises
    `OutOfRange` outside those.
    Source: the same heat balance.
    """
    require("strike temperature", strike_c, *LIQUID_C)
    grain_j_k, hot_j_k = _grain_and_hot_side(grain_c, grain_kg, water_l, kettle_j_k)
    return (hot_j_k * strike_c + grain_j_k * grain_c) / (hot_j_k + grain_j_k)


def heating_seconds(
    *,
    capacity_j_k: float,
    from_c: float,
    to_c: float,
    power_w: float,
    loss_w_k: float,
    room_c: float,
) -> float:
    """Seconds to heat from `from_c` to `to_c`; zero when already there or hotter.

    `capacity_j_k` is 1 to 10 000 000 J/K, the temperatures 0 to 105 °C, `power_w` (what reaches
    the wort) 0 to 100 000 W, `loss_w_k` (to the room) 0 to 1000 W/K, `room_c` -30 to 60 °C.
    Raises `OutOfRange` outside those, and `NeverReaches` with the temperature at which the losses
    eat all the power, when that is not above `to_c`.
    Source: Newton's law of cooling with a constant source, solved in closed form.
    """
    _require_kettle(capacity_j_k, from_c, power_w, loss_w_k, room_c)
    require("target temperature", to_c, *LIQUID_C)
    if to_c <= from_c:
        return 0.0
    if loss_w_k < _NEGLIGIBLE_LOSS_W_K:
        if power_w == 0.0:
            raise NeverReaches(to_c, from_c)
        return capacity_j_k * (to_c - from_c) / power_w
    ceiling_c = room_c + power_w / loss_w_k
    if ceiling_c <= to_c:
        raise NeverReaches(to_c, ceiling_c)
    share_of_way = (to_c - from_c) / (ceiling_c - from_c)
    return -capacity_j_k / loss_w_k * math.log1p(-share_of_way)


def temperature_after(
    *,
    capacity_j_k: float,
    from_c: float,
    seconds: Figure,
    power_w: float,
    loss_w_k: float,
    room_c: float,
) -> Figure:
    """Temperature in °C after `seconds` of heating, or of cooling when `power_w` is zero.

    `seconds`, 0 to 1 000 000, may be a curve; other ranges as for `heating_seconds`. Raises
    `OutOfRange` outside those. It knows nothing of boiling: the result may exceed the boiling
    point, where true wort stays and gives off steam.
    Source: Newton's law of cooling with a constant source, solved in closed form.
    """
    _require_kettle(capacity_j_k, from_c, power_w, loss_w_k, room_c)
    require("time", seconds, 0.0, 1_000_000.0, "s")
    if loss_w_k < _NEGLIGIBLE_LOSS_W_K:
        return from_c + power_w * seconds / capacity_j_k
    ceiling_c = room_c + power_w / loss_w_k
    return from_c - (ceiling_c - from_c) * expm1(-loss_w_k / capacity_j_k * seconds)


def water_to_move_mash_l(
    *, capacity_j_k: float, from_c: float, to_c: float, water_c: float
) -> float:
    """Litres (at 20 °C) of hot or cold water that moves a mash from `from_c` to `to_c`.

    `capacity_j_k` is 1 to 10 000 000 J/K; the mash temperatures are 1 to 99 °C; `water_c` is 0 to
    105 °C and must lie at least 1 °C beyond `to_c`, on the side the mash should move to. Raises
    `OutOfRange` outside those. Zero when the mash is already there.
    Source: heat balance, the infusion equation of J. Palmer, How to Brew.
    """
    require("heat capacity", capacity_j_k, *CAPACITY_J_K)
    require("mash temperature", from_c, 1.0, 99.0, "°C")
    require("target mash temperature", to_c, 1.0, 99.0, "°C")
    coldest_c, hottest_c, unit = LIQUID_C
    require("water temperature", water_c, coldest_c, hottest_c, unit)
    if to_c == from_c:
        return 0.0
    if to_c > from_c:
        require("water temperature", water_c, to_c + 1.0, hottest_c, unit)
    else:
        require("water temperature", water_c, coldest_c, to_c - 1.0, unit)
    water_kg = capacity_j_k * (to_c - from_c) / (WATER_HEAT_J_KG_K * (water_c - to_c))
    return water_kg / WATER_KG_L


def mixed_temperature_c(parts: Iterable[tuple[float, float]]) -> float:
    """Temperature in °C of several bodies mixed, each given as (heat capacity J/K, °C).

    Each capacity is 0 to 10 000 000 J/K and together they are at least 1; each temperature is -30
    to 105 °C. Raises `OutOfRange` outside those.
    Source: conservation of heat.
    """
    total_j_k = 0.0
    heat_j = 0.0
    for capacity_j_k, temperature_c in parts:
        require("heat capacity", capacity_j_k, 0.0, CAPACITY_J_K[1], "J/K")
        require("temperature", temperature_c, ROOM_C[0], LIQUID_C[1], "°C")
        total_j_k += capacity_j_k
        heat_j += capacity_j_k * temperature_c
    if total_j_k < CAPACITY_J_K[0]:
        raise OutOfRange("heat capacity of the mixture", total_j_k, *CAPACITY_J_K)
    return heat_j / total_j_k


def energy_kwh(joules: float) -> float:
    """Kilowatt-hours in `joules` (0 to 1e12 J); raises `OutOfRange` outside that.

    Source: definition, 1 kWh = 3.6 MJ.
    """
    require("energy", joules, 0.0, 1e12, "J")
    return joules / 3_600_000.0


def _grain_and_hot_side(
    grain_c: float, grain_kg: float, water_l: float, kettle_j_k: float
) -> tuple[float, float]:
    require("grain temperature", grain_c, *ROOM_C)
    require("strike water", water_l, *FILLED_L)
    grain_j_k = mash_heat_capacity_j_k(0.0, grain_kg, 0.0)
    return grain_j_k, mash_heat_capacity_j_k(water_l, 0.0, kettle_j_k)


def _require_kettle(
    capacity_j_k: float, from_c: float, power_w: float, loss_w_k: float, room_c: float
) -> None:
    require("heat capacity", capacity_j_k, *CAPACITY_J_K)
    require("starting temperature", from_c, *LIQUID_C)
    require("heating power", power_w, *POWER_W)
    require("heat loss", loss_w_k, *LOSS_W_K)
    require("room temperature", room_c, *ROOM_C)
