"""The course of a day in words: temperature, volume and gravity, rests and stages."""

from collections.abc import Iterator

from assistant.advice import figures
from assistant.day.wording import STAGE_NAMES
from assistant.record.page import Clock
from assistant.record.reporting.account import Account, StageSpent
from assistant.record.reporting.section import Chart, Paragraph, Section, Table
from assistant.record.reporting.sitting import drawn_until_s
from assistant.record.reporting.through_the_day import through_the_day
from assistant.schedule.model import Units


def course_section(account: Account, clock: Clock) -> Section:
    """Temperature, volume and gravity through the day, and how the rests were held."""
    units = account.schedule.units
    held = tuple(
        (
            rest.rest,
            figures.temperature_read(rest.wanted_c, units),
            figures.temperature_read(rest.mean_c, units),
            f"{figures.degrees_read(rest.lowest_c, units)} to "
            f"{figures.temperature_read(rest.highest_c, units)}",
            f"{clock.time(rest.from_s)} to {clock.time(rest.until_s)}",
        )
        for rest in account.held
    )
    rows = tuple(
        (
            clock.time(then.at_s),
            _degrees(then.planned_c, units),
            _degrees(then.believed.temperature_c if then.believed else None, units),
            _volume(then.believed.volume_l if then.believed else None, units),
            _gravity(then.believed.gravity if then.believed else None),
        )
        for then in through_the_day(account)
    )
    plan = account.plan
    planned = (
        ("strike water", figures.volume(plan.strike_volume_l, units), ""),
        (
            "before the boil",
            figures.volume(plan.preboil_volume_l, units),
            figures.gravity(plan.preboil_gravity),
        ),
        (
            "after the boil",
            figures.volume(plan.postboil_volume_l, units),
            figures.gravity(plan.postboil_gravity),
        ),
        (
            "in the fermenter",
            figures.volume(plan.fermenter_volume_l, units),
            figures.gravity(plan.original_gravity),
        ),
    )
    return Section(
        key="course",
        title="Through the day",
        tables=(
            Table(
                caption="How the rests were held, as believed",
                header=("rest", "wanted", "held on average", "from lowest to highest", "when"),
                rows=held,
            ),
            Table(
                caption="Temperature of the kettle, volume and gravity, as then believed",
                header=("time", "planned", "believed", "volume", "gravity"),
                rows=rows,
            ),
            Table(
                caption="Volume and gravity by plan",
                header=("when", "volume", "gravity"),
                rows=planned if rows else (),
            ),
        ),
        paragraphs=tuple(_cut_short(account, clock)),
        charts=(Chart.TEMPERATURE, Chart.WORT) if rows else (),
    )


def _cut_short(account: Account, clock: Clock) -> Iterator[Paragraph]:
    until_s = drawn_until_s(account)
    if until_s < account.ended_s:
        left_s = account.ended_s - until_s
        yield Paragraph(
            head=clock.time(until_s),
            text=f"Charts end here: then the day was left for long, {figures.duration(left_s)} "
            "before its end.",
        )


def _degrees(value_c: float | None, units: Units) -> str:
    return "" if value_c is None else figures.temperature_read(value_c, units)


def _volume(litres: float | None, units: Units) -> str:
    return "" if litres is None else figures.volume(litres, units)


def _gravity(value: float | None) -> str:
    return "" if value is None else figures.gravity(value)


def stage_section(account: Account, clock: Clock) -> Section:
    """Every stage and rest with its time and length."""
    rows = tuple(_stage_row(spent, clock) for spent in account.stages)
    header = ("stage", "began", "took", "planned")
    table = Table(caption="Every stage and rest", header=header, rows=rows)
    return Section(key="stages", title="Stages", tables=(table,))


def _stage_row(spent: StageSpent, clock: Clock) -> tuple[str, str, str, str]:
    name = STAGE_NAMES[spent.stage]
    if spent.rest is not None:
        name = f"{name}, {spent.rest}"
    began = clock.time(spent.from_s)
    if spent.planned_s is None:
        return name, began, "", ""
    planned = figures.duration(spent.planned_s)
    if spent.with_heating:
        planned += " and the heating"
    return name, began, figures.duration(spent.until_s - spent.from_s), planned
