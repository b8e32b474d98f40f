"""The chart of a fermentation: gravity read and as fitted, and the temperature below it."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.cellar.state import DAY_S, BeerReading
from assistant.day.course import Mark
from assistant.day.quantities import Quantity
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.axes import clock_axis, thinned
from assistant.record.reporting.drawing import (
    BAND,
    BAND_ALPHA,
    BELIEVED,
    PLANNED,
    READ,
    WIDTH_IN,
    Palette,
    Picture,
    as_svg,
    drawing,
)
from assistant.record.reporting.fermentation import Fermentation
from assistant.record.reporting.fermentation_words import beer_clock
from assistant.record.reporting.traces import DENSE, MOST_DOTS, marks
from assistant.schedule.model import Units, Vessel
from assistant.schedule.units import convert

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LATEST_DAY = 366.0
LEAST_DAYS = 1.0
EDGE_SHARE = 0.02
CURVE_POINTS = 240

INSTRUMENTS: tuple[tuple[str, str, bool, Callable[[BeerReading], bool]], ...] = (
    ("hydrometer", "o", True, lambda reading: reading.by_hydrometer),
    ("floating", "^", False, lambda r: r.quantity is Quantity.GRAVITY and r.streamed),
    ("refractometer", "D", False, lambda reading: reading.quantity is Quantity.BRIX),
)
"""What gravity is read with: its name, its mark and whether that is filled, and its readings."""


def fermentation_chart(account: Account, clock: Clock, palette: Palette) -> str:
    """The chart as an SVG element; only of an account that has a fermentation."""
    told = account.fermentation
    assert told is not None
    units = account.schedule.units
    unit = "degF" if units is Units.US else "degC"
    picture = Picture(
        key="fermentation",
        title="Gravity and temperature of the beer in its fermenter",
        description="Gravity as fitted as a solid line, planned at its end as a dashed one, the "
        "range where it should end as a band; readings by hydrometer as dots, by refractometer as "
        "hollow diamonds, by an instrument in the beer as hollow triangles. Below, temperature as "
        "dots in the band wanted, and what was added as marks. The figures are in the tables "
        "below.",
    )
    until_s = drawn_until_s(told)
    with drawing(WIDTH_IN, 5.4) as figure:
        upper, lower = figure.subplots(2, 1, sharex=True, height_ratios=(3, 2))
        _gravity(upper, told, until_s)
        upper.yaxis.set_major_formatter(lambda value, place: f"{value:.3f}")
        upper.set_ylabel("gravity")
        ferment = account.schedule.ferment
        lower.axhspan(
            convert(ferment.low_c, "degC", unit),
            convert(ferment.high_c, "degC", unit),
            facecolor=BAND,
            edgecolor=BAND,
            alpha=BAND_ALPHA,
            linewidth=1.5,
        )
        warm = [
            (read.reading.at, convert(read.reading.value, "degC", unit))
            for read in told.readings
            if read.warmth is not None and read.reading.at <= until_s
        ]
        _dots(lower, warm, "o", "temperature", filled=True)
        lower.set_ylabel("°F" if units is Units.US else "°C")
        for axes in (upper, lower):
            clock_axis(axes, told.beer.pitched_s, until_s, beer_clock(told, clock))
        marks(lower, _marks(told, until_s))
        figure.legend(*upper.get_legend_handles_labels(), loc="outside lower center", ncols=4)
        return as_svg(figure, picture, palette)


def drawn_until_s(told: Fermentation) -> float:
    """How far the chart goes: to the packaging, or as far as it is read and foretold."""
    pitched_s = told.beer.pitched_s
    if told.packaged is not None:
        until_s = told.packaged.at
    else:
        happened = [read.reading.at for read in told.readings]
        happened += [each.done_s for each in told.tended if each.done_s is not None]
        until_s = max([*happened, pitched_s + told.curve.finish_day * DAY_S])
    least_s, most_s = pitched_s + LEAST_DAYS * DAY_S, pitched_s + LATEST_DAY * DAY_S
    # What is read last must not stand on the edge.
    until_s += EDGE_SHARE * max(until_s - pitched_s, 0.0)
    return min(max(until_s, least_s), most_s)


def _gravity(axes: "Axes", told: Fermentation, until_s: float) -> None:
    pitched_s, curve = told.beer.pitched_s, told.curve
    length_s = until_s - pitched_s
    times_s = [pitched_s + length_s * step / CURVE_POINTS for step in range(CURVE_POINTS + 1)]
    axes.fill_between(
        [pitched_s, until_s],
        curve.final_low,
        curve.final_high,
        facecolor=BAND,
        edgecolor=BAND,
        alpha=BAND_ALPHA,
        linewidth=1.5,
        label="where it should end",
    )
    axes.plot(
        [pitched_s, until_s],
        [told.beer.planned_final_gravity] * 2,
        color=PLANNED,
        linestyle="--",
        linewidth=1.3,
        label="planned end",
    )
    axes.plot(
        times_s,
        [curve.gravity_at(told.day(at_s)) for at_s in times_s],
        color=BELIEVED,
        linewidth=1.6,
        label="fitted" if told.gravity_read else "expected",
    )
    for name, marker, filled, is_its in INSTRUMENTS:
        found = [
            (read.reading.at, read.reading.gravity)
            for read in told.readings
            if read.reading.gravity is not None
            and is_its(read.reading)
            and read.reading.at <= until_s
        ]
        _dots(axes, found, marker, name, filled=filled)


def _dots(
    axes: "Axes", found: list[tuple[float, float]], marker: str, name: str, *, filled: bool
) -> None:
    if not found:
        return
    kept = thinned(found, MOST_DOTS)
    axes.plot(
        [at_s for at_s, _ in kept],
        [figure for _, figure in kept],
        color=READ,
        markerfacecolor=READ if filled else "none",
        linestyle="none",
        marker=marker,
        markersize=5.0 if len(kept) <= DENSE else 2.5,
        label=name,
    )


def _marks(told: Fermentation, until_s: float) -> list[Mark]:
    found = [
        Mark(at_s=each.done_s, name=each.name, done=True)
        for each in told.tended
        if each.done_s is not None and not each.left_out and each.done_s <= until_s
    ]
    if told.packaged is not None and told.packaged.at <= until_s:
        bottled = told.packaged.into is Vessel.BOTTLES
        found.append(
            Mark(at_s=told.packaged.at, name="bottled" if bottled else "kegged", done=True)
        )
    return sorted(found, key=lambda mark: mark.at_s)
