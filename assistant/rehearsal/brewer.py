"""A simulated brewer: looks at what is open, does it in a person's time, and says so in words.

The brewer knows what anybody in the brewhouse would: what was asked, what is due, what is on offer,
and what the instruments show. What is told is a sentence, to be understood by whoever runs the day,
or an event. ``source`` is held by the caller, so that a day can be had again.
"""

import random
from collections.abc import Callable, Collection, Mapping

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day.hot_side import gathering
from assistant.day.quantities import Quantity
from assistant.day.state import Phase, State, Task, Timer, TimerKind
from assistant.rehearsal.acts import Acts
from assistant.rehearsal.chores import CHORES, COLD_NIGHT, DONE
from assistant.rehearsal.habits import Habits
from assistant.rehearsal.instruments import Instruments, Noise
from assistant.rehearsal.kettle import SimulatedKettle
from assistant.rehearsal.switches import SWITCHED, Switches, has_burst, is_open
from assistant.rehearsal.telling import LEAVE_IT, SKIP, InWords, Said, Telling, addition_due
from assistant.schedule.model import Schedule

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

ASIDES: Mapping[Stage, tuple[float, str]] = {
    Stage.LIFT: (120.0, "what's next"),
    Stage.BOIL: (1500.0, "how long"),
    Stage.CHILL: (90.0, "five minute timer for the hose"),
}
"""What a brewer says unasked, and how many seconds into a stage."""


class Brewer:
    """The brewer's attention and hands. ``forgets`` are the additions left lying, by their place.

    ``hands_at`` tells when what the hands did was done: the additions in the kettle, by their
    place, and the heat off for good (None).
    """

    def __init__(
        self,
        schedule: Schedule,
        kettle: SimulatedKettle,
        source: random.Random,
        *,
        follow_advice: bool,
        forgets: Collection[int],
        habits: Habits | None = None,
        noise: Noise | None = None,
        telling: type[Telling] = InWords,
    ) -> None:
        self.schedule = schedule
        self.kettle = kettle
        self.source = source
        self.follow_advice = follow_advice
        self.forgets = forgets
        self.habits = habits or Habits()
        self.instruments = Instruments(kettle, schedule, source, noise)
        self.telling = telling(schedule, self.instruments, source)
        self.hands_at: dict[int | None, float] = {}
        self.acts = Acts(source)
        self.switches = Switches(schedule, kettle, self.habits, self.acts)

    @property
    def next_act_s(self) -> float | None:
        """When the brewer next does something; None if there is nothing to do."""
        return self.acts.next_s

    def act(self, state: State) -> Said:
        """Do the next thing; gives what is said with it."""
        return self.acts.do_next(state)

    def look(self, state: State) -> None:
        """Take in what is open and plan what to do about it, once for each thing."""
        self.switches.look(state)
        if gathering(state) and self.acts.is_new("item", state.gathered):
            self.acts.plan(state, self.habits.item_s, lambda now: (self.source.choice(DONE),))
        for task in state.tasks:
            waits = task.action.do is Do.FILL and gathering(state)
            if not waits and self.acts.is_new("task", task.id):
                self._take_on(state, task)
        for ask in state.asks:
            if self.acts.is_new("ask", ask.id):
                cools = ask.quantity in (Quantity.GRAVITY, Quantity.BRIX)
                delay_s = self.habits.sample_s if cools else self.habits.delay_s
                self.acts.plan(state, delay_s, self._reading(ask.id, ask.quantity))
        if state.advice is not None and self.acts.is_new("advice", state.advice.id):
            self.acts.plan(state, self.habits.delay_s, self._choice(state.advice.id))
        if state.question is not None and self.acts.is_new("question", state.question.reading.at):
            self.acts.plan(state, self.habits.delay_s, lambda now: ("yes",) if now.question else ())
        for timer in state.timers:
            due = timer.phase is Phase.DUE and timer.kind in ANSWERED
            if due and self.acts.is_new("timer", timer.name, timer.due_s):
                quick = timer.kind is TimerKind.BURST
                self.acts.plan(
                    state,
                    self.habits.at_once_s if quick else self.habits.delay_s,
                    self._answer(timer),
                )
        if self.acts.is_new("stage", len(state.reached)):
            self._arrive(state)

    def _arrive(self, state: State) -> None:
        stage = state.stage
        if stage is Stage.BOIL_UP:
            self.acts.later(state, WATCH_S, self._watch)
        if stage is Stage.CHILL:
            self.acts.later(state, TOO_LONG_S, self._give_up)
        if stage is Stage.CLEAN:
            self.acts.plan(state, CLEANING_S, lambda now: ("all clean",))
        if stage in ASIDES:
            seconds, words = ASIDES[stage]
            self.acts.later(state, seconds, lambda now: (words,) if now.stage is stage else ())

    def _watch(self, state: State) -> Said:
        if state.stage is not Stage.BOIL_UP:
            return ()
        if self.kettle.steaming:
            return ("boiling",)
        return self.acts.later(state, WATCH_S, self._watch)

    def _glance(self, state: State, task: Task) -> Said:
        """Cooling to the steep is quick: the thermometer is watched and the tap shut in time."""
        if not is_open(state, task.id):
            return ()
        if self.kettle.temperature_c > (task.action.to_c or 0.0):
            return self.acts.later(state, GLANCE_S, lambda now: self._glance(now, task))
        self.switches.all_off()
        return self.telling.reading(state, Quantity.KETTLE_TEMPERATURE)

    def _give_up(self, state: State) -> Said:
        return ("cold enough",) if state.stage is Stage.CHILL else ()

    def _take_on(self, state: State, task: Task) -> None:
        delay_s = self.habits.delay_s
        if task.action.do in SWITCHED:
            delay_s = self.habits.at_once_s
        if task.index in self.forgets and self.acts.is_new("forgotten", task.index):
            delay_s = self.habits.forgotten_s
        self.acts.plan(state, delay_s, lambda now: self._begin(now, task.id))

    def _begin(self, state: State, task_id: int) -> Said:
        task = next((task for task in state.tasks if task.id == task_id), None)
        if task is None:
            return ()
        cold_night = task.action.do is Do.CHILL and self.kettle.fermenter is not None
        chore = COLD_NIGHT if cold_night else CHORES[task.action.do]
        chore.begin(self.kettle, self.schedule, task.action)
        self.switches.begun(task)
        if task.action.do is Do.HEAT_FOR and not has_burst(state, Phase.SET, Phase.SOON):
            return self.acts.later(state, task.action.seconds or 0.0, self._burst_over(task))
        if task.action.do is Do.FLAMEOUT:
            self.hands_at[None] = state.now_s
        if task.action.do is Do.CHILL and state.stage is Stage.WHIRLPOOL:
            self.acts.later(state, GLANCE_S, lambda now: self._glance(now, task))
        takes_s = chore.takes_s(task.action)
        if task.index is not None:
            takes_s = self.habits.adding_s
        if not (chore.words or takes_s):
            return ()

        def finish(now: State) -> Said:
            if not is_open(now, task.id):
                return ()
            chore.finish(self.kettle, self.schedule, task.action)
            if task.index is not None:
                self.hands_at[task.index] = now.now_s
            return self._report(now, task, chore.words)

        return self.acts.later(state, takes_s, finish)

    def _burst_over(self, task: Task) -> Callable[[State], Said]:
        """Heat that no timer watches over is counted by the brewer."""

        def over(state: State) -> Said:
            if not is_open(state, task.id) or has_burst(state, Phase.SET, Phase.SOON):
                return ()
            self.switches.end_bursts([task.id])
            return self._report(state, task, DONE)

        return over

    def _report(self, state: State, task: Task, words: tuple[str, ...]) -> Said:
        """Tell that a task is done, again until it is off the list."""
        if not is_open(state, task.id):
            return ()
        if task.index is None:
            if task.action.do is Do.WHIRLPOOL and state.timer("steep") is not None:
                return ()
            self.acts.later(state, AGAIN_S, lambda now: self._report(now, task, words))
        return self.telling.done(state, task, words)

    def _reading(self, ask_id: int, quantity: Quantity) -> Callable[[State], Said]:
        def read(state: State) -> Said:
            if not any(ask.id == ask_id for ask in state.asks):
                return ()
            told = self.telling.reading(state, quantity)
            if told == (SKIP,) and (state.advice is not None or addition_due(state)):
                # It would be taken for the choice or the addition.
                return self.acts.later(state, AGAIN_S, read)
            return told

        return read

    def _choice(self, advice_id: int) -> Callable[[State], Said]:
        def choose(state: State) -> Said:
            if state.advice is None or state.advice.id != advice_id:
                return ()
            says = [option.say for option in state.advice.finding.options]
            say = state.advice.finding.recommended
            if not self.follow_advice:
                say = LEAVE_IT if LEAVE_IT in says else SKIP
            if say == SKIP and addition_due(state):
                return self.acts.later(state, AGAIN_S, choose)
            return self.telling.choice(state, say)

        return choose

    def _answer(self, timer: Timer) -> Callable[[State], Said]:
        bursts = self.switches.bursts()

        def answer(state: State) -> Said:
            if timer.kind is TimerKind.BURST:
                self.switches.end_bursts(bursts)
            now = state.timer(timer.name)
            if now is None or now.phase is not Phase.DUE:
                return ()
            if addition_due(state):
                return self.acts.later(state, AGAIN_S, answer)
            return (self.source.choice(DONE),)

        return answer
