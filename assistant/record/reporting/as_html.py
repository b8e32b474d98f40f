"""A report as one page that needs nothing else: no script, no picture, no font from elsewhere."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import tzinfo
from pathlib import Path
from typing import Any

from assistant.record.reporting.account import Account
from assistant.record.reporting.charts import draw, draw_both
from assistant.record.reporting.comparing import compared
from assistant.record.reporting.drawing import PAPER, SCREEN
from assistant.record.reporting.laying import clock_of, laid_out
from assistant.record.reporting.section import Chart, Laid, Section, Table
from assistant.schedule.faults import harmless
from assistant.schedule.model import Units

TEMPLATE = "report.html"

LONGEST_CELL = 300
LONGEST_TEXT = 5000

FOOT = (
    "Volumes are at 20 °C. Figures are estimates with the errors of home instruments, and what is "
    "believed stands as it was believed then."
)

PAPER_SIZES: Mapping[Units, str] = {Units.METRIC: "A4", Units.US: "letter"}


def day_page(account: Account, *, zone: tzinfo | None = None, on_paper: bool = False) -> str:
    """The page of a day; ``on_paper`` has it for a printer, in fixed colours and sheets."""
    laid = laid_out(account, zone=zone)
    clock, palette = clock_of(account, zone), PAPER if on_paper else SCREEN
    charts = {
        chart: draw(chart, account, clock, palette)
        for section in laid.sections
        for chart in section.charts
    }
    return page(laid, charts, account.schedule.units, on_paper=on_paper)


def comparison_page(
    one: Account, other: Account, *, zone: tzinfo | None = None, on_paper: bool = False
) -> str:
    """The page of two days side by side."""
    palette = PAPER if on_paper else SCREEN
    charts = {Chart.BOTH_TEMPERATURES: draw_both(one, other, palette)}
    laid = compared(one, other, zone=zone)
    return page(laid, charts, one.schedule.units, on_paper=on_paper)


def page(laid: Laid, charts: Mapping[Chart, str], units: Units, *, on_paper: bool = False) -> str:
    """What was laid out as a page, with a drawing for each of its charts."""
    from markupsafe import Markup

    drawn = {chart: Markup(svg) for chart, svg in charts.items()}
    paper = PAPER_SIZES[units] if on_paper else ""
    return str(
        _environment()
        .get_template(TEMPLATE)
        .render(laid=_printable(laid), charts=drawn, paper=paper, foot=FOOT)
    )


def _environment() -> Any:
    # Whoever reads on a terminal needs no template.
    import jinja2

    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _printable(laid: Laid) -> Laid:
    """Everything as it can stand on a page: marks that turn the writing round are spelt out."""
    return Laid(
        title=harmless(laid.title, LONGEST_CELL),
        lines=tuple(harmless(line, LONGEST_TEXT) for line in laid.lines),
        sections=tuple(_printable_section(section) for section in laid.sections),
    )


def _printable_section(section: Section) -> Section:
    return replace(
        section,
        tables=tuple(
            Table(
                caption=harmless(table.caption, LONGEST_CELL),
                header=table.header,
                rows=tuple(
                    tuple(harmless(cell, LONGEST_CELL) for cell in row) for row in table.rows
                ),
            )
            for table in section.tables
        ),
        paragraphs=tuple(
            replace(
                told,
                head=harmless(told.head, LONGEST_CELL),
                text=harmless(told.text, LONGEST_TEXT),
            )
            for told in section.paragraphs
        ),
    )
