"""The charts of a report: temperature, volume and gravity through the day, and bitterness."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from assistant.advice.timeline import Stage
from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import gravity_from_plato
from assistant.brewing.refractometer import plato_from_brix
from assistant.day.quantities import Quantity
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.axes import clock_axis, label, spread_out, stage_lines, thinned
from assistant.record.reporting.drawing import (
    BAND,
    BELIEVED,
    INK,
    MARK,
    PLANNED,
    READ,
    Palette,
    Picture,
    as_svg,
    drawing,
)
from assistant.record.reporting.followed import Believed, SeenReading
from assistant.record.reporting.section import Chart
from assistant.schedule.model import Units
from assistant.schedule.units import convert

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_IN = 9.0

TEMPERATURES = (
    Quantity.WATER_TEMPERATURE,
    Quantity.MASH_TEMPERATURE,
    Quantity.KETTLE_TEMPERATURE,
)
VOLUMES = (Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME)
GRAVITIES = (Quantity.GRAVITY, Quantity.BRIX)

BAND_ALPHA = 0.35
"""A band lets what lies in it be seen."""

MOST_DOTS = 800
MOST_POINTS = 1500
"""More than this nobody sees on a page."""


def draw(chart: Chart, account: Account, clock: Clock, palette: Palette) -> str:
    """A chart of an account as an SVG element."""
    return CHARTS[chart](account, clock, palette)


def _temperature(account: Account, clock: Clock, palette: Palette) -> str:
    units = account.schedule.units
    unit = "degF" if units is Units.US else "degC"

    def shown(value_c: float) -> float:
        return convert(value_c, "degC", unit)

    picture = Picture(
        key="temperature",
        title="Temperature of the kettle through the day",
        description="Planned as a dashed line, believed as a solid one, readings as dots, what was "
        "wanted as bands, and what went in as marks. The figures are in the tables below.",
    )
    with drawing(WIDTH_IN, 4.6) as figure:
        axes = figure.add_subplot()
        for number, target in enumerate(account.targets):
            axes.fill_between(
                [target.from_s, target.until_s],
                shown(target.low_c),
                shown(target.high_c),
                facecolor=BAND,
                edgecolor=BAND,
                alpha=BAND_ALPHA,
                linewidth=1.5,
                label="wanted" if number == 0 else None,
            )
        axes.plot(
            [point.at_s for point in account.planned_course],
            [shown(point.temperature_c) for point in account.planned_course],
            color=PLANNED,
            linestyle="--",
            linewidth=1.3,
            label="planned",
        )
        _line(axes, account.believed, lambda b: b.temperature_c, shown)
        _dots(axes, account.readings, TEMPERATURES, lambda seen: shown(seen.reading.value))
        axes.set_ylabel("°F" if units is Units.US else "°C")
        _finish(axes, account, clock)
        _marks(axes, account)
        figure.legend(loc="outside lower center", ncols=5)
        return as_svg(figure, picture, palette)


def draw_both(one: Account, other: Account, palette: Palette) -> str:
    """The temperatures of two days, as believed, from the start of each."""
    units = one.schedule.units
    unit = "degF" if units is Units.US else "degC"
    picture = Picture(
        key="both",
        title="Temperature of the kettle on both days",
        description="The first day as a solid line, the second as a dashed one, both as believed "
        "and from their start. How each rest was held is in a table below.",
    )
    with drawing(WIDTH_IN, 4.2) as figure:
        axes = figure.add_subplot()
        lines = ((one, BELIEVED, "-", "day"), (other, READ, "--", "second: day"))
        for account, colour, style, words in lines:
            moments = thinned(account.believed, MOST_POINTS)
            axes.plot(
                [(moment.at_s - account.began_s) / 3600 for moment in moments],
                [
                    float("nan")
                    if moment.temperature_c is None
                    else convert(moment.temperature_c, "degC", unit)
                    for moment in moments
                ],
                color=colour,
                linestyle=style,
                linewidth=1.6,
                label=f"{words} {account.day.id}",
            )
        axes.set_xlabel("hours from the start")
        axes.set_ylabel("°F" if units is Units.US else "°C")
        figure.legend(loc="outside lower center", ncols=2)
        return as_svg(figure, picture, palette)


def _wort(account: Account, clock: Clock, palette: Palette) -> str:
    units = account.schedule.units
    unit = "gal" if units is Units.US else "L"

    def shown(litres: float) -> float:
        return convert(litres, "L", unit)

    picture = Picture(
        key="wort",
        title="Volume and gravity through the day",
        description="Planned as a dashed line, believed as a solid one, readings as dots. Volume "
        "is water until the bag is out, then wort. The figures are in the tables below.",
    )
    with drawing(WIDTH_IN, 4.8) as figure:
        upper, lower = figure.subplots(2, 1, sharex=True)
        times, litres, gravities = _planned_wort(account)
        upper.plot(
            times,
            [shown(volume_l) for volume_l in litres],
            color=PLANNED,
            linestyle="--",
            linewidth=1.3,
            label="planned",
        )
        _line(upper, account.believed, lambda b: b.volume_l, shown)
        _dots(upper, account.readings, VOLUMES, lambda seen: shown(seen.reading.value))
        upper.set_ylabel("gallons" if units is Units.US else "litres")
        lower.plot(times[2:], gravities[2:], color=PLANNED, linestyle="--", linewidth=1.3)
        _line(lower, account.believed, lambda b: b.gravity, lambda gravity: gravity)
        _dots(lower, account.readings, GRAVITIES, lambda seen: _gravity(account, seen))
        lower.yaxis.set_major_formatter(lambda value, place: f"{value:.3f}")
        lower.set_ylabel("gravity")
        _finish(upper, account, clock)
        _finish(lower, account, clock, names=False)
        figure.legend(*upper.get_legend_handles_labels(), loc="outside lower center", ncols=4)
        return as_svg(figure, picture, palette)


def _bitterness(account: Account, clock: Clock, palette: Palette) -> str:
    lines = [line for line in account.additions if line.ibu is not None]
    picture = Picture(
        key="bitterness",
        title="Bitterness of each addition",
        description="A bar for what each addition brought, a hollow one for what was planned. The "
        "figures are in the table below.",
    )
    with drawing(WIDTH_IN, 1.2 + 0.5 * len(lines)) as figure:
        axes = figure.add_subplot()
        places = [float(place) for place in range(len(lines))]
        axes.barh(
            [place - 0.2 for place in places],
            [line.planned_ibu or 0.0 for line in lines],
            height=0.36,
            facecolor="none",
            edgecolor=PLANNED,
            linestyle="--",
            linewidth=1.2,
            label="planned",
        )
        axes.barh(
            [place + 0.2 for place in places],
            [line.ibu or 0.0 for line in lines],
            height=0.36,
            color=BELIEVED,
            label="as brewed",
        )
        axes.set_yticks(places, [label(line.name) for line in lines])
        axes.invert_yaxis()
        axes.set_xlabel("IBU")
        axes.grid(visible=False, axis="y")
        figure.legend(loc="outside lower center", ncols=2)
        return as_svg(figure, picture, palette)


CHARTS: Mapping[Chart, Callable[[Account, Clock, Palette], str]] = {
    Chart.TEMPERATURE: _temperature,
    Chart.WORT: _wort,
    Chart.BITTERNESS: _bitterness,
}


def _line(
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


def _dots(
    axes: "Axes",
    readings: Iterable[SeenReading],
    quantities: Sequence[Quantity],
    value: Callable[[SeenReading], float | None],
) -> None:
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
                markersize=4.0,
                label=words,
            )


def _gravity(account: Account, seen: SeenReading) -> float | None:
    reading = seen.reading
    if reading.quantity is Quantity.GRAVITY:
        return reading.value
    correction = account.schedule.kettle.wort_correction
    try:
        return gravity_from_plato(plato_from_brix(reading.value, correction))
    except OutOfRange:
        return None


def _planned_wort(account: Account) -> tuple[list[float], list[float], list[float]]:
    """The plan's volume and gravity through the day: in the mash, in the kettle, in the boil."""
    plan = account.plan
    starts = {stage.stage: account.began_s + stage.starts_min * 60 for stage in account.plan.stages}
    points = (
        (Stage.STRIKE, plan.strike_volume_l, plan.preboil_gravity),
        (Stage.LIFT, plan.strike_volume_l, plan.preboil_gravity),
        (Stage.LIFT, plan.preboil_volume_l, plan.preboil_gravity),
        (Stage.BOIL, plan.preboil_volume_l, plan.preboil_gravity),
        (Stage.WHIRLPOOL, plan.postboil_volume_l, plan.postboil_gravity),
        (Stage.TRANSFER, plan.postboil_volume_l, plan.postboil_gravity),
        (Stage.PITCH, plan.fermenter_volume_l, plan.original_gravity),
        (Stage.FINISHED, plan.fermenter_volume_l, plan.original_gravity),
    )
    return (
        [starts[stage.value] for stage, _, _ in points],
        [litres for _, litres, _ in points],
        [gravity for _, _, gravity in points],
    )


def _marks(axes: "Axes", account: Account) -> None:
    """What went in, as a line from below with its name along it, where the boil leaves room."""
    done = [mark for mark in account.marks if mark.done]
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


def _finish(axes: "Axes", account: Account, clock: Clock, *, names: bool = True) -> None:
    clock_axis(axes, account.began_s, account.ended_s, clock)
    stage_lines(axes, account.stages, names=names)
