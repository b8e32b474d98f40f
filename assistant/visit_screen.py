"""The screen of a visit: the beer's figures, what is due and coming, and what was said."""

from collections.abc import Sequence

from rich.console import Group, RenderableType
from rich.text import Text

from assistant.advice import figures
from assistant.cellar.assessing import Assessment, Progress, assess
from assistant.cellar.dates import coming
from assistant.cellar.state import CellarState
from assistant.cellar.visiting import where_words
from assistant.cellar.warmth import wanted_words
from assistant.cellar.words import came_to, coming_words, finish_words
from assistant.day.effects import Say
from assistant.day.incidents import RECORD_SHOWN
from assistant.day.quantities import QUANTITIES, Quantity
from assistant.day.wording import task_words
from assistant.panes import DUE_STYLE
from assistant.screen import typing_line
from assistant.text_lines import plain, wrapped

LABEL = 12
COMING_SHOWN = 5
JUST_NOW_S = 1800.0


def draw_visit(
    state: CellarState,
    *,
    typed: str,
    heard: Sequence[str],
    said: Sequence[Say],
    ear: Sequence[str],
    sensors: str = "",
    clock: str,
    width: int,
    height: int,
) -> RenderableType:
    """The whole screen of a visit, ``height`` lines of at most ``width`` columns.

    ``typed`` is the line being typed, ``heard`` and ``said`` the last words taken in and spoken,
    the newest last; ``ear`` is what the ear does and what is wrong, ``sensors`` what is wrong with
    those.
    """
    width, height = max(width, 1), max(height, 1)
    head = Text(f" {plain(state.schedule.beer)} | {clock} ", style="bold reverse")
    head.truncate(width, pad=True)
    lines: list[Text] = [head, Text("")]
    for label, text, style in _rows(state, ear, sensors):
        first, *rest = wrapped(text, max(width - LABEL - 1, 8), style) or [Text("")]
        lines.append(Text.assemble(f" {label:<{LABEL - 1}}", first))
        lines += [Text.assemble(" " * LABEL, line) for line in rest]
    lines.append(Text(""))
    talk = [f"> {words}" for words in heard[-1:]] + [say.text for say in said]
    spoken = [line for text in talk for line in wrapped(text, width - 2, "")]
    room = max(height - 1 - len(lines), 0)
    lines += [Text.assemble(" ", line) for line in spoken[len(spoken) - room :]] if room else []
    lines = lines[: height - 1]
    lines += [Text("")] * (height - 1 - len(lines))
    lines.append(typing_line(typed, width))
    for line in lines:
        line.no_wrap, line.overflow = True, "crop"
        line.truncate(width)
    return Group(*lines)


def ago(seconds: float) -> str:
    """``just now``, ``5 hours ago``, ``2 days ago``."""
    if seconds < JUST_NOW_S:
        return "just now"
    hours = seconds / 3600
    if hours < 36:
        return f"{figures.counted(figures.number(max(hours, 1), 0), 'hour')} ago"
    return f"{figures.counted(figures.number(hours / 24, 0), 'day')} ago"


def _rows(state: CellarState, ear: Sequence[str], sensors: str) -> list[tuple[str, str, str]]:
    assessed, units = assess(state), state.schedule.units
    if state.packaged is None:
        rows = [("Day", f"{int(state.age_days)} of fermentation", "")]
        rows += _fermenting(state, assessed)
    else:
        rows = [("Beer", where_words(state), "bold")]
    for opened in state.opened:
        rows.append(("Due", figures.sentence(task_words(opened.task.action, units)), DUE_STYLE))
    if state.question is not None:
        rows.append(("Asked", state.question.text, DUE_STYLE))
    for ask in state.asks:
        rows.append(("Wanted", f"{QUANTITIES[ask.quantity].spoken}: {ask.why}", ""))
    rows += [("Coming", coming_words(state, each), "") for each in coming(state)[:COMING_SHOWN]]
    if state.record is not None:
        rows.append(("Record", RECORD_SHOWN[state.record], DUE_STYLE))
    if sensors:
        rows.append(("Sensors", sensors, DUE_STYLE))
    rows += [("Ear", text, "") for text in ear]
    return rows


def _fermenting(state: CellarState, assessed: Assessment) -> list[tuple[str, str, str]]:
    rows = []
    if assessed.gravity is not None:
        read = [r for r in state.readings if r.gravity is not None][-1]
        shown = f"{figures.gravity(assessed.gravity)} {ago(state.now_s - read.at)}"
        rows.append(("Gravity", ": ".join(filter(None, (shown, came_to(assessed)))), "bold"))
    if assessed.progress in (Progress.UNREAD, Progress.WAKING, Progress.FERMENTING):
        rows.append(("Forecast", finish_words(state), ""))
    if assessed.steady_days > 0:
        days = figures.number(assessed.steady_days, 1)
        rows.append(("Steady", f"{days} days by the hydrometer", ""))
    warm = state.last(Quantity.FERMENTER_TEMPERATURE)
    shown = f"{wanted_words(state)} wanted"
    if warm is not None:
        read_words = figures.temperature_read(warm.value, state.schedule.units)
        shown = f"{read_words} {ago(state.now_s - warm.at)}; {shown}"
    rows.append(("Warmth", shown, ""))
    return rows
