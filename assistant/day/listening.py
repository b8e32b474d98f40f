"""What words can mean at this moment: the context an ear, or a parser of typed words, needs."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from assistant.advice.timeline import Stage
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.day.commands import COMMANDS, Command
from assistant.day.events import Meaning
from assistant.day.hot_side import gathering
from assistant.day.plausible import Likely, likely
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.day.strike_water import open_minerals
from assistant.day.timer_kinds import audible
from assistant.day.wording import addition_names
from assistant.schedule.model import Units

_WORT = (
    Quantity.KETTLE_TEMPERATURE,
    Quantity.KETTLE_VOLUME,
    Quantity.GRAVITY,
    Quantity.BRIX,
    Quantity.ROOM_TEMPERATURE,
)
_WATER = (
    Quantity.WATER_TEMPERATURE,
    Quantity.KETTLE_TEMPERATURE,
    Quantity.KETTLE_VOLUME,
    Quantity.ROOM_TEMPERATURE,
)
_IN_THE_FERMENTER = (
    Quantity.FERMENTER_TEMPERATURE,
    Quantity.FERMENTER_VOLUME,
    Quantity.GRAVITY,
    Quantity.BRIX,
    Quantity.ROOM_TEMPERATURE,
)

READ_IN: Mapping[Stage, tuple[Quantity, ...]] = {
    Stage.GATHER: (*_WATER, Quantity.TOP_UP_TEMPERATURE),
    Stage.STRIKE: _WATER,
    Stage.DOUGH_IN: (*_WATER, Quantity.MASH_TEMPERATURE),
    Stage.MASH: (Quantity.MASH_TEMPERATURE, Quantity.MASH_PH, *_WORT),
    Stage.LIFT: (Quantity.MASH_TEMPERATURE, Quantity.MASH_PH, *_WORT),
    Stage.BOIL_UP: _WORT,
    Stage.BOIL: _WORT,
    Stage.WHIRLPOOL: _WORT,
    Stage.CHILL: (*_WORT, Quantity.TOP_UP_TEMPERATURE),
    Stage.TRANSFER: (
        Quantity.KETTLE_TEMPERATURE,
        Quantity.KETTLE_VOLUME,
        Quantity.TOP_UP_TEMPERATURE,
        *_IN_THE_FERMENTER,
    ),
    Stage.PITCH: _IN_THE_FERMENTER,
    Stage.CLEAN: _IN_THE_FERMENTER,
    Stage.FINISHED: (),
}
"""What a brewer is likely to read at each stage, asked or not."""


@dataclass(frozen=True, kw_only=True)
class Listening:
    """The stage, the units, what was asked, the options on offer and the names that can be used.

    ``likely`` holds the bounds of each quantity asked or sensible at this stage, and ``expected``
    the value where one is, in the unit kept: outside the bounds the core asks before it believes.
    A quantity that nothing can be said of is in neither.
    ``question`` tells that yes or no is waited for, ``doubt`` holds the meanings of words heard
    unsurely that were asked about, and ``checklist`` that "done" goes on to its next item.
    ``commands`` are those that would not be refused at this stage.
    """

    stage: Stage
    units: Units
    asked: tuple[Quantity, ...]
    options: tuple[str, ...]
    additions: tuple[str, ...]
    timers: tuple[str, ...]
    likely: Mapping[Quantity, tuple[float, float]] = field(default_factory=dict)
    expected: Mapping[Quantity, float] = field(default_factory=dict)
    question: bool = False
    doubt: tuple[Meaning, ...] = ()
    checklist: bool = False
    commands: frozenset[Command] = frozenset(Command)


def listening(state: State) -> Listening:
    """The context of a state."""
    asked = tuple(ask.quantity for ask in state.asks)
    doubt = state.open_doubt()
    meanings = doubt.meanings if doubt else ()
    bounds = _bounds(state, asked)
    return Listening(
        stage=state.stage,
        units=state.schedule.units,
        asked=asked,
        options=tuple(option.say for option in state.advice.finding.options)
        if state.advice
        else (),
        additions=(
            *addition_names(state.schedule),
            *(task.action.item or "" for task in open_minerals(state)),
        ),
        timers=tuple(timer.name for timer in audible(state)),
        likely={quantity: (found.low, found.high) for quantity, found in bounds.items()},
        expected={
            quantity: found.expected
            for quantity, found in bounds.items()
            if found.expected is not None
        },
        question=len(meanings) == 1
        or (doubt is None and (state.question is not None or Quantity.BOILING in asked)),
        doubt=meanings,
        checklist=gathering(state),
        commands=_commands(state, len(meanings)),
    )


def _bounds(state: State, asked: tuple[Quantity, ...]) -> dict[Quantity, Likely]:
    found: dict[Quantity, Likely] = {}
    for quantity in dict.fromkeys((*asked, *READ_IN[state.stage])):
        try:
            expected = likely(state, quantity)
        except (OutOfRange, NeverReaches):
            # A batch past what a sum holds for: anything may be read then.
            continue
        # Bounds the wrong way round, of a kettle over its brim, help no ear.
        if expected is not None and expected.low <= expected.high:
            found[quantity] = expected
    return found


CHOOSING = (Command.FIRST, Command.SECOND, Command.THIRD)


def _commands(state: State, meanings: int) -> frozenset[Command]:
    """Those that belong to the stage; "the second" only where there are two to choose from."""
    unfit = CHOOSING[meanings:] if meanings > 1 else CHOOSING
    return frozenset(
        command
        for command, spec in COMMANDS.items()
        if state.stage in spec.stages and command not in unfit
    )
