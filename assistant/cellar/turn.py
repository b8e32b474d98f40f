"""One turn of the core: the state being changed and the effects so far."""

from dataclasses import replace
from typing import Any

from assistant.advice.actions import Action
from assistant.cellar.state import CellarState, Opened
from assistant.day.effects import AskOpened, Effect, Refused, Say, TaskOpened, Why
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.state import Ask, Task
from assistant.schedule.model import Units


class Turn:
    """A beer on its way from one event to the next, at ``now_s`` seconds of its brew day."""

    def __init__(self, state: CellarState, now_s: float, *, quiet: bool = False) -> None:
        self.state = replace(state, now_s=now_s)
        self.now_s = now_s
        self.effects: list[Effect] = []
        self.quiet = quiet
        """Whether nobody is told, so that no words need to be found."""
        self.confirmed = False
        """Whether the brewer has said yes already to what is happening."""

    @property
    def units(self) -> Units:
        """The brewer's units."""
        return self.state.schedule.units

    def change(self, **fields: Any) -> None:
        """Replace fields of the state."""
        self.state = replace(self.state, **fields)

    def say(self, text: str, why: Why) -> None:
        """Say something and remember it for "repeat"; a question takes the place of a doubt."""
        self.effects.append(Say(text=text, why=why))
        self.change(spoken=text)
        if why is Why.QUESTION:
            self.change(doubt=None)

    def refuse(self, text: str) -> None:
        """Say why an event could not be used; nothing will have changed."""
        self.effects.append(Refused(text=text))

    @property
    def refused(self) -> bool:
        """Whether the event could not be used."""
        return any(isinstance(effect, Refused) for effect in self.effects)

    def ask(self, quantity: Quantity, why: str) -> None:
        """Want a reading; asked once, however often it is wanted."""
        if any(ask.quantity is quantity for ask in self.state.asks):
            return
        unit = QUANTITIES[quantity].asked_unit(self.units)
        ask = Ask(id=self._number(), quantity=quantity, unit=unit, why=why)
        self.change(asks=(*self.state.asks, ask))
        self.effects.append(AskOpened(id=ask.id, quantity=quantity, unit=unit, why=why))

    def answered(self, quantity: Quantity) -> None:
        """A reading is no longer wanted."""
        self.change(asks=tuple(ask for ask in self.state.asks if ask.quantity is not quantity))

    def open(self, key: str, action: Action, index: int | None = None) -> None:
        """Give the brewer something to do, once; ``index`` is the addition it is for."""
        if any(opened.key == key for opened in self.state.opened):
            return
        task = Task(id=self._number(), action=action, index=index)
        self.change(opened=(*self.state.opened, Opened(key=key, task=task)))
        self.effects.append(TaskOpened(id=task.id, action=action))

    def close(self, *keys: str) -> None:
        """Take things to do off the list."""
        self.change(opened=tuple(each for each in self.state.opened if each.key not in keys))

    def _number(self) -> int:
        number = self.state.next_id
        self.change(next_id=number + 1)
        return number
