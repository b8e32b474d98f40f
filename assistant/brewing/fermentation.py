"""From original gravity to finished beer: attenuation, real extract and alcohol.

Alcohol is lighter than water, so a hydrometer in beer shows less extract than is there. Balling's
relation untangles the two: 2.0665 g of extract gives 1 g of alcohol, 0.9565 g of carbon dioxide
and 0.11 g of yeast.
"""

from typing import Final

from assistant.brewing.curves import Figure
from assistant.brewing.errors import EXTRACT_PLATO, GRAVITY, Bounds, require
from assistant.brewing.gravity import gravity_from_plato, plato_from_gravity

ETHANOL_GRAVITY: Final = 0.7907
"""Density of ethanol over that of water, both at 20 °C (789.4 / 998.2 kg/m3)."""

APPARENT_SHARE: Final = 0.8192
"""Grams of real extract fermented for each gram the apparent extract falls (Balling)."""

# Balling, for a gram of alcohol; what is neither alcohol nor extract is gas and yeast.
_EXTRACT_G: Final = 2.0665
_LOST_G: Final = 1.0665

GAS_PER_EXTRACT: Final = 0.9565 / _EXTRACT_G
"""Grams of carbon dioxide from a gram of extract fermented (Balling)."""

_ORIGINAL_SHARE: Final = 0.1808
# Sugar fermented right out leaves 0.0 °P by Balling but measures down to -0.15, for alcohol in
# water is lighter than he has it; a hydrometer that reads 0.001 low takes off 0.2 more.
_LEAST_REAL_PLATO: Final = -0.4
_WORT: Final[Bounds] = (1.001, GRAVITY[1], "")


def final_gravity(
    *, original_gravity: float, attenuation: Figure, sugar_share: float = 0.0
) -> Figure:
    """Final gravity the yeast should reach, or has reached at this attenuation.

    `original_gravity` is 1.0 to 1.15; `attenuation` the yeast's apparent attenuation of malt
    extract as a fraction, 0 to 1.1; `sugar_share` the fraction of the extract, 0 to 1, that is
    plain sugar and ferments right out. Raises `OutOfRange` outside those, and when the beer would
    end below 0.980. The result may lie below 1.000: sugar fermented out leaves alcohol and no
    extract.
    Source: definition of apparent attenuation in °P; for sugar Balling's relation with no real
    extract left.
    """
    require("original gravity", original_gravity, 1.0, GRAVITY[1])
    require("attenuation", attenuation, 0.0, 1.1)
    require("share of sugar", sugar_share, 0.0, 1.0)
    original_plato = plato_from_gravity(original_gravity)
    from_malt = (1.0 - sugar_share) * (1.0 - attenuation)
    from_sugar = -sugar_share * _ORIGINAL_SHARE / APPARENT_SHARE
    apparent_plato = original_plato * (from_malt + from_sugar)
    require(
        "apparent extract, of a beer that would end below 0.980:", apparent_plato, *EXTRACT_PLATO
    )
    return gravity_from_plato(apparent_plato)


def apparent_attenuation(original_gravity: float, final_gravity: Figure) -> Figure:
    """Share of the extract that has gone, as the hydrometer shows it.

    `original_gravity` is 1.001 to 1.15, `final_gravity` as for `real_extract`; raises
    `OutOfRange` outside those. Undoes `final_gravity` of a wort without sugar. Worked from gravity
    points instead of °P, as is common, an attenuation of 0.60 comes out 0.006 higher at 1.030,
    0.010 at 1.050, 0.016 at 1.080 and 0.020 at 1.100; the more is fermented, the less it differs.
    Source: definition (ASBC Methods of Analysis, Beer-6, apparent degree of fermentation).
    """
    require("original gravity", original_gravity, *_WORT)
    _require_fermented(original_gravity, final_gravity)
    return 1.0 - plato_from_gravity(final_gravity) / plato_from_gravity(original_gravity)


def real_attenuation(original_gravity: float, final_gravity: Figure) -> Figure:
    """Share of the extract that has truly been fermented.

    Ranges as for `apparent_attenuation`; raises `OutOfRange` outside those. The beer weighs less
    than its wort by the gas and the yeast that leave it, so what is left is reckoned back to the
    wort. The plain quotient of the two extracts, often printed for the same thing, is 0.006 to
    0.033 lower for worts of 1.030 to 1.100 that attenuate by half or more.
    Source: ASBC Methods of Analysis, Beer-6, real degree of fermentation, with its 0.005161 from
    Balling's 1.0665 g of gas and yeast to 2.0665 g of extract.
    """
    require("original gravity", original_gravity, *_WORT)
    left = real_extract(original_gravity, final_gravity)
    quotient = 1.0 - left / plato_from_gravity(original_gravity)
    return quotient / (1.0 - _LOST_G / _EXTRACT_G * left / 100.0)


def real_extract(original_gravity: float, final_gravity: Figure) -> Figure:
    """Extract truly left in the beer, °P.

    `original_gravity` is 1.0 to 1.15, `final_gravity` 0.98 up to the original. Raises `OutOfRange`
    outside those, and for a final gravity so low that less than no real extract would be left
    (-0.4 °P is let pass, for readings err). Beer of malt keeps some; sugar fermented right out
    keeps none, and ends near 0.991 from 1.040. Against the beers of the source it reads 0.1 to
    0.2 °P low.
    Source: Balling's relation, as reviewed by A. Cutaia, A.-J. Reid and R. A. Speers, J. Inst.
    Brew. 115 (2009) 318-327.
    """
    _require_fermented(original_gravity, final_gravity)
    original_plato = plato_from_gravity(original_gravity)
    return _ORIGINAL_SHARE * original_plato + APPARENT_SHARE * plato_from_gravity(final_gravity)


def alcohol_by_weight_percent(original_gravity: float, final_gravity: Figure) -> Figure:
    """Alcohol in grams per 100 g of beer.

    Ranges as for `real_extract`; raises `OutOfRange` outside those. Within 3 % of the alcohol
    measured in 532 beers of 9 to 18 °P (Cutaia and others 2009, means of five sets).
    Source: Balling's relation, as examined by H. Nielsen and others, Brauwelt International 25
    (2007) 90-93 (reference from memory, unchecked).
    """
    original_plato = plato_from_gravity(original_gravity)
    fermented_plato = original_plato - real_extract(original_gravity, final_gravity)
    return fermented_plato / (_EXTRACT_G - _LOST_G * original_plato / 100.0)


def abv_percent(original_gravity: float, final_gravity: Figure) -> Figure:
    """Alcohol in mL per 100 mL of beer at 20 °C.

    Ranges as for `real_extract`; raises `OutOfRange` outside those. With the older 0.794 for the
    density of ethanol, at 60 °F, it would be 0.4 % of itself less.
    Source: Balling's relation, and the density of ethanol at 20 °C (789.4 kg/m3).
    """
    by_weight = alcohol_by_weight_percent(original_gravity, final_gravity)
    return by_weight * final_gravity / ETHANOL_GRAVITY


def abv_percent_hall(original_gravity: float, final_gravity: Figure) -> Figure:
    """Alcohol in mL per 100 mL of beer, by a second equation to check `abv_percent` with.

    Ranges as for `real_extract`; raises `OutOfRange` outside those. Of the figure by Balling, for
    60 to 90 % apparent attenuation, it is 1 to 2 % less at 1.030, the same to 1.3 % at 1.050, 3 to
    5 % more at 1.080 and 5 to 8 % more at 1.100: its fit in gravity bends more than Balling's in
    °P, so `abv_percent` is the one to state.
    Source: M. L. Hall, Brew by the Numbers, Zymurgy 18(2) (1995) 54-61, as widely quoted.
    """
    _require_fermented(original_gravity, final_gravity)
    by_weight = 76.08 * (original_gravity - final_gravity) / (1.775 - original_gravity)
    return by_weight * final_gravity / 0.794


def _require_fermented(original_gravity: float, final_gravity: Figure) -> None:
    require("original gravity", original_gravity, 1.0, GRAVITY[1])
    require("final gravity", final_gravity, GRAVITY[0], original_gravity)
    original_share_plato = _ORIGINAL_SHARE * plato_from_gravity(original_gravity)
    driest_plato = (_LEAST_REAL_PLATO - original_share_plato) / APPARENT_SHARE
    driest = gravity_from_plato(max(driest_plato, EXTRACT_PLATO[0]))
    require(
        "final gravity, at its lowest with no real extract left:",
        final_gravity,
        driest,
        original_gravity,
    )
