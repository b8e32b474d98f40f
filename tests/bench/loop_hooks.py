"""Where the closed-loop benchmark can be changed without touching it.

An ablation takes one part of the program away while it runs, to see what it is worth. What one
brew teaches for the next goes from ``carry`` to ``begin``.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, nullcontext
from typing import Any
from unittest.mock import patch

import numpy as np

from assistant.advice import batch_readings, landing, wort_options, wort_remedies
from assistant.advice.kettle import AT, TRAITS, Array, Belief, Contents, Expected, observed
from assistant.advice.learned import LearnedKettle, with_learned
from assistant.advice.plan import make_plan
from assistant.day import advance as core
from assistant.day import cold_side, mash, outlook, watching
from assistant.day.hot_side import ask_in
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.day.teaching import learned_kettle
from assistant.day.turn import Turn
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.schedule.model import Rest, Schedule


def carry(state: State) -> LearnedKettle:
    """What a finished day has taught of its kettle."""
    return learned_kettle(state)


def begin(schedule: Schedule, learned: object) -> State:
    """A day before it begins, with what the brews before it have taught (None: nothing)."""
    known = learned if isinstance(learned, LearnedKettle) else None
    planned = with_learned(schedule, known)
    return new_day(planned, make_plan(planned))


@contextmanager
def _without_learning() -> Iterator[None]:
    """Readings are taken for the truth of what they read, and the kettle stays as its card has it.

    A gravity gives the extract of the volume as it is believed.
    """

    def as_read(
        belief: Belief,
        contents: Contents,
        value: float,
        expected: Expected,
        *,
        spread: float,
        odd: float = 0.0,
    ) -> tuple[Belief, Contents]:
        _, read = observed(
            belief, contents, value, _of_contents(expected, belief), spread=1e-6, odd=1e9
        )
        return belief, read

    with patch.object(batch_readings, "observed", as_read):
        yield


def _of_contents(expected: Expected, belief: Belief) -> Expected:
    """What a reading should show with the kettle held to what is believed of it.

    A gravity hangs on the extract alone, as it does for a brewer who multiplies it by the volume.
    """
    held = np.array(belief.traits)

    def shown(figures: Array) -> Array:
        fixed = figures.copy()
        fixed[:TRAITS] = held if figures.ndim == 1 else held[:, np.newaxis]
        return expected(fixed)

    return shown


ASK_AT, AGAIN_MIN, CHECK_MIN, LAST_CHECK_S = 0.88, 3.0, 15.0, 1260.0
"""How temperatures were asked for before their time was reckoned."""


@contextmanager
def _without_timing() -> Iterator[None]:
    """Heatings are asked after by the clock and no heat is counted down.

    Rests are checked each quarter of an hour, and only what is far off is put right.
    """

    def by_the_clock(turn: Turn, quantity: Quantity, to_c: float) -> None:
        minutes = watching.heated_in(turn.state, to_c).seconds / 60
        ask_in(turn, quantity, minutes * ASK_AT if minutes > AGAIN_MIN else AGAIN_MIN)

    def each_quarter(turn: Turn, rest: Rest, left_s: float) -> None:
        if left_s > LAST_CHECK_S:
            ask_in(turn, Quantity.MASH_TEMPERATURE, CHECK_MIN)

    with (
        patch.object(watching, "watch_heating", by_the_clock),
        patch("assistant.day.flow.watch_heating", by_the_clock),
        patch("assistant.day.mash.watch_heating", by_the_clock),
        patch("assistant.day.consequences.watch_heating", by_the_clock),
        patch("assistant.day.striking.watch_heating", by_the_clock),
        patch.object(mash, "hold", each_quarter),
        patch("assistant.day.asking.look", lambda turn, rest, left_s: False),
    ):
        yield


@contextmanager
def _one_by_one() -> Iterator[None]:
    """Gravity is put right by one remedy and volume is left to itself; nothing is held back at the
    transfer, and what is not known counts for nothing."""
    best = wort_remedies._best

    def alone(ahead: landing.Ahead, boil_min: Array, dry_kg: Array, water_l: Array) -> Any:
        if len(dry_kg) * len(boil_min) * len(water_l) > max(
            len(boil_min), len(dry_kg), len(water_l)
        ):
            return wort_options.Remedy(counts=float("inf"))
        return best(ahead, boil_min, dry_kg, water_l)

    def gravity_alone(points: Array, litres: Array, *, in_fermenter: bool) -> Array:
        return (points / landing.POINTS_OFF) ** 2 + 0.0 * litres

    def mean_world(batch: Any) -> Array:
        places = [AT[row] for row in landing.UNKNOWN]
        figures = np.array((*batch.belief.traits, *batch.contents))[places]
        return np.repeat(figures[:, np.newaxis], 2, axis=1)

    def all_of_it(ahead: landing.Ahead, *, let_down: bool) -> float:
        return 1000.0

    with (
        patch.object(wort_remedies, "_best", alone),
        patch.object(landing, "off_by", gravity_alone),
        patch.object(landing, "_worlds", mean_world),
        patch.object(cold_side, "stops_at_l", all_of_it),
        patch.object(outlook, "stops_at_l", all_of_it),
        patch.object(outlook, "likely_top_up_l", lambda ahead: 0.0),
        patch.object(wort_options, "likely_top_up_l", lambda ahead: 0.0),
    ):
        yield


@contextmanager
def _without_reweighing() -> Iterator[None]:
    """Hops go in as they were weighed."""
    with (
        patch.object(core, "hold_bitterness", lambda turn, before: None),
        patch.object(core, "hold_before_due", lambda turn: None),
    ):
        yield


@contextmanager
def _all_run_over() -> Iterator[None]:
    """The brewer runs everything into the fermenter, whatever is said of where to stop."""
    transfer = SimulatedKettle.transfer
    with patch.object(SimulatedKettle, "transfer", lambda kettle, most_l=None: transfer(kettle)):
        yield


@contextmanager
def _no_litres() -> Iterator[None]:
    """Nothing is said of where to stop running wort into the fermenter, and nothing is believed."""
    transferred = cold_side.transferred

    def all_of_it(batch: Any, schedule: Schedule, at_s: float, most_l: float | None) -> Any:
        return transferred(batch, schedule, at_s, None)

    def never(ahead: landing.Ahead, *, let_down: bool) -> float:
        return 1000.0

    with (
        patch.object(cold_side, "transferred", all_of_it),
        patch.object(cold_side, "stops_at_l", never),
        patch.object(outlook, "stops_at_l", never),
        patch("assistant.advice.wort_options.stops_at_l", never),
    ):
        yield


@contextmanager
def _without_recourse() -> Iterator[None]:
    """A remedy is judged as if the fermenter could not be topped up any more."""
    with patch.object(landing, "TOP_UPS", 1):
        yield


ABLATIONS: Mapping[str, Callable[[], AbstractContextManager[None]]] = {
    "none": nullcontext,
    "learning": _without_learning,
    "timing": _without_timing,
    "joint": _one_by_one,
    "hops": _without_reweighing,
    "stopping": _all_run_over,
    "litres": _no_litres,
    "recourse": _without_recourse,
}
"""What can be taken away, by name."""
