"""What the screen tells of a day, part by part: each a label and lines no wider than asked."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from rich.cells import cell_len
from rich.text import Text

from assistant.advice import figures
from assistant.advice.timeline import Stage
from assistant.day.answers import STAGE_WORDS, sayable
from assistant.day.effects import Say, Why
from assistant.day.hot_side import checklist, gathering
from assistant.day.incidents import RECORD_SHOWN
from assistant.day.quantities import QUANTITIES
from assistant.day.rests import current_rest
from assistant.day.state import Phase, Reading, State, Timer, TimerKind
from assistant.day.timer_kinds import POLICIES
from assistant.day.timing import stage_ends
from assistant.day.wording import ASK_WORDS, addition_words, task_words
from assistant.schedule.model import Units
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


@dataclass(frozen=True, kw_only=True)
class Headline:
    """The next thing: figures for the large type (empty: none), what they are of, if it is due."""

    figures: str
    label: str
    due: bool = False


def countdown(seconds: float) -> str:
    """``12:34``, ``1:02:03``; a begun second counts whole, so 0:00 is the moment it is due."""
    minutes, second = divmod(max(math.ceil(seconds - 1e-6), 0), 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02}:{second:02}" if hours else f"{minute}:{second:02}"


def place(state: State) -> str:
    """The stage, and in the mash the rest with its temperature."""
    words = STAGE_WORDS[state.stage]
    if state.stage is not Stage.MASH:
        return words
    rest = current_rest(state)
    at = figures.temperature(rest.temperature_c, state.schedule.units)
    return f"{words}, {rest.name} at {at}"


def headline(state: State) -> Headline:
    """The next thing: a reminder that waits, else the next to fall due, else the stage's end."""
    if state.stage is Stage.FINISHED:
        return Headline(figures="", label="The day is finished.")
    timers = _audible(state)
    if not timers:
        return _stage_headline(state)
    due = [_due_words(state, timer) for timer in timers if timer.phase is Phase.DUE]
    if due:
        return Headline(figures="NOW", label=". ".join(due), due=True)
    timer = timers[0]
    paused = " (paused)" if timer.left_s is not None else ""
    return Headline(figures=countdown(_left_s(state, timer)), label=_meant(state, timer) + paused)


def _due_words(state: State, timer: Timer) -> str:
    words = POLICIES[timer.kind].words
    return timer.name if words is None else words(state, timer)


def _stage_headline(state: State) -> Headline:
    title = figures.sentence(STAGE_WORDS[state.stage])
    left_s = stage_ends(state).at_s - state.now_s
    if left_s > 0:
        return Headline(figures=countdown(left_s), label=f"{title}: about this long")
    planned = figures.duration(state.plan.stage_minutes(state.stage) * 60)
    taken = figures.duration(state.now_s - state.stage_at_s)
    return Headline(figures="", label=f"{title}: {planned} planned, {taken} so far")


def _meant(state: State, timer: Timer) -> str:
    if timer.kind is TimerKind.ADDITION and timer.index is not None:
        addition = state.schedule.additions[timer.index]
        weight_g = state.additions[timer.index].weight_g
        return f"Next: {addition_words(addition, weight_g, state.schedule.units)}"
    if timer.kind in MOMENTS:
        return f"Next: {timer.name}"
    return f"{figures.sentence(timer.name)}: time left"


MOMENTS = (TimerKind.BURST, TimerKind.BOIL_OVER, TimerKind.CHILLER)
"""Timers named for what comes at their end rather than for what lasts until it."""


def _audible(state: State) -> list[Timer]:
    """Timers the brewer knows of: those due, the last to fall due first, then running, paused."""
    known = [timer for timer in state.timers if POLICIES[timer.kind].words is not None]
    return sorted(
        known,
        key=lambda timer: (
            timer.phase is not Phase.DUE,
            timer.left_s is not None,
            abs(_left_s(state, timer)),
        ),
    )


def _left_s(state: State, timer: Timer) -> float:
    return timer.due_s - state.now_s if timer.left_s is None else timer.left_s


def timers(state: State, width: int) -> Pane:
    """Every timer with its time left, those due marked and first."""
    rows = []
    for timer in _audible(state):
        due = timer.phase is Phase.DUE
        left_s = _left_s(state, timer)
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


def readings(state: State, width: int) -> Pane:
    """The last readings with their age, the newest first."""
    rows = []
    for reading in reversed(state.readings[-5:]):
        age_s = state.now_s - reading.at
        age = "just now" if age_s < JUST_NOW_S else f"{figures.duration(age_s)} ago"
        row = Text(f"{plain(_reading_words(state, reading))}, {age}")
        row.truncate(width, overflow="ellipsis")
        rows.append(row)
    return Pane(label="readings", lines=tuple(rows))


def _reading_words(state: State, reading: Reading) -> str:
    spec = QUANTITIES[reading.quantity]
    shown = spec.show(reading.value, state.schedule.units)
    named = spec.spoken.split()[-1] in shown.split()
    return shown if named else f"{spec.spoken} {shown}"


def planned(state: State, width: int) -> Pane:
    """What the plan makes of the beer."""
    plan, units = state.plan, state.schedule.units
    figures_told = _beer(plan.original_gravity, plan.fermenter_volume_l, plan.ibu, units)
    return Pane(label="planned", lines=packed(figures_told, width)[:1])


def likely(state: State, width: int) -> Pane:
    """Where the day is heading, the range of the gravity where there is room, and the pitch."""
    told = state.forecast
    if told is None:
        return Pane(label="likely", lines=())
    units = state.schedule.units
    parts = _beer(told.original_gravity, told.fermenter_volume_l, told.ibu, units)
    low, high = (figures.gravity(value) for value in told.low_high["original_gravity"])
    ranged = [f"{parts[0]} ({low} to {high})", *parts[1:]]
    if cell_len(BETWEEN.join(ranged)) <= width:
        parts = ranged
    if told.pitch_at_s > state.now_s:
        hours, minutes = divmod(round((told.pitch_at_s - state.now_s) / 60), 60)
        parts.append(f"pitch in {hours}:{minutes:02} h")
    return Pane(label="likely", lines=packed(parts, width)[:1], apart=False)


def _beer(gravity: float, volume_l: float, ibu: float, units: Units) -> list[str]:
    return [figures.gravity(gravity), figures.volume(volume_l, units), f"{ibu:.0f} IBU"]


def say(state: State, width: int) -> Pane:
    """What can be said now."""
    return Pane(label="say", lines=packed(sayable(state), width), least=2)
