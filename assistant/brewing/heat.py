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
from assistant.brewing.capacity import GRAIN_HEAT_J_KG_K as GRAIN_HEAT_J_KG_K
from assistant.brewing.capacity import STEAM_J_KG as STEAM_J_KG
from assistant.brewing.capacity import WATER_HEAT_J_KG_K as WATER_HEAT_J_KG_K
from assistant.brewing.capacity import mash_heat_capacity_j_k as mash_heat_capacity_j_k
from assistant.brewing.capacity import wort_heat_capacity_j_k as wort_heat_capacity_j_k
from assistant.brewing.capacity import wort_heat_j_kg_k as wort_heat_j_kg_k
from assistant.brewing.curves import Figure, expm1, held, highest, log1p
from assistant.brewing.errors import (
    CAPACITY_J_K,
    FILLED_L,
    LIQUID_C,
    LOSS_W_K,
    MINUTES,
    POWER_W,
    ROOM_C,
    Bounds,
    NeverReaches,
    OutOfRange,
    require,
)
from assistant.brewing.water import WATER_KG_L

_WETTING_J_KG: Final[Bounds] = (0.0, 100_000.0, "J/kg")
_LOST_J: Final[Bounds] = (0.0, 50_000_000.0, "J")
_NEGLIGIBLE_LOSS_W_K: Final = 1e-6


def strike_temperature_c(
    *,
    mash_c: float,
    grain_c: float,
    grain_kg: float,
    water_l: float,
    kettle_j_k: float,
    wetting_j_kg: float = 0.0,
    lost_j: float = 0.0,
) -> float:
    """Temperature in °C the water needs so that the mash lands on `mash_c` at dough-in.

    The kettle is as hot as the water. `mash_c` is 0 to 105 °C, `grain_c` -30 to 60 °C,
    `grain_kg` 0 to 500 kg, `water_l` 0.001 to 1000 L at 20 °C, `kettle_j_k` 0 to 500 000 J/K.
    `wetting_j_kg`, the heat that a kilogram of malt sets free on wetting (its slaking heat),
    is 0 to 100 000 J/kg; `lost_j`, what stirring with the lid off costs, 0 to 50 000 000 J.
    Raises `OutOfRange` outside those, and when the water would have to be above 105 °C: too
    little water for the grain.
    Sources disagree on the slaking heat. The Pauls & Whites Brewing Room Book (1984/85), as
    quoted by malt and brewing suppliers, has the mash gain 1.5 °C at 4 % moisture, which in its
    mash of 2.7 L/kg is about 19 kJ/kg, and 17 to 30 kJ/kg from 6 to 2 %; J. Palmer leaves it out.
    Here it and the stirring loss are zero unless given: in a thin mash each is some 0.8 °C.
    Source: heat balance as in J. Palmer, How to Brew, with the kettle added.
    """
    require("mash temperature", mash_c, *LIQUID_C)
    grain_j_k, hot_j_k = _grain_and_hot_side(grain_c, grain_kg, water_l, kettle_j_k)
    gained_j = _gained_j(grain_kg, wetting_j_kg, lost_j)
    strike_c = mash_c + (grain_j_k * (mash_c - grain_c) - gained_j) / hot_j_k
    too_hot = " for so little water" if strike_c > LIQUID_C[1] else ""
    require(f"strike temperature{too_hot}", strike_c, *LIQUID_C)
    return strike_c


def mash_temperature_c(
    *,
    strike_c: float,
    grain_c: float,
    grain_kg: float,
    water_l: float,
    kettle_j_k: float,
    wetting_j_kg: float = 0.0,
    lost_j: float = 0.0,
) -> float:
    """Temperature in °C a mash lands on when grain meets water of `strike_c`.

    Undoes `strike_temperature_c` and has its ranges, with `strike_c` 0 to 105 °C; raises
    `OutOfRange` outside those, and when the mash would not be 0 to 105 °C.
    Source: the same heat balance.
    """
    require("strike temperature", strike_c, *LIQUID_C)
    grain_j_k, hot_j_k = _grain_and_hot_side(grain_c, grain_kg, water_l, kettle_j_k)
    gained_j = _gained_j(grain_kg, wetting_j_kg, lost_j)
    mash_c = (hot_j_k * strike_c + grain_j_k * grain_c + gained_j) / (hot_j_k + grain_j_k)
    require("mash temperature", mash_c, *LIQUID_C)
    return mash_c


def heating_seconds(
    *,
    capacity_j_k: float,
    from_c: float,
    to_c: Figure,
    power_w: float,
    loss_w_k: float,
    room_c: float,
) -> Figure:
    """Seconds to heat from `from_c` to `to_c`; zero when already there or hotter.

    `capacity_j_k` is 1 to 10 000 000 J/K, the temperatures 0 to 105 °C (`to_c` may be a curve),
    `power_w` (what reaches the wort) 0 to 100 000 W, `loss_w_k` (to the room) 0 to 1000 W/K,
    `room_c` -30 to 60 °C. Raises `OutOfRange` outside those, and `NeverReaches` with the
    temperature at which the losses eat all the power, when that is not above `to_c`.
    Source: Newton's law of cooling with a constant source, solved in closed form.
    """
    _require_kettle(capacity_j_k, from_c, power_w, loss_w_k, room_c)
    require("target temperature", to_c, *LIQUID_C)
    hottest_c = highest(to_c)
    if hottest_c <= from_c:
        return 0.0 * to_c
    rise_k = held(to_c - from_c, 0.0, hottest_c)
    if loss_w_k < _NEGLIGIBLE_LOSS_W_K:
        if power_w == 0.0:
            raise NeverReaches(hottest_c, from_c)
        return capacity_j_k * rise_k / power_w
    ceiling_c = room_c + power_w / loss_w_k
    if ceiling_c <= hottest_c:
        raise NeverReaches(hottest_c, ceiling_c)
    return -capacity_j_k / loss_w_k * log1p(-rise_k / (ceiling_c - from_c))


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


def power_from_rise_w(
    *,
    capacity_j_k: float,
    from_c: float,
    to_c: float,
    seconds: float,
    loss_w_k: float,
    room_c: float,
) -> float:
    """Watts that reached the wort while it went from `from_c` to `to_c`, losses to the room added.

    Undoes `temperature_after`. `seconds` is 1 to 1 000 000; other ranges as for
    `heating_seconds`. Raises `OutOfRange` outside those, and when the power comes out below zero:
    the wort cooled faster than its losses explain. Readings 10 °C apart or more are worth it; a
    thermometer good to 0.5 °C then gives the power to 7 %.
    Source: Newton's law of cooling with a constant source, solved in closed form.
    """
    _require_kettle(capacity_j_k, from_c, 0.0, loss_w_k, room_c)
    require("later temperature", to_c, *LIQUID_C)
    require("time between the readings", seconds, 1.0, 1_000_000.0, "s")
    if loss_w_k < _NEGLIGIBLE_LOSS_W_K:
        power_w = capacity_j_k * (to_c - from_c) / seconds
    else:
        share_of_way = -math.expm1(-loss_w_k / capacity_j_k * seconds)
        power_w = loss_w_k * (from_c - room_c + (to_c - from_c) / share_of_way)
    require("heating power by the readings", power_w, *POWER_W)
    return power_w


def cooling_per_hour(*, from_c: float, to_c: float, minutes: float, room_c: float) -> float:
    """Newton's constant of cooling, per hour, of a vessel that fell from `from_c` to `to_c`.

    Both are 0 to 105 °C, `minutes` 0.1 to 600, `room_c` -30 to 60 °C. Raises `OutOfRange` outside
    those and when the vessel grew warmer, `NeverReaches` when it ended no warmer than the room.
    Times the heat capacity and over 3600 s it is the loss in W/K.
    Source: Newton's law of cooling.
    """
    require("room temperature", room_c, *ROOM_C)
    require("first temperature", from_c, *LIQUID_C)
    require("later temperature", to_c, LIQUID_C[0], from_c, LIQUID_C[2])
    require("time between the readings", minutes, 0.1, MINUTES[1], MINUTES[2])
    if to_c <= room_c:
        raise NeverReaches(to_c, room_c)
    return 60.0 / minutes * math.log((from_c - room_c) / (to_c - room_c))


def boil_off_kg_h(power_w: Figure, loss_w: float = 0.0) -> Figure:
    """Kilograms of water boiled off in an hour; zero when the losses eat all the power.

    `power_w`, what reaches the boiling wort, and `loss_w`, what its sides lose to the room, are 0
    to 100 000 W; raises `OutOfRange` outside those. A kilowatt makes 1.6 kg/h. Steam that
    condenses on a lid and drips back is no boil-off. A home kettle loses 300 to 700 W and boils
    off 2 to 5 L/h (estimates from memory, unchecked).
    Source: conservation of heat, with the heat of vaporisation of IAPWS-95; altitude to 3000 m
    raises that by 1.2 % and is left out.
    """
    require("boiling power", power_w, *POWER_W)
    require("heat lost at the boil", loss_w, *POWER_W)
    return held(power_w - loss_w, 0.0, POWER_W[1]) * 3600.0 / STEAM_J_KG


def boil_off_power_w(litres_h: Figure, loss_w: float = 0.0) -> Figure:
    """Watts that must reach the wort to boil off this many litres (at 20 °C) an hour.

    Undoes `boil_off_kg_h`. `litres_h` is 0 to 100 L/h, `loss_w` 0 to 100 000 W; raises
    `OutOfRange` outside those.
    Source: as for `boil_off_kg_h`.
    """
    require("boil-off", litres_h, 0.0, 100.0, "L/h")
    require("heat lost at the boil", loss_w, *POWER_W)
    return litres_h * WATER_KG_L * STEAM_J_KG / 3600.0 + loss_w


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
    require("water temperature", water_c, *LIQUID_C)
    if to_c == from_c:
        return 0.0
    low_c, high_c = (to_c + 1.0, LIQUID_C[1]) if to_c > from_c else (LIQUID_C[0], to_c - 1.0)
    require("water temperature", water_c, low_c, high_c, "°C")
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


def _gained_j(grain_kg: float, wetting_j_kg: float, lost_j: float) -> float:
    require("wetting heat of the malt", wetting_j_kg, *_WETTING_J_KG)
    require("heat lost at dough-in", lost_j, *_LOST_J)
    return grain_kg * wetting_j_kg - lost_j


def _require_kettle(
    capacity_j_k: float, from_c: float, power_w: float, loss_w_k: float, room_c: float
) -> None:
    require("heat capacity", capacity_j_k, *CAPACITY_J_K)
    require("starting temperature", from_c, *LIQUID_C)
    require("heating power", power_w, *POWER_W)
    require("heat loss", loss_w_k, *LOSS_W_K)
    require("room temperature", room_c, *ROOM_C)
