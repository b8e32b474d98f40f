"""What is on record: listed, copied out of it and put back."""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.command_options import data_option
from assistant.command_steps import BAD_CALL, ended_in_words, fail, opened_journal
from assistant.schedule.faults import harmless

if TYPE_CHECKING:
    from assistant.record.journal import Journal
    from assistant.record.kept import KeptDay


@click.command()
@click.option(
    "--ics",
    type=click.Path(path_type=Path, dir_okay=False, allow_dash=True),
    metavar="FILE",
    help="Write what is to come for the beers to FILE, or to standard output (-), as a calendar.",
)
@data_option
def days(ics: Path | None, data: Path | None) -> None:
    """The brew days on record, newest first, with what became of each beer."""
    from assistant.days_page import DayLines

    with ended_in_words(), opened_journal(data, read_only=True) as journal:
        if ics is not None:
            from assistant.calendar_command import write_calendar

            write_calendar(journal, ics)
            return
        if not journal.days():
            click.echo("No brew day is on record yet.")
        listed = DayLines(journal)
        for line in listed:
            click.echo(line)
        if listed.left_out:
            count = listed.left_out
            click.echo(f"`kettleside mend` reckons, once, what {count} more came to.", err=True)


@click.command("export")
@click.argument("day", type=int)
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False), required=False)
@data_option
def export_day(day: int, file: Path | None, data: Path | None) -> None:
    """Write a copy of one DAY to FILE, or else to standard output: a line of JSON for each row."""
    from assistant.record.copies import copy_text
    from assistant.record.disk import write_whole

    with ended_in_words(), opened_journal(data, read_only=True) as journal:
        kept = journal.kept(day)
        try:
            text = copy_text(kept)
        except ValueError as error:
            fail(f"day {day} on record can't be read: {error}")
        if file is None:
            click.echo(text, nl=False)
            return
    if os.path.lexists(file):
        fail(f"{harmless(str(file), 300)} is there already; name a file that is not")
    try:
        write_whole(file, text)
    except OSError as error:
        fail(f"{harmless(str(file), 300)} can't be written: {error.strerror}")


@click.command("import")
@click.argument(
    "files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@data_option
def import_days(files: tuple[Path, ...], data: Path | None) -> None:
    """Put the days of copies on record, each FILE one day: all of them, or none if one is bad."""
    from assistant.record.copy_keeping import write_missing_copies
    from assistant.record.errors import CopyError

    days = _read_or_fail(files)
    with ended_in_words(), opened_journal(data) as journal:
        # The last to come in counts as the newest, and has the say on what its kettle is like.
        oldest_first = sorted(
            zip(days, files, strict=True), key=lambda each: each[0].head.began_wall
        )
        taken = [_taken_in(journal, day, file) for day, file in oldest_first]
        try:
            write_missing_copies(journal, journal.folder)
        except CopyError as error:
            click.echo(str(error), err=True)
    if not all(taken):
        sys.exit(BAD_CALL)


@click.command()
@data_option
def mend(data: Path | None) -> None:
    """Look at every row of the record and of the copies of its days, and mend what is damaged."""
    from assistant.record.beers import keep_all

    with ended_in_words(), opened_journal(data, thorough=True) as journal:
        if journal.mended is None:
            rows = journal.row_counts()
            click.echo(f"Nothing is damaged: days {len(rows)}, rows {sum(rows.values())}.")
        keep_all(journal)


def _read_or_fail(files: tuple[Path, ...]) -> "list[KeptDay]":
    from assistant.record.copy_lines import read_copy
    from assistant.record.errors import RecordError
    from assistant.record.kept import check_known

    days, faults = [], []
    for file in files:
        try:
            copy = read_copy(file.read_bytes(), str(file))
            check_known(copy.day, str(file))
        except OSError as error:
            faults.append(f"{harmless(str(file), 300)} can't be read: {error.strerror}")
        except RecordError as error:
            faults.append(str(error))
        else:
            days.append(copy.day)
            faults += copy.faults[:1]
    if faults:
        fail("\n".join(faults))
    return days


def _taken_in(journal: "Journal", day: "KeptDay", file: Path) -> bool:
    from assistant.record.taking_in import OnRecordAlready

    try:
        taken = journal.take_in(day)
    except OnRecordAlready as already:
        shown = harmless(str(file), 300)
        click.echo(f"{shown} is on record already as day {already.number}", err=True)
        return False
    what = "put on record" if taken.new else "completed"
    rows = "1 row" if taken.rows == 1 else f"{taken.rows} rows"
    click.echo(f"Day {taken.number}, {harmless(day.head.beer)}, {what}: {rows}.")
    return True
