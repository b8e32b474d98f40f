"""What is stirred into the strike water, and into a mash whose pH was read."""

from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.mash_water import acid_for_reading_ml, acid_for_reading_sentence
from assistant.brewing.minerals import lactic_acid_g
from assistant.schedule.model import Schedule, Units

LACTIC_ACID = "lactic acid"
SALTS = ("gypsum", "calcium chloride", "Epsom salt", "baking soda")
MINERALS = (*SALTS, LACTIC_ACID)
"""What a mineral is called; salts are weighed in grams everywhere, acid is measured in mL."""


@dataclass(frozen=True, kw_only=True)
class Mineral:
    """One salt or acid for the strike water; ``words`` is how much of it, as it is spoken."""

    item: str
    grams: float
    words: str


def strike_minerals(schedule: Schedule) -> tuple[Mineral, ...]:
    """What the schedule has stirred into the strike water; nothing where the water is unknown."""
    water = schedule.water
    if water is None:
        return ()
    weights = (
        water.gypsum_g,
        water.calcium_chloride_g,
        water.epsom_salt_g,
        water.baking_soda_g,
    )
    salts = [
        Mineral(item=item, grams=grams, words=f"{figures.weight(grams, Units.METRIC)} of {item}")
        for item, grams in zip(SALTS, weights, strict=True)
        if grams > 0
    ]
    if water.lactic_acid_ml > 0:
        salts.append(_acid(water.lactic_acid_ml, water.lactic_strength))
    return tuple(salts)


def ph_finding(schedule: Schedule, strike_volume_l: float, read_ph: float) -> Finding | None:
    """The finding for a mash pH that was read too high; None where acid is not the cure.

    Nothing is offered where the water is unknown, since nothing was asked for then.
    """
    half_ml = acid_for_reading_ml(schedule, strike_volume_l, read_ph)
    if half_ml is None or schedule.water is None:
        return None
    acid = _acid(half_ml, schedule.water.lactic_strength)
    return Finding(
        about="mash_ph",
        finding=f"pH {figures.number(read_ph, 2)} is high",
        options=(
            Option(
                say="add acid",
                phrase=acid_for_reading_sentence(half_ml).removesuffix(".").lower(),
                action=Action(do=Do.ADD, item=acid.item, grams=round(acid.grams, 1)),
                effect="half of the way to 5.4, to be measured again",
            ),
            Option(
                say="leave it",
                phrase="leave it: a little less extract, a harsher finish",
                action=Action(do=Do.LEAVE_IT),
                effect="the mash as it is",
            ),
        ),
        recommended="add acid",
    )


def _acid(volume_ml: float, strength: float) -> Mineral:
    return Mineral(
        item=LACTIC_ACID,
        grams=lactic_acid_g(volume_ml, strength),
        words=f"{figures.small_volume(volume_ml, Units.METRIC)} of {LACTIC_ACID}",
    )
