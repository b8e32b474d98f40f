"""The command ``kettle``: what the brews have taught of a kettle, or of each on record."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.command_options import data_option, units_option
from assistant.command_steps import ended_in_words, fail, opened_journal
from assistant.schedule.faults import harmless

if TYPE_CHECKING:
    from assistant.record.journal import Journal


@click.command()
@click.argument("name", required=False)
@units_option
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
@data_option
def kettle(name: str | None, units: str | None, as_json: bool, data: Path | None) -> None:
    """What the brews have taught of the kettle of that NAME, or of each on record.

    Each figure as it is now and as it was after each brew, with where it goes, and what to put
    into the kettle's file where that says otherwise.
    """
    from assistant.kettle_page import kettle_text, kettle_view, kettles_json
    from assistant.schedule.model import Units

    shown = None if units is None else Units(units)
    with ended_in_words():
        with opened_journal(data, read_only=True) as journal:
            names = _names_or_fail(journal, name)
            views = [kettle_view(each, journal.learned_over(each), shown) for each in names]
        if as_json:
            click.echo(kettles_json(views))
        elif not views:
            click.echo("No finished brew day has taught of a kettle yet.")
        else:
            bars = _drawn("▁█")
            click.echo("\n\n\n".join(kettle_text(view, bars=bars) for view in views))


def _names_or_fail(journal: "Journal", name: str | None) -> tuple[str, ...]:
    from assistant.record.kept import storable

    known = journal.kettles()
    if name is not None and storable(name) not in known:
        others = "; known are " + ", ".join(map(harmless, known)) if known else ""
        fail(f"no finished brew day has taught of a kettle named {harmless(name)}{others}")
    return known if name is None else (name,)


def _drawn(signs: str) -> bool:
    """Whether the terminal has these signs, and would not print question marks for them."""
    try:
        signs.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
