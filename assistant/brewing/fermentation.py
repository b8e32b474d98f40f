"""From original gravity to finished beer: attenuation, real extract and alcohol.

Alcohol is lighter than water, so a hydrometer in beer shows less extract than is there. Balling's
relation untangles the two: 2.0665 g of extract gives 1 g of alcohol, 0.9565 g of carbon dioxide
and 0.11 g of yeast.
"""

from typing import Final

from assistant.brewing.errors import GRAVITY, require
from assistant.brewing.gravity import gravity_from_plato, plato_from_gravity

ETHANOL_GRAVITY: Final = 0.7907
"""Density of ethanol over that of water, both at 20 °C (789.4 / 998.2 kg/m3)."""

_ORIGINAL_SHARE: Final = 0.1808
_APPARENT_SHARE: Final = 0.8192


def final_gravity(
    *, original_gravity: float, attenuation: float, sugar_share: float = 0.0
) -> float:
    """Final gravity the yeast should reach.

    `original_gravity` is 1.0 to 1.15; `attenuation` the yeast's apparent attenuation of malt
    extract as a fraction, 0 to 1.1; `sugar_share` the fraction of the extract, 0 to 1, that is
    plain sugar and ferments right out. Raises `OutOfRange` outside those, and when the apparent
    extract would fall below -5.3 °P. The result may lie below 1.000: sugar fermented out leaves
    alcohol and no extract.
    Source: definition of apparent attenuation in °P; for sugar Balling's relation with no real
    extract left.
    """
    require("original gravity", original_gravity, 1.0, GRAVITY[1])
    require("attenuation", attenuation, 0.0, 1.1)
    require("share of sugar", sugar_share, 0.0, 1.0)
    original_plato = plato_from_gravity(original_gravity)
    from_malt = (1.0 - sugar_share) * (1.0 - attenuation)
    from_sugar = -sugar_share * _ORIGINAL_SHARE / _APPARENT_SHARE
    return gravity_from_plato(original_plato * (from_malt + from_sugar))


def real_extract(original_gravity: float, final_gravity: float) -> float:
    """Extract truly left in the beer, °P.

    `original_gravity` is 1.0 to 1.15, `final_gravity` 0.98 up to the original; raises
    `OutOfRange` outside those.
    Source: Balling's relation, as reviewed by A. Cutaia, A.-J. Reid and R. A. Speers, J. Inst.
    Brew. 115 (2009) 318-327.
    """
    _require_fermented(original_gravity, final_gravity)
    original_plato = plato_from_gravity(original_gravity)
    return _ORIGINAL_SHARE * original_plato + _APPARENT_SHARE * plato_from_gravity(final_gravity)


def alcohol_by_weight_percent(original_gravity: float, final_gravity: float) -> float:
    """Alcohol in grams per 100 g of beer.

    Ranges as for `real_extract`; raises `OutOfRange` outside those.
    Source: Balling's relation, as examined by H. Nielsen and others, Brauwelt International 25
    (2007) 90-93 (reference from memory, unchecked).
    """
    original_plato = plato_from_gravity(original_gravity)
    fermented_plato = original_plato - real_extract(original_gravity, final_gravity)
    return fermented_plato / (2.0665 - 0.010665 * original_plato)


def abv_percent(original_gravity: float, final_gravity: float) -> float:
    """Alcohol in mL per 100 mL of beer at 20 °C.

    Ranges as for `real_extract`; raises `OutOfRange` outside those.
    Source: Balling's relation, and the density of ethanol at 20 °C (789.4 kg/m3).
    """
    by_weight = alcohol_by_weight_percent(original_gravity, final_gravity)
    return by_weight * final_gravity / ETHANOL_GRAVITY


def _require_fermented(original_gravity: float, final_gravity: float) -> None:
    require("original gravity", original_gravity, 1.0, GRAVITY[1])
    require("final gravity", final_gravity, GRAVITY[0], original_gravity)
