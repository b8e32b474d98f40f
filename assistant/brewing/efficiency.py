"""What the malt could give, and how much of it arrives where.

Five shares go by the name of efficiency, and the same batch differs by thirty points between them.
Potential is what a fine grind gives in the laboratory. Conversion is the part of it dissolved in
the mash; bag efficiency (lautering) the part of that which runs into the kettle; kettle efficiency
the product of both; brewhouse efficiency what reaches the fermenter. The brewhouse yield of the
older books divides by the malt instead of its potential. Extract is neither made nor lost by
boiling, so a kettle efficiency that rises during the boil is a reading error.
"""

from typing import Final

from assistant.brewing.curves import Figure
from assistant.brewing.errors import EXTRACT_PLATO, FILLED_L, MOISTURE, Bounds, require
from assistant.brewing.water import (
    EXTRACT_SWELLS_L_KG,
    LITRES_KG_PER_GALLON_LB,
    MALT_MOISTURE,
    WATER_KG_L,
    absorbed_l,
)

LITRE_DEGREES_OF_EXTRACT: Final = 386.0
"""Gravity points times litres that a kilogram of extract gives: 387 at 5 °P, 385 at 12 °P (sucrose
table of NBS Circular C440)."""

_MALT_KG: Final[Bounds] = (0.001, 500.0, "kg")
_EXTRACT_KG: Final[Bounds] = (0.0, 500.0, "kg")
_POTENTIAL_KG: Final[Bounds] = (0.001, 500.0, "kg")
_SHARE: Final[Bounds] = (0.0, 1.0, "")
_MASH_PLATO: Final[Bounds] = (0.0, *EXTRACT_PLATO[1:])
# Readings of gravity and volume err; past this one of them is wrong.
_EFFICIENCY_PERCENT: Final[Bounds] = (0.0, 110.0, "%")


def as_is_extract(extract_dry: float, moisture: float = MALT_MOISTURE) -> float:
    """Extract share of malt as weighed, from that of its dry matter (fine grind, dry basis).

    `extract_dry` is 0 to 1: 0.78 to 0.82 for pale malt, 0.72 to 0.76 for crystal, 0.65 to 0.72
    for roast (from memory, unchecked). `moisture` is 0 to 0.2. Raises `OutOfRange` outside those.
    Source: definition of the analysis (D. E. Briggs and others, Brewing: Science and Practice).
    """
    require("extract of the dry malt", extract_dry, *_SHARE)
    require("moisture of the malt", moisture, *MOISTURE)
    return extract_dry * (1.0 - moisture)


def potential_kg(weight_kg: float, extract_dry: float, moisture: float = MALT_MOISTURE) -> float:
    """Kilograms of extract that malt gives when finely ground, the laboratory's most.

    `weight_kg`, as weighed, is 0 to 500 kg; other ranges as for `as_is_extract`. Raises
    `OutOfRange` outside those. A coarse grind gives 1 to 2 % less (common practice,
    no source). The water that starch takes up in turning to sugar is part of it.
    Source: definition of the analysis (D. E. Briggs and others, Brewing: Science and Practice).
    """
    require("weight of malt", weight_kg, 0.0, *_MALT_KG[1:])
    return weight_kg * as_is_extract(extract_dry, moisture)


def strongest_mash_plato(
    potential_kg: float, grain_kg: float, water_l: Figure, moisture: float = MALT_MOISTURE
) -> Figure:
    """Extract in °P of the mash liquid if all of the potential dissolves and no water follows.

    `grain_kg`, as weighed, is 0.001 to 500 kg, `potential_kg` 0.001 kg to no more than that,
    `water_l` 0.001 to 1000 L at 20 °C, `moisture` 0 to 0.2. Raises `OutOfRange` outside those. A
    mash that reads stronger was not stirred, or the reading is off.
    Source: conservation of mass. Water bound by starch is left out; it would add 1 % of the
    reading.
    """
    liquor_kg = _liquor_kg(grain_kg, water_l, moisture)
    _require_from_grain(potential_kg, grain_kg)
    return 100.0 * potential_kg / (liquor_kg + potential_kg)


def dissolved_kg(
    mash_plato: Figure, grain_kg: float, water_l: float, moisture: float = MALT_MOISTURE
) -> Figure:
    """Kilograms of extract dissolved in a stirred mash whose liquid reads `mash_plato`.

    `mash_plato` is 0 to 34.24 °P, `grain_kg` 0.001 to 500 kg, `water_l` 0.001 to 1000 L at 20 °C,
    `moisture` 0 to 0.2. Raises `OutOfRange` outside those.
    Source: conservation of mass; undoes `strongest_mash_plato`.
    """
    require("extract of the mash", mash_plato, *_MASH_PLATO)
    return _liquor_kg(grain_kg, water_l, moisture) * mash_plato / (100.0 - mash_plato)


def conversion_efficiency(
    mash_plato: float,
    potential_kg: float,
    grain_kg: float,
    water_l: float,
    moisture: float = MALT_MOISTURE,
) -> float:
    """Share of the potential that has dissolved, from the gravity of the stirred mash.

    Ranges as for `strongest_mash_plato` and `dissolved_kg`. Raises `OutOfRange` outside those and
    above 1.1, when a reading must be wrong. 0.85 to 0.98 is usual;
    below that look at the crush, the time and the pH.
    Source: definition, by conservation of mass; the usual figures are common practice, no source.
    """
    in_mash_kg = dissolved_kg(mash_plato, grain_kg, water_l, moisture)
    _require_from_grain(potential_kg, grain_kg)
    return _share("conversion efficiency", in_mash_kg, potential_kg)


def bag_efficiency(kettle_kg: float, dissolved_kg: float) -> float:
    """Share of the extract dissolved in the mash that ran out of the bag into the kettle.

    `kettle_kg` is 0 to 500 kg, `dissolved_kg` 0.001 to 500 kg. Raises `OutOfRange` outside those
    and above 1.1, when a reading must be wrong.
    Source: definition; the lauter efficiency of the textbooks.
    """
    require("extract in the kettle", kettle_kg, *_EXTRACT_KG)
    require("dissolved extract", dissolved_kg, *_POTENTIAL_KG)
    return _share("bag efficiency", kettle_kg, dissolved_kg)


def drained_share(
    *,
    water_l: float,
    grain_kg: float,
    absorption_l_kg: float,
    dissolved_kg: float,
    moisture: float = MALT_MOISTURE,
) -> float:
    """Bag efficiency to expect without a rinse: wort that drains over all the wort in the mash.

    `water_l` is 0.001 to 1000 L at 20 °C, `grain_kg` 0.001 to 500 kg, `absorption_l_kg` (apparent)
    0 to 2 L/kg, `dissolved_kg` 0 to 500 kg, `moisture` 0 to 0.2. Raises `OutOfRange` outside those
    and when the grain would take more than all the water. It falls as the grist grows.
    Source: conservation of mass, the mash liquid being of one strength.
    """
    require("dissolved extract", dissolved_kg, *_EXTRACT_KG)
    whole_l = _liquor_kg(grain_kg, water_l, moisture) / WATER_KG_L
    drained_l = water_l - absorbed_l(grain_kg, absorption_l_kg)
    require("wort that drains", drained_l, 0.0, FILLED_L[1], FILLED_L[2])
    return drained_l / (whole_l + EXTRACT_SWELLS_L_KG * dissolved_kg)


def kettle_efficiency(kettle_kg: float, potential_kg: float) -> float:
    """Share of the potential that is in the kettle, before or after the boil alike.

    `kettle_kg` is 0 to 500 kg, `potential_kg` 0.001 to 500 kg. Raises `OutOfRange` outside those
    and above 1.1, when a reading must be wrong. It is conversion times bag efficiency; 0.65 to
    0.80 is usual for a bag without a rinse (common practice, no source). Gravity read to 0.002 and
    volume to 2 % leave it uncertain by 4 to 5 %.
    Source: definition; called the brewing efficiency in J. Palmer, How to Brew (from memory,
    unchecked).
    """
    require("extract in the kettle", kettle_kg, *_EXTRACT_KG)
    require("potential extract", potential_kg, *_POTENTIAL_KG)
    return _share("kettle efficiency", kettle_kg, potential_kg)


def brewhouse_efficiency(fermenter_kg: float, potential_kg: float) -> float:
    """Share of the potential that reaches the fermenter, trub and all other losses taken off.

    `fermenter_kg` is 0 to 500 kg, `potential_kg` 0.001 to 500 kg. Raises `OutOfRange` outside
    those and above 1.1, when a reading must be wrong.
    Source: definition; books differ, and some mean the kettle or the brewhouse yield by the name.
    """
    require("extract in the fermenter", fermenter_kg, *_EXTRACT_KG)
    require("potential extract", potential_kg, *_POTENTIAL_KG)
    return _share("brewhouse efficiency", fermenter_kg, potential_kg)


def brewhouse_yield(kettle_kg: float, grain_kg: float) -> float:
    """Extract in the kettle over the malt as weighed, husks, moisture and all.

    `kettle_kg` is 0 to 500 kg, `grain_kg` 0.001 to 500 kg. Raises `OutOfRange` outside those and
    above 1.1, when a reading must be wrong. It is kettle efficiency times the as-is extract, so
    never above about 0.8; do not read it as an efficiency.
    Source: Sudhausausbeute of L. Narziß, Abriss der Bierbrauerei, and W. Kunze, Technology Brewing
    and Malting.
    """
    require("extract in the kettle", kettle_kg, *_EXTRACT_KG)
    require("weight of malt", grain_kg, *_MALT_KG)
    return _share("brewhouse yield", kettle_kg, grain_kg)


def litre_degrees_kg(extract: float) -> float:
    """Hot water extract in litre-degrees per kilogram: gravity points times litres.

    `extract` is the as-is share, 0 to 1; raises `OutOfRange` outside that. Good to 0.3 % for wort
    of 5 to 12 °P.
    Source: 386 litre-degrees for each kilogram of extract by the sucrose table of NBS Circular
    C440; the unit is that of the Institute of Brewing.
    """
    require("extract of the malt", extract, *_SHARE)
    return extract * LITRE_DEGREES_OF_EXTRACT


def points_per_pound_gallon(litre_degrees_kg: float) -> float:
    """Gravity points of a pound of malt in a US gallon, from litre-degrees per kilogram.

    `litre_degrees_kg` is 0 to 400; raises `OutOfRange` outside that.
    Source: arithmetic, 1 US gallon = 3.785411784 L and 1 lb = 0.45359237 kg.
    """
    require("hot water extract", litre_degrees_kg, 0.0, 400.0, "L°/kg")
    return litre_degrees_kg / LITRES_KG_PER_GALLON_LB


def _liquor_kg(grain_kg: float, water_l: Figure, moisture: float) -> Figure:
    require("grain weight", grain_kg, *_MALT_KG)
    require("mash water", water_l, *FILLED_L)
    require("moisture of the malt", moisture, *MOISTURE)
    return water_l * WATER_KG_L + grain_kg * moisture


def _require_from_grain(potential_kg: float, grain_kg: float) -> None:
    require("potential extract of the grain", potential_kg, _POTENTIAL_KG[0], grain_kg, "kg")


def _share(what: str, part_kg: float, whole_kg: float) -> float:
    share = part_kg / whole_kg
    require(what, 100.0 * share, *_EFFICIENCY_PERCENT)
    return share
