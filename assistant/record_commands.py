"""``kettleside days`` and ``kettleside report``: what is on record."""

from datetime import datetime
from pathlib import Path

import click

from assistant.command_options import data_option
from assistant.command_steps import fail, opened_journal, record_kept


@click.command()
@data_option
def days(data: Path | None) -> None:
    """The brew days on record, newest first."""
    with record_kept(), opened_journal(data, read_only=True) as journal:
        found = journal.days()
    if not found:
        click.echo("No brew day is on record yet.")
    for day in found:
        began = datetime.fromtimestamp(day.began_wall)
        click.echo(f"{day.id:>4}  {began:%Y-%m-%d %H:%M}  {day.status.value:<8}  {day.beer}")


@click.command()
@click.argument("day", type=int)
@data_option
def report(day: int, data: Path | None) -> None:
    """A page of one DAY, by its number in `kettleside days`."""
    from assistant.record.replay import replay
    from assistant.record.report import report as report_of

    with record_kept(), opened_journal(data, read_only=True) as journal:
        found = journal.day(day)
        if found is None:
            fail(f"day {day} is not on record; `kettleside days` lists those that are")
        state = replay(journal.schedule(day), journal.events(day))
    click.echo(report_of(state, found))
