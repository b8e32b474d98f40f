"""What is worth saying at a moment, the most useful first."""

from collections.abc import Iterator

from assistant.advice.timeline import Stage
from assistant.day.commands import COMMANDS, Command
from assistant.day.state import State
from assistant.day.wording import ASK_WORDS

MOST_TOLD = 9

ALWAYS_WORTH_SAYING = (
    Command.DONE,
    Command.SKIP,
    Command.UNDO,
    Command.HOW_LONG,
    Command.WHATS_NEXT,
)
WHEN_FINISHED = (Command.WHERE, Command.UNDO)

OF_FEW_STAGES = 5
"""A command that belongs to no more stages than this is a report of what was done in them."""


def sayable(state: State) -> list[str]:
    """A few things worth saying now: options, reports of the stage, an example, the rest."""
    if state.stage is Stage.FINISHED:
        return [COMMANDS[command].words[0] for command in WHEN_FINISHED]
    reports = [COMMANDS[command].words[0] for command in _reports(state)]
    return [*_answers(state), *reports, *_example(state), *_always(state)][:MOST_TOLD]


def worth_pressing(state: State) -> list[str]:
    """What is worth a button beside whatever shows the day, each as it can be said.

    No question of what is shown already, nor what answers a choice.
    """
    if state.stage is Stage.FINISHED:
        return []
    halting = Command.CARRY_ON if _paused(state) else Command.PAUSE
    reports = [
        command for command in _reports(state) if command not in (Command.PAUSE, Command.CARRY_ON)
    ]
    halts = [halting] if state.stage in COMMANDS[halting].stages else []
    explains = [Command.WHY] if state.reason and state.advice is None else []
    commands = (Command.DONE, *reports, Command.SKIP, Command.UNDO, *explains, *halts)
    return [COMMANDS[command].words[0] for command in commands]


def yes_or_no(state: State) -> list[str]:
    """The answers to the open doubt, or else question; none where there is neither."""
    if state.stage is Stage.FINISHED:
        return []
    doubt = state.open_doubt()
    if doubt is not None:
        chosen_by = (Command.YES, Command.FIRST, Command.SECOND, Command.THIRD)
        first, last = (0, 1) if len(doubt.meanings) == 1 else (1, len(doubt.meanings) + 1)
        return [COMMANDS[command].words[0] for command in (*chosen_by[first:last], Command.NO)]
    return ["yes", "no"] if state.question is not None else []


def _answers(state: State) -> Iterator[str]:
    doubted = state.open_doubt() is not None
    if doubted:
        yield from yes_or_no(state)
    if state.advice is not None:
        yield from (option.say for option in state.advice.finding.options)
        yield COMMANDS[Command.WHY].words[0]
    if not doubted:
        yield from yes_or_no(state)


def _reports(state: State) -> Iterator[Command]:
    for command, spec in COMMANDS.items():
        if state.stage in spec.stages and len(spec.stages) <= OF_FEW_STAGES:
            yield command


def _paused(state: State) -> bool:
    boil = state.boil
    halted = any(timer.left_s is not None for timer in state.timers)
    return halted or (boil is not None and boil.left_s is not None)


def _example(state: State) -> Iterator[str]:
    if state.asks:
        asked = ASK_WORDS[state.asks[0].quantity].rstrip("?").lower()
        yield f"{asked} and its figure"


def _always(state: State) -> Iterator[str]:
    for command in ALWAYS_WORTH_SAYING:
        yield COMMANDS[command].words[0]
        if command is Command.UNDO and state.reason and state.advice is None:
            yield COMMANDS[Command.WHY].words[0]
