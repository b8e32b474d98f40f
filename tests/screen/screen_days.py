"""Days brewed up to a moment, and the screen of that moment as lines of text."""

from dataclasses import replace
from io import StringIO
from pathlib import Path

from rich.console import Console

from assistant.advice.plan import make_plan
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.effects import Say
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    Event,
    ReadingTaken,
    TimePassed,
    TimerRequested,
)
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.schedule import Schedule, load
from assistant.screen import draw

SCHEDULES = Path(__file__).parents[2] / "schedules"
AMBER = load(SCHEDULES / "breakwater-amber.yaml")

BOIL_BEGAN_S = 900.0


def command(at: float, given: Command) -> CommandGiven:
    return CommandGiven(at=at, command=given)


def reading(at: float, quantity: Quantity, value: float, unit: str) -> ReadingTaken:
    return ReadingTaken(at=at, quantity=quantity, value=value, unit=unit)


GATHERING: tuple[Event, ...] = (DayBegan(at=0),)
MASHING = (*GATHERING, command(100, Command.GRAIN_IN))
MASH_COLD = (*MASHING, reading(300, Quantity.MASH_TEMPERATURE, 61, "degC"))
MASH_PAUSED = (*MASHING, command(700, Command.PAUSE))
TO_THE_BOIL = (*MASHING, command(300, Command.BAG_OUT))
BOILING = (
    *TO_THE_BOIL,
    reading(500, Quantity.KETTLE_VOLUME, 26.8, "L"),
    reading(520, Quantity.GRAVITY, 1.042, "SG"),
    command(BOIL_BEGAN_S, Command.BOILING),
)
HOPS_DUE = (
    *BOILING,
    TimePassed(at=BOIL_BEGAN_S + 180),
    TimePassed(at=BOIL_BEGAN_S + 300),
    TimePassed(at=BOIL_BEGAN_S + 320),
)
FINISHED = (
    *TO_THE_BOIL,
    command(900, Command.BOILING),
    command(5000, Command.CHILLED),
    command(5600, Command.TRANSFERRED),
    command(5700, Command.PITCHED),
    command(7000, Command.CLEANED),
)
MANY_TIMERS = (
    *BOILING,
    *(TimerRequested(at=901, seconds=600 + 60 * n, name=f"pot {n}") for n in range(12)),
)

DAYS = {
    "gathering": GATHERING,
    "cold mash": MASH_COLD,
    "paused mash": MASH_PAUSED,
    "to the boil": TO_THE_BOIL,
    "boil": BOILING,
    "hops due": HOPS_DUE,
    "many timers": MANY_TIMERS,
    "finished": FINISHED,
}


def brewed(events: tuple[Event, ...], schedule: Schedule = AMBER) -> tuple[State, tuple[Say, ...]]:
    """The state after these events and everything said on the way."""
    state = new_day(schedule, make_plan(schedule))
    said: list[Say] = []
    for event in events:
        state, effects = advance(state, event)
        said += [effect for effect in effects if isinstance(effect, Say)]
    return state, tuple(said)


def lines_of(
    events: tuple[Event, ...],
    width: int = 80,
    height: int = 24,
    *,
    typed: str = "",
    heard: tuple[str, ...] = (),
    board: str = "",
    board_trouble: str = "",
    sensors_trouble: str = "",
    schedule: Schedule = AMBER,
) -> list[str]:
    """The screen after these events as a terminal of that size would show it."""
    state, said = brewed(events, schedule)
    return rendered(
        state,
        said,
        width,
        height,
        typed=typed,
        heard=heard,
        board=board,
        board_trouble=board_trouble,
        sensors_trouble=sensors_trouble,
    )


def rendered(
    state: State,
    said: tuple[Say, ...],
    width: int,
    height: int,
    *,
    typed: str = "",
    heard: tuple[str, ...] = (),
    board: str = "",
    board_trouble: str = "",
    sensors_trouble: str = "",
) -> list[str]:
    """The screen of a state, drawn far wider than asked so that nothing is cut in passing."""
    out = StringIO()
    console = Console(file=out, width=1000, height=1000, color_system=None, highlight=False)
    drawn = draw(
        state,
        typed=typed,
        heard=heard,
        board=board,
        board_trouble=board_trouble,
        sensors_trouble=sensors_trouble,
        said=said,
        clock="14:32",
        width=width,
        height=height,
    )
    console.print(drawn)
    return out.getvalue().removesuffix("\n").split("\n")


def named(beer: str) -> Schedule:
    return replace(AMBER, beer=beer)
