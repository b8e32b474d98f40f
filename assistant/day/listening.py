"""What words can mean at this moment: the context an ear, or a parser of typed words, needs."""

from dataclasses import dataclass

from assistant.advice.timeline import Stage
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.day.strike_water import open_minerals
from assistant.day.timer_kinds import POLICIES
from assistant.day.wording import addition_names
from assistant.schedule.model import Units


@dataclass(frozen=True, kw_only=True)
class Listening:
    """The stage, the units, what was asked, the options on offer and the names that can be used."""

    stage: Stage
    units: Units
    asked: tuple[Quantity, ...]
    options: tuple[str, ...]
    additions: tuple[str, ...]
    timers: tuple[str, ...]


def listening(state: State) -> Listening:
    """The context of a state."""
    return Listening(
        stage=state.stage,
        units=state.schedule.units,
        asked=tuple(ask.quantity for ask in state.asks),
        options=tuple(option.say for option in state.advice.finding.options)
        if state.advice
        else (),
        additions=(
            *addition_names(state.schedule),
            *(task.action.item or "" for task in open_minerals(state)),
        ),
        timers=tuple(
            timer.name for timer in state.timers if POLICIES[timer.kind].words is not None
        ),
    )
