"""A simulated brewer: looks at what is open, does it in a person's time, and says so in words.

The brewer knows what anybody in the brewhouse would: what was asked, what is due, what is on offer,
and what the instruments show. Everything said is a sentence; whoever runs the day has it
understood. ``source`` is held by the caller, so that a day can be had again.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.hot_side import gathering
from assistant.day.quantities import Quantity
from assistant.day.state import Phase, State, Task, Timer, TimerKind
from assistant.day.wording import addition_names
from assistant.rehearsal.chores import CHORES, COLD_NIGHT
from assistant.rehearsal.instruments import Instruments
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.schedule.model import AdditionKind, Schedule

DELAY_S = (5.0, 25.0)
ITEM_S = (20.0, 70.0)
AT_ONCE_S = (3.0, 7.0)
SAMPLE_S = (150.0, 210.0)
"""A gravity is read in a sample that has been cooled."""

FORGOTTEN_S = (240.0, 400.0)
CLEANING_S = (900.0, 1500.0)
GLANCE_S = 8.0
WATCH_S = 15.0
"""How often a brewer who waits for the boil looks into the kettle."""

TOO_LONG_S = 4500.0
"""After chilling this long a brewer takes the wort as it is."""

AGAIN_S = 20.0
ANSWERED = (
    TimerKind.REST,
    TimerKind.STEEP,
    TimerKind.SETTLE,
    TimerKind.CHILLER,
    TimerKind.BURST,
    TimerKind.OWN,
)
"""Due timers a brewer answers with a word; the others are answered by doing what they ask."""

DONE = ("done", "okay", "got it")
ADDED: Mapping[AdditionKind, str] = {
    AdditionKind.HOPS: "hops are in",
    AdditionKind.FININGS: "finings are in",
}
ASIDES: Mapping[Stage, tuple[float, str]] = {
    Stage.LIFT: (120.0, "what's next"),
    Stage.BOIL: (1500.0, "how long"),
    Stage.CHILL: (90.0, "five minute timer for the hose"),
}
"""What a brewer says unasked, and how many seconds into a stage."""

Said = tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Act:
    """Something the brewer will do at ``at``; it gives the sentences said with it."""

    at: float
    do: Callable[[State], Said]


class Brewer:
    """The brewer's attention and hands. ``forgets`` is the addition left lying, by its place."""

    def __init__(
        self,
        schedule: Schedule,
        kettle: SimulatedKettle,
        source: random.Random,
        *,
        follow_advice: bool,
        forgets: int | None,
    ) -> None:
        self.schedule = schedule
        self.kettle = kettle
        self.source = source
        self.follow_advice = follow_advice
        self.forgets = forgets
        self.instruments = Instruments(kettle, schedule.units, source)
        self.acts: list[Act] = []
        self.seen: set[tuple[object, ...]] = set()
        self.running: dict[int, Callable[[], None]] = {}

    @property
    def next_act_s(self) -> float | None:
        """When the brewer next does something; None if there is nothing to do."""
        return min((act.at for act in self.acts), default=None)

    def act(self, state: State) -> Said:
        """Do the next thing; gives what is said with it."""
        act = min(self.acts, key=lambda act: act.at)
        self.acts.remove(act)
        return act.do(state)

    def look(self, state: State) -> None:
        """Take in what is open and plan what to do about it, once for each thing."""
        self._stop_what_is_over(state)
        if gathering(state) and self._new("item", state.gathered):
            self._plan(state, ITEM_S, lambda now: (self.source.choice(DONE),))
        for task in state.tasks:
            waits = task.action.do is Do.FILL and gathering(state)
            if not waits and self._new("task", task.id):
                self._take_on(state, task)
        for ask in state.asks:
            if self._new("ask", ask.id):
                delay_s = SAMPLE_S if ask.quantity is Quantity.GRAVITY else DELAY_S
                self._plan(state, delay_s, self._reading(ask.id, ask.quantity))
        if state.advice is not None and self._new("advice", state.advice.id):
            self._plan(state, DELAY_S, self._choice(state.advice.id))
        if state.question is not None and self._new("question", state.question.reading.at):
            self._plan(state, DELAY_S, lambda now: ("yes",) if now.question else ())
        for timer in state.timers:
            due = timer.phase is Phase.DUE and timer.kind in ANSWERED
            if due and self._new("timer", timer.name, timer.due_s):
                quick = timer.kind is TimerKind.BURST
                self._plan(state, AT_ONCE_S if quick else DELAY_S, self._answer(timer))
        if self._new("stage", len(state.reached)):
            self._arrive(state)

    def _new(self, *key: object) -> bool:
        if key in self.seen:
            return False
        self.seen.add(key)
        return True

    def _plan(
        self, state: State, delay_s: tuple[float, float], do: Callable[[State], Said]
    ) -> None:
        self.acts.append(Act(at=state.now_s + self.source.uniform(*delay_s), do=do))

    def _later(self, state: State, seconds: float, do: Callable[[State], Said]) -> Said:
        self.acts.append(Act(at=state.now_s + seconds, do=do))
        return ()

    def _arrive(self, state: State) -> None:
        stage = state.stage
        if stage is Stage.BOIL_UP:
            self._later(state, WATCH_S, self._watch)
        if stage is Stage.CHILL:
            self._later(state, TOO_LONG_S, self._give_up)
        if stage is Stage.CLEAN:
            self._plan(state, CLEANING_S, lambda now: ("all clean",))
        if stage in ASIDES:
            seconds, words = ASIDES[stage]
            self._later(state, seconds, lambda now: (words,) if now.stage is stage else ())

    def _watch(self, state: State) -> Said:
        if state.stage is not Stage.BOIL_UP:
            return ()
        if self.kettle.steaming:
            return ("boiling",)
        return self._later(state, WATCH_S, self._watch)

    def _glance(self, state: State, task: Task) -> Said:
        """Cooling to the steep is quick: the thermometer is watched and the tap shut in time."""
        if not _is_open(state, task.id):
            return ()
        if self.kettle.temperature_c > (task.action.to_c or 0.0):
            return self._later(state, GLANCE_S, lambda now: self._glance(now, task))
        self._all_off()
        return (self.instruments.sentence(Quantity.KETTLE_TEMPERATURE),)

    def _give_up(self, state: State) -> Said:
        return ("cold enough",) if state.stage is Stage.CHILL else ()

    def _stop_what_is_over(self, state: State) -> None:
        for task_id, stop in list(self.running.items()):
            if not _is_open(state, task_id):
                del self.running[task_id]
                if state.stage is not Stage.BOIL:
                    self._plan(state, AT_ONCE_S, lambda now, stop=stop: stop() or ())  # type: ignore[misc]

    def _take_on(self, state: State, task: Task) -> None:
        delay_s = DELAY_S
        if task.action.do in (Do.HEAT, Do.HEAT_FOR, Do.CHILL):
            delay_s = AT_ONCE_S
        if task.index is not None and task.index == self.forgets and self._new("forgotten"):
            delay_s = FORGOTTEN_S
        self._plan(state, delay_s, lambda now: self._begin(now, task))

    def _begin(self, state: State, task: Task) -> Said:
        if not _is_open(state, task.id):
            return ()
        cold_night = task.action.do is Do.CHILL and self.kettle.fermenter is not None
        chore = COLD_NIGHT if cold_night else CHORES[task.action.do]
        chore.begin(self.kettle, self.schedule, task.action)
        if task.action.do in (Do.HEAT, Do.CHILL):
            self.running[task.id] = self._all_off
        if task.action.do is Do.CHILL and state.stage is Stage.WHIRLPOOL:
            self._later(state, GLANCE_S, lambda now: self._glance(now, task))
        if not (chore.words or chore.takes_s(task.action)):
            return ()

        def finish(now: State) -> Said:
            if not _is_open(now, task.id):
                return ()
            chore.finish(self.kettle, self.schedule, task.action)
            return self._report(now, task, chore.words)

        return self._later(state, chore.takes_s(task.action), finish)

    def _all_off(self) -> None:
        self.kettle.heat(0.0)
        self.kettle.cooling = None

    def _report(self, state: State, task: Task, words: Said) -> Said:
        """Say that a task is done; "done" waits while something to add is due, and is repeated."""
        if not _is_open(state, task.id):
            return ()
        if task.index is not None:
            return (self._added(state, task.index),)
        if task.action.do is Do.WHIRLPOOL and state.timer("steep") is not None:
            return ()
        self._later(state, AGAIN_S, lambda now: self._report(now, task, words))
        said = self.source.choice(words)
        return () if said in DONE and _addition_due(state) else (said,)

    def _added(self, state: State, index: int) -> str:
        due = [task for task in state.tasks if task.action.do is Do.ADD]
        kind = self.schedule.additions[index].kind
        if len(due) == 1 and kind in ADDED:
            return ADDED[kind]
        return f"{addition_names(self.schedule)[index]} is in"

    def _reading(self, ask_id: int, quantity: Quantity) -> Callable[[State], Said]:
        def read(state: State) -> Said:
            if not any(ask.id == ask_id for ask in state.asks):
                return ()
            return (self.instruments.sentence(quantity),)

        return read

    def _choice(self, advice_id: int) -> Callable[[State], Said]:
        def choose(state: State) -> Said:
            if state.advice is None or state.advice.id != advice_id:
                return ()
            says = [option.say for option in state.advice.finding.options]
            if not self.follow_advice and "leave it" in says:
                return ("leave it",)
            return (state.advice.finding.recommended,)

        return choose

    def _answer(self, timer: Timer) -> Callable[[State], Said]:
        def answer(state: State) -> Said:
            now = state.timer(timer.name)
            if now is None or now.phase is not Phase.DUE:
                return ()
            if timer.kind is TimerKind.BURST:
                self.kettle.heat(0.0)
                self.kettle.lid_on = True
            if _addition_due(state):
                return self._later(state, AGAIN_S, answer)
            return (self.source.choice(DONE),)

        return answer


def _is_open(state: State, task_id: int) -> bool:
    return any(task.id == task_id for task in state.tasks)


def _addition_due(state: State) -> bool:
    return any(t.kind is TimerKind.ADDITION and t.phase is Phase.DUE for t in state.timers)
