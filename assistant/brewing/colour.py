"""Colour of malt and beer in EBC units, SRM degrees and degrees Lovibond.

A forecast from the grist is good to about 20 % (from memory, unchecked): the boil and the malt
lot matter as much as the sum.
"""

from collections.abc import Sequence
from typing import Final

from assistant.brewing.curves import Figure, power
from assistant.brewing.errors import FILLED_L, GRAIN_KG, Bounds, require
from assistant.brewing.water import LITRES_KG_PER_GALLON_LB

EBC_PER_SRM: Final = 1.97
"""EBC is 25 times and SRM 12.7 times the absorbance at 430 nm in a 1 cm cell (EBC Analytica and
ASBC Methods of Analysis, spectrophotometric colour of beer)."""

_EBC: Final[Bounds] = (0.0, 3000.0, "EBC")
_SRM: Final[Bounds] = (0.0, 1500.0, "SRM")


def lovibond_from_ebc(colour_ebc: Figure) -> Figure:
    """Malt colour in °L from EBC. `colour_ebc` is 0 to 3000; raises `OutOfRange` outside that.

    Source: maltsters' usual conversion, EBC = 2.65 °L - 1.2, from memory, unchecked.
    """
    require("colour", colour_ebc, *_EBC)
    return (colour_ebc + 1.2) / 2.65


def ebc_from_srm(colour_srm: Figure) -> Figure:
    """Beer colour in EBC from SRM. `colour_srm` is 0 to 1500; raises `OutOfRange` outside that.

    Source: the two definitions, 25 and 12.7 times one absorbance (EBC Analytica, ASBC).
    """
    require("colour", colour_srm, *_SRM)
    return colour_srm * EBC_PER_SRM


def srm_from_ebc(colour_ebc: Figure) -> Figure:
    """Beer colour in SRM from EBC. `colour_ebc` is 0 to 3000; raises `OutOfRange` outside that.

    Source: the two definitions, 12.7 and 25 times one absorbance (ASBC, EBC Analytica).
    """
    require("colour", colour_ebc, *_EBC)
    return colour_ebc / EBC_PER_SRM


def srm_morey(mcu: Figure) -> Figure:
    """Beer colour in SRM from malt colour units (lb times °L over US gallons of beer).

    `mcu` is 0 to 5000; raises `OutOfRange` outside that. Fitted up to SRM 50, which is MCU 167;
    past that beer is black to the eye and the figure an extrapolation. Two straight lines are the
    alternatives: R. Mosher's 0.3 MCU + 4.7 lies within 12 % of this from MCU 9 to 167, R.
    Daniels's 0.2 MCU + 8.4 within 13 % from MCU 18 to 40 and up to 20 % below it after that.
    Below those neither holds: they give water a colour of 4.7 and 8.4. Chosen because it is one
    law for pale and dark and gives water none.
    Source: D. A. Morey, letter on Beer's law, Brewing Techniques (online), who fitted it to SRM =
    MCU up to 10.5 and to the two lines after that; the lines from memory, unchecked.
    """
    require("malt colour units", mcu, 0.0, 5000.0, "MCU")
    return 1.4922 * power(mcu, 0.6859)


def beer_colour_ebc(malts: Sequence[tuple[float, float]], volume_l: Figure) -> Figure:
    """Colour in EBC of a beer from its malts, each given as (weight in kg, colour in EBC).

    Weights are 0 to 500 kg, colours 0 to 3000 EBC, `volume_l` (into the fermenter) 0.001 to
    1000 L at 20 °C; raises `OutOfRange` outside those.
    Source: D. Morey's power law on malt colour units.
    """
    require("volume", volume_l, *FILLED_L)
    kg_lovibond = 0.0
    for weight_kg, colour_ebc in malts:
        require("malt weight", weight_kg, *GRAIN_KG)
        kg_lovibond += weight_kg * lovibond_from_ebc(colour_ebc)
    return ebc_from_srm(srm_morey(LITRES_KG_PER_GALLON_LB * kg_lovibond / volume_l))
