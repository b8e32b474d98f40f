"""Packaging: what has to be known first, what is measured out, and what is said against it."""

from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.brewing.gas import BOTTLE_LIMIT_VOL
from assistant.cellar.assessing import assess
from assistant.cellar.events import Errand
from assistant.cellar.packing import Refusal, packing
from assistant.cellar.state import DAY_S, CellarState, Packaged, Slurry
from assistant.cellar.turn import Turn
from assistant.cellar.words import CAUTIONS, THICK_ONLY, packing_reason, packing_words
from assistant.day.effects import Why
from assistant.day.quantities import Quantity
from assistant.schedule.model import Glass, Vessel

FRESH_DAYS = 0.5
"""A reading older than this is taken anew before the beer is packaged."""

PRIME_KEY = "prime"
"""The sugar for the bottles, among what is open."""

WANTED = {
    Quantity.GRAVITY: ("hydrometer gravity", "that it has not fallen since"),
    Quantity.FERMENTER_TEMPERATURE: ("beer temperature", "how much gas is in it already"),
    Quantity.FERMENTER_VOLUME: ("the volume to package", "how much there is to package"),
}
"""What has to be read before a beer is packaged: what it is called, and what for."""


def begin_packaging(turn: Turn) -> None:
    """Ask for what is not known, and caution; where all is known go on."""
    wanted = wanted_before(turn.state)
    if not wanted:
        judge_packaging(turn)
        return
    for quantity in wanted:
        turn.ask(quantity, WANTED[quantity][1])
    names = [WANTED[quantity][0] for quantity in wanted]
    turn.say(f"{figures.sentence(figures.listed(names))}?", Why.QUESTION)


def wanted_before(state: CellarState) -> tuple[Quantity, ...] | None:
    """What is still to be read before the beer is packaged; None where it is not to be."""
    if state.errand is not Errand.PACKAGE or state.packaged is not None:
        return None
    found = []
    for quantity in WANTED:
        last = state.last(quantity)
        if last is None or (state.now_s - last.at) / DAY_S > FRESH_DAYS:
            found.append(quantity)
    return tuple(found)


def judge_packaging(turn: Turn) -> None:
    """Say what to measure out, or why the beer had better not be packaged."""
    found = packing(turn.state, assess(turn.state))
    turn.close(PRIME_KEY)
    if isinstance(found, Refusal):
        turn.change(advised=None, reason=found.why)
        turn.say(f"Don't package it. {found.why}", Why.WARNING)
        turn.say(found.do, Why.ANSWER)
        return
    if turn.state.advised is None:
        turn.say(CAUTIONS[found.into], Why.CAUTION)
        if _needs_thick_glass(found):
            turn.say(THICK_ONLY, Why.CAUTION)
    turn.change(advised=found, reason=packing_reason(found, turn.state))
    if found.sugar_g and found.sugar is not None:
        turn.open(PRIME_KEY, Action(do=Do.ADD, item=found.sugar.value, grams=found.sugar_g))
    for text in packing_words(found, turn.units):
        turn.say(text, Why.ANSWER)
    turn.say('Say "packaged" when it is in.', Why.PROMPT)


def _needs_thick_glass(found: Packaged) -> bool:
    most_vol = BOTTLE_LIMIT_VOL[Glass.ORDINARY.value]
    return found.into is Vessel.BOTTLES and found.carbonation_vol > most_vol


def packaged(turn: Turn, *, anyway: bool = False) -> None:
    """The beer is in its bottles or its keg: put on record how, and ask for the yeast.

    What should not have been packaged is asked about first; ``anyway`` tells that it was.
    """
    state = turn.state
    if state.packaged is not None:
        turn.refuse("It is packaged already.")
        return
    found = packing(state, assess(state))
    if isinstance(found, Refusal) and not anyway:
        turn.change(unwise=found.why)
        turn.say(f"{found.why} Is it packaged all the same? Yes or no?", Why.QUESTION)
        return
    # Sugar that nobody was told of, or that was told of another beer, is none that is known of.
    told = None if isinstance(found, Refusal) else state.advised
    found = _as_it_is(state) if told is None else replace(told, at=turn.now_s)
    turn.change(packaged=found, unwise="", asks=(), question=None, opened=())
    turn.say(
        f"Packaged, noted. Final gravity {figures.gravity(found.final_gravity)}.", Why.READBACK
    )
    if anyway:
        turn.say(
            "Keep it cold and covered, away from people, and open one every few days.", Why.WARNING
        )
    turn.ask(Quantity.SLURRY_VOLUME, "how much yeast is kept for another brew")
    turn.say("Keeping its yeast? Say slurry and how much, or done.", Why.QUESTION)


def keep_slurry(turn: Turn, volume_ml: float) -> None:
    """Yeast was kept for another brew."""
    if turn.state.packaged is None:
        turn.refuse("Yeast is kept once the beer is packaged: say packaged first.")
        return
    turn.change(slurry=Slurry(at=turn.now_s, volume_ml=volume_ml))
    turn.answered(Quantity.SLURRY_VOLUME)
    turn.say("Keep it cold, its lid loose, and use it within two weeks.", Why.ANSWER)
    turn.change(over=True)


def _as_it_is(state: CellarState) -> Packaged:
    """What can be said of a beer that was packaged without being asked about: no sugar is known."""
    assessed, volume = assess(state), state.last(Quantity.FERMENTER_VOLUME)
    warm = state.last(Quantity.FERMENTER_TEMPERATURE)
    return Packaged(
        at=state.now_s,
        into=state.wanted.into,
        carbonation_vol=state.wanted.carbonation_vol,
        volume_l=state.beer.volume_l if volume is None else volume.value,
        temperature_c=state.schedule.ferment.high_c if warm is None else warm.value,
        final_gravity=assessed.final_gravity if assessed.gravity is None else assessed.gravity,
    )
