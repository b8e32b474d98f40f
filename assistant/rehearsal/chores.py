"""What the simulated brewer's hands do for each task: how long it takes and what it does.

``begin`` happens as the brewer turns to it, ``finish`` when it is done; then the words are said, if
the task is still open. A task without words ends by its timer or by a reading.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.advice.actions import Action, Do
from assistant.advice.mash_minerals import MINERALS
from assistant.rehearsal.kettle import DRY_EXTRACT_YIELD, SimulatedKettle
from assistant.schedule.model import AdditionKind, Schedule

DONE = ("done", "okay", "got it")
SAYINGS_OF_ADDITIONS: Mapping[AdditionKind, str] = {
    AdditionKind.HOPS: "hops are in",
    AdditionKind.FININGS: "finings are in",
}

Hands = Callable[[SimulatedKettle, Schedule, Action], None]


@dataclass(frozen=True, kw_only=True)
class Chore:
    """One kind of task in the brewer's hands; ``takes_s`` are the seconds it takes."""

    takes_s: Callable[[Action], float] = lambda action: 0.0
    begin: Hands = lambda kettle, schedule, action: None
    finish: Hands = lambda kettle, schedule, action: None
    words: tuple[str, ...] = ()


def _lasting(seconds: float) -> Callable[[Action], float]:
    return lambda action: seconds


def _full_power(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.heat(action.power or 1.0)


def _burst(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.lid_on = False
    kettle.heat(action.power or 1.0)


def _off_and_open(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.heat(0.0)
    kettle.lid_on = False


def _off_and_covered(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.heat(0.0)
    kettle.lid_on = True


def _open(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.lid_on = False


def _covered(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.lid_on = True


def _fill(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.pour(action.litres or 0.0, kettle.true.tap_c)


def _grain(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.grain_in(action.kg or 0.0)


def _lift(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.lift()


def _boil(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.boil(action.power or 1.0)


def _water(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    wanted_c = action.temperature_c if action.temperature_c is not None else kettle.true.tap_c
    cold = abs(wanted_c - schedule.kettle.tap_water_c) < 1
    kettle.pour(action.litres or 0.0, kettle.true.tap_c if cold else wanted_c)


def _add(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    grams = action.grams or 0.0
    addition = next((a for a in schedule.additions if a.name == action.item), None)
    if action.item in MINERALS:
        return
    if addition is None:
        kettle.add_extract(grams / 1000, DRY_EXTRACT_YIELD)
    elif addition.extract is not None:
        kettle.add_extract(grams / 1000, addition.extract)
    elif addition.alpha is not None:
        kettle.bittering.add(grams, addition.alpha, addition.form)


def _cool(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    if kettle.fermenter is None:
        kettle.heat(0.0)
        kettle.cooling = schedule.chill.method


def _cooled(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    if kettle.fermenter is not None:
        kettle.fermenter.temperature_c = action.to_c or schedule.chill.to_c


def _transfer(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.transfer(action.litres)


def _top_up(kettle: SimulatedKettle, schedule: Schedule, action: Action) -> None:
    kettle.top_up(action.litres or 0.0, action.temperature_c or 4.0)


CHORES: Mapping[Do, Chore] = {
    Do.FILL: Chore(takes_s=_lasting(240), finish=_fill, words=("done", "that's done")),
    Do.HEAT: Chore(begin=_full_power),
    Do.HEAT_FOR: Chore(begin=_burst),
    Do.DOUGH_IN: Chore(
        begin=_off_and_open, takes_s=_lasting(240), finish=_grain, words=("done", "okay")
    ),
    Do.STIR: Chore(
        begin=_open, takes_s=lambda a: (a.minutes or 0) * 60 + 5, finish=_covered, words=("done",)
    ),
    Do.HOLD: Chore(begin=_off_and_covered),
    Do.LIFT: Chore(begin=_open, takes_s=_lasting(540), finish=_lift, words=("bag is out", "done")),
    Do.BOIL: Chore(begin=_boil),
    Do.ADD: Chore(takes_s=_lasting(15), finish=_add, words=("done",)),
    Do.ADD_WATER: Chore(takes_s=_lasting(90), finish=_water, words=("done",)),
    Do.FLAMEOUT: Chore(begin=_off_and_covered, words=("heat is off", "flame out")),
    Do.WHIRLPOOL: Chore(begin=_covered, takes_s=_lasting(90), words=("done",)),
    Do.SETTLE: Chore(begin=_covered),
    Do.CHILL: Chore(begin=_cool),
    Do.TRANSFER: Chore(takes_s=_lasting(600), finish=_transfer, words=("done",)),
    Do.TOP_UP: Chore(takes_s=_lasting(60), finish=_top_up, words=("done",)),
    Do.AERATE: Chore(takes_s=_lasting(300), words=("aerated", "splashed")),
    Do.PITCH: Chore(takes_s=_lasting(40), words=("yeast is in", "pitched")),
}
COLD_NIGHT = Chore(takes_s=_lasting(6 * 3600), finish=_cooled, words=("done",))
"""Chilling a fermenter that is too warm: hours in a cold place."""
