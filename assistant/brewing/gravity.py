"""Density and dissolved extract of wort and beer.

Gravity is the ratio of densities of wort and water, both at 20 °C (20/20 °C). Degrees Plato are
grams of extract in 100 g of wort. Mass and extract are conserved when wort is thinned or boiled
down; that is how every change of gravity here is computed.
"""

from typing import Final

from assistant.brewing.curves import Figure, held, swapped
from assistant.brewing.errors import EXTRACT_PLATO, FILLED_L, GRAVITY, LIQUID_C, VOLUME_L, require
from assistant.brewing.water import WATER_KG_L, density_kg_m3

GLASS_EXPANSION_PER_K: Final = 0.000025
"""Cubic expansion of hydrometer glass per K, the conventional value of ISO 1768:1975."""

_ASBC_CUBIC: Final = (-616.868, 1111.14, -630.272, 135.997)
# The fit gives this instead of zero for pure water.
_PLATO_OF_WATER: Final = -0.003


def plato_from_gravity(gravity: Figure) -> Figure:
    """Extract in °P (g per 100 g) of wort of this gravity.

    `gravity` is 0.98 to 1.15; raises `OutOfRange` outside that. The fit was made for 1.000 to
    1.083 and holds well to 1.11; above that, and below 1.000, it is an extrapolation. Pure water
    gives zero. Finished beer below 1.000 gives a negative apparent extract, as it should.
    Source: cubic fit to the ASBC extract table (ASBC Methods of Analysis, tables for wort).
    """
    require("gravity", gravity, *GRAVITY)
    plato = _cubic(gravity)
    return swapped(plato, (plato >= _PLATO_OF_WATER - 1e-9) & (plato < 0.0), by=0.0)


def gravity_from_plato(plato: Figure) -> Figure:
    """Gravity (20/20 °C) of wort of this extract in °P; undoes `plato_from_gravity`.

    `plato` is -5.26 to 34.24 °P, what gravities of 0.98 and 1.15 have; raises `OutOfRange` outside
    that, and is trustworthy where `plato_from_gravity` is.
    Source: the ASBC cubic, solved by Newton's method.
    """
    require("extract", plato, *EXTRACT_PLATO)
    gravity = 1.0 + plato / (258.6 - 0.8796 * plato)
    for _ in range(8):
        gravity = gravity - (_cubic(gravity) - plato) / _cubic_slope(gravity)
    pure = (plato >= _PLATO_OF_WATER) & (plato <= 0.0)
    return swapped(_within_range(gravity), pure, by=1.0)


def extract_kg(volume_l: float, gravity: Figure) -> Figure:
    """Kilograms of extract dissolved in `volume_l` of wort of this gravity.

    `volume_l` is 0 to 1000 L at 20 °C, `gravity` 0.98 to 1.15; raises `OutOfRange` outside those.
    Source: definition of degrees Plato, with the ASBC cubic and the density of water (Kell 1975).
    """
    require("volume", volume_l, *VOLUME_L)
    return volume_l * _extract_kg_l(gravity)


def gravity_from_extract(extract_kg: Figure, volume_l: float) -> Figure:
    """Gravity of `volume_l` of wort holding `extract_kg` of extract; undoes `extract_kg`.

    `volume_l` is 0.001 to 1000 L at 20 °C; `extract_kg` must lie between what that volume holds
    at gravity 0.98 and at 1.15. Raises `OutOfRange` outside those.
    Source: as for `extract_kg`, solved by Newton's method.
    """
    require("volume", volume_l, *FILLED_L)
    low, high, _ = GRAVITY
    require(
        "extract", extract_kg, _extract_kg_l(low) * volume_l, _extract_kg_l(high) * volume_l, "kg"
    )
    return _gravity_of(extract_kg / volume_l)


def points(gravity: Figure) -> Figure:
    """Gravity points: thousandths above 1.000, so 1.048 is 48 points.

    `gravity` is 0.98 to 1.15; raises `OutOfRange` outside that.
    Source: definition, common practice.
    """
    require("gravity", gravity, *GRAVITY)
    return 1000.0 * (gravity - 1.0)


def gravity_with_water(volume_l: float, gravity: float, water_l: Figure) -> Figure:
    """Gravity of wort once `water_l` has been added to it, or (negative) boiled off it.

    `volume_l` is 0.001 to 1000 L at 20 °C, `gravity` 0.98 to 1.15; the volume afterwards,
    `volume_l + water_l`, must be 0.001 to 1000 L too. Raises `OutOfRange` outside those, and
    when so little is left that the gravity would pass 1.15 (or, of a beer below 1.000, 0.98).
    Volumes are simply added. Against the sum by mass (`balance.after_water`), when a fifth boils
    off, that is 0.00001 too much at 1.060, 0.00002 at 1.080 and 0.00003 at 1.100; when half does,
    0.00005 at 1.050.
    Source: conservation of extract; volumes of wort and water add up to within 0.1 %.
    """
    require("volume", volume_l, *FILLED_L)
    after_l = volume_l + water_l
    require("volume afterwards", after_l, *FILLED_L)
    kept_kg = extract_kg(volume_l, gravity)
    strongest = GRAVITY[1] if kept_kg > 0.0 else GRAVITY[0]
    # Short by a trace, so that a wort at the end of the range may stay as it is.
    least_l = (1.0 - 1e-12) * kept_kg / _extract_kg_l(strongest)
    require(
        f"volume afterwards, at its least with a gravity of {strongest:.3f}:",
        after_l,
        least_l,
        *FILLED_L[1:],
    )
    return _gravity_of(kept_kg / after_l)


def hydrometer_at_20(gravity_read: float, sample_c: Figure, scale_c: float = 20.0) -> Figure:
    """True gravity at 20 °C from a hydrometer read in a sample that is warmer or colder.

    `gravity_read` is 0.94 to 1.15 as read (water near the boil floats a hydrometer at 0.96);
    `sample_c` is 0 to 105 °C; `scale_c`, the temperature printed on the hydrometer, is 10 to
    30 °C, mostly 20 or 15.56 °C (60 °F). Raises `OutOfRange` outside those, and when the
    corrected gravity is not 0.98 to 1.15. Trust it to 0.001 below 40 °C; above that cool the
    sample.
    Source: buoyancy, with the density of water (Kell 1975) and ISO 1768:1975 for the glass; that
    wort expands as water does is an approximation.
    """
    require("hydrometer reading", gravity_read, 0.94, 1.15)
    require("sample temperature", sample_c, *LIQUID_C)
    require("hydrometer scale temperature", scale_c, 10.0, 30.0, "°C")
    contraction = density_kg_m3(scale_c) / density_kg_m3(sample_c)
    gravity = gravity_read * contraction / (1.0 + GLASS_EXPANSION_PER_K * (sample_c - scale_c))
    require("gravity at 20 °C", gravity, *GRAVITY)
    return gravity


def _gravity_of(extract_kg_l: Figure) -> Figure:
    gravity = 1.0 + extract_kg_l / 2.6
    for _ in range(8):
        plato = _cubic(gravity)
        missed_kg_l = gravity * WATER_KG_L * plato / 100.0 - extract_kg_l
        slope = plato + gravity * _cubic_slope(gravity)
        gravity = gravity - 100.0 * missed_kg_l / WATER_KG_L / slope
    pure = (extract_kg_l >= WATER_KG_L * _PLATO_OF_WATER / 100.0) & (extract_kg_l <= 0.0)
    return swapped(_within_range(gravity), pure, by=1.0)


def _cubic(gravity: Figure) -> Figure:
    c0, c1, c2, c3 = _ASBC_CUBIC
    return c0 + gravity * (c1 + gravity * (c2 + gravity * c3))


def _cubic_slope(gravity: Figure) -> Figure:
    _, c1, c2, c3 = _ASBC_CUBIC
    return c1 + gravity * (2.0 * c2 + gravity * 3.0 * c3)


def _extract_kg_l(gravity: Figure) -> Figure:
    return gravity * WATER_KG_L * plato_from_gravity(gravity) / 100.0


def _within_range(gravity: Figure) -> Figure:
    # A solution at the very end of the range may miss it by rounding, and must stay usable.
    low, high, _ = GRAVITY
    return held(gravity, low, high)
