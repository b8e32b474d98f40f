"""What a deviation was, and what it meant for the beer, each in a sentence."""

from collections.abc import Callable, Mapping

from assistant.advice import figures
from assistant.advice.learned import Trait
from assistant.advice.timeline import Stage
from assistant.day.wording import STAGE_NAMES
from assistant.record.reporting.account import Deviation, Off
from assistant.record.reporting.quantities import (
    TRAIT_NAMES,
    in_words,
    moved_in_all,
    temperature_off,
    trait_words,
)
from assistant.schedule.model import Units

ONLY_LATER = "The day ran later; the beer is none the worse."
ONLY_SOONER = "The day ran sooner; the beer is none the worse."

LONGER: Mapping[Stage, str] = {
    Stage.MASH: "More time for the enzymes: if anything a drier beer.",
    Stage.LIFT: "More time to drain: if anything more wort out of the grain.",
    Stage.BOIL: "More boiled off and more bitterness drawn, as the figures above have it.",
    Stage.WHIRLPOOL: "The hops went on giving bitterness, and lost some of their scent.",
    Stage.CHILL: "The hops went on giving bitterness while it was hot.",
    Stage.TRANSFER: "Wort without yeast is open to whatever else lives on it.",
    Stage.PITCH: "Wort without yeast is open to whatever else lives on it.",
}
SHORTER: Mapping[Stage, str] = {
    Stage.MASH: "Less time for the enzymes: if anything a fuller beer, and less extract.",
    Stage.LIFT: "Less time to drain: if anything less wort out of the grain.",
    Stage.BOIL: "Less boiled off and less bitterness drawn, as the figures above have it.",
    Stage.WHIRLPOOL: "Less time for hops to give and for trub to settle.",
    Stage.CHILL: "Less bitterness drawn on the way down.",
}

SUGAR_REST_C = (58.0, 74.0)
"""Between these a degree more or less shifts what the sugars are like, and outside them little is
made of the starch; common practice, no source."""

KETTLE_MEANT: Mapping[Trait, tuple[str, str]] = {
    Trait.HEATER: (
        "Heating goes faster than it was reckoned to",
        "Heating takes longer than it was reckoned to",
    ),
    Trait.HEAT_LOSS: ("Rests want more heat to hold them", "Rests hold by themselves for longer"),
    Trait.HEAT_CAPACITY: ("The metal takes more heat along", "The metal takes less heat along"),
    Trait.COAST: (
        "Heat goes off sooner for the same rest",
        "Heat goes off later for the same rest",
    ),
    Trait.LANDING: ("Strike a little cooler next time", "Strike a little warmer next time"),
}
"""What it means that a figure is above or below what was expected, where no volume tells."""


def found_and_meant(deviation: Deviation, units: Units) -> tuple[str, str]:
    """What was found, and what it meant: each a sentence with its stop."""
    found, meant = SENTENCES[deviation.off]
    return found(deviation, units), meant(deviation, units)


def _stage_found(deviation: Deviation, units: Units) -> str:
    longer_s = deviation.was - deviation.planned
    side = "longer" if longer_s > 0 else "less"
    took = figures.duration(deviation.was)
    name = STAGE_NAMES[deviation.stage or Stage.GATHER]
    return f"{name} took {took}, {figures.duration(abs(longer_s))} {side} than planned."


def _stage_meant(deviation: Deviation, units: Units) -> str:
    stage = deviation.stage or Stage.GATHER
    if deviation.was > deviation.planned:
        return LONGER.get(stage, ONLY_LATER)
    return SHORTER.get(stage, ONLY_SOONER)


def _rest_found(deviation: Deviation, units: Units) -> str:
    off_k = deviation.was - deviation.planned
    off = temperature_off(off_k, units)
    held, wanted = (
        figures.temperature_read(value_c, units) for value_c in (deviation.was, deviation.planned)
    )
    side = "warm" if off_k > 0 else "cool"
    return f"The rest {deviation.name} was held at {held} instead of {wanted}: {off} too {side}."


def _rest_meant(deviation: Deviation, units: Units) -> str:
    low_c, high_c = SUGAR_REST_C
    if not low_c <= deviation.planned <= high_c:
        return "At this rest that makes little difference to the sugars."
    if deviation.was < low_c:
        return "Too cold for most of the starch to turn into sugar there: less extract, and haze."
    if deviation.was > high_c:
        return "Hot enough to end the enzymes' work: fuller, and starch that was left stays."
    if deviation.was > deviation.planned:
        return "More of the sugars stay in the beer: fuller, and a little less alcohol."
    return "More of the sugars ferment: drier, and a little more alcohol, if it had the time."


def _kettle_found(deviation: Deviation, units: Units) -> str:
    trait = deviation.trait or Trait.HEATER
    was, planned = (
        trait_words(trait, value, units) for value in (deviation.was, deviation.planned)
    )
    return f"{figures.sentence(TRAIT_NAMES[trait])}: {was}, where {planned} was expected."


def _kettle_meant(deviation: Deviation, units: Units) -> str:
    moved = _moved(deviation, units)
    if moved:
        return f"By itself that made it {moved} in the fermenter."
    above, below = KETTLE_MEANT.get(
        deviation.trait or Trait.HEATER, ("It hardly moved this beer", "It hardly moved this beer")
    )
    return f"{above if deviation.was > deviation.planned else below}."


def _timed_found(deviation: Deviation, units: Units) -> str:
    off = figures.duration(abs(deviation.was - deviation.planned) * 60)
    side = "more" if deviation.was > deviation.planned else "less"
    had, wanted = (in_words(value, "min", units) for value in (deviation.was, deviation.planned))
    return (
        f"{figures.sentence(deviation.name)} had {had} of boil instead of {wanted}: {off} {side}."
    )


def _left_out_found(deviation: Deviation, units: Units) -> str:
    weight = figures.weight(deviation.planned, units)
    return f"{figures.sentence(deviation.name)}, {weight}, was left out."


def _changed_found(deviation: Deviation, units: Units) -> str:
    was, planned = (figures.weight(value, units) for value in (deviation.was, deviation.planned))
    return f"{figures.sentence(deviation.name)}: {was} instead of {planned}."


def _addition_meant(deviation: Deviation, units: Units) -> str:
    moved = _moved(deviation, units)
    if moved:
        return f"By itself that made it {moved}."
    if deviation.ibu is None and deviation.was > deviation.planned:
        return "It brings no bitterness."
    if deviation.ibu is None:
        return "It brings no bitterness; what it is for was done less well, or not at all."
    return "It hardly moved the bitterness."


def _moved(deviation: Deviation, units: Units) -> str:
    return moved_in_all(deviation.volume_l, deviation.gravity, deviation.ibu, units)


Words = Callable[[Deviation, Units], str]

SENTENCES: Mapping[Off, tuple[Words, Words]] = {
    Off.STAGE: (_stage_found, _stage_meant),
    Off.REST: (_rest_found, _rest_meant),
    Off.KETTLE: (_kettle_found, _kettle_meant),
    Off.LESS_BOIL: (_timed_found, _addition_meant),
    Off.MORE_BOIL: (_timed_found, _addition_meant),
    Off.LEFT_OUT: (_left_out_found, _addition_meant),
    Off.CHANGED: (_changed_found, _addition_meant),
}
