"""The pH of a mash: the malt's own, moved by the water and by acid.

Every pH here is that of a sample cooled to 20 °C, as brewers and maltsters give it. The mash is
taken as a balance of charge: what the malt takes up or gives off on its way from the pH it has in
distilled water must be what the water's alkalinity, its calcium and magnesium, and the acid give.
One buffering stands for all malts, so the grist counts as one malt of mean pH.

The balance is that of A. J. deLange, MBAA Technical Quarterly 52 (2015) 3-12, cut to one straight
line for the malt, with Kolbach's rule for calcium and magnesium. Its author's own verdict (MBAA
conference 2013) is that a close forecast may be feasible and yet not practical: measure.
"""

import math
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from assistant.brewing.curves import Curve, Figure, held
from assistant.brewing.errors import GRAIN_KG, LIQUID_C, VOLUME_L, Bounds, require
from assistant.brewing.minerals import (
    CACO3_MG_MEQ,
    GRAM_PER_LITRE,
    ION_MG_L,
    PH,
    USUAL_LACTIC_STRENGTH,
    Salt,
    bicarbonate_neutralised,
    lactic_acid_meq,
    lactic_dissociated,
    residual_alkalinity,
)

PH_UNCERTAINTY: Final = 0.2
"""How far a forecast may well be off, either way. Pale malts alone differ by 0.1 to 0.2 (5.6 to 6.0
in J. Palmer and C. Kaminski, "Water" (2013)); a shift of 0.3 is uncertain by a third for the
buffering and for calcium each; a water report is a tenth off on the day. Together about 0.2, as
the root of the sum of squares; an estimate, no source."""

MALT_MEQ_KG_PH: Final = 40.0
"""Milliequivalents of acid that lower the pH of a kilogram of malt in mash by one: about deLange's
titrations of base malt (from memory, unchecked), chosen to go with his balance. Kolbach's 0.03 for
a degree of German hardness asks for 38 to 48 in a mash of 4 L/kg, and a German brewing table
(hobbybrauer-kompendium.de, Biologische Säuerung), with 60 mL of 80 % lactic acid to 100 kg of malt
for a tenth of a pH, for 61: the low figure makes for the wider shift and the smaller dose of acid.
Crystal malt may hold on harder."""

HOT_PH_PER_K: Final = 0.0078
"""How much the true pH falls for each degree warmer: 0.35 at 65 °C and 0.45 at 78 °C below that of
the cooled sample (Briggs et al., "Brewing: Science and Practice", 2004)."""

MALT_PH: Final[Sequence[tuple[float, float]]] = (
    (4.0, 5.8),  # pilsner and pale malt
    (8.0, 5.7),  # Vienna malt
    (20.0, 5.5),  # Munich malt
    (60.0, 5.2),  # light crystal malt
    (130.0, 4.9),  # crystal malt
    (250.0, 4.7),  # dark crystal malt
    (1000.0, 4.6),  # chocolate and black malt
)
"""EBC colour and pH in distilled water of malts by their kind, palest first; see `malt_ph`."""

_GRIST_KG: Final[Bounds] = (0.001, 500.0, "kg")
_HALVINGS: Final = 52


def malt_ph(colour_ebc: Figure) -> Figure:
    """The pH of a mash of this malt alone in distilled water, guessed from its colour.

    `colour_ebc` is 0 to 3000 EBC; raises `OutOfRange` outside that. Only a guess: colour cannot
    tell malt that was kilned from malt that was stewed, nor one lot from another (0.2 either way).
    A figure of the maltster's is always better.
    Source: the pale end from Briggs et al., "Brewing: Science and Practice" (2004), 5.8 to 6.0,
    and Palmer and Kaminski, "Water" (2013), 5.6 to 6.0; from Munich malt on deLange's and
    K. Troester's measurements (2009), from memory, unchecked. Palmer, "How to Brew", has crystal
    malt at 4.5 to 4.8 and roasted malt lower than here, at 4.0 to 4.5.
    """
    require("malt colour", colour_ebc, 0.0, 3000.0, "EBC")
    colours, ph = zip(*MALT_PH, strict=True)
    if isinstance(colour_ebc, np.ndarray):
        curve: Curve = np.interp(colour_ebc, colours, ph)
        return curve
    return float(np.interp(colour_ebc, colours, ph))


def grist_ph(malts: Sequence[tuple[float, float]]) -> float:
    """The pH of a mash in distilled water of malts, each as (weight in kg, its own such pH).

    Weights are 0 to 500 kg and together at least 0.001 kg, each pH 2 to 10; raises `OutOfRange`
    outside those. Acid malt is far sourer than its pH of 3.4 lets the mean tell: count 100 g of it
    as 3 mL of lactic acid (2 to 4 % of it is lactic acid; common practice, no source).
    Source: balance of charge (deLange 2015) with one buffering for all malts, which makes it the
    mean by weight.
    """
    whole_kg, sum_kg = 0.0, 0.0
    for weight_kg, ph in malts:
        require("malt weight", weight_kg, *GRAIN_KG)
        require("malt pH", ph, *PH)
        whole_kg += weight_kg
        sum_kg += weight_kg * ph
    require("grist", whole_kg, *_GRIST_KG)
    return sum_kg / whole_kg


def mash_ph(
    *,
    distilled_ph: float,
    grain_kg: float,
    water_l: float,
    alkalinity_mg_l: Figure,
    calcium_mg_l: float = 0.0,
    magnesium_mg_l: float = 0.0,
    acid_ml: float = 0.0,
    strength: float = USUAL_LACTIC_STRENGTH,
) -> Figure:
    """The pH of a mash, give or take `PH_UNCERTAINTY`.

    `distilled_ph` (2 to 10) is the grist's own, see `grist_ph`; `grain_kg` is 0.001 to 500 kg,
    `water_l` 0 to 1000 L, alkalinity (as CaCO3), calcium and magnesium 0 to 100,000 mg/L with the
    salts in; `acid_ml` (0 to 100,000 mL) is lactic acid of `strength` 0.01 to 1. Raises
    `OutOfRange` outside those. A balance that would lie outside pH 2 to 10 is held there.
    The more water to the grain, the more the water counts.
    Source: balance of charge (deLange 2015), solved by halving; Kolbach (1953) for calcium and
    magnesium. K. Troester (2009) measured shifts smaller by a tenth to a fifth in mashes of 4 to
    6 L/kg (from memory, unchecked).
    """
    require("pH of the grist", distilled_ph, *PH)
    require("grain weight", grain_kg, *_GRIST_KG)
    require("mash water", water_l, *VOLUME_L)
    require("alkalinity", alkalinity_mg_l, *ION_MG_L)
    hardness_mg_l = -residual_alkalinity(0.0, calcium_mg_l, magnesium_mg_l)
    acid_meq = lactic_acid_meq(acid_ml, strength)

    def too_alkaline_meq(ph: Figure) -> Figure:
        residual_mg_l = alkalinity_mg_l * bicarbonate_neutralised(ph) - hardness_mg_l
        water_meq = water_l * residual_mg_l / CACO3_MG_MEQ - acid_meq * lactic_dissociated(ph)
        return grain_kg * MALT_MEQ_KG_PH * (ph - distilled_ph) - water_meq

    return _root(too_alkaline_meq, 0.0 * alkalinity_mg_l + PH[0])


def acid_to_reach_ph(
    *,
    from_ph: Figure,
    to_ph: float,
    grain_kg: float,
    water_l: float,
    alkalinity_mg_l: float,
    acid_ml: float = 0.0,
    strength: float = USUAL_LACTIC_STRENGTH,
) -> Figure:
    """Millilitres of lactic acid that take a mash from one pH to another; zero if it is there.

    `from_ph` may be a forecast or a reading of a cooled sample. Both pH are 2 to 10; the mash is as
    for `mash_ph`, and `acid_ml` what acid is in it already. Raises `OutOfRange` outside those.
    Add half of it and measure again: malts differ, and the table named at `MALT_MEQ_KG_PH` asks
    for half as much again as this.
    Source: balance of charge (deLange 2015).
    """
    missing_meq = _surplus_meq(
        from_ph,
        to_ph,
        grain_kg=grain_kg,
        water_l=water_l,
        alkalinity_mg_l=alkalinity_mg_l,
        acid_meq=lactic_acid_meq(acid_ml, strength),
    )
    meq_ml = lactic_acid_meq(1.0, strength) * lactic_dissociated(to_ph)
    return held(missing_meq, 0.0, math.inf) / meq_ml


def soda_to_reach_ph(
    *,
    from_ph: Figure,
    to_ph: float,
    grain_kg: float,
    water_l: float,
    alkalinity_mg_l: float,
    acid_ml: float = 0.0,
    strength: float = USUAL_LACTIC_STRENGTH,
) -> Figure:
    """Grams of baking soda that raise a mash from one pH to another; zero if it is there.

    As for `acid_to_reach_ph`, upwards. Raises `OutOfRange` as that does.
    Source: balance of charge (deLange 2015).
    """
    surplus_meq = _surplus_meq(
        from_ph,
        to_ph,
        grain_kg=grain_kg,
        water_l=water_l,
        alkalinity_mg_l=alkalinity_mg_l,
        acid_meq=lactic_acid_meq(acid_ml, strength),
    )
    soda_meq_g = GRAM_PER_LITRE[Salt.BAKING_SODA].alkalinity_mg_l / CACO3_MG_MEQ
    return held(-surplus_meq, 0.0, math.inf) / (soda_meq_g * bicarbonate_neutralised(to_ph))


def ph_when_hot(cooled_ph: float, temperature_c: Figure) -> Figure:
    """The true pH at `temperature_c` of a mash whose cooled sample reads `cooled_ph`.

    `cooled_ph` (at 20 °C) is 2 to 10, `temperature_c` 0 to 105 °C; raises `OutOfRange` outside
    those. A meter that corrects for temperature corrects its own electrode, not this.
    Source: Briggs et al., "Brewing: Science and Practice" (2004), at 65 and 78 °C; a straight line
    between and beyond.
    """
    require("pH of the cooled sample", cooled_ph, *PH)
    require("mash temperature", temperature_c, *LIQUID_C)
    return cooled_ph - HOT_PH_PER_K * (temperature_c - 20.0)


def ph_cooled(read_ph: float, sample_c: Figure) -> Figure:
    """What a sample read at `sample_c` would read at 20 °C; undoes `ph_when_hot`.

    `read_ph` is 2 to 10, `sample_c` 0 to 105 °C; raises `OutOfRange` outside those.
    Source: as for `ph_when_hot`.
    """
    require("pH of the sample", read_ph, *PH)
    require("sample temperature", sample_c, *LIQUID_C)
    return read_ph + HOT_PH_PER_K * (sample_c - 20.0)


def _surplus_meq(
    from_ph: Figure,
    to_ph: float,
    *,
    grain_kg: float,
    water_l: float,
    alkalinity_mg_l: float,
    acid_meq: float,
) -> Figure:
    """Acid that malt, bicarbonate and lactic acid take up on the way; below zero on the way up."""
    require("pH of the mash", from_ph, *PH)
    require("wanted pH", to_ph, *PH)
    require("grain weight", grain_kg, *_GRIST_KG)
    require("mash water", water_l, *VOLUME_L)
    require("alkalinity", alkalinity_mg_l, *ION_MG_L)
    malt_meq = grain_kg * MALT_MEQ_KG_PH * (from_ph - to_ph)
    more_neutralised = bicarbonate_neutralised(to_ph) - bicarbonate_neutralised(from_ph)
    water_meq = water_l * alkalinity_mg_l / CACO3_MG_MEQ * more_neutralised
    taken_back_meq = acid_meq * (lactic_dissociated(from_ph) - lactic_dissociated(to_ph))
    return malt_meq + water_meq + taken_back_meq


def _root(rising: Callable[[Figure], Figure], low: Figure) -> Figure:
    """Where a sum that rises with pH passes zero, from `low` up to the highest pH."""
    step = PH[1] - PH[0]
    for _ in range(_HALVINGS):
        step /= 2.0
        low = low + step * (rising(low + step) < 0.0)
    return low
