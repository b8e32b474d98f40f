"""What the screen tells of a day, part by part: each a label and lines no wider than asked."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rich.cells import cell_len
from rich.text import Text

from assistant.advice import figures
from assistant.day import glance
from assistant.day.effects import Say, Why
from assistant.day.glance import Upcoming, nearest_first, reading_words
from assistant.day.glance import left_s as seconds_left
from assistant.day.hot_side import checklist, gathering
from assistant.day.incidents import RECORD_SHOWN
from assistant.day.sayable import sayable
from assistant.day.state import Phase, State
from assistant.day.wording import ASK_WORDS, task_words
from assistant.text_lines import BETWEEN, packed, plain, wrapped

LOUD = (Why.WARNING, Why.CAUTION)
DUE_STYLE = "bold reverse"
JUST_NOW_S = 20.0

NARROWEST = 30
"""What an option offers stands beside its word where it has at least this many columns."""


@dataclass(frozen=True, kw_only=True)
class Pane:
    """A part of the screen; ``least`` of its lines are kept before another part gets more.

    ``apart`` lets a blank line come before it where there is room.
    """

    label: str
    lines: tuple[Text, ...]
    least: int = 1
    apart: bool = True


def countdown(seconds: float) -> str:
    """``12:34``, ``1:02:03``; a begun second counts whole, so 0:00 is the moment it is due."""
    minutes, second = divmod(max(math.ceil(seconds - 1e-6), 0), 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02}:{second:02}" if hours else f"{minute}:{second:02}"


def headline_figures(told: Upcoming, now_s: float) -> str:
    """What the large type shows of the next thing: NOW, what is left until it, or nothing."""
    if told.due:
        return "NOW"
    left_s = told.seconds_left(now_s)
    return "" if left_s is None else countdown(left_s)


def timers(state: State, width: int) -> Pane:
    """Every timer with its time left, those due marked and first."""
    rows = []
    for timer in nearest_first(state):
        due = timer.phase is Phase.DUE
        left_s = seconds_left(state, timer)
        time = f"DUE {countdown(math.floor(-left_s))} ago" if due else countdown(left_s)
        if timer.left_s is not None:
            time = f"paused {time}"
        name = Text(f"! {plain(timer.name)}" if due else plain(timer.name))
        name.truncate(max(width - len(time) - 1, 0), overflow="ellipsis", pad=True)
        rows.append(Text.assemble(name, " ", time, style=DUE_STYLE if due else ""))
    return Pane(label="timers", lines=tuple(rows), least=min(len(rows), 4))


def now(state: State, width: int, *, roomy: bool) -> Pane:
    """What is wanted of the brewer: a question, a choice, the checklist, readings, tasks.

    ``roomy`` adds the effect of each option.
    """
    units = state.schedule.units
    lines: list[Text] = []
    doubt = state.open_doubt()
    if doubt is not None:
        lines += wrapped(doubt.text, width, DUE_STYLE)
    if state.question is not None:
        lines += wrapped(state.question.text, width, DUE_STYLE)
    if state.advice is not None:
        lines += _choice(state, width, roomy)
    pressing = len(lines)
    if gathering(state):
        lines += wrapped(checklist(state)[state.gathered], width, "bold")
    lines += wrapped(" ".join(ASK_WORDS[ask.quantity] for ask in state.asks), width, DUE_STYLE)
    lines += [
        line
        for task in state.tasks
        for line in wrapped(figures.sentence(task_words(task.action, units)), width, "bold")
    ]
    return Pane(label="now", lines=tuple(lines), least=max(pressing, min(len(lines), 3)))


def _choice(state: State, width: int, roomy: bool) -> Iterator[Text]:
    if state.advice is None:
        return
    finding = state.advice.finding
    yield from wrapped(f"{figures.sentence(finding.finding)}. Say:", width, DUE_STYLE)
    options = sorted(finding.options, key=lambda option: option.say != finding.recommended)
    indent = max(cell_len(plain(option.say)) for option in options) + 4
    if width - indent < NARROWEST:
        indent = 2
    for option in options:
        advised = option.say == finding.recommended
        phrase = f"{option.phrase} (advised)" if advised else option.phrase
        yield from _option(option.say, phrase, width, indent)
        if roomy and option.effect not in option.phrase:
            for line in wrapped(f"-> {option.effect}", width - indent):
                yield Text.assemble(" " * indent, line)


def _option(say: str, phrase: str, width: int, indent: int) -> Iterator[Text]:
    word = f'"{plain(say)}"'
    padded = word.ljust(indent - 1)
    first, *others = wrapped(phrase, width - indent)
    if cell_len(padded) < indent:
        yield Text.assemble((padded, "bold"), " ", first)
    else:
        first, *others = wrapped(f"{word} {phrase}", width - indent)
        first.stylize("bold", 0, len(word))
        yield first
    for line in others:
        yield Text.assemble(" " * indent, line)


def said(spoken: tuple[Say, ...], width: int, most: int) -> Pane:
    """The last things said, the newest first and each whole; ``!`` marks a warning or caution.

    No more than ``most`` lines, but for the newest, which always stands.
    """
    lines: list[Text] = []
    least = 1
    for index, say in enumerate(reversed(spoken)):
        text = f"! {say.text}" if say.why in LOUD else say.text
        more = wrapped(text, width, "" if index else "bold")
        if index and len(lines) + len(more) > most:
            break
        lines += more
        least = least if index else len(lines)
    return Pane(label="said", lines=tuple(lines), least=least)


def heard(lines: tuple[str, ...], width: int) -> Pane:
    """The last words taken in, the newest first."""
    return Pane(label="heard", lines=packed(reversed(lines), width)[:1])


def ear(lines: tuple[str, ...], width: int) -> Pane:
    """What the ear does now, and the last thing that went wrong with it or the voice."""
    shown = [line for text in lines for line in wrapped(text, width)]
    return Pane(label="ear", lines=tuple(shown), apart=False)


def record(state: State, width: int) -> Pane:
    """That what happens is not on record now, for as long as it isn't."""
    shown = RECORD_SHOWN[state.record] if state.record is not None else ""
    return Pane(label="record", lines=tuple(wrapped(shown, width, DUE_STYLE)), apart=False)


def sensors(trouble: str, width: int) -> Pane:
    """That sensors can't be read now, for as long as they can't."""
    return Pane(label="sensors", lines=tuple(wrapped(trouble, width, DUE_STYLE)), apart=False)


def readings(state: State, width: int) -> Pane:
    """The last readings with their age, the newest first."""
    rows = []
    for reading in reversed(state.readings[-5:]):
        age_s = state.now_s - reading.at
        age = "just now" if age_s < JUST_NOW_S else f"{figures.duration(age_s)} ago"
        row = Text(f"{plain(reading_words(state, reading))}, {age}")
        row.truncate(width, overflow="ellipsis")
        rows.append(row)
    return Pane(label="readings", lines=tuple(rows))


def planned(state: State, width: int) -> Pane:
    """What the plan makes of the beer."""
    return Pane(label="planned", lines=packed(glance.planned(state), width)[:1])


def likely(state: State, width: int) -> Pane:
    """Where the day is heading, the range of the gravity where there is room, and the pitch."""
    parts = glance.likely(state, ranged=True)
    if cell_len(BETWEEN.join(parts[:3])) > width:
        parts = glance.likely(state, ranged=False)
    return Pane(label="likely", lines=packed(parts, width)[:1], apart=False)


def say(state: State, width: int) -> Pane:
    """What can be said now."""
    return Pane(label="say", lines=packed(sayable(state), width), least=2)


def board(address: str, trouble: str, width: int) -> Pane:
    """Where a browser finds the board, or what is wrong with it."""
    lines = wrapped(trouble, width, DUE_STYLE) or wrapped(address, width)
    return Pane(label="board", lines=tuple(lines), apart=False)
