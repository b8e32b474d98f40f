"""What is stirred into the strike water, and into a mash whose pH was read."""

from dataclasses import dataclass

from assistant.advice import figures
from assistant.advice.actions import Action, Do, Finding, Option
from assistant.advice.mash_water import (
    HIGHEST_PH,
    LOWEST_PH,
    TARGET_PH,
    acid_for_reading_ml,
    mash_water,
    soda_for_reading_g,
)
from assistant.brewing.minerals import lactic_acid_g
from assistant.schedule.model import Schedule

LACTIC_ACID = "lactic acid"
BAKING_SODA = "baking soda"
SALTS = ("gypsum", "calcium chloride", "Epsom salt", BAKING_SODA)
MINERALS = (*SALTS, LACTIC_ACID)
"""What a mineral is called; salts are weighed in grams everywhere, acid is measured in mL."""

LEAST_G = 0.05
"""Less than this no scale in a brewery shows; it is left out."""


@dataclass(frozen=True, kw_only=True)
class Mineral:
    """One salt or acid to stir in; ``millilitres`` stands for the acid."""

    item: str
    grams: float
    millilitres: float | None = None

    @property
    def action(self) -> Action:
        """The task of stirring it in."""
        millilitres = None if self.millilitres is None else round(self.millilitres, 1)
        return Action(
            do=Do.ADD, item=self.item, grams=round(self.grams, 1), millilitres=millilitres
        )


def amount(action: Action) -> str:
    """``4 grams``, ``3.5 millilitres``: how much of a mineral, as it is spoken."""
    if action.millilitres is not None:
        return figures.counted(figures.number(action.millilitres, 1), "millilitre")
    return figures.counted(figures.number(action.grams or 0.0, 1), "gram")


def amount_of(action: Action) -> str:
    """``4 grams of gypsum``."""
    return f"{amount(action)} of {action.item}"


def strike_minerals(schedule: Schedule, strike_volume_l: float) -> tuple[Mineral, ...]:
    """What the schedule has stirred into the strike water; nothing where the water is unknown.

    Its acid is left out where the mash would turn too sour with it.
    """
    water, forecast = schedule.water, mash_water(schedule, strike_volume_l)
    if water is None or forecast is None:
        return ()
    weights = (
        water.gypsum_g,
        water.calcium_chloride_g,
        water.epsom_salt_g,
        water.baking_soda_g,
    )
    wanted = [Mineral(item=item, grams=grams) for item, grams in zip(SALTS, weights, strict=True)]
    if not forecast.hold_back_acid:
        wanted.append(_acid(water.lactic_acid_ml, water.lactic_strength))
    return tuple(mineral for mineral in wanted if mineral.grams >= LEAST_G)


def acid_held_back(schedule: Schedule, strike_volume_l: float) -> bool:
    """Whether the schedule's acid is to wait for a reading of the mash."""
    forecast = mash_water(schedule, strike_volume_l)
    return forecast is not None and forecast.hold_back_acid


def ph_finding(
    schedule: Schedule, water_l: float, read_ph: float, *, acid_in_ml: float
) -> Finding | None:
    """The finding for a mash pH that was read too high or too low; None where nothing cures it.

    Nothing is offered where the water is unknown, since nothing was asked for then.
    """
    acid_ml = acid_for_reading_ml(schedule, water_l, read_ph, acid_in_ml=acid_in_ml)
    if acid_ml is not None and schedule.water is not None:
        return _ph_finding(
            read_ph,
            "high",
            past=f"over {HIGHEST_PH}",
            say="add acid",
            mineral=_acid(acid_ml, schedule.water.lactic_strength),
            leaving="less extract, a harsher finish",
        )
    soda_g = soda_for_reading_g(schedule, water_l, read_ph, acid_in_ml=acid_in_ml)
    if soda_g is not None:
        return _ph_finding(
            read_ph,
            "low",
            past=f"under {LOWEST_PH}",
            say="add soda",
            mineral=Mineral(item=BAKING_SODA, grams=soda_g),
            leaving="a tart, thin beer",
        )
    return None


def _ph_finding(
    read_ph: float, side: str, *, past: str, say: str, mineral: Mineral, leaving: str
) -> Finding:
    read = f"pH {figures.number(read_ph, 2)}"
    # Where more would be tasted the dose is smaller than half of what the sums ask for.
    dose = f"{_dose(mineral)} is at most half the way to {TARGET_PH}"
    return Finding(
        about="mash_ph",
        finding=f"{read} is {side}",
        options=(
            Option(
                say=say,
                phrase=f"{say}, {amount(mineral.action)}",
                action=mineral.action,
                effect="half of the way to 5.4, to be measured again",
            ),
            Option(
                say="leave it",
                phrase=f"leave it: {leaving}",
                action=Action(do=Do.LEAVE_IT),
                effect="the mash as it is",
            ),
        ),
        recommended=say,
        why=f"The mash read {read}, {past}: {dose}.",
    )


def _dose(mineral: Mineral) -> str:
    noun = "acid" if mineral.item == LACTIC_ACID else mineral.item
    return f"{amount(mineral.action)} of {noun}"


def _acid(volume_ml: float, strength: float) -> Mineral:
    return Mineral(
        item=LACTIC_ACID, grams=lactic_acid_g(volume_ml, strength), millilitres=volume_ml
    )
