"""Mass balance of wort: water and extract added, boiled off and blended.

Mass and extract are kept; volume is not, since dissolved extract takes less room in strong wort
than in weak. A wort is its litres at 20 °C and its gravity (20/20 °C).
"""

from typing import Final

from assistant.brewing.curves import Figure
from assistant.brewing.errors import FILLED_L, GRAVITY, Bounds, require
from assistant.brewing.gravity import extract_kg, gravity_from_plato, plato_from_gravity
from assistant.brewing.water import EXTRACT_SWELLS_L_KG, WATER_KG_L

_WORT_KG: Final[Bounds] = (0.001, 1150.0, "kg")
_WATER_KG: Final[Bounds] = (0.0, 1000.0, "kg")
_ADDED_KG: Final[Bounds] = (0.0, 500.0, "kg")
_EXTRACT_SHARE: Final[Bounds] = (0.0, 1.0, "")
# At 1.000 there is nothing to thin down to, and no amount of water would do.
_SOME_EXTRACT: Final[Bounds] = (1.001, 1.15, "")
# An addition hardly stronger than the wort wanted would have to be boundless.
_STRONGER_BY: Final = 0.05


def dissolved_volume_l(mass_kg: Figure, extract: float = 1.0) -> Figure:
    """Litres by which a sugar or malt extract swells the wort it dissolves in.

    `mass_kg` is 0 to 500 kg; `extract` is the share of it that is extract, the rest water: 1 for
    sucrose, 0.91 for glucose monohydrate, 0.95 to 0.97 for dry and 0.78 to 0.80 for liquid malt
    extract (the malt extracts from memory, unchecked). Raises `OutOfRange` outside 0 to 1.
    Source: 0.616 L for each kg of extract by the sucrose table of NBS Circular C440, good to 0.5 %
    from 5 to 20 °P; water by its density (Kell 1975).
    """
    require("weight of the addition", mass_kg, *_ADDED_KG)
    require("extract share of the addition", extract, *_EXTRACT_SHARE)
    return mass_kg * (extract * EXTRACT_SWELLS_L_KG + (1.0 - extract) / WATER_KG_L)


def wort_kg(volume_l: float, gravity: Figure) -> Figure:
    """Kilograms that `volume_l` of wort of this gravity weighs.

    `volume_l` is 0.001 to 1000 L at 20 °C, `gravity` 0.98 to 1.15; raises `OutOfRange` outside
    those.
    Source: definition of gravity, with the density of water (Kell 1975).
    """
    require("volume", volume_l, *FILLED_L)
    require("gravity", gravity, *GRAVITY)
    return volume_l * gravity * WATER_KG_L


def gravity_from_masses(extract_kg: float, water_kg: Figure) -> Figure:
    """Gravity of a wort of this much extract in this much water.

    `extract_kg` is 0 to 500 kg, `water_kg` 0.001 to 1000 kg; raises `OutOfRange` outside those
    and when the extract passes 34.24 °P.
    Source: definition of degrees Plato, with the ASBC cubic.
    """
    _require_masses(extract_kg, water_kg)
    return gravity_from_plato(100.0 * extract_kg / (extract_kg + water_kg))


def volume_from_masses_l(extract_kg: float, water_kg: Figure) -> Figure:
    """Litres at 20 °C of a wort of this much extract in this much water.

    Ranges and errors as for `gravity_from_masses`.
    Source: as for `gravity_from_masses`, with the density of water (Kell 1975).
    """
    return (extract_kg + water_kg) / (gravity_from_masses(extract_kg, water_kg) * WATER_KG_L)


def after_water(volume_l: float, gravity: float, water_kg: Figure) -> tuple[Figure, Figure]:
    """Litres and gravity of wort once `water_kg` is added to it, or (negative) boiled off it.

    `volume_l` is 0.001 to 1000 L at 20 °C, `gravity` 0.98 to 1.15, `water_kg` -1000 to 1000 kg;
    raises `OutOfRange` outside those and when so little is left that it would pass 34.24 °P. Adding
    litres instead of kilograms misses the volume by less than 0.1 %.
    Source: conservation of mass and of extract, with the ASBC cubic.
    """
    require("water", water_kg, -_WATER_KG[1], _WATER_KG[1], "kg")
    left_kg = wort_kg(volume_l, gravity) + water_kg
    require("wort afterwards", left_kg, *_WORT_KG)
    kept_kg = extract_kg(volume_l, gravity)
    return _volume_and_gravity(100.0 * kept_kg / left_kg, left_kg)


def after_extract(
    volume_l: float, gravity: float, mass_kg: Figure, extract: float = 1.0
) -> tuple[Figure, Figure]:
    """Litres and gravity of wort once `mass_kg` of a sugar or malt extract is dissolved in it.

    `volume_l` is 0.001 to 1000 L at 20 °C, `gravity` 0.98 to 1.15, `mass_kg` 0 to 500 kg;
    `extract` (0 to 1) is the share of it that is extract, as for `dissolved_volume_l`. Raises
    `OutOfRange` outside those and when the wort would pass 34.24 °P.
    Source: conservation of mass and of extract, with the ASBC cubic; all extract taken as sucrose,
    as degrees Plato do.
    """
    require("weight of the addition", mass_kg, *_ADDED_KG)
    require("extract share of the addition", extract, *_EXTRACT_SHARE)
    all_kg = wort_kg(volume_l, gravity) + mass_kg
    require("wort afterwards", all_kg, *_WORT_KG)
    dissolved_kg = extract_kg(volume_l, gravity) + extract * mass_kg
    return _volume_and_gravity(100.0 * dissolved_kg / all_kg, all_kg)


def blended(
    volume_l: float, gravity: float, other_volume_l: float, other_gravity: float
) -> tuple[float, float]:
    """Litres and gravity of two worts mixed, such as first wort and a rinse.

    The volumes are 0.001 to 1000 L at 20 °C and the gravities 0.98 to 1.15; raises `OutOfRange`
    outside those and above 1150 kg together.
    Source: conservation of mass and of extract, with the ASBC cubic.
    """
    both_kg = wort_kg(volume_l, gravity) + wort_kg(other_volume_l, other_gravity)
    require("wort afterwards", both_kg, *_WORT_KG)
    dissolved_kg = extract_kg(volume_l, gravity) + extract_kg(other_volume_l, other_gravity)
    return _volume_and_gravity(100.0 * dissolved_kg / both_kg, both_kg)


def water_to_reach_gravity_l(volume_l: float, gravity: float, wanted_gravity: Figure) -> Figure:
    """Litres of water (at 20 °C) to add to wort, or (negative) to boil off it, for a gravity.

    `volume_l` is 0.001 to 1000 L at 20 °C; both gravities are 1.001 to 1.15. Raises `OutOfRange`
    outside those.
    Source: conservation of mass and of extract, with the ASBC cubic.
    """
    require("volume", volume_l, *FILLED_L)
    require("gravity", gravity, *_SOME_EXTRACT)
    require("wanted gravity", wanted_gravity, *_SOME_EXTRACT)
    wanted_kg = 100.0 * extract_kg(volume_l, gravity) / plato_from_gravity(wanted_gravity)
    return (wanted_kg - wort_kg(volume_l, gravity)) / WATER_KG_L


def extract_to_reach_gravity_kg(
    volume_l: float, gravity: float, wanted_gravity: float, extract: float = 1.0
) -> float:
    """Kilograms of a sugar or malt extract that bring wort up to a gravity.

    `volume_l` is 0.001 to 1000 L at 20 °C, `gravity` 0.98 to 1.15, `wanted_gravity` not below it
    and up to 1.15; `extract` is the share of the addition that is extract, as for
    `dissolved_volume_l`, and must exceed that of the wort wanted by 0.05. Raises `OutOfRange`
    outside those.
    Source: conservation of mass and of extract, with the ASBC cubic.
    """
    require("gravity", gravity, *GRAVITY)
    require("wanted gravity", wanted_gravity, gravity, GRAVITY[1])
    wanted_share = plato_from_gravity(wanted_gravity) / 100.0
    weakest = max(wanted_share + _STRONGER_BY, 0.0)
    require("extract share of the addition", extract, weakest, _EXTRACT_SHARE[1])
    missing_kg = wanted_share * wort_kg(volume_l, gravity) - extract_kg(volume_l, gravity)
    # Rounding may leave a trace below zero where the gravity is there already.
    return max(missing_kg, 0.0) / (extract - wanted_share)


def _volume_and_gravity(plato: Figure, all_kg: Figure) -> tuple[Figure, Figure]:
    gravity = gravity_from_plato(plato)
    return all_kg / (gravity * WATER_KG_L), gravity


def _require_masses(extract_kg: float, water_kg: Figure) -> None:
    require("extract", extract_kg, *_ADDED_KG)
    require("water", water_kg, 0.001, *_WATER_KG[1:])
