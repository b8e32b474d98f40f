"""Make the README's picture and diagram anew from the real program: `python tests/pictures.py`."""

import io
from pathlib import Path

from rich.console import Console

from assistant.advice.plan import make_plan
from assistant.advice.timeline import Stage
from assistant.day.advance import advance
from assistant.day.commands import Command
from assistant.day.diagram import stage_diagram
from assistant.day.effects import Say
from assistant.day.events import (
    CommandGiven,
    DayBegan,
    Event,
    ReadingTaken,
    Source,
    TaskDone,
    TimePassed,
    TimerRequested,
)
from assistant.day.quantities import Quantity
from assistant.day.state import State, new_day
from assistant.day.timers import next_due_s
from assistant.schedule import load
from assistant.screen import draw

PROJECT = Path(__file__).parent.parent
README = PROJECT / "README.md"
PICTURE = PROJECT / ".pictures" / "boil.svg"
BEGIN, END = "<!-- stages -->\n```mermaid\n", "\n```\n<!-- /stages -->"
WIDTH, HEIGHT = 88, 30


def readme_with_diagram(text: str) -> str:
    """The README with the stages as the table has them now."""
    before, rest = text.split(BEGIN.removesuffix("\n"))
    after = rest.split(END.removeprefix("\n"))[1]
    return f"{before}{BEGIN}{stage_diagram()}{END}{after}"


def boil_screen() -> tuple[State, list[Say]]:
    """A real day brought to the boil, with what was said on the way."""
    schedule = load(PROJECT / "schedules" / "breakwater-amber.yaml")
    said: list[Say] = []
    state = new_day(schedule, make_plan(schedule))

    def happen(event: Event) -> None:
        nonlocal state
        state, effects = advance(state, event)
        said.extend(effect for effect in effects if isinstance(effect, Say))

    happen(DayBegan(at=0))
    while state.stage is not Stage.BOIL_UP:
        doable = [t for t in state.tasks if t.action.do.value not in ("hold", "boil", "settle")]
        if doable:
            heats = doable[0].action.to_c is not None
            happen(TaskDone(at=state.now_s + (400 if heats else 60), task_id=doable[0].id))
        else:
            happen(TimePassed(at=next_due_s(state) or state.now_s))
    for quantity, value, unit, sample_c in (
        (Quantity.KETTLE_VOLUME, 25.25, "L", 74.0),
        (Quantity.GRAVITY, 1.042, "SG", None),
    ):
        happen(
            ReadingTaken(
                at=state.now_s + 60,
                quantity=quantity,
                value=value,
                unit=unit,
                sample_c=sample_c,
                source=Source.WORDS,
            )
        )
    happen(CommandGiven(at=state.now_s + 600, command=Command.BOILING))
    happen(TimerRequested(at=state.now_s + 30, seconds=900, name="yeast"))
    while "weigh out" not in said[-1].text:
        happen(TimePassed(at=next_due_s(state) or state.now_s))
    return state, said


def main() -> None:
    """Write both."""
    README.write_text(readme_with_diagram(README.read_text()))
    state, said = boil_screen()
    console = Console(
        record=True, width=WIDTH, height=HEIGHT, file=io.StringIO(), force_terminal=True
    )
    heard = (
        "kettle volume 25.25 at 74 degrees",
        "gravity one oh four two",
        "boiling",
        "fifteen minute timer for the yeast",
    )
    console.print(
        draw(
            state,
            typed="",
            heard=heard,
            said=tuple(said[-8:]),
            clock="12:09",
            width=WIDTH,
            height=HEIGHT,
        )
    )
    PICTURE.parent.mkdir(exist_ok=True)
    PICTURE.write_text(console.export_svg(title="kettleside brew breakwater-amber.yaml"))


if __name__ == "__main__":
    main()
