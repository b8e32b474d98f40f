"""What each command does: one row a command, as the words for it stand in ``commands``."""

from collections.abc import Callable, Mapping

from assistant.advice import figures
from assistant.advice.actions import Do
from assistant.advice.timeline import Stage
from assistant.day import (
    additions,
    answers,
    boil_up,
    clocks,
    hot_side,
    left_out,
    mash,
    reports,
    speech,
)
from assistant.day.choices import choose, let_be
from assistant.day.commands import COMMANDS, Command
from assistant.day.effects import TimerNews, Why
from assistant.day.flow import STEPS, TIMED, task_done
from assistant.day.quantities import Quantity
from assistant.day.readings import accept
from assistant.day.stages import Trigger
from assistant.day.state import Fate, Phase, Task, Timer, TimerKind
from assistant.day.strike_water import is_mineral, minerals_in, open_minerals
from assistant.day.timers import acknowledge, due_timers, heard
from assistant.day.turn import Turn
from assistant.day.wording import addition_names


def command(turn: Turn, given: Command, subject: str | None) -> None:
    """Carry out a command, or say where it belongs."""
    spec = COMMANDS[given]
    if turn.state.stage not in spec.stages:
        turn.refuse(f'"{spec.words[0]}" has no place in {answers.STAGE_WORDS[turn.state.stage]}.')
        return
    HANDLERS[given](turn, subject)


def done(turn: Turn, subject: str | None) -> None:
    """What was said last is done: a due reminder, else the item, the task, the reading at hand."""
    state = turn.state
    due = due_timers(state)
    if due and _done_timer(turn, due[0]):
        return
    if hot_side.gathering(state):
        hot_side.gathered(turn)
        return
    minerals = open_minerals(state)
    if minerals and (state.stage is Stage.STRIKE or is_mineral(state.tasks[-1])):
        minerals_in(turn, minerals)
        return
    for task in reversed(state.tasks):
        if task.action.do not in TIMED:
            task_done(turn, task)
            return
    if any(ask.needed for ask in state.asks):
        waive_asks(turn)
        return
    if state.stage is Stage.CLEAN:
        turn.lead(Trigger.COMPLETED)
        return
    answers.how_long(turn, None)


def _done_timer(turn: Turn, timer: Timer) -> bool:
    """Answer a due timer with "done"; tells whether that was the whole of it."""
    if timer.kind is TimerKind.ADDITION:
        for index in additions.meant(turn, None):
            additions.addition_in(turn, index)
        return True
    task = next((t for t in turn.state.tasks if t.action.do is TIMER_TASKS.get(timer.kind)), None)
    heard(turn)
    said_s = turn.now_s - (timer.announced_s or 0.0)
    if timer.kind in STEPS and said_s > MEANS_THE_REMINDER_S:
        return False
    acknowledge(turn, lambda other: other.name == timer.name)
    if task is not None:
        task_done(turn, task)
    elif timer.kind in (TimerKind.OWN, TimerKind.CHILLER):
        turn.say(f"{figures.sentence(timer.name)}, noted.", Why.READBACK)
    else:
        turn.say("Good.", Why.READBACK)
    return True


MEANS_THE_REMINDER_S = 60.0
"""Later than this after a rest was over, "done" means the task that followed from it."""

TIMER_TASKS = {TimerKind.BOIL: Do.FLAMEOUT, TimerKind.BURST: Do.HEAT_FOR}


def waive_asks(turn: Turn) -> None:
    """Go on without the readings the stage was waiting for."""
    turn.change(asks=tuple(ask for ask in turn.state.asks if not ask.needed))
    turn.say("Going on without.", Why.READBACK)


def yes(turn: Turn, subject: str | None) -> None:
    """Yes to a question puts the reading on the record; yes to an ask for the boil is a boil."""
    question = turn.state.question
    if question is not None:
        turn.change(question=None)
        turn.confirmed = True
        accept(turn, question.reading)
    elif any(ask.quantity is Quantity.BOILING for ask in turn.state.asks):
        turn.lead(Trigger.BOILING)
    elif turn.state.advice is not None:
        choose(turn, turn.state.advice.finding.recommended)
    elif hot_side.gathering(turn.state):
        hot_side.gathered(turn)
    else:
        turn.refuse("There was no question.")


def no(turn: Turn, subject: str | None) -> None:
    """No to a question drops the reading. (Without one, ``undo`` takes back the last thing.)"""
    if turn.state.question is not None:
        quantity = turn.state.question.reading.quantity
        turn.change(question=None)
        turn.say("Dropped. Say it again.", Why.READBACK)
        turn.ask(quantity, "the last one was wrong")
    elif any(ask.quantity is Quantity.BOILING for ask in turn.state.asks):
        turn.answered(Quantity.BOILING)
        boil_up.not_boiling_yet(turn)


def skip(turn: Turn, subject: str | None) -> None:
    """Leave the nearest thing: a question, a due addition, a choice, a reading, then the stage.

    Of the readings a stage does not wait for, only that of an instrument not everybody has.
    """
    state = turn.state
    due = [index for index in additions.meant(turn, None) if _is_due(turn, index)]
    if state.question is not None:
        turn.change(question=None)
        turn.say("Dropped.", Why.READBACK)
    elif due:
        left_out.leave_out(turn, due[:1])
    elif state.advice is not None:
        let_be(turn)
    elif any(ask.needed for ask in state.asks):
        waive_asks(turn)
    elif any(ask.quantity is Quantity.MASH_PH for ask in state.asks):
        turn.answered(Quantity.MASH_PH)
        turn.say("Going on without.", Why.READBACK)
    elif state.stage is Stage.MASH and turn.has_task(Do.HEAT_FOR):
        turn.close(Do.HEAT_FOR)
        turn.end_timers(lambda timer: timer.kind is TimerKind.BURST, TimerNews.CANCELLED)
        turn.change(waived=(*state.waived, Quantity.MASH_TEMPERATURE.value))
        turn.say("No more heat in this rest.", Why.READBACK)
    elif state.stage is Stage.MASH and turn.has_task(Do.HEAT):
        turn.close(Do.HEAT)
        mash.begin_rest(turn)
    else:
        heard(turn)
        turn.lead(Trigger.SKIPPED)


def _is_due(turn: Turn, index: int) -> bool:
    return any(timer.index == index and timer.phase is Phase.DUE for timer in turn.state.timers)


def back(turn: Turn, subject: str | None) -> None:
    """Return to the stage, or the rest, before."""
    if turn.state.stage is Stage.GATHER:
        turn.refuse("This is where the day begins.")
        return
    turn.lead(Trigger.WENT_BACK)


def added(turn: Turn, subject: str | None) -> None:
    """An addition is in: the one named, else those due, else the next to come."""
    _went_in(turn, additions.meant(turn, subject), subject)


def hops_in(turn: Turn, subject: str | None) -> None:
    """The hops that are due are in, else the next hops to come."""
    _went_in(turn, additions.meant(turn, None, hops_only=True), subject)


def _went_in(turn: Turn, indices: list[int], subject: str | None) -> None:
    minerals = [
        task
        for task in open_minerals(turn.state)
        if subject is None or subject.lower() == (task.action.item or "").lower()
    ]
    if minerals:
        minerals_in(turn, minerals)
        return
    if turn.state.stage in (Stage.STRIKE, Stage.MASH):
        turn.refuse("There is nothing to be stirred in now.")
        return
    if not indices:
        turn.refuse(
            "There is nothing left to add." if subject is None else f"{subject} is not due."
        )
    if subject is None and _too_early(turn, indices):
        return
    for index in indices:
        additions.addition_in(turn, index)


EARLY_S = 300.0
"""What is not due for longer than this goes in by its name only: a word too many is likelier."""


def _too_early(turn: Turn, indices: list[int]) -> bool:
    ahead_s = [
        timer.due_s - turn.now_s
        for timer in turn.state.timers
        if timer.index in indices and timer.kind is TimerKind.ADDITION
    ]
    if not ahead_s or min(ahead_s) <= EARLY_S:
        return False
    name = addition_names(turn.state.schedule)[indices[0]]
    ahead = figures.duration(min(ahead_s))
    turn.refuse(f"{name} is not due for {ahead}. If it is in, say so by its name.")
    return True


def missed(turn: Turn, subject: str | None) -> None:
    """An addition was missed: one that is due can still be made good, one to come is left out."""
    indices = additions.meant(turn, subject)
    if not indices:
        turn.refuse("There is nothing left to miss.")
        return
    if turn.state.additions[indices[0]].fate is not Fate.DUE:
        left_out.leave_out(turn, indices[:1])
    elif not additions.advise_on_hops(turn, indices[0]):
        left_out.better_late(turn, indices[0])


def no_choice(turn: Turn, subject: str | None) -> None:
    """The first, the second or the third, with no doubt open that ``doubts`` would have settled."""
    turn.refuse("The first of what? Say it in full.")


def task_reported(turn: Turn, task: Task) -> None:
    """A task was reported done by its number."""
    heard(turn)
    own = TASK_TIMERS.get(task.action.do)
    if own is not None:
        acknowledge(turn, lambda timer: timer.kind is own)
    if task.action.do in TIMED:
        turn.close_tasks(lambda other: other.id == task.id)
        return
    task_done(turn, task)


TASK_TIMERS = {do: kind for kind, do in TIMER_TASKS.items()}


def _ignoring_subject(answer: Callable[[Turn], None]) -> Callable[[Turn, str | None], None]:
    return lambda turn, subject: answer(turn)


HANDLERS: Mapping[Command, Callable[[Turn, str | None], None]] = {
    Command.DONE: done,
    Command.YES: yes,
    Command.NO: no,
    Command.SKIP: skip,
    Command.BACK: back,
    Command.WHATS_NEXT: _ignoring_subject(answers.whats_next),
    Command.HOW_LONG: answers.how_long,
    Command.WHERE: _ignoring_subject(answers.where),
    Command.REPEAT: _ignoring_subject(answers.repeat),
    Command.HELP: _ignoring_subject(answers.help_words),
    Command.OPTIONS: _ignoring_subject(answers.options),
    Command.WHY: _ignoring_subject(answers.reason),
    Command.FIRST: no_choice,
    Command.SECOND: no_choice,
    Command.THIRD: no_choice,
    Command.SLOWER: speech.change_manner(Command.SLOWER),
    Command.FASTER: speech.change_manner(Command.FASTER),
    Command.LOUDER: speech.change_manner(Command.LOUDER),
    Command.QUIETER: speech.change_manner(Command.QUIETER),
    Command.OTHER_VOICE: speech.change_manner(Command.OTHER_VOICE),
    Command.STOP: speech.stop,
    Command.PAUSE: clocks.pause,
    Command.CARRY_ON: clocks.carry_on,
    Command.CANCEL_TIMER: clocks.cancel_timer,
    Command.WATER_READY: reports.water_ready,
    Command.GRAIN_IN: reports.grain_in,
    Command.BAG_OUT: reports.report(Trigger.BAG_OUT, Do.LIFT),
    Command.BOILING: reports.report(Trigger.BOILING),
    Command.LID_OFF: reports.lid_off,
    Command.HOPS_IN: hops_in,
    Command.ADDED: added,
    Command.MISSED: missed,
    Command.FLAME_OUT: reports.report(Trigger.FLAME_OUT),
    Command.WHIRLPOOL_DONE: reports.report(Trigger.WHIRLPOOL_DONE),
    Command.CHILLED: reports.report(Trigger.CHILLED),
    Command.TRANSFERRED: reports.transferred,
    Command.AERATED: reports.aerated,
    Command.PITCHED: reports.report(Trigger.PITCHED),
    Command.CLEANED: _ignoring_subject(lambda turn: turn.lead(Trigger.COMPLETED)),
}
"""``undo`` is not here: it needs the history, which only ``advance`` holds."""
