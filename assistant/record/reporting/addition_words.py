"""What went in and the bitterness it brought, in words."""

from assistant.advice import figures
from assistant.advice.actions import Action, Do
from assistant.advice.mash_minerals import amount
from assistant.record.page import Clock
from assistant.record.reporting.account import Account, AdditionAccount
from assistant.record.reporting.names import FATE_WORDS
from assistant.record.reporting.quantities import in_words
from assistant.record.reporting.recipe_words import when
from assistant.record.reporting.section import Chart, Section, Table
from assistant.schedule.model import Moment, Units


def addition_section(account: Account, clock: Clock) -> Section:
    """Every salt and addition as planned and as it went in, and what bitterness it brought."""
    units = account.schedule.units
    stirred = [
        (
            one.item,
            amount(Action(do=Do.ADD, item=one.item, grams=one.grams, millilitres=one.millilitres)),
            "",
            "",
            "left out" if one.left_out else clock.time(one.at_s),
        )
        for one in account.stirred
    ]
    went_in = [_addition_row(line, units, clock) for line in account.additions]
    return Section(
        key="additions",
        title="Additions",
        tables=(
            Table(
                caption="What went in, and when",
                header=("addition", "weight", "planned", "by the clock", "went in"),
                rows=(*stirred, *went_in),
            ),
        ),
    )


def _addition_row(
    line: AdditionAccount, units: Units, clock: Clock
) -> tuple[str, str, str, str, str]:
    weight = figures.weight(line.weight_g, units)
    if line.planned_g is not None and line.weight_g != line.planned_g:
        weight += f" ({figures.weight(line.planned_g, units)} planned)"
    planned = "" if line.extra else when(line.addition)
    due = "" if line.due_s is None else clock.time(line.due_s)
    went_in = FATE_WORDS.get(line.fate, "in")
    if line.in_s is not None and line.addition.moment is Moment.DAY:
        went_in = clock.date_and_time(line.in_s)
    elif line.in_s is not None:
        went_in = clock.time(line.in_s)
        if line.boiled_min is not None:
            went_in += f", boiled {figures.duration(line.boiled_min * 60)}"
    return line.name, weight, planned, due, went_in


def bitterness_section(account: Account) -> Section:
    """What bitterness each addition was to bring and brought."""
    units = account.schedule.units
    lines = [line for line in account.additions if line.ibu is not None]
    rows = tuple(
        (
            line.name,
            _beside(
                figures.weight(line.weight_g, units),
                None if line.planned_g is None else figures.weight(line.planned_g, units),
            ),
            _beside(
                in_words(line.boiled_min, "min", units),
                in_words(line.planned_boiled_min, "min", units),
            ),
            _beside(
                in_words(line.hot_min, "min", units),
                in_words(line.planned_hot_min, "min", units),
            ),
            _beside(
                f"{line.ibu:.1f} IBU",
                None if line.planned_ibu is None else f"{line.planned_ibu:.1f} IBU",
            ),
        )
        for line in lines
    )
    return Section(
        key="bitterness",
        title="Bitterness as brewed",
        tables=(
            Table(
                caption="As brewed, with the plan in brackets; hot time after the boil counts as "
                "so much boil",
                header=("hops", "weight", "boiled", "hot after it", "bitterness"),
                rows=rows,
            ),
        ),
        charts=(Chart.BITTERNESS,) if rows else (),
    )


def _beside(was: str, planned: str | None) -> str:
    """``25 grams (24 grams)``: a figure with the plan's in brackets, where there is one."""
    return f"{was} ({planned})".strip() if planned else was
