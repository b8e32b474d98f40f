"""How much yeast to pitch, and what of it is still alive.

Counts are of living cells. None of these figures replaces a microscope: packs and slurries of the
same age differ by a factor of two.
"""

import math
from typing import Final

from assistant.brewing.curves import Figure, exp
from assistant.brewing.errors import EXTRACT_PLATO, VOLUME_L, Bounds, require

DRY_CELLS_BILLION_G: Final = 12.0
"""Billions of living cells taken for a gram of dry yeast; `dry_yeast_g` says why."""

_RATE: Final[Bounds] = (0.0, 5.0, "million/mL/°P")
_CELLS: Final[Bounds] = (0.0, 100_000.0, "billion")
_PACK: Final[Bounds] = (1.0, 10_000.0, "billion")
_SLURRY: Final[Bounds] = (0.1, 5.0, "billion/mL")
_AGE: Final[Bounds] = (0.0, 365.0, "days")

_ALIVE_AFTER_30_DAYS: Final = 0.79
_ALIVE_AFTER_6_DAYS: Final = 0.86


def cells_billion(*, volume_l: float, plato: Figure, rate_million_ml_p: float) -> Figure:
    """Billions of living cells to pitch.

    `volume_l` is 0 to 1000 L in the fermenter, `plato` the original extract, 0 to 34.24 °P,
    `rate_million_ml_p` 0 to 5 million cells per mL and °P, usually 0.75 for ale and 1.5 for
    lager. Raises `OutOfRange` outside those.
    Source: definition of the rate; the usual rates from C. White and J. Zainasheff, Yeast (2010),
    from memory, unchecked.
    """
    require("volume", volume_l, *VOLUME_L)
    require("original extract", plato, 0.0, EXTRACT_PLATO[1], "°P")
    require("pitching rate", rate_million_ml_p, *_RATE)
    return rate_million_ml_p * volume_l * plato


def dry_yeast_g(cells_billion: float) -> float:
    """Grams of dry yeast that bring this many billions of living cells.

    `cells_billion` is 0 to 100 000; raises `OutOfRange` outside that. It takes 12 billion a gram,
    in a range of 5 to 18: counts over six strains were 8 to 18 billion, 12.5 in the middle, and 12
    comes near the long practice of one 11 g packet to 20 L of ordinary ale. The 5 to 6 billion
    printed on packets is a guaranteed minimum, and would call for three packets where one does.
    Source: S. Van den Berg and A. Van Landschoot, Cerevisia 28(3) (2003) 25-30, table 1, for the
    counts, taken from a later quotation; the choice within them is ours.
    """
    require("yeast cells", cells_billion, *_CELLS)
    return cells_billion / DRY_CELLS_BILLION_G


def viability(age_days: Figure) -> Figure:
    """Share of the cells in a refrigerated pack of liquid yeast that are alive at this age.

    `age_days` is 0 to 365 days since the pack was filled; raises `OutOfRange` outside that. It
    loses 21 % of what is left every 30 days. Read as a straight 0.7 % a day of the first count
    instead, the same figure leaves 0.37 after 90 days where this leaves 0.49, and nothing after
    143; cells that die at a steady rate do not run out, and old packs do still start, so the
    exponential is taken. A maker of such packs gives 0.75 to 0.85 after 30 days.
    Source: 21 % a month as widely printed in homebrewing literature, not a measurement of any
    one strain; past 120 days an extrapolation.
    """
    require("age of the yeast", age_days, *_AGE)
    return exp(age_days * (math.log(_ALIVE_AFTER_30_DAYS) / 30.0))


def liquid_packs(cells_billion: float, pack_billion: float, age_days: Figure) -> Figure:
    """Packs of liquid yeast of this age that bring this many billions of living cells.

    `cells_billion` is 0 to 100 000; `pack_billion`, the cells in a fresh pack, 1 to 10 000, mostly
    100 to 200; `age_days` 0 to 365. Raises `OutOfRange` outside those. A fraction is left for the
    brewer to round, or to make up with a starter.
    Source: definition, with `viability`.
    """
    require("yeast cells", cells_billion, *_CELLS)
    require("cells in a fresh pack", pack_billion, *_PACK)
    return cells_billion / (pack_billion * viability(age_days))


def slurry_viability(age_days: Figure) -> Figure:
    """Share of the cells in a refrigerated slurry that are alive so long after it was cropped.

    `age_days` is 0 to 365; raises `OutOfRange` outside that. Of pitching yeast stored for 6 days
    7 % was lost at 1 °C, 14 % at 5 °C and up to 68 % at 25 °C. The 14 % is taken: a kitchen
    refrigerator is nearer to 5 °C, and too much yeast does less harm than too little. After 6 days
    it is an extrapolation at a constant rate; use slurry within two weeks (common practice).
    Source: R. McCaig and D. S. Bendiak, Yeast Handling Studies II: Temperature of Storage of
    Pitching Yeast, MBAA Technical Quarterly 22 (1985), abstract.
    """
    require("age of the yeast", age_days, *_AGE)
    return exp(age_days * (math.log(_ALIVE_AFTER_6_DAYS) / 6.0))


def slurry_ml(cells_billion: float, age_days: Figure, billion_ml: float = 1.0) -> Figure:
    """Millilitres of slurry of this age that bring this many billions of living cells.

    `cells_billion` is 0 to 100 000; `age_days` 0 to 365; `billion_ml`, all the cells in a
    millilitre when it was cropped, 0.1 to 5: 1 to 2 where it has settled firm and is clean, less
    with trub in it. Raises `OutOfRange` outside those.
    Source: definition, with `slurry_viability`; 1 to 2 billion a millilitre from memory,
    unchecked, with 0.25 to 4 met.
    """
    require("yeast cells", cells_billion, *_CELLS)
    require("cells in slurry", billion_ml, *_SLURRY)
    return cells_billion / (billion_ml * slurry_viability(age_days))
