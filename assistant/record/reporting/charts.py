"""The charts of a report: temperature, volume and gravity through the day, and bitterness."""

from collections.abc import Callable, Mapping

from assistant.advice.timeline import Stage
from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import gravity_from_plato
from assistant.brewing.refractometer import plato_from_brix
from assistant.day.aim import IN_THE_KETTLE
from assistant.day.quantities import Quantity
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.axes import label, thinned
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
from assistant.record.reporting.fermentation_chart import fermentation_chart
from assistant.record.reporting.followed import SeenReading
from assistant.record.reporting.section import Chart
from assistant.record.reporting.sitting import drawn_part
from assistant.record.reporting.traces import MOST_POINTS, believed_line, dots, finish, marks
from assistant.schedule.model import Units
from assistant.schedule.units import convert

VOLUMES = (Quantity.KETTLE_VOLUME, Quantity.FERMENTER_VOLUME)
GRAVITIES = (Quantity.GRAVITY, Quantity.BRIX)


def draw(chart: Chart, account: Account, clock: Clock, palette: Palette) -> str:
    """A chart of an account as an SVG element."""
    return CHARTS[chart](drawn_part(account), clock, palette)


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
        believed_line(axes, account.believed, lambda b: b.temperature_c, shown)
        dots(axes, account.readings, IN_THE_KETTLE, lambda seen: shown(seen.reading.value))
        axes.set_ylabel("°F" if units is Units.US else "°C")
        finish(axes, account, clock)
        marks(axes, account.marks)
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
            moments = thinned(drawn_part(account).believed, MOST_POINTS)
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
        believed_line(upper, account.believed, lambda b: b.volume_l, shown)
        dots(upper, account.readings, VOLUMES, lambda seen: shown(seen.reading.value))
        upper.set_ylabel("gallons" if units is Units.US else "litres")
        lower.plot(times[2:], gravities[2:], color=PLANNED, linestyle="--", linewidth=1.3)
        believed_line(lower, account.believed, lambda b: b.gravity, lambda gravity: gravity)
        dots(lower, account.readings, GRAVITIES, lambda seen: _gravity(account, seen))
        lower.yaxis.set_major_formatter(lambda value, place: f"{value:.3f}")
        lower.set_ylabel("gravity")
        finish(upper, account, clock)
        finish(lower, account, clock, names=False)
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
    Chart.FERMENTATION: fermentation_chart,
}


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
