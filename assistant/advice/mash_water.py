"""What the water does to the mash: the ions with the salts in, the pH to expect, acid to add."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from assistant.advice import figures
from assistant.brewing.mash_ph import (
    PH_UNCERTAINTY,
    acid_to_reach_ph,
    grist_ph,
    malt_ph,
    mash_ph,
    soda_to_reach_ph,
)
from assistant.brewing.minerals import (
    LACTIC_MG_MEQ,
    Ions,
    Salt,
    lactic_acid_meq,
    residual_alkalinity,
    with_salts,
)
from assistant.schedule.model import Schedule, Units, Water

LOWEST_PH = 5.2
HIGHEST_PH = 5.6
"""A cooled sample in this range is left alone; common practice, with most extract and most
fermentable wort near 5.4 to 5.6 (Briggs et al., "Brewing: Science and Practice", 2004)."""

TARGET_PH = 5.4
"""What a correction aims at: the middle of the range."""

LEAST_ACID_ML = 0.2
LEAST_SODA_G = 0.2
"""Less than this cannot be measured out; common practice, no source."""

WAIT_MINUTES = 10
"""How long acid is stirred in before the mash is measured again; common practice, no source."""

TASTED_MG_L = 400.0
"""Lactic acid from here on can be tasted; from memory, unchecked."""

FAR_OUT = 1.5
"""An ion is spoken of when it is so many times over what is usual, or calcium below half of it."""

ACID_CAUTION = "Acid burns: goggles on, and pour acid into water, never water into acid."


@dataclass(frozen=True, kw_only=True)
class Usual:
    """What is usual of an ion in brewing water, in mg/L."""

    spoken: str
    low_mg_l: float
    high_mg_l: float


USUAL: Mapping[str, Usual] = MappingProxyType(
    {
        "calcium_mg_l": Usual(spoken="calcium", low_mg_l=50.0, high_mg_l=150.0),
        "magnesium_mg_l": Usual(spoken="magnesium", low_mg_l=0.0, high_mg_l=30.0),
        "sodium_mg_l": Usual(spoken="sodium", low_mg_l=0.0, high_mg_l=100.0),
        "sulphate_mg_l": Usual(spoken="sulphate", low_mg_l=0.0, high_mg_l=300.0),
        "chloride_mg_l": Usual(spoken="chloride", low_mg_l=0.0, high_mg_l=150.0),
    }
)
"""From memory, unchecked; of sulphate the upper end is for hoppy beers."""


@dataclass(frozen=True, kw_only=True)
class MashWater:
    """The strike water with everything in it, and the mash it makes.

    ``ph`` is the forecast for a cooled sample, ``ph_low`` to ``ph_high`` where it may well lie.
    ``lactic_acid_ml`` (of the schedule's strength, beside what it has) and ``baking_soda_g`` are
    what would bring it to 5.4; one of them is zero. ``hold_back_acid`` tells that the schedule's
    own acid would make it too sour. ``guidance`` is fit to be heard, a sentence or two to a line.
    """

    ions: Ions
    residual_alkalinity_mg_l: float
    ph: float
    ph_low: float
    ph_high: float
    lactic_acid_ml: float
    baking_soda_g: float
    hold_back_acid: bool
    guidance: tuple[str, ...]


def mash_water(schedule: Schedule, strike_volume_l: float) -> MashWater | None:
    """The water of a schedule in a mash of so many litres (at 20 °C); None where it is unknown.

    Raises :class:`~assistant.brewing.errors.OutOfRange` for a strike volume not 0.001 to 1000 L.
    """
    water = schedule.water
    if water is None:
        return None
    ions = _strike_ions(water, strike_volume_l)
    mash = _mash(schedule, water, strike_volume_l)
    malts = [
        (malt.weight_kg, malt_ph(malt.colour_ebc) if malt.ph is None else malt.ph)
        for malt in schedule.grist
    ]
    ph = mash_ph(
        distilled_ph=grist_ph(malts),
        calcium_mg_l=ions.calcium_mg_l,
        magnesium_mg_l=ions.magnesium_mg_l,
        **mash,
    )
    acid_ml = acid_to_reach_ph(from_ph=ph, to_ph=TARGET_PH, **mash)
    soda_g = soda_to_reach_ph(from_ph=ph, to_ph=TARGET_PH, **mash)
    return MashWater(
        ions=ions,
        residual_alkalinity_mg_l=residual_alkalinity(
            ions.alkalinity_mg_l, ions.calcium_mg_l, ions.magnesium_mg_l
        ),
        ph=ph,
        ph_low=ph - PH_UNCERTAINTY,
        ph_high=ph + PH_UNCERTAINTY,
        lactic_acid_ml=acid_ml,
        baking_soda_g=soda_g,
        hold_back_acid=side_of(ph) < 0 and water.lactic_acid_ml > 0,
        guidance=(
            *_about_ph(water, strike_volume_l, ph=ph, acid_ml=acid_ml, soda_g=soda_g),
            *_about_ions(ions),
        ),
    )


def side_of(ph: float) -> int:
    """Whether a pH is low (-1), good (0) or high (1), as it is told: to a tenth."""
    shown = round(ph, 1)
    return -1 if shown < LOWEST_PH else int(shown > HIGHEST_PH)


def acid_for_reading_ml(
    schedule: Schedule, water_l: float, read_ph: float, *, acid_in_ml: float = 0.0
) -> float | None:
    """Millilitres of lactic acid to stir into a mash whose cooled sample reads ``read_ph``.

    Half of what the sums ask for, since malts differ: wait ten minutes and measure again; and
    with ``acid_in_ml``, what is in already, never so much that it can be tasted. None where the
    water is unknown, where the pH is not high, and where the dose is too small to measure out.
    Raises :class:`~assistant.brewing.errors.OutOfRange` for a pH above 10.
    """
    water = schedule.water
    if water is None or side_of(read_ph) <= 0:
        return None
    mash = _mash(schedule, water, water_l) | {"acid_ml": acid_in_ml}
    half_ml = acid_to_reach_ph(from_ph=read_ph, to_ph=TARGET_PH, **mash) / 2.0
    acid_mg_ml = lactic_acid_meq(1.0, water.lactic_strength) * LACTIC_MG_MEQ
    half_ml = min(half_ml, TASTED_MG_L * water_l / acid_mg_ml - acid_in_ml)
    return half_ml if half_ml >= LEAST_ACID_ML else None


def soda_for_reading_g(
    schedule: Schedule, water_l: float, read_ph: float, *, acid_in_ml: float = 0.0
) -> float | None:
    """Grams of baking soda for a mash whose cooled sample reads low; half the sum, as for acid.

    None where the water is unknown, where the pH is not low, and where the dose is too small.
    Raises :class:`~assistant.brewing.errors.OutOfRange` for a pH below 2.
    """
    water = schedule.water
    if water is None or side_of(read_ph) >= 0:
        return None
    mash = _mash(schedule, water, water_l) | {"acid_ml": acid_in_ml}
    half_g = soda_to_reach_ph(from_ph=read_ph, to_ph=TARGET_PH, **mash) / 2.0
    return half_g if half_g >= LEAST_SODA_G else None


def _strike_ions(water: Water, strike_volume_l: float) -> Ions:
    tap = Ions(
        calcium_mg_l=water.calcium_mg_l,
        magnesium_mg_l=water.magnesium_mg_l,
        sodium_mg_l=water.sodium_mg_l,
        sulphate_mg_l=water.sulphate_mg_l,
        chloride_mg_l=water.chloride_mg_l,
        alkalinity_mg_l=water.alkalinity_mg_l,
    )
    salts_g = {
        Salt.GYPSUM: water.gypsum_g,
        Salt.CALCIUM_CHLORIDE: water.calcium_chloride_g,
        Salt.EPSOM_SALT: water.epsom_salt_g,
        Salt.BAKING_SODA: water.baking_soda_g,
    }
    return with_salts(tap, salts_g, strike_volume_l)


def _mash(schedule: Schedule, water: Water, strike_volume_l: float) -> dict[str, float]:
    """What every sum about this mash is given."""
    return {
        "grain_kg": schedule.grain_kg,
        "water_l": strike_volume_l,
        "alkalinity_mg_l": _strike_ions(water, strike_volume_l).alkalinity_mg_l,
        "acid_ml": water.lactic_acid_ml,
        "strength": water.lactic_strength,
    }


def _about_ph(
    water: Water, strike_volume_l: float, *, ph: float, acid_ml: float, soda_g: float
) -> Iterator[str]:
    shown = round(ph, 1)
    side = ("good", "high", "low")[side_of(ph)]
    yield f"Mash pH about {shown:.1f}, give or take {PH_UNCERTAINTY:.1f}: {side}."
    in_it_ml = water.lactic_acid_ml
    if side == "high" and acid_ml >= LEAST_ACID_ML:
        lactic_acid = "more lactic acid" if in_it_ml else "of lactic acid"
        yield f"{_millilitres(acid_ml)} {lactic_acid} would bring it to {TARGET_PH}."
        yield "Measure a cooled sample first, then add half of it."
        in_it_ml += acid_ml
    elif side == "low" and in_it_ml:
        yield "Hold back the lactic acid until you have measured a cooled sample."
    elif side == "low" and soda_g >= LEAST_SODA_G:
        soda = figures.weight(soda_g, Units.METRIC)
        yield f"{soda} of baking soda would bring it to {TARGET_PH}."
        yield "Measure a cooled sample first, then add half of it."
    lactic_mg = lactic_acid_meq(in_it_ml, water.lactic_strength) * LACTIC_MG_MEQ
    if side != "low" and lactic_mg > TASTED_MG_L * strike_volume_l:
        yield "That much acid can be tasted: cut the water with distilled water instead."
    if in_it_ml:
        yield ACID_CAUTION


def _about_ions(ions: Ions) -> Iterator[str]:
    for ion, usual in USUAL.items():
        found_mg_l = getattr(ions, ion)
        if found_mg_l < usual.low_mg_l / 2.0:
            side = "low"
        elif found_mg_l > usual.high_mg_l * FAR_OUT:
            side = "high"
        else:
            continue
        span = f"{usual.low_mg_l:.0f} to {usual.high_mg_l:.0f}"
        if not usual.low_mg_l:
            span = f"up to {usual.high_mg_l:.0f}"
        found = f"{figures.sentence(usual.spoken)} {found_mg_l:.0f} milligrams a litre"
        yield f"{found}: {side}, {span} is usual."


def _millilitres(volume_ml: float) -> str:
    return figures.counted(figures.number(volume_ml, 0 if volume_ml >= 10 else 1), "millilitre")
