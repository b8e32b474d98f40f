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
from assistant.advice.learned_words import card_sentence, learned_line
from assistant.advice.plan import Plan
from assistant.advice.plan_changes import Differs, plan_changes
from assistant.advice.slurry import slurry_line
from assistant.advice.timeline import Stage, rest_starts_min
from assistant.brewing.rests import RESTS, mash_rest
from assistant.known_kettle import Start
from assistant.last_brew import LastBrew
from assistant.plan_rows import plan_rows
from assistant.record.page import Clock
from assistant.schedule.model import Addition, Moment, Rest, Schedule, Units

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


PROMISED = (
    "total_water_l",
    "strike_volume_l",
    "strike_temperature_c",
    "strike_heat_minutes",
    "mash_volume_l",
    "fits_kettle",
    "preboil_volume_l",
    "preboil_gravity",
    "boil_minutes",
    "postboil_volume_l",
    "original_gravity",
    "fermenter_volume_l",
    "final_gravity",
    "abv_percent",
    "ibu",
    "colour_ebc",
    "grain_kg",
    "extract_kg",
    "yeast_cells_billion",
    "yeast_dry_g",
    "oxygen_ppm",
    "priming_sugar_g",
    "keg_pressure_kpa",
    "boiling_point_c",
    "stages",
    "additions",
)
"""What programs are given of a plan; the rest is for the other parts of this one."""


def plan_json(plan: Plan) -> str:
    """The plan as one JSON object, numbers with their unit in the key."""
    whole = asdict(plan)
    return json.dumps({key: whole[key] for key in PROMISED}, indent=2)


def print_plan(
    console: Console,
    known: Start,
    start: datetime,
    *,
    by_card: Plan | None = None,
    last: LastBrew | None = None,
) -> None:
    """Print the plan, its clock times from ``start``, and where its kettle's figures are from.

    ``by_card`` is the plan by the kettle's card alone, ``last`` this beer as it was brewed last.
    """
    schedule, plan = known.schedule, known.plan
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
    if known.learned is not None:
        console.print(Text(learned_line(known.learned, units)))
        if known.learned.from_card:
            console.print(Text(card_sentence(known.learned)))
        if by_card is not None:
            console.print(_beside_the_card(plan_changes(by_card, plan, units)))
    if known.slurry is not None:
        console.print(Text(slurry_line(schedule, plan.yeast_cells_billion, known.slurry)))
    if last is not None:
        console.print(Text(last_brew_line(last, units)))
    console.print(_facts(schedule, plan))
    console.print(_timeline(schedule, plan, start))


def last_brew_line(last: LastBrew, units: Units) -> str:
    """What a beer came to when it was brewed last, beside its plan."""
    date = Clock(wall_s=last.began_wall, at_s=0.0).moment(0.0)
    made, planned = (
        f"{figures.gravity(gravity)} and {figures.volume(volume_l, units)}"
        for gravity, volume_l in (
            (last.beer.original_gravity, last.beer.volume_l),
            (last.beer.planned_original_gravity, last.beer.planned_volume_l),
        )
    )
    told = f"Brewed last on {date:%Y-%m-%d}, day {last.day}: {made} of {planned} planned."
    if last.final_gravity is None:
        return told
    ended = figures.gravity(last.final_gravity)
    planned_end = figures.gravity(last.beer.planned_final_gravity)
    alcohol = "" if last.abv_percent is None else f", {last.abv_percent:.1f} % alcohol"
    return f"{told} It ended at {ended} of {planned_end}{alcohol}."


def _beside_the_card(changes: tuple[Differs, ...]) -> RenderableType:
    if not changes:
        return Text("As planned by the card, but for what nobody would notice.")
    table = Table(box=None, pad_edge=False, header_style="dim", padding=(0, 2, 0, 0))
    table.add_column("")
    table.add_column("by the card", justify="right")
    table.add_column("as learned", justify="right")
    for change in changes:
        table.add_row(Text(change.name), Text(change.by_card), Text(change.as_learned))
    return table


def _facts(schedule: Schedule, plan: Plan) -> RenderableType:
    grid = Table.grid(padding=(0, 2))
    grid.add_column(justify="right", style="dim")
    grid.add_column()
    for name, value in plan_rows(schedule, plan):
        grid.add_row(Text(name), Text(value))
    return Group(grid, Text(""))


def _timeline(schedule: Schedule, plan: Plan, start: datetime) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim")
    table.add_column("clock", justify="right")
    table.add_column("from start", justify="right")
    table.add_column("what")
    table.add_column("how long or how much", justify="right")
    for at_min, what, amount in sorted(_moments(schedule, plan), key=lambda moment: moment[0]):
        clock = start + timedelta(minutes=round(at_min))
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
        what = f"   {rest.name}, {at}: {_effect(rest)}"
        yield mash_min + at_min + 0.001, what, figures.duration(rest.minutes * 60)
    for addition in schedule.additions:
        if addition.moment is not Moment.DAY:
            weight = figures.weight(addition.weight_g, schedule.units)
            yield _addition_min(addition, plan) + 0.002, f"   {addition.name}", weight


def _effect(rest: Rest) -> str:
    return mash_rest(max(rest.temperature_c, RESTS[0].low_c)).effect


def _addition_min(addition: Addition, plan: Plan) -> float:
    starts = {stage.stage: stage.starts_min for stage in plan.stages}
    boil_min, end_min = starts[Stage.BOIL.value], starts[Stage.WHIRLPOOL.value]
    if addition.moment is Moment.FIRST_WORT:
        return starts[Stage.BOIL_UP.value]
    if addition.moment is Moment.BOIL_START:
        return boil_min
    return end_min - (addition.minutes_before_end or 0.0)
