"""The plan for a person to read: what to fill, heat, weigh and expect, and when."""

import json
from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime, timedelta

from rich.console import Console, Group, RenderableType
from rich.panel import Panel
from rich.table import Table
from rich.text import Text

from assistant.advice import figures
from assistant.advice.plan import Plan
from assistant.advice.timeline import Stage, rest_starts_min
from assistant.schedule.model import Addition, Moment, Schedule, Units, Vessel
from assistant.schedule.units import convert

STAGE_TITLES = {
    Stage.GATHER: "gather and weigh",
    Stage.STRIKE: "fill and heat the strike water",
    Stage.DOUGH_IN: "dough in",
    Stage.MASH: "mash",
    Stage.LIFT: "lift the bag",
    Stage.BOIL_UP: "heat to the boil",
    Stage.BOIL: "boil",
    Stage.WHIRLPOOL: "whirlpool",
    Stage.CHILL: "chill",
    Stage.TRANSFER: "transfer",
    Stage.PITCH: "aerate and pitch",
    Stage.CLEAN: "clean",
    Stage.FINISHED: "finished",
}


def plan_json(plan: Plan) -> str:
    """The plan as one JSON object, numbers with their unit in the key."""
    figures_of_plan = asdict(plan)
    del figures_of_plan["warnings"]
    return json.dumps(figures_of_plan, indent=2)


def print_plan(console: Console, schedule: Schedule, plan: Plan, start: datetime) -> None:
    """Print the plan, its clock times from ``start``."""
    units = schedule.units
    console.print(
        Panel(
            Text(
                f"{schedule.beer}: {figures.volume(plan.fermenter_volume_l, units)}, "
                f"{figures.gravity(plan.original_gravity)}, {plan.abv_percent:.1f} % alcohol, "
                f"{plan.ibu:.0f} IBU",
                style="bold",
            ),
            expand=False,
        )
    )
    for warning in plan.warnings:
        console.print(Text(f"! {warning}", style="bold"))
    console.print(_facts(schedule, plan))
    console.print(_timeline(schedule, plan, start))


def _facts(schedule: Schedule, plan: Plan) -> RenderableType:
    grid = Table.grid(padding=(0, 2))
    grid.add_column(justify="right", style="dim")
    grid.add_column()
    for name, value in _rows(schedule, plan):
        grid.add_row(Text(name), Text(value))
    return Group(grid, Text(""))


def _rows(schedule: Schedule, plan: Plan) -> Iterator[tuple[str, str]]:
    units, kettle = schedule.units, schedule.kettle
    degrees = "F" if units is Units.US else "C"

    def temperature(value_c: float) -> str:
        return f"{figures.temperature(value_c, units).removesuffix(' degrees')} °{degrees}"

    yield (
        "water",
        (
            f"{figures.volume(plan.total_water_l, units)} in all, "
            f"{figures.volume(plan.strike_volume_l, units)} to strike"
        ),
    )
    yield (
        "strike",
        (
            f"{temperature(plan.strike_temperature_c)}, "
            f"{figures.duration(plan.strike_heat_minutes * 60)} of heating"
        ),
    )
    fits = "fits" if plan.fits_kettle else "does not fit"
    yield (
        "kettle",
        (
            f"{kettle.name}: mash {figures.volume(plan.mash_volume_l, units)} of "
            f"{figures.volume(kettle.holds_l, units)}, {fits}; boils at "
            f"{temperature(plan.boiling_point_c)}"
        ),
    )
    yield (
        "grain",
        (
            f"{figures.weight(plan.grain_kg * 1000, units)}, of which "
            f"{figures.weight(plan.extract_kg * 1000, units)} of extract reaches the kettle"
        ),
    )
    yield (
        "boil",
        (
            f"{figures.volume(plan.preboil_volume_l, units)} at "
            f"{figures.gravity(plan.preboil_gravity)} down to "
            f"{figures.volume(plan.postboil_volume_l, units)} in "
            f"{figures.duration(plan.boil_minutes * 60)}"
        ),
    )
    yield (
        "gravity",
        (
            f"{figures.gravity(plan.original_gravity)} to {figures.gravity(plan.final_gravity)}, "
            f"{plan.abv_percent:.1f} % alcohol"
        ),
    )
    ratio = plan.ibu / ((plan.original_gravity - 1) * 1000)
    yield "bitterness", f"{plan.ibu:.0f} IBU, {ratio:.2f} to a point of gravity"
    yield "colour", f"{plan.colour_ebc:.0f} EBC ({plan.colour_ebc / 1.97:.0f} SRM)"
    dry = "" if plan.yeast_dry_g is None else f", {figures.weight(plan.yeast_dry_g, units)} dry"
    yield (
        "yeast",
        (
            f"{schedule.yeast.name}: {plan.yeast_cells_billion:.0f} billion cells{dry}; "
            f"{plan.oxygen_ppm:.0f} ppm oxygen"
        ),
    )
    ferment = schedule.ferment
    yield (
        "ferment",
        (f"{temperature(ferment.low_c)} to {temperature(ferment.high_c)}, {ferment.days:.0f} days"),
    )
    if schedule.package is not None:
        yield "package", _packaging(schedule, plan)


def _packaging(schedule: Schedule, plan: Plan) -> str:
    package = schedule.package
    assert package is not None
    carbonation = f"{package.carbonation_vol:.1f} volumes"
    if package.into is Vessel.BOTTLES and plan.priming_sugar_g is not None:
        sugar = figures.weight(plan.priming_sugar_g, schedule.units)
        return f"bottles, {carbonation}: {sugar} of {package.sugar.value}"
    pressure_kpa = plan.keg_pressure_kpa or 0.0
    if schedule.units is Units.US:
        return f"keg, {carbonation}: {convert(pressure_kpa, 'kPa', 'psi'):.0f} psi at 39 °F"
    return f"keg, {carbonation}: {pressure_kpa:.0f} kPa at 4 °C"


def _timeline(schedule: Schedule, plan: Plan, start: datetime) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim")
    table.add_column("clock", justify="right")
    table.add_column("from start", justify="right")
    table.add_column("what")
    table.add_column("how long or how much", justify="right")
    for at_min, what, amount in sorted(_moments(schedule, plan), key=lambda moment: moment[0]):
        clock = start + timedelta(minutes=at_min)
        hours, minutes = divmod(round(at_min), 60)
        table.add_row(f"{clock:%H:%M}", f"{hours}:{minutes:02}", Text(what), Text(amount))
    return table


def _moments(schedule: Schedule, plan: Plan) -> Iterator[tuple[float, str, str]]:
    starts = {stage.stage: stage for stage in plan.stages}
    for stage in Stage:
        planned = starts[stage.value]
        length = figures.duration(planned.minutes * 60) if planned.minutes else ""
        yield planned.starts_min, STAGE_TITLES[stage], length
    mash_min = starts[Stage.MASH.value].starts_min
    rest_min = rest_starts_min(schedule, plan.strike_volume_l)
    for rest, at_min in zip(schedule.mash, rest_min, strict=True):
        at = figures.temperature(rest.temperature_c, schedule.units)
        what = f"   {rest.name}, {at}"
        yield mash_min + at_min + 0.001, what, figures.duration(rest.minutes * 60)
    for addition in schedule.additions:
        if addition.moment is not Moment.DAY:
            weight = figures.weight(addition.weight_g, schedule.units)
            yield _addition_min(addition, plan) + 0.002, f"   {addition.name}", weight


def _addition_min(addition: Addition, plan: Plan) -> float:
    starts = {stage.stage: stage.starts_min for stage in plan.stages}
    boil_min, end_min = starts[Stage.BOIL.value], starts[Stage.WHIRLPOOL.value]
    if addition.moment is Moment.FIRST_WORT:
        return starts[Stage.BOIL_UP.value]
    if addition.moment is Moment.BOIL_START:
        return boil_min
    return end_min - (addition.minutes_before_end or 0.0)
