"""Brewing water: its ions, the salts that change them, its alkalinity and the acid that removes it.

Ions are in mg/L. Alkalinity is in mg/L as CaCO3, which is what a water report gives, and residual
alkalinity is what calcium and magnesium leave of it in the mash.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import Enum
from types import MappingProxyType
from typing import Final

from assistant.brewing.curves import Figure, exp
from assistant.brewing.errors import FILLED_L, Bounds, require
from assistant.brewing.water import WATER_KG_L

ION_MG_L: Final[Bounds] = (0.0, 100_000.0, "mg/L")
"""What a sum accepts of an ion, or of alkalinity: far more than any water that is drunk."""

PH: Final[Bounds] = (2.0, 10.0, "")
"""What a sum accepts as a pH of mash, wort or malt."""

CACO3_MG_MEQ: Final = 50.043
"""Milligrams of calcium carbonate to a milliequivalent, half its molar mass (IUPAC masses)."""

USUAL_LACTIC_STRENGTH: Final = 0.88
"""Share by weight of lactic acid in the bottle as mostly sold; 80 % is the other usual strength
(common practice, no source)."""

LACTIC_MG_MEQ: Final = 90.078
"""Milligrams of lactic acid to a milliequivalent, its molar mass (IUPAC masses)."""

_HCO3_MG_MEQ: Final = 61.017
# Fitted here to the handbook's table from 10 to 80 %, within 0.002 kg/L of it.
_LACTIC_DENSITY_PER_SHARE: Final = 0.2335
_LACTIC_PKA: Final = 3.86
_CARBONIC_PK1: Final = 6.35

_CALCIUM_TAKES: Final = 1.40
_MAGNESIUM_TAKES: Final = 1.70


@dataclass(frozen=True, kw_only=True)
class Ions:
    """What is dissolved in a water, each in mg/L, alkalinity as CaCO3; distilled water has none."""

    calcium_mg_l: float = 0.0
    magnesium_mg_l: float = 0.0
    sodium_mg_l: float = 0.0
    sulphate_mg_l: float = 0.0
    chloride_mg_l: float = 0.0
    alkalinity_mg_l: float = 0.0


class Salt(Enum):
    """A salt brewers put into their water."""

    GYPSUM = "gypsum"
    CALCIUM_CHLORIDE = "calcium_chloride"
    EPSOM_SALT = "epsom_salt"
    BAKING_SODA = "baking_soda"


GRAM_PER_LITRE: Final[Mapping[Salt, Ions]] = MappingProxyType(
    {
        Salt.GYPSUM: Ions(calcium_mg_l=232.8, sulphate_mg_l=557.9),
        Salt.CALCIUM_CHLORIDE: Ions(calcium_mg_l=272.6, chloride_mg_l=482.3),
        Salt.EPSOM_SALT: Ions(magnesium_mg_l=98.6, sulphate_mg_l=389.7),
        Salt.BAKING_SODA: Ions(sodium_mg_l=273.7, alkalinity_mg_l=595.7),
    }
)
"""What a gram of each salt gives a litre of water, by molar masses (IUPAC): CaSO4·2H2O, CaCl2·2H2O,
MgSO4·7H2O and NaHCO3. Calcium chloride that is dry of crystal water gives a third more, and damp
flakes give less."""


def with_salts(ions: Ions, salts_g: Mapping[Salt, float], volume_l: float) -> Ions:
    """The ions of a water once so many grams of each salt are dissolved in `volume_l` of it.

    Each ion is 0 to 100,000 mg/L, before and after, each weight 0 to 1000 g, `volume_l` 0.001 to
    1000 L; raises `OutOfRange` outside those. All of each salt is taken to dissolve; of gypsum
    little more than 2 g/L does (from memory, unchecked).
    Source: conservation of mass, with molar masses (IUPAC).
    """
    require("water", volume_l, *FILLED_L)
    for salt, weight_g in salts_g.items():
        require(salt.value.replace("_", " "), weight_g, 0.0, 1000.0, "g")
    sums = {}
    for ion in fields(Ions):
        name, already_mg_l = ion.name.removesuffix("_mg_l"), getattr(ions, ion.name)
        require(name, already_mg_l, *ION_MG_L)
        added_mg = sum(g * getattr(GRAM_PER_LITRE[salt], ion.name) for salt, g in salts_g.items())
        sums[ion.name] = already_mg_l + added_mg / volume_l
        require(f"{name} with the salts", sums[ion.name], *ION_MG_L)
    return Ions(**sums)


def alkalinity_from_bicarbonate(bicarbonate_mg_l: Figure) -> Figure:
    """Alkalinity in mg/L as CaCO3 of water with so much bicarbonate, the only base that counts.

    `bicarbonate_mg_l` is 0 to 100,000 mg/L; raises `OutOfRange` outside that. It holds for water
    below pH 8.5, where there is no carbonate to speak of.
    Source: equivalent masses (IUPAC), as in Standard Methods for the Examination of Water and
    Wastewater, method 2320.
    """
    require("bicarbonate", bicarbonate_mg_l, *ION_MG_L)
    return bicarbonate_mg_l * CACO3_MG_MEQ / _HCO3_MG_MEQ


def bicarbonate_from_alkalinity(alkalinity_mg_l: Figure) -> Figure:
    """Bicarbonate in mg/L from alkalinity as CaCO3; undoes `alkalinity_from_bicarbonate`.

    `alkalinity_mg_l` is 0 to 100,000 mg/L; raises `OutOfRange` outside that.
    Source: as for `alkalinity_from_bicarbonate`.
    """
    require("alkalinity", alkalinity_mg_l, *ION_MG_L)
    return alkalinity_mg_l * _HCO3_MG_MEQ / CACO3_MG_MEQ


def residual_alkalinity(
    alkalinity_mg_l: Figure, calcium_mg_l: float, magnesium_mg_l: float
) -> Figure:
    """Alkalinity in mg/L as CaCO3 that calcium and magnesium leave; below zero in gypsum water.

    Calcium and magnesium meet the malt's phosphate and set acid free, one equivalent for 3.5 of
    calcium and for 7 of magnesium. All three are 0 to 100,000 mg/L, alkalinity as CaCO3; raises
    `OutOfRange` outside those.

    Kolbach measured cast wort. In a pale mash calcium acts more strongly: by D. G. Taylor's
    figures, as quoted by D. E. Briggs et al., "Brewing: Science and Practice" (2004; from memory,
    unchecked), the first 100 mg/L lower the pH by 0.26 and 300 by 0.46, where this comes to 0.1
    and 0.3 in a mash of 3 L/kg. R. Barth and R. Zaman, J. ASBC 73 (2015), find that both numbers
    have to change for a mash, and differ from malt to malt. Kolbach's are kept as those every
    textbook has.
    Source: P. Kolbach, Monatsschrift für Brauerei (1953), as given in J. Palmer, "How to Brew".
    """
    require("alkalinity", alkalinity_mg_l, *ION_MG_L)
    require("calcium", calcium_mg_l, *ION_MG_L)
    require("magnesium", magnesium_mg_l, *ION_MG_L)
    return alkalinity_mg_l - calcium_mg_l / _CALCIUM_TAKES - magnesium_mg_l / _MAGNESIUM_TAKES


def bicarbonate_neutralised(ph: Figure) -> Figure:
    """Share of the water's alkalinity that has taken up acid at this pH, 0 to 1.

    `ph` is 2 to 10; raises `OutOfRange` outside that. Nine tenths at 5.4: were all carbon dioxide
    to leave the mash it would be the whole.
    Source: first dissociation of carbonic acid at 25 °C, pK 6.35 (H. S. Harned and R. Davis,
    J. Am. Chem. Soc. 65 (1943) 2030-2037).
    """
    require("pH", ph, *PH)
    return 1.0 - _dissociated(ph, _CARBONIC_PK1)


def lactic_dissociated(ph: Figure) -> Figure:
    """Share of lactic acid that has given up its acid at this pH, 0 to 1.

    `ph` is 2 to 10; raises `OutOfRange` outside that. It is 0.97 at 5.4.
    Source: pK 3.86 at 25 °C (CRC Handbook of Chemistry and Physics).
    """
    require("pH", ph, *PH)
    return _dissociated(ph, _LACTIC_PKA)


def lactic_acid_meq(volume_ml: Figure, strength: float = USUAL_LACTIC_STRENGTH) -> Figure:
    """Milliequivalents in `volume_ml` of lactic acid, given up or not; see `lactic_dissociated`.

    `volume_ml` is 0 to 100,000 mL, `strength` 0.01 to 1, the share by weight on the label; raises
    `OutOfRange` outside those. In strong acid some is bound to itself and is set free only once
    it is thinned and warm, as in a mash.
    Source: molar mass (IUPAC) and `lactic_acid_g`.
    """
    return lactic_acid_g(volume_ml, strength) * 1000.0 * strength / LACTIC_MG_MEQ


def lactic_acid_g(volume_ml: Figure, strength: float = USUAL_LACTIC_STRENGTH) -> Figure:
    """Grams that `volume_ml` of lactic acid weighs, its water with it.

    `volume_ml` is 0 to 100,000 mL, `strength` 0.01 to 1, the share by weight on the label; raises
    `OutOfRange` outside those.
    Source: density of lactic acid at 20 °C (CRC Handbook of Chemistry and Physics, concentrative
    properties of aqueous solutions).
    """
    require("lactic acid", volume_ml, 0.0, 100_000.0, "mL")
    require("strength of lactic acid", strength, 0.01, 1.0)
    return volume_ml * (WATER_KG_L + _LACTIC_DENSITY_PER_SHARE * strength)


def _dissociated(ph: Figure, pk: float) -> Figure:
    return 1.0 / (1.0 + exp((pk - ph) * math.log(10.0)))
