"""What words can mean on a visit to a beer: what an ear, or a parser of typed words, needs."""

from assistant.advice.timeline import Stage
from assistant.brewing.errors import OutOfRange
from assistant.cellar.plausible import likely
from assistant.cellar.readings import READ
from assistant.cellar.replies import HANDLERS, answers_wanted
from assistant.cellar.state import CellarState
from assistant.day.commands import Command
from assistant.day.listening import CHOOSING, Listening
from assistant.day.plausible import Likely
from assistant.day.quantities import Quantity
from assistant.day.wording import addition_names
from assistant.schedule.model import Moment


def listening(state: CellarState) -> Listening:
    """The context of a state; a visit is to a beer whose brew day is finished."""
    doubt = state.open_doubt()
    meanings = doubt.meanings if doubt else ()
    bounds = _bounds(state)
    names = addition_names(state.schedule)
    return Listening(
        stage=Stage.FINISHED,
        units=state.schedule.units,
        asked=tuple(ask.quantity for ask in state.asks),
        options=(),
        additions=tuple(
            name
            for name, addition in zip(names, state.schedule.additions, strict=True)
            if addition.moment is Moment.DAY
        ),
        timers=(),
        likely={quantity: (found.low, found.high) for quantity, found in bounds.items()},
        expected={
            quantity: found.expected
            for quantity, found in bounds.items()
            if found.expected is not None
        },
        question=len(meanings) == 1 or (doubt is None and answers_wanted(state)),
        doubt=meanings,
        commands=_commands(len(meanings)),
    )


def _bounds(state: CellarState) -> dict[Quantity, Likely]:
    found: dict[Quantity, Likely] = {}
    for quantity in READ:
        try:
            expected = likely(state, quantity)
        except OutOfRange:
            continue
        if expected is not None and expected.low <= expected.high:
            found[quantity] = expected
    return found


def _commands(meanings: int) -> frozenset[Command]:
    choices = CHOOSING[:meanings] if meanings > 1 else ()
    return frozenset({*HANDLERS, Command.UNDO, *choices})
