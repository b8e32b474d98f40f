"""Kettles and brewers otherwise than the closed-loop benchmark draws them, each by its name.

They stand for what another maker of such a test could have done: nothing in the program knows them.
"""

import random
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, replace
from unittest.mock import patch

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.brewing.water import WATER_KG_L
from assistant.day.events import ReadingTaken
from assistant.day.quantities import Quantity
from assistant.day.state import Phase, State, Task, Timer, TimerKind
from assistant.rehearsal.brewer import GLANCE_S, Brewer
from assistant.rehearsal.chores import CHORES, DONE
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.structure import Structure
from assistant.rehearsal.switches import Switches, has_burst, is_open
from assistant.rehearsal.telling import Said


@dataclass(frozen=True, kw_only=True)
class Variant:
    """What is otherwise: the kettle's form, how kettle and brewer go about it, or a sensor that
    tells the temperature every so many seconds.
    """

    structure: Callable[[Structure], Structure] = lambda structure: structure
    going: Callable[[], AbstractContextManager[None]] = nullcontext
    sensor_s: float | None = None


@contextmanager
def fixed_boil_off() -> Iterator[None]:
    """A boil takes away the kettle's own litres an hour whatever its power, and nothing else does.

    The heat that makes no steam is lost.
    """

    def step(
        kettle: SimulatedKettle,
        step_s: float,
        stepping: Callable[[SimulatedKettle, float], None] = SimulatedKettle._step,
    ) -> None:
        stepping(kettle, step_s)
        if kettle.steaming:
            rate_l_h = kettle.card.boil_off_l_h * kettle.truths.boil_off
            evaporating(kettle, rate_l_h * WATER_KG_L * step_s / 3600)

    evaporating = SimulatedKettle._evaporate
    with (
        patch.object(SimulatedKettle, "_evaporate", lambda kettle, steam_kg: None),
        patch.object(SimulatedKettle, "_step", step),
    ):
        yield


WAITING_S = 5.0
HEATED_TO = (Stage.STRIKE, Stage.MASH)
AFTER_HEATING = (Do.HOLD, Do.DOUGH_IN)


@contextmanager
def by_thermometer() -> Iterator[None]:
    """The heat for strike and rests goes off when the thermometer shows the target, and not
    before: no countdown is heeded, and what follows waits until then.
    """
    heating: dict[Brewer, Task] = {}
    beginning, over = Brewer._begin, Switches._over

    def begin(brewer: Brewer, state: State, task_id: int) -> Said:
        task = next((task for task in state.tasks if task.id == task_id), None)
        if task is not None and task.action.do in AFTER_HEATING and brewer in heating:
            return brewer.acts.later(state, WAITING_S, lambda now: begin(brewer, now, task_id))
        told = beginning(brewer, state, task_id)
        if task is not None and task.action.do is Do.HEAT and state.stage in HEATED_TO:
            heating[brewer] = task
            brewer.acts.later(state, GLANCE_S, lambda now: glance(brewer, now))
        return told

    def glance(brewer: Brewer, state: State) -> Said:
        task = heating[brewer]
        task = next((each for each in state.tasks if each.id == task.id), task)
        seen = brewer.instruments.temperature(brewer.kettle.shown_c)
        wanted_c = task.action.to_c or 0.0
        warm_c = seen.value if seen.unit == "degC" else (seen.value - 32) / 1.8
        if warm_c < wanted_c:
            heating[brewer] = task
            return brewer.acts.later(state, GLANCE_S, lambda now: glance(brewer, now))
        del heating[brewer]
        brewer.switches.all_off()
        return brewer.telling.done(state, task, DONE) if is_open(state, task.id) else ()

    def left_on(switches: Switches, state: State, task: Task) -> None:
        if not any(brewer.switches is switches for brewer in heating):
            over(switches, state, task)

    with patch.object(Brewer, "_begin", begin), patch.object(Switches, "_over", left_on):
        yield


@contextmanager
def exact_bursts() -> Iterator[None]:
    """Heat that is asked for in seconds stays on for just those, whatever a timer says."""
    warming: set[Brewer] = set()
    beginning, answering = Brewer._begin, Brewer._answer

    def begin(brewer: Brewer, state: State, task_id: int) -> Said:
        task = next((task for task in state.tasks if task.id == task_id), None)
        if task is None or task.action.do is not Do.HEAT_FOR:
            return beginning(brewer, state, task_id)
        CHORES[Do.HEAT_FOR].begin(brewer.kettle, brewer.schedule, task.action)
        warming.add(brewer)
        return brewer.acts.later(state, task.action.seconds or 0.0, ended(brewer, task))

    def ended(brewer: Brewer, task: Task) -> Callable[[State], Said]:
        def end(state: State) -> Said:
            warming.discard(brewer)
            brewer.kettle.heat(0.0)
            brewer.kettle.lid_on = True
            if is_open(state, task.id):
                return brewer._report(state, task, DONE)
            return ("done",) if has_burst(state, Phase.DUE) else ()

        return end

    def answer(brewer: Brewer, timer: Timer) -> Callable[[State], Said]:
        answered = answering(brewer, timer)
        if timer.kind is not TimerKind.BURST:
            return answered
        return lambda now: () if brewer in warming else answered(now)

    with patch.object(Brewer, "_begin", begin), patch.object(Brewer, "_answer", answer):
        yield


VARIANTS: Mapping[str, Variant] = {
    "as drawn": Variant(),
    "lid makes no odds": Variant(structure=lambda form: replace(form, lid_off=1.0)),
    "by thermometer": Variant(going=by_thermometer),
    "exact bursts": Variant(going=exact_bursts),
    "fixed boil-off": Variant(
        structure=lambda form: replace(form, by_power=False), going=fixed_boil_off
    ),
    "sensor": Variant(sensor_s=30.0),
}


SENSED: Mapping[Stage, Quantity] = {
    Stage.STRIKE: Quantity.WATER_TEMPERATURE,
    Stage.MASH: Quantity.MASH_TEMPERATURE,
}
SENSOR_K = 0.1


class Sensor:
    """A thermometer that tells by itself, to a tenth of a degree, as far off as the brewer's."""

    def __init__(self, kettle: SimulatedKettle, every_s: float | None, seed: int) -> None:
        self.kettle = kettle
        self.every_s = every_s
        self.source = random.Random(f"sensor {seed}")
        self.told_s = 0.0

    def next_s(self, state: State) -> float | None:
        """When it tells next; None where it does not."""
        if self.every_s is None or state.stage not in SENSED:
            return None
        return max(self.told_s + self.every_s, state.now_s)

    def reading(self, state: State, at: float) -> ReadingTaken:
        """What it shows."""
        self.told_s = at
        warm_c = self.kettle.shown_c + self.kettle.truths.thermometer_k
        warm_c = round(warm_c + self.source.gauss(0.0, SENSOR_K), 1)
        return ReadingTaken(at=at, quantity=SENSED[state.stage], value=warm_c, unit="degC")
