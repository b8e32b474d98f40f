"""Water and wort by volume: density, shrinkage on cooling, and what the grain takes up.

Volumes are litres at 20 °C unless a temperature goes with them. Wort is taken to expand as water
does; it expands slightly more, by less than 0.3 % of its volume at the boil (from memory,
unchecked), which no kettle mark can show.
"""

from typing import Final

from assistant.brewing.curves import Figure
from assistant.brewing.errors import FILLED_L, GRAIN_KG, LIQUID_C, MOISTURE, VOLUME_L, require

WATER_KG_L: Final = 0.99820
"""Mass of a litre of water at 20 °C in kg (Kell 1975)."""

GRAIN_DISPLACES_L_KG: Final = 0.67
"""Litres by which a kilogram of malt raises a mash (common practice; from memory, unchecked)."""

EXTRACT_SWELLS_L_KG: Final = 0.616
"""Litres by which a kilogram of dissolved extract swells wort (sucrose table of NBS Circular C440:
0.615 at 5 °P, 0.617 at 12 °P, 0.618 at 20 °P)."""

MALT_MOISTURE: Final = 0.04
"""Usual share of water in malt; 0.03 to 0.05 is common (common practice, no source)."""

LITRES_KG_PER_GALLON_LB: Final = 3.785411784 / 0.45359237
"""From kilograms over litres to pounds over US gallons, 8.3454 (NIST SP 811)."""

# Middle of what is met: pellets 6 to 10 mL/g, whole cones 10 to 15.
_PELLETS_HOLD_L_G: Final = 0.008
_CONES_HOLD_L_G: Final = 0.012

_KELL_NUMERATOR: Final = (
    999.83952,
    16.945176,
    -7.9870401e-3,
    -46.170461e-6,
    105.56302e-9,
    -280.54253e-12,
)
_KELL_DENOMINATOR: Final = 16.879850e-3


def density_kg_m3(temperature_c: Figure) -> Figure:
    """Density of air-free water in kg/m3 at one atmosphere.

    `temperature_c` is 0 to 105 °C; above 100 °C the formula stands for water held liquid, so
    that a thermometer reading slightly over the boil can be used.
    Raises `OutOfRange` outside that.
    Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97-105, equation for 0 to 150 °C.
    """
    require("water temperature", temperature_c, *LIQUID_C)
    numerator = sum(term * temperature_c**power for power, term in enumerate(_KELL_NUMERATOR))
    return numerator / (1.0 + _KELL_DENOMINATOR * temperature_c)


def volume_at_20(volume_l: float, temperature_c: Figure) -> Figure:
    """Litres at 20 °C of wort or water that fills `volume_l` at `temperature_c`.

    `volume_l` is 0 to 1000 L, `temperature_c` 0 to 105 °C; raises `OutOfRange` outside those.
    Source: conservation of mass with the density of water (Kell 1975).
    """
    require("volume", volume_l, *VOLUME_L)
    return volume_l * density_kg_m3(temperature_c) / density_kg_m3(20.0)


def volume_hot(volume_l: float, temperature_c: Figure) -> Figure:
    """Litres that `volume_l` (measured at 20 °C) fills at `temperature_c`; undoes `volume_at_20`.

    `volume_l` is 0 to 1000 L, `temperature_c` 0 to 105 °C; raises `OutOfRange` outside those.
    Source: conservation of mass with the density of water (Kell 1975).
    """
    require("volume", volume_l, *VOLUME_L)
    return volume_l * density_kg_m3(20.0) / density_kg_m3(temperature_c)


def mash_volume_l(water_l: float, grain_kg: float, temperature_c: float) -> float:
    """Litres a mash fills in the kettle at `temperature_c`, bag included.

    `water_l` is at 20 °C (0 to 1000 L), `grain_kg` 0 to 500 kg, `temperature_c` 0 to 105 °C;
    raises `OutOfRange` outside those.
    Source: Kell 1975 for the water; 0.67 L/kg displaced by grain is common practice, from memory,
    unchecked.
    """
    require("mash water", water_l, *VOLUME_L)
    require("grain weight", grain_kg, *GRAIN_KG)
    return volume_hot(water_l, temperature_c) + GRAIN_DISPLACES_L_KG * grain_kg


def absorbed_l(grain_kg: float, absorption_l_kg: float) -> float:
    """Litres of water put in that do not come out as wort when the bag is lifted and drained.

    This is the apparent absorption: water in less wort out. The wet grain holds more than that,
    since dissolved extract swells the wort. `grain_kg` is 0 to 500 kg; `absorption_l_kg` is 0 to
    2 L/kg, usually 0.6 to 0.8 for a drained bag, 0.35 to 0.5 for one well squeezed and about 1 in
    a mash tun. Raises `OutOfRange` outside those.
    Source: definition; the usual figures are common practice, no source.
    """
    require("grain weight", grain_kg, *GRAIN_KG)
    require("absorption", absorption_l_kg, 0.0, 2.0, "L/kg")
    return grain_kg * absorption_l_kg


def retained_l_kg(
    absorption_l_kg: float, extract_kg_per_kg_grain: float, moisture: float = MALT_MOISTURE
) -> float:
    """Litres of wort truly held by the wet grain of each kilogram of malt.

    Not to be confused with `absorption_l_kg`, the apparent absorption of `absorbed_l` (water in
    less wort out, 0 to 2 L/kg): dissolved extract swells the wort, and the malt brings water of
    its own, so a bag that takes 0.6 L/kg of the water holds nearly 1.1 L/kg of wort. To plan water
    with the one figure where the other is meant is 0.45 L/kg wrong. `extract_kg_per_kg_grain`, what
    the mash dissolved (0 to 1, about 0.7), and `moisture` (0 to 0.2) are shares of the malt as
    weighed. Raises `OutOfRange` outside those.
    Source: conservation of mass, with 0.616 L/kg of extract (sucrose table of NBS Circular C440).
    """
    require("absorption", absorption_l_kg, 0.0, 2.0, "L/kg")
    require("extract from each kilogram of grain", extract_kg_per_kg_grain, 0.0, 1.0, "kg")
    require("moisture of the malt", moisture, *MOISTURE)
    swollen_l_kg = EXTRACT_SWELLS_L_KG * extract_kg_per_kg_grain
    return absorption_l_kg + swollen_l_kg + moisture / WATER_KG_L


def hop_holds_l(weight_g: float, whole: bool) -> float:
    """Litres of wort left in the hops at the bottom of the kettle, not squeezed or hung to drain.

    `weight_g` is 0 to 5000 g; raises `OutOfRange` outside that. Pellets hold 6 to 10 mL/g, here 8;
    `whole` cones 10 to 15, here 12. Cones lifted out in a bag and hung up keep about half of that.
    Source: common practice, no source.
    """
    require("weight of hops", weight_g, 0.0, 5000.0, "g")
    return weight_g * (_CONES_HOLD_L_G if whole else _PELLETS_HOLD_L_G)


def fill_share(volume_l: Figure, holds_l: float) -> Figure:
    """Share of the kettle that a volume fills; the rest is head space, and above 1 it spills.

    `volume_l` is 0 to 1000 L as hot as it is (see `volume_hot`), `holds_l`, to the brim, 0.001 to
    1000 L; raises `OutOfRange` outside those. At the start of the boil up to 0.80 is easy, above
    0.85 wants watching, and above 0.92 foam boils over.
    Source: definition; the limits are common practice, no source.
    """
    require("volume", volume_l, *VOLUME_L)
    require("kettle size", holds_l, *FILLED_L)
    return volume_l / holds_l
