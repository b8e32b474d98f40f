"""The kinds of timers and how each behaves: what it says when due, whether it insists."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum

from assistant.advice import figures
from assistant.day.state import State, Timer, TimerKind


class Late(Enum):
    """What becomes of a timer that is noticed only after its time, as when the computer slept."""

    TOLD = "told"
    """It is said with how late it is, however late; where it insists its repeats start anew."""

    LAPSES = "lapses"
    """The same for :data:`LAPSED_S`; after that its words hold no longer, and it ends silently."""

    ACTS = "acts"
    """It never says anything; what it has to do is done at once, and only once."""


LAPSED_S = 300.0
"""So late "stirring is enough" and "boil soon" are history."""


@dataclass(frozen=True, kw_only=True)
class TimerPolicy:
    """How a kind of timer behaves: ``words`` once due (None: silent), and whether it insists.

    ``late`` is what happens where the time was missed. A heads-up that was missed is left out.

    ``near_words`` is the heads-up, told how many seconds are left.

    ``pauses`` tells those that stand still with the rest, boil or steep they belong to;
    ``outlives_stage`` those that go on when their stage is left.
    """

    late: Late
    words: Callable[[State, Timer], str] | None = None
    near_words: Callable[[State, Timer, float], str] = lambda state, timer, left_s: (
        f"{figures.sentence(timer.name)} in {figures.duration(left_s)}"
    )
    insists: bool = False
    pauses: bool = True
    outlives_stage: bool = False


def amount_words(state: State, timer: Timer) -> str:
    """``26 grams of Challenger``, for the addition a timer is for."""
    index = timer.index or 0
    weight = figures.weight(state.additions[index].weight_g, state.schedule.units)
    return f"{weight} of {state.schedule.additions[index].name}"


def _addition(state: State, timer: Timer) -> str:
    weight, _, name = amount_words(state, timer).partition(" of ")
    return f"{figures.sentence(name)} now: {weight}"


def _addition_near(state: State, timer: Timer, left_s: float) -> str:
    weight, _, name = amount_words(state, timer).partition(" of ")
    return f"{figures.sentence(name)} in {figures.duration(left_s)}: weigh out {weight}"


POLICIES: Mapping[TimerKind, TimerPolicy] = {
    TimerKind.REST: TimerPolicy(
        late=Late.TOLD,
        words=lambda state, timer: f"{figures.sentence(timer.name)} is over",
        insists=True,
        outlives_stage=True,
    ),
    TimerKind.STIR: TimerPolicy(late=Late.LAPSES, words=lambda state, timer: "Stirring is enough"),
    TimerKind.ASK: TimerPolicy(late=Late.ACTS),
    TimerKind.BURST: TimerPolicy(
        late=Late.TOLD, words=lambda state, timer: "Heat off now", insists=True, pauses=False
    ),
    TimerKind.BOIL_OVER: TimerPolicy(
        late=Late.LAPSES,
        words=lambda state, timer: "Boil soon: stay beside it, lid off",
        pauses=False,
    ),
    TimerKind.BOIL: TimerPolicy(
        late=Late.TOLD,
        words=lambda state, timer: "The boil is over: heat off",
        near_words=lambda state, timer, left_s: f"Heat off in {figures.duration(left_s)}",
        insists=True,
    ),
    TimerKind.ADDITION: TimerPolicy(
        late=Late.TOLD, words=_addition, near_words=_addition_near, insists=True
    ),
    TimerKind.CHILLER: TimerPolicy(
        late=Late.TOLD, words=lambda state, timer: "Chiller in now", insists=True
    ),
    TimerKind.OVERDUE: TimerPolicy(late=Late.ACTS),
    TimerKind.STEEP: TimerPolicy(
        late=Late.TOLD,
        words=lambda state, timer: "The steep is over",
        insists=True,
        outlives_stage=True,
    ),
    TimerKind.SETTLE: TimerPolicy(
        late=Late.TOLD,
        words=lambda state, timer: "Settling is over",
        insists=True,
        outlives_stage=True,
    ),
    TimerKind.PATIENCE: TimerPolicy(late=Late.ACTS, pauses=False),
    TimerKind.CLEANING: TimerPolicy(late=Late.ACTS, pauses=False),
    TimerKind.OWN: TimerPolicy(
        late=Late.TOLD,
        words=lambda state, timer: f"{figures.sentence(timer.name)}: time is up",
        insists=True,
        pauses=False,
        outlives_stage=True,
    ),
}


def audible(state: State) -> list[Timer]:
    """The timers the brewer knows of: those that say something once they are due."""
    return [timer for timer in state.timers if POLICIES[timer.kind].words is not None]
