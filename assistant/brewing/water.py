"""Water and wort by volume: density, shrinkage on cooling, and what the grain takes up.

Volumes are litres at 20 °C unless a temperature goes with them. Wort is taken to expand as water
does; it expands slightly more, by less than 0.3 % of its volume at the boil (from memory,
unchecked), which no kettle mark can show.
"""

from typing import Final

from assistant.brewing.curves import Figure
from assistant.brewing.errors import GRAIN_KG, LIQUID_C, VOLUME_L, require

WATER_KG_L: Final = 0.99820
"""Mass of a litre of water at 20 °C in kg (Kell 1975)."""

GRAIN_DISPLACES_L_KG: Final = 0.67
"""Litres by which a kilogram of malt raises a mash (common practice; from memory, unchecked)."""

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
