"""The axes of a chart: the clock along the foot, the stages at the head, and labels that fit."""

from collections.abc import Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, TypeVar

from assistant.day.wording import STAGE_NAMES
from assistant.record.page import Clock
from assistant.record.reporting.account import StageSpent
from assistant.record.reporting.drawing import GRID
from assistant.schedule.faults import harmless

if TYPE_CHECKING:
    from matplotlib.axes import Axes

TICKS_MIN = (15, 30, 60, 120, 240, 720, 1440, 2 * 1440, 7 * 1440, 30 * 1440)
MOST_TICKS = 10

LETTER_SHARE, ROOM_SHARE = 0.0074, 0.01
"""A stage has room for its name where it is so wide, as shares of the chart, for each letter of it
and for the space between two."""

LONGEST_LABEL = 34

Thing = TypeVar("Thing")


def label(text: str) -> str:
    """A name as it can stand in a chart."""
    return harmless(text, LONGEST_LABEL)


def thinned(things: Sequence[Thing], most: int) -> list[Thing]:
    """Evenly as many as a chart can show, the first and the last among them."""
    if len(things) <= most:
        return list(things)
    every = -(-len(things) // most)
    kept = list(things[::every])
    return kept if kept[-1] is things[-1] else [*kept, things[-1]]


def spread_out(places: Sequence[float], apart: float, most: float) -> list[float]:
    """The places, in order, moved off each other by ``apart``, and back from where ``most`` is."""
    moved: list[float] = []
    for place in places:
        moved.append(max(place, moved[-1] + apart) if moved else place)
    room = [most - apart * (number + 0.5) for number in range(len(moved))]
    return [min(place, last) for place, last in zip(moved, reversed(room), strict=True)]


def clock_axis(axes: "Axes", from_s: float, until_s: float, clock: Clock) -> None:
    """The foot of a chart by the clock on the wall."""
    length_s = max(until_s - from_s, 900.0)
    axes.set_xlim(from_s, from_s + length_s)
    step_min = next((s for s in TICKS_MIN if length_s / 60 / s <= MOST_TICKS), TICKS_MIN[-1])
    began = clock.moment(from_s)
    midnight = began.replace(hour=0, minute=0, second=0, microsecond=0)
    ticks, names = [], []
    count = -(-length_s // (step_min * 60)) + 2
    first = int((began - midnight) / timedelta(minutes=step_min))
    for number in range(first, first + int(min(count, 4 * MOST_TICKS))):
        at_s = from_s + (midnight - began).total_seconds() + number * step_min * 60
        if from_s <= at_s <= from_s + length_s:
            ticks.append(at_s)
            moment = clock.moment(at_s)
            names.append(f"{moment:%m-%d}" if step_min >= 1440 else f"{moment:%H:%M}")
    axes.set_xticks(ticks, names)


def stage_lines(axes: "Axes", stages: Sequence[StageSpent], *, names: bool) -> None:
    """A line where each stage began, and above those that have room for it, its name."""
    low_s, high_s = axes.get_xlim()
    for number, spent in enumerate(stages):
        same = number > 0 and stages[number - 1].stage is spent.stage
        if same or not low_s <= spent.from_s <= high_s:
            continue
        axes.axvline(spent.from_s, color=GRID, linewidth=1.2, zorder=0.5)
        until_s = next(
            (later.from_s for later in stages[number + 1 :] if later.stage is not spent.stage),
            spent.until_s,
        )
        name = STAGE_NAMES[spent.stage]
        wanted_share = LETTER_SHARE * len(name) + ROOM_SHARE
        if names and until_s - spent.from_s >= wanted_share * (high_s - low_s):
            axes.text(
                (spent.from_s + until_s) / 2,
                1.01,
                name,
                transform=axes.get_xaxis_transform(),
                ha="center",
                va="bottom",
                fontsize=8,
            )
