"""The brewer's hand on the heater's switch and on the tap: on, up, down and off again."""

from collections.abc import Callable

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.state import Phase, State, Task, TimerKind
from assistant.rehearsal.acts import Acts
from assistant.rehearsal.chores import CHORES
from assistant.rehearsal.habits import Habits
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.telling import Said
from assistant.schedule.model import Schedule

SWITCHED = (Do.HEAT, Do.HEAT_FOR, Do.CHILL)
"""Tasks that begin with a switch or a tap, and end with it."""


class Switches:
    """What is on, and for which task."""

    def __init__(
        self, schedule: Schedule, kettle: SimulatedKettle, habits: Habits, acts: Acts
    ) -> None:
        self.schedule = schedule
        self.kettle = kettle
        self.habits = habits
        self.acts = acts
        self.on: dict[int, Task] = {}
        self.powers: dict[int, float | None] = {}

    def begun(self, task: Task) -> None:
        """A task has been begun."""
        self.powers[task.id] = task.action.power
        if task.action.do in SWITCHED:
            self.on[task.id] = task

    def look(self, state: State) -> None:
        """Plan to switch off what is over, and to turn what has come to another power."""
        for task_id, task in list(self.on.items()):
            if not is_open(state, task_id):
                del self.on[task_id]
                self._over(state, task)
        for task in state.tasks:
            if task.action.power != self.powers.get(task.id, task.action.power):
                self.powers[task.id] = task.action.power
                self.acts.plan(state, self.habits.at_once_s, self._turning(task))

    def bursts(self) -> list[int]:
        """The tasks of the bursts of heat that are on."""
        return [id for id, task in self.on.items() if task.action.do is Do.HEAT_FOR]

    def end_bursts(self, task_ids: list[int]) -> None:
        """Heat off and lid on, unless something else wants the heat by now."""
        for task_id in task_ids:
            self.on.pop(task_id, None)
        if not self.on:
            self.kettle.heat(0.0)
            self.kettle.lid_on = True

    def all_off(self) -> None:
        """Heat and cooling off."""
        self.kettle.heat(0.0)
        self.kettle.cooling = None

    def _over(self, state: State, task: Task) -> None:
        if task.action.do is Do.CHILL and state.stage is Stage.WHIRLPOOL:
            # Who reads the thermometer on the way to the steep has a hand on the tap.
            self.all_off()
        answered = task.action.do is Do.HEAT_FOR and has_burst(state, Phase.DUE)
        if state.stage is not Stage.BOIL and not answered:
            self.acts.plan(state, self.habits.at_once_s, self._stop)

    def _stop(self, state: State) -> Said:
        if not self.on:
            self.all_off()
        return ()

    def _turning(self, task: Task) -> Callable[[State], Said]:
        def turn(state: State) -> Said:
            if is_open(state, task.id):
                CHORES[task.action.do].begin(self.kettle, self.schedule, task.action)
            return ()

        return turn


def is_open(state: State, task_id: int) -> bool:
    """Whether a task still waits to be done."""
    return any(task.id == task_id for task in state.tasks)


def has_burst(state: State, *phases: Phase) -> bool:
    """Whether a burst of heat has a timer in one of these phases."""
    return any(t.kind is TimerKind.BURST and t.phase in phases for t in state.timers)
