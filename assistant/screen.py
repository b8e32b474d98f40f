"""The live screen: the stage, the next thing in figures readable from two metres, and the rest.

The screen is worked out in lines before it is drawn, so that it fits any terminal: parts that
matter more keep their lines when there are few, and what is cut is marked ``+`` at its label.
"""

from types import TracebackType

from rich.cells import cell_len
from rich.console import Console, Group, RenderableType
from rich.live import Live
from rich.text import Text

from assistant import panes
from assistant.big_figures import ROWS, big
from assistant.day.effects import Say
from assistant.day.glance import headline, place
from assistant.day.state import State
from assistant.panes import DUE_STYLE, Pane
from assistant.text_lines import plain, wrapped

GUTTER = 12
ROOMY_ROWS = 30
TALL_ENOUGH = 15
"""From this many lines on the countdown is large."""

TIMERS_BESIDE = 26
"""Columns the timers need to stand beside the large figures."""

WIDE_ENOUGH = 74
"""From this many columns on timers stand beside; below, the figures take the room."""

SHORTEST_NAME = 8
"""A beer whose name has fewer columns than this is not named."""


def draw(
    state: State,
    *,
    typed: str,
    heard: tuple[str, ...],
    said: tuple[Say, ...],
    clock: str,
    width: int,
    height: int,
    ear: tuple[str, ...] = (),
    board: str = "",
    board_trouble: str = "",
    sensors_trouble: str = "",
    asked: str = "",
) -> RenderableType:
    """The whole screen of a day, ``height`` lines of at most ``width`` columns.

    ``typed`` is the line being typed, ``heard`` and ``said`` the last words taken in and spoken,
    the newest last, ``clock`` the time of day as it is to be shown, and ``ear`` what the ear does
    and what is wrong with it. ``board`` is where a browser finds the board, ``board_trouble`` what
    is wrong with that, ``sensors_trouble`` what is wrong with the sensors. ``asked`` stands in the
    place of what is typed: a question of the program's own.
    """
    width, height = max(width, 1), max(height, 1)
    top = [_header(state, clock, width)]
    band, beside = _band(state, width, height)
    top += band
    foot = Text(f" {asked}", style=DUE_STYLE) if asked else typing_line(typed, width)
    parts = _panes(
        state,
        heard,
        said,
        ear,
        (board, board_trouble),
        sensors_trouble,
        width,
        height,
        with_timers=not beside,
    )
    body = _body(parts, width, height - len(top) - 1)
    lines = [*top, *body][: height - 1]
    lines += [Text("")] * (height - 1 - len(lines))
    lines.append(foot)
    for line in lines:
        line.no_wrap, line.overflow = True, "crop"
        line.truncate(width)
    return Group(*lines)


def _header(state: State, clock: str, width: int) -> Text:
    """Beer, stage and clock; where there is little room the stage goes before the beer."""
    where = place(state)
    left = max(width - cell_len(clock) - 3, 0)
    name = Text(plain(state.schedule.beer))
    room = left - cell_len(where) - 3
    if room >= SHORTEST_NAME:
        name.truncate(room, overflow="ellipsis")
        title = Text.assemble(name, " | ", where)
    else:
        title = Text(where)
    title.truncate(left, overflow="ellipsis", pad=True)
    return Text.assemble(" ", title, " ", plain(clock), " ", style="bold reverse")


def _band(state: State, width: int, height: int) -> tuple[list[Text], bool]:
    """The next thing, in large figures where there is room, and whether timers stand beside it."""
    next_thing = headline(state)
    shown = panes.headline_figures(next_thing, state.now_s)
    style = DUE_STYLE if next_thing.due else "bold"
    room = height // 3 if height >= TALL_ENOUGH else 0
    beside = width >= WIDE_ENOUGH
    left = width - 2 - TIMERS_BESIDE if beside else width - 1
    figures = big(shown, width=left, height=room)
    if not shown or not figures:
        return [Text(""), *_small(f"{shown} {next_thing.label}", width, style)], False
    rows = [Text(f" {row}", style="bold") for row in figures]
    if beside:
        rows = _with_timers(rows, state, width, len(figures[0]) + 3, max(room, ROWS))
    label = wrapped(next_thing.label, width - 2, style)[:2]
    return [Text(""), *rows, *(Text.assemble(" ", line) for line in label)], beside


def _small(text: str, width: int, style: str) -> list[Text]:
    return [Text.assemble(" ", line) for line in wrapped(text, width - 2, style)[:2]]


def _with_timers(rows: list[Text], state: State, width: int, left: int, most: int) -> list[Text]:
    pane = panes.timers(state, width - left - 1)
    kept = pane.lines[:most]
    if len(kept) < len(pane.lines):
        kept = (*kept[:-1], Text(f"+ {len(pane.lines) - most + 1} more timers"))
    rows = [*rows, *(Text("") for _ in range(len(kept) - len(rows)))]
    for row, line in zip(rows, kept, strict=False):
        row.truncate(left, pad=True)
        row.append_text(line)
    return rows


def _panes(
    state: State,
    heard_words: tuple[str, ...],
    spoken: tuple[Say, ...],
    ear_lines: tuple[str, ...],
    board: tuple[str, str],
    sensors_trouble: str,
    width: int,
    height: int,
    *,
    with_timers: bool,
) -> list[tuple[int, Pane]]:
    """The parts from top to bottom, each with its rank: the lowest gets its lines first."""
    room = max(width - GUTTER - 1, 1)
    ranked = [
        (0, panes.record(state, room)),
        (0, panes.sensors(sensors_trouble, room)),
        (0, panes.now(state, room, roomy=height >= ROOMY_ROWS)),
        *([(1, panes.timers(state, room))] if with_timers else []),
        (2, panes.said(spoken, room, max(height // 6, 2))),
        (5, panes.heard(heard_words, room)),
        (4, panes.ear(ear_lines, room)),
        (6, panes.readings(state, room)),
        (4, panes.planned(state, room)),
        (4, panes.likely(state, room)),
        (3, panes.say(state, room)),
        (1 if board[1] else 7, panes.board(*board, room)),
    ]
    return [(rank, pane) for rank, pane in ranked if pane.lines]


def _body(ranked: list[tuple[int, Pane]], width: int, rows: int) -> list[Text]:
    """The parts in the lines there are, set apart by blank lines where enough are left."""
    kept = _shares(ranked, rows)
    spare = rows - sum(kept)
    lines: list[Text] = []
    for (_, pane), count in zip(ranked, kept, strict=True):
        if count and spare > 0 and pane.apart:
            lines.append(Text(""))
            spare -= 1
        label = f"{pane.label} +" if count < len(pane.lines) else pane.label
        for line in pane.lines[:count]:
            lines.append(Text.assemble((f" {label}".ljust(GUTTER), "dim"), line))
            label = ""
    return lines


def _shares(ranked: list[tuple[int, Pane]], rows: int) -> list[int]:
    kept = [0] * len(ranked)
    by_rank = sorted(range(len(ranked)), key=lambda index: ranked[index][0])
    for wanted in (lambda pane: min(pane.least, len(pane.lines)), lambda pane: len(pane.lines)):
        for index in by_rank:
            more = min(wanted(ranked[index][1]) - kept[index], rows - sum(kept))
            kept[index] += max(more, 0)
    return kept


def typing_line(typed: str, width: int) -> Text:
    """The line being typed with its end in sight."""
    text = plain(typed)
    while text and cell_len(text) > width - 4:
        text = text[1:]
    return Text(f" > {text}_", style="bold")


class Screen:
    """The terminal's full screen for as long as the context lasts; the old one comes back after."""

    def __init__(self, console: Console | None = None) -> None:
        self._console = console or Console(highlight=False)
        self._live = Live(console=self._console, screen=True, auto_refresh=False)

    def __enter__(self) -> "Screen":
        self._live.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._live.stop()

    def show(self, renderable: RenderableType) -> None:
        """Put this on the screen in place of what is there."""
        self._live.update(renderable, refresh=True)

    def bell(self) -> None:
        """Ring the terminal's bell."""
        self._console.bell()
