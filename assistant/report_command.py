"""The command ``report``: one day, or two side by side, on the terminal or in files."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.command_options import data_option
from assistant.command_steps import ended_in_words, fail, opened_journal
from assistant.schedule.faults import harmless

if TYPE_CHECKING:
    from assistant.record.journal import Journal
    from assistant.record.reporting.account import Account
    from assistant.schedule.model import Units

STANDARD_OUTPUT = "-"

a_file = click.Path(path_type=Path, dir_okay=False)


@click.command()
@click.argument("day", type=int, required=False)
@click.option("--html", type=a_file, metavar="FILE", help="Write a page with charts to FILE.")
@click.option("--pdf", type=a_file, metavar="FILE", help="Write the page as a PDF to FILE.")
@click.option(
    "--csv",
    is_flag=False,
    flag_value=STANDARD_OUTPUT,
    metavar="[FILE]",
    help="Write a table for a spreadsheet to FILE, or to standard output.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
@click.option(
    "--compare", nargs=2, type=int, metavar="DAY DAY", help="Two days side by side instead of one."
)
@click.option("--units", type=click.Choice(["metric", "us"]), help="Show these units.")
@data_option
def report(
    day: int | None,
    html: Path | None,
    pdf: Path | None,
    csv: str | None,
    as_json: bool,
    compare: tuple[int, int] | None,
    units: str | None,
    data: Path | None,
) -> None:
    """All there is to tell of one DAY, by its number in `kettleside days`.

    Printed as text, or written as it is asked for. What was said on the day stays in its words.
    """
    from assistant.brewing.errors import OutOfRange
    from assistant.schedule.model import Units

    table = None if csv in (None, STANDARD_OUTPUT) else Path(csv or "")
    _check_call(day, compare, csv, as_json, [file for file in (html, pdf, table) if file])
    shown = None if units is None else Units(units)
    with ended_in_words():
        with opened_journal(data, read_only=True) as journal:
            accounts = [_account(journal, number, shown) for number in compare or (day or 0,)]
        try:
            if compare is not None:
                _compared(accounts[0], accounts[1], html, pdf)
            else:
                _told(accounts[0], html, pdf, table, to_terminal=_to_terminal(csv, as_json))
        except OutOfRange as error:
            fail(f"this day is past what the sums hold for: {error}")


def _to_terminal(csv: str | None, as_json: bool) -> str | None:
    """Which form is asked for on standard output; None for the text."""
    if as_json:
        return "json"
    return "csv" if csv == STANDARD_OUTPUT else None


def _check_call(
    day: int | None,
    compare: tuple[int, int] | None,
    csv: str | None,
    as_json: bool,
    files: list[Path],
) -> None:
    if (day is None) == (compare is None):
        raise click.UsageError("Name one DAY, or two after --compare; --csv FILE takes a name too.")
    if compare is not None and (csv is not None or as_json):
        raise click.UsageError("--compare is text, or a page with --html or --pdf.")
    if as_json and csv == STANDARD_OUTPUT:
        raise click.UsageError("--json and --csv both want standard output: name a FILE for --csv.")
    for file in files:
        if os.path.lexists(file):
            fail(f"{_shown(file)} is there already; name a file that is not")
    if len({file.absolute() for file in files}) < len(files):
        raise click.UsageError("Each form wants a FILE of its own.")


def _account(journal: "Journal", number: int, units: "Units | None") -> "Account":
    from assistant.record.reporting.making import account_on_record

    found = account_on_record(journal, number, units)
    if found is None:
        fail(f"day {number} is not on record; `kettleside days` lists those that are")
    return found


def _told(
    account: "Account",
    html: Path | None,
    pdf: Path | None,
    table: Path | None,
    *,
    to_terminal: str | None,
) -> None:
    from assistant.record.reporting.as_csv import as_csv
    from assistant.record.reporting.as_html import day_page
    from assistant.record.reporting.as_json import as_json
    from assistant.record.reporting.laying import laid_out
    from assistant.record.reporting.text import as_text

    made: dict[Path, bytes] = {}
    if html is not None:
        made[html] = day_page(account).encode()
    if pdf is not None:
        made[pdf] = _printed(day_page(account, on_paper=True))
    if table is not None:
        made[table] = as_csv(account).encode()
    _write(made)
    if to_terminal == "json":
        click.echo(as_json(account))
    elif to_terminal == "csv":
        click.echo(as_csv(account).encode(), nl=False)
    elif not made:
        click.echo(as_text(laid_out(account)))


def _compared(one: "Account", other: "Account", html: Path | None, pdf: Path | None) -> None:
    from assistant.record.reporting.as_html import comparison_page
    from assistant.record.reporting.comparing import compared
    from assistant.record.reporting.text import as_text

    made: dict[Path, bytes] = {}
    if html is not None:
        made[html] = comparison_page(one, other).encode()
    if pdf is not None:
        made[pdf] = _printed(comparison_page(one, other, on_paper=True))
    _write(made)
    if not made:
        click.echo(as_text(compared(one, other)))


def _printed(page: str) -> bytes:
    from assistant.record.reporting.as_pdf import NoPrinter, as_pdf

    try:
        return as_pdf(page)
    except NoPrinter as error:
        fail(str(error))


def _write(made: dict[Path, bytes]) -> None:
    """Put the files on the disk, all of them made by now."""
    from assistant.record.disk import write_whole

    for file, data in made.items():
        try:
            write_whole(file, data)
        except OSError as error:
            fail(f"{_shown(file)} can't be written: {error.strerror}")


def _shown(file: Path) -> str:
    return harmless(str(file), 300)
