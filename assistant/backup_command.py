"""The commands ``backup`` and ``restore``: the whole record as one file, and back."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.command_options import data_option
from assistant.command_steps import data_folder, ended_in_words, fail, opened_journal
from assistant.schedule.faults import harmless

if TYPE_CHECKING:
    from assistant.record.backup_check import CheckedBackup
    from assistant.record.backup_format import Contents

a_file = click.argument("file", type=click.Path(path_type=Path, dir_okay=False))


@click.command()
@a_file
@click.option("--check", is_flag=True, help="Look through the backup that FILE is; write nothing.")
@click.option("--replace", is_flag=True, help="Put it in the place of an earlier backup.")
@data_option
def backup(file: Path, check: bool, replace: bool, data: Path | None) -> None:
    """Write the whole record to one FILE, also while a brew day is under way, and read it back."""
    if check and replace:
        raise click.UsageError("--check writes nothing; leave --replace out.")
    with _told():
        if check:
            with _checked(file) as found:
                _tell(file, found)
            return
        from assistant.record.backup import back_up

        with opened_journal(data, read_only=True) as journal:
            contents, size = back_up(journal, file, datetime.now(UTC), replace=replace)
        shown = harmless(str(file), 300)
        click.echo(f"{shown} has {_count(contents)} in {_size(size)}, read back and whole.")


@click.command()
@a_file
@click.option(
    "--merge", is_flag=True, help="Take in what the record that is there lacks, and leave the rest."
)
@data_option
def restore(file: Path, merge: bool, data: Path | None) -> None:
    """Put the record that the backup FILE holds into a folder that has none."""
    with _told(), _checked(file) as found:
        if merge:
            _merge(found, data)
            return
        from assistant.record.restoring import restore as put_back

        folder = data_folder(data)
        put_back(found, folder)
        # Brings an older record up to date, and writes the copies of the days.
        with opened_journal(folder):
            click.echo(f"{_count(found.contents)} are back in {harmless(str(folder), 300)}.")


def _merge(found: "CheckedBackup", data: Path | None) -> None:
    from assistant.record.copy_keeping import write_missing_copies
    from assistant.record.errors import CopyError

    with opened_journal(data) as journal:
        taken = journal.take_in_all(found.kept())
        for day, came in zip(found.oldest_first(), taken, strict=True):
            beer, rows = harmless(day.beer), "1 row" if came.rows == 1 else f"{came.rows} rows"
            if came.known:
                click.echo(f"Day {came.number}, {beer}, is on record already.")
            elif came.new:
                click.echo(f"Day {came.number}, {beer}, put on record: {rows}.")
            else:
                click.echo(f"Day {came.number}, {beer}, completed: {rows}.")
        try:
            write_missing_copies(journal, journal.folder)
        except CopyError as error:
            click.echo(str(error), err=True)


@contextmanager
def _told() -> Iterator[None]:
    """End with a line for each fault of a backup, and where anything else fails as usual."""
    from assistant.record.errors import BackupError

    with ended_in_words():
        try:
            yield
        except BackupError as error:
            fail(str(error))


@contextmanager
def _checked(file: Path) -> Iterator["CheckedBackup"]:
    from assistant.record.backup_check import checked
    from assistant.record.backup_files import opened

    with opened(file) as files, checked(files) as found:
        yield found


def _tell(file: Path, found: "CheckedBackup") -> None:
    contents = found.contents
    click.echo(
        f"{harmless(str(file), 300)} is whole: {_count(contents)}, written "
        f"{harmless(contents.made)} by Kettleside {harmless(contents.program)}."
    )
    for day in found.days:
        beer, status = harmless(day.beer), day.status.value
        click.echo(f"{day.number:>4}  {_moment(day.began_wall):<16}  {status:<8}  {beer}")


def _moment(wall_s: float) -> str:
    from assistant.record.errors import RecordError
    from assistant.record.page import Clock

    try:
        return f"{Clock(wall_s=wall_s, at_s=0.0).moment(0.0):%Y-%m-%d %H:%M}"
    except RecordError:
        return "on no calendar"


def _count(contents: "Contents") -> str:
    days = "1 day" if contents.days == 1 else f"{contents.days} days"
    rows = "1 row" if contents.rows == 1 else f"{contents.rows} rows"
    return f"{days} with {rows}"


def _size(size_bytes: int) -> str:
    if size_bytes < 1_000_000:
        return f"{size_bytes / 1000:.0f} kB"
    return f"{size_bytes / 1e6:.1f} MB"
