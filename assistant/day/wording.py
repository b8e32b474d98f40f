"""How tasks, additions and asks are put into words for an ear two metres from a boil."""

from collections.abc import Callable, Mapping

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.mash_minerals import MINERALS, amount_of
from assistant.advice.timeline import Stage
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.schedule.model import Addition, Moment, Schedule, Units

TASK_WORDS: Mapping[Do, Callable[[Action, Units], str]] = {
    Do.FILL: lambda a, u: f"fill {figures.volume(a.litres or 0, u)} of water",
    Do.HEAT: lambda a, u: f"heat to {figures.temperature(a.to_c or 0, u)}",
    Do.HEAT_FOR: lambda a, u: f"full power for {figures.duration(a.seconds or 0)}, stirring",
    Do.DOUGH_IN: lambda a, u: f"stir in {figures.weight((a.kg or 0) * 1000, u)} of grain",
    Do.STIR: lambda a, u: f"stir for {figures.duration((a.minutes or 0) * 60)}",
    Do.HOLD: lambda a, u: f"hold {figures.temperature(a.at_c or 0, u)}",
    Do.LIFT: lambda a, u: "lift the bag and let it drain",
    Do.BOIL: lambda a, u: f"boil at {round((a.power or 0) * 20) * 5} percent power",
    Do.ADD: lambda a, u: (
        f"stir in {amount_of(a)}"
        if a.item in MINERALS
        else f"add {figures.weight(a.grams or 0, u)} of {a.item}"
    ),
    Do.ADD_WATER: lambda a, u: (
        f"add {figures.volume(a.litres or 0, u)} of water"
        f" at {figures.temperature(a.temperature_c or 0, u)}"
    ),
    Do.FLAMEOUT: lambda a, u: "heat off",
    Do.WHIRLPOOL: lambda a, u: "stir a whirlpool",
    Do.SETTLE: lambda a, u: f"lid on, settle {figures.duration((a.minutes or 0) * 60)}",
    Do.CHILL: lambda a, u: f"chill to {figures.temperature(a.to_c or 0, u)}",
    Do.TRANSFER: lambda a, u: (
        f"run the wort into the fermenter, {figures.volume(a.litres or 0, u)} at most"
    ),
    Do.TOP_UP: lambda a, u: f"top up with {figures.volume(a.litres or 0, u)} of chilled water",
    Do.AERATE: lambda a, u: "aerate: splash or shake for 5 minutes",
    Do.PITCH: lambda a, u: (
        f"pitch {figures.weight(a.grams, Units.METRIC)} of yeast"
        if a.grams is not None
        else f"pitch the yeast, about {figures.number(a.cells_billion or 0, 0)} billion cells"
    ),
}
"""What a task is called; boil_longer, boil_shorter and leave_it are never tasks."""

STAGE_NAMES: Mapping[Stage, str] = {
    Stage.GATHER: "Getting ready",
    Stage.STRIKE: "Strike water",
    Stage.DOUGH_IN: "Dough in",
    Stage.MASH: "Mash",
    Stage.LIFT: "Lift",
    Stage.BOIL_UP: "To the boil",
    Stage.BOIL: "Boil",
    Stage.WHIRLPOOL: "Whirlpool",
    Stage.CHILL: "Chill",
    Stage.TRANSFER: "Transfer",
    Stage.PITCH: "Aerate and pitch",
    Stage.CLEAN: "Cleaning",
    Stage.FINISHED: "Finished",
}
"""The stages as headings."""

MOMENT_WORDS: Mapping[Moment, str] = {
    Moment.FIRST_WORT: "first wort",
    Moment.BOIL_START: "boil start",
    Moment.FLAMEOUT: "flameout",
    Moment.WHIRLPOOL: "whirlpool",
}

ASK_WORDS: Mapping[Quantity, str] = {
    quantity: figures.sentence(f"{spec.spoken}?") for quantity, spec in QUANTITIES.items()
} | {Quantity.BOILING: "Is it boiling?", Quantity.MASH_PH: "Mash pH, of a cooled sample?"}


def task_words(action: Action, units: Units) -> str:
    """What a task is, as a phrase without a stop."""
    return TASK_WORDS[action.do](action, units)


def addition_names(schedule: Schedule) -> tuple[str, ...]:
    """A name for each addition that tells it from the others: by its time where names repeat."""
    plain = [addition.name for addition in schedule.additions]
    names: list[str] = []
    for addition in schedule.additions:
        name = addition.name
        if plain.count(name) > 1:
            name = f"{name} at {_when(addition)}"
        while name in names:
            name = f"{name} again"
        names.append(name)
    return tuple(names)


def _when(addition: Addition) -> str:
    if addition.minutes_before_end is not None:
        return f"{figures.number(addition.minutes_before_end, 0)} minutes"
    if addition.day is not None:
        return f"day {addition.day}"
    return MOMENT_WORDS[addition.moment]


def addition_words(addition: Addition, weight_g: float, units: Units) -> str:
    """``26 grams of Challenger``."""
    return f"{figures.weight(weight_g, units)} of {addition.name}"
