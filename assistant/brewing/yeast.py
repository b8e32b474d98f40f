"""How much yeast to pitch, and how much oxygen to give it."""

from typing import Final

from assistant.brewing.errors import EXTRACT_PLATO, VOLUME_L, Bounds, require

DRY_CELLS_BILLION_G: Final = 12.0
"""Billions of living cells taken for a gram of dry yeast; `dry_yeast_g` says why."""

_RATE: Final[Bounds] = (0.0, 5.0, "million/mL/°P")


def cells_billion(*, volume_l: float, plato: float, rate_million_ml_p: float) -> float:
    """Billions of living cells to pitch.

    `volume_l` is 0 to 1000 L in the fermenter, `plato` the original extract, 0 to 34.3 °P,
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

    `cells_billion` is 0 to 100 000; raises `OutOfRange` outside that. It takes 12 billion a gram:
    counts over six strains were 8 to 18 billion, and 12 comes near the long practice of one
    11 g packet to 20 L of ordinary ale. The 5 to 6 billion printed on packets is a guaranteed
    minimum, and would call for three packets where one does.
    Source: S. Van den Berg and A. Van Landschoot, Cerevisia 28(3) (2003), for the counts, taken
    from a later quotation; the choice within them is ours.
    """
    require("yeast cells", cells_billion, 0.0, 100_000.0, "billion")
    return cells_billion / DRY_CELLS_BILLION_G


def oxygen_ppm(*, lager: bool) -> float:
    """Dissolved oxygen to aim for at pitching, in ppm (mg/L): 8 for an ale, 10 for a `lager`.

    Dry yeast needs little or none (common practice, no source).
    Source: the low ends of the ranges 8 to 12 and 10 to 15 mg/L of M. Raines-Casselman, taken from
    a later quotation.
    """
    return 10.0 if lager else 8.0
