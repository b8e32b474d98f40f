"""Reports of what has happened: the day follows them, whatever was open."""

from collections.abc import Callable

from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day import cold_side, hot_side
from assistant.day.effects import Why
from assistant.day.flow import task_done
from assistant.day.stages import Trigger
from assistant.day.strike_water import minerals_missing, open_minerals
from assistant.day.timers import heard
from assistant.day.turn import Turn


def report(trigger: Trigger, do: Do | None = None) -> Callable[[Turn, str | None], None]:
    """A report that something has happened: its open task is done, and the day follows."""

    def handle(turn: Turn, subject: str | None) -> None:
        heard(turn)
        task = next((t for t in turn.state.tasks if t.action.do is do), None)
        if task is not None:
            task_done(turn, task)
        if trigger not in turn.leads:
            turn.lead(trigger)

    return handle


def water_ready(turn: Turn, subject: str | None) -> None:
    """The strike water is hot; it waits for salts that are not in yet."""
    state = turn.state
    waits = state.stage is Stage.STRIKE and bool(open_minerals(state))
    heating = next((task for task in state.tasks if task.action.do is Do.HEAT), None)
    if waits and heating is not None:
        heard(turn)
        task_done(turn, heating)
    elif waits:
        minerals_missing(turn)
    else:
        report(Trigger.WATER_READY, Do.HEAT)(turn, subject)


def grain_in(turn: Turn, subject: str | None) -> None:
    """The grain is in and stirred: the mash begins."""
    if turn.state.stage is not Stage.DOUGH_IN or turn.has_task(Do.DOUGH_IN):
        hot_side.expect_mash(turn)
    turn.lead(Trigger.GRAIN_IN)


def transferred(turn: Turn, subject: str | None) -> None:
    """The wort is in the fermenter: volume and gravity are still wanted."""
    heard(turn)
    turn.close(Do.TRANSFER)
    cold_side.in_fermenter(turn)
    turn.lead(Trigger.TRANSFERRED)


def lid_off(turn: Turn, subject: str | None) -> None:
    """The lid is off; nothing hangs on it."""
    turn.say("Lid off, noted.", Why.READBACK)


def aerated(turn: Turn, subject: str | None) -> None:
    """The wort is aerated."""
    turn.close(Do.AERATE)
