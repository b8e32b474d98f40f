"""One turn of the core: the state being changed and the effects so far.

``advance`` is pure; inside one call its handlers share this, so that none of them has to thread
state and effects through the others. A handler that finds a stage at its end says so with
:meth:`Turn.lead`, and the flow follows.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from assistant.advice.actions import Action, Do, Finding
from assistant.advice.batch import Batch
from assistant.advice.batch_readings import with_learned_kettle
from assistant.advice.figures import sentence
from assistant.day.effects import (
    AdviceOffered,
    AskOpened,
    Effect,
    Refused,
    Say,
    TaskOpened,
    TimerChanged,
    TimerNews,
    Why,
)
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.stages import Trigger
from assistant.day.state import Advice, Ask, Phase, State, Task, Timer, TimerKind
from assistant.day.timer_kinds import POLICIES
from assistant.schedule.model import Units

MOST_WORDS = 20
"""What an ear two metres from a boil takes in at once."""


class Turn:
    """A state on its way from one event to the next, at ``now_s`` seconds of the day."""

    def __init__(self, state: State, now_s: float) -> None:
        self.before_s = state.now_s
        """When the event before this one was."""
        self.state = replace(state, now_s=now_s)
        self.now_s = now_s
        self.effects: list[Effect] = []
        self.leads: list[Trigger] = []
        self.confirmed = False
        """Whether the brewer has said yes already to what is happening."""

    @property
    def units(self) -> Units:
        """The brewer's units."""
        return self.state.schedule.units

    def change(self, **fields: Any) -> None:
        """Replace fields of the state."""
        self.state = replace(self.state, **fields)

    def learn(self, batch: Batch) -> None:
        """Take what is believed of the batch, and of the kettle with it."""
        self.change(batch=batch, schedule=with_learned_kettle(self.state.schedule, batch))

    def lead(self, trigger: Trigger) -> None:
        """Ask the flow to follow a trigger once this handler is through."""
        self.leads.append(trigger)

    def there(self, wanted_c: float) -> None:
        """The temperature wanted in the stage or rest at hand is there: note what it was."""
        *before, here = self.state.reached
        noted = replace(here, wanted_c=wanted_c, there_s=self.now_s)
        self.change(reached=(*before, noted))

    def say(self, text: str, why: Why) -> None:
        """Say something and remember it for "repeat"; a question takes the place of a doubt.

        So "yes" always answers what was asked last.
        """
        self.effects.append(Say(text=text, why=why))
        self.change(spoken=text)
        if why is Why.QUESTION:
            self.change(doubt=None)

    def refuse(self, text: str) -> None:
        """Say why an event could not be used; nothing will have changed."""
        self.effects.append(Refused(text=text))

    def open_task(self, action: Action, index: int | None = None) -> None:
        """Give the brewer something to do; ``index`` is the addition it is for."""
        task = Task(id=self._number(), action=action, index=index)
        self.change(tasks=(*self.state.tasks, task))
        self.effects.append(TaskOpened(id=task.id, action=action))

    def change_task(self, task: Task, action: Action) -> None:
        """Ask for something else in a task that stays open under its number."""
        changed = replace(task, action=action)
        self.change(
            tasks=tuple(changed if other.id == task.id else other for other in self.state.tasks)
        )
        self.effects.append(TaskOpened(id=task.id, action=action))

    def close_tasks(self, wanted: Callable[[Task], bool]) -> None:
        """Take tasks off the list."""
        self.change(tasks=tuple(task for task in self.state.tasks if not wanted(task)))

    def close(self, *dos: Do) -> None:
        """Take all tasks of these kinds off the list."""
        self.close_tasks(lambda task: task.action.do in dos)

    def has_task(self, *dos: Do) -> bool:
        """Whether a task of one of these kinds is open."""
        return any(task.action.do in dos for task in self.state.tasks)

    def ask(self, quantity: Quantity, why: str, *, needed: bool = False) -> None:
        """Want a reading; asked once, however often it is wanted."""
        if any(ask.quantity is quantity for ask in self.state.asks):
            return
        unit = QUANTITIES[quantity].asked_unit(self.units)
        ask = Ask(id=self._number(), quantity=quantity, unit=unit, why=why, needed=needed)
        self.change(asks=(*self.state.asks, ask))
        self.effects.append(AskOpened(id=ask.id, quantity=quantity, unit=unit, why=why))

    def ask_again(self, quantity: Quantity, why: str) -> None:
        """Want a reading, and tell so again where it has been wanted for a while."""
        waiting = next((ask for ask in self.state.asks if ask.quantity is quantity), None)
        if waiting is None:
            self.ask(quantity, why)
            return
        again = AskOpened(id=waiting.id, quantity=quantity, unit=waiting.unit, why=waiting.why)
        self.effects.append(again)

    def answered(self, quantity: Quantity) -> None:
        """A reading is no longer wanted."""
        self.change(asks=tuple(ask for ask in self.state.asks if ask.quantity is not quantity))

    def set_timer(self, timer: Timer) -> None:
        """Start a timer, in place of one of the same name."""
        others = tuple(other for other in self.state.timers if other.name != timer.name)
        self.change(timers=(*others, timer))
        self._tell(timer, TimerNews.SET)

    def update_timer(self, timer: Timer, news: TimerNews | None = None) -> None:
        """Change a timer in its place, telling of it if there is news."""
        self.change(
            timers=tuple(
                timer if other.name == timer.name else other for other in self.state.timers
            )
        )
        if news is not None:
            self._tell(timer, news)

    def end_timers(self, wanted: Callable[[Timer], bool], news: TimerNews) -> None:
        """Take timers away."""
        ended = [timer for timer in self.state.timers if wanted(timer)]
        self.change(timers=tuple(timer for timer in self.state.timers if not wanted(timer)))
        for timer in ended:
            self._tell(timer, news)

    def runs(self, *kinds: TimerKind) -> bool:
        """Whether a timer of one of these kinds is still running."""
        return any(
            timer.kind in kinds and timer.phase is not Phase.DUE for timer in self.state.timers
        )

    def advise(self, finding: Finding) -> None:
        """Offer a choice, in place of one still open, and say it; what leaves none is only said.

        Its reason is kept for a brewer who asks.
        """
        self.explain(finding.why or f"{sentence(finding.finding)}.")
        if all(option.action.do is Do.LEAVE_IT for option in finding.options):
            said = f"{finding.finding}. {finding.options[0].phrase.removeprefix('leave it: ')}"
            self.say(f"{'. '.join(map(sentence, said.split('. ')))}.", Why.ANSWER)
            return
        advice = Advice(id=self._number(), finding=finding)
        self.change(advice=advice)
        self.effects.append(
            AdviceOffered(
                id=advice.id,
                about=finding.about,
                finding=finding.finding,
                options=finding.options,
                recommended=finding.recommended,
            )
        )
        self.say(advice_words(finding), Why.QUESTION)

    def explain(self, text: str) -> None:
        """Keep one sentence of at most 20 words, to be said to a brewer who asks why."""
        self.change(reason=text)

    def _number(self) -> int:
        number = self.state.next_id
        self.change(next_id=number + 1)
        return number

    def _tell(self, timer: Timer, news: TimerNews) -> None:
        if POLICIES[timer.kind].words is None:
            return
        due = None if timer.left_s is not None else timer.due_s
        self.effects.append(TimerChanged(name=timer.name, state=news, due=due))


def advice_words(finding: Finding) -> str:
    """A finding as it is spoken: what is off, the best ways out and leaving it.

    As many of the others as fit an ear's twenty words are named, the recommended one first.
    """
    options = sorted(finding.options, key=lambda option: option.say != finding.recommended)
    others = [option for option in options if option.action.do is not Do.LEAVE_IT]
    leave = [option for option in options if option.action.do is Do.LEAVE_IT]
    leave_first = bool(leave) and leave[0].say == finding.recommended
    for count in (2, 1):
        spoken = leave + others[:count] if leave_first else others[:count] + leave
        phrases = [option.phrase for option in spoken]
        words = f"{sentence(finding.finding)}. {sentence(', or '.join(phrases))}."
        if len(words.split()) <= MOST_WORDS:
            break
    return words
