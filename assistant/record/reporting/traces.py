"""What the charts of a day have in common: lines of what was believed, dots, marks."""

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import TYPE_CHECKING

from assistant.day.course import Mark
from assistant.day.quantities import Quantity
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.axes import clock_axis, label, spread_out, stage_lines, thinned
from assistant.record.reporting.drawing import BELIEVED, INK, MARK, READ
from assistant.record.reporting.followed import Believed, SeenReading

if TYPE_CHECKING:
    from matplotlib.axes import Axes


DENSE = 120
MOST_DOTS = 800
MOST_POINTS = 1500
"""So many dots are drawn small; more of them, or of the points of a line, nobody sees."""


def believed_line(
    axes: "Axes",
    believed: Sequence[Believed],
    of: Callable[[Believed], float | None],
    shown: Callable[[float], float],
) -> None:
    """What was believed, with a gap where there was nothing, or where it went elsewhere."""
    times: list[float] = []
    values: list[float] = []
    place = None
    for moment in thinned(believed, MOST_POINTS):
        value = of(moment)
        if value is None or (place is not None and moment.place is not place):
            times.append(moment.at_s)
            values.append(float("nan"))
        if value is not None:
            times.append(moment.at_s)
            values.append(shown(value))
        place = moment.place
    axes.plot(times, values, color=BELIEVED, linewidth=1.6, label="believed")


def dots(
    axes: "Axes",
    readings: Iterable[SeenReading],
    quantities: Collection[Quantity],
    value: Callable[[SeenReading], float | None],
) -> None:
    """Readings of some quantities as dots, those that were taken back as crosses."""
    for back, marker, words in ((False, "o", "read"), (True, "x", "read, taken back")):
        found = [
            (seen.reading.at, figure)
            for seen in readings
            if seen.reading.quantity in quantities and (seen.taken_back_s is not None) is back
            for figure in [value(seen)]
            if figure is not None
        ]
        if found:
            kept = thinned(found, MOST_DOTS)
            axes.plot(
                [at_s for at_s, _ in kept],
                [figure for _, figure in kept],
                color=READ,
                linestyle="none",
                marker=marker,
                markersize=4.0 if len(kept) <= DENSE else 2.0,
                label=words,
            )


def marks(axes: "Axes", found: Iterable[Mark]) -> None:
    """What went in, as a line from below with its name along it, where the boil leaves room."""
    done = [mark for mark in found if mark.done]
    low_s, high_s = axes.get_xlim()
    apart_s = (high_s - low_s) * 0.018
    named_s = spread_out([mark.at_s for mark in done], apart_s, high_s)
    for mark, at_s in zip(done, named_s, strict=True):
        axes.plot(
            [mark.at_s, mark.at_s, at_s],
            [0.0, 0.05, 0.08],
            transform=axes.get_xaxis_transform(),
            color=MARK,
            linewidth=1.4,
        )
        axes.text(
            at_s,
            0.09,
            label(mark.name),
            transform=axes.get_xaxis_transform(),
            rotation=90,
            rotation_mode="default",
            ha="center",
            va="bottom",
            fontsize=8,
            color=INK,
        )


def finish(axes: "Axes", account: Account, clock: Clock, *, names: bool = True) -> None:
    """The foot of a chart by the clock, and a line where each stage began."""
    clock_axis(axes, account.began_s, account.ended_s, clock)
    stage_lines(axes, account.stages, names=names)
