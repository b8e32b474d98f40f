"""``days --ics``: what is to come for the beers on record, written as a calendar."""

import os
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.command_steps import RECORD_FAILED, fail
from assistant.schedule.faults import harmless

if TYPE_CHECKING:
    from assistant.calendar_file import Awaited
    from assistant.record.journal import Journal

STANDARD_OUTPUT = Path("-")
ENOUGH_TO_KNOW = 1024
"""In so many of its first bytes a calendar of ours names its maker and begins an event."""


def write_calendar(journal: "Journal", file: Path) -> None:
    """Write what is still to come to ``file``, or print it, and tell what can't be written.

    A calendar of ours is written over, as its reader wants the newest; nothing else is. Where
    nothing is to come nothing is written.
    """
    from assistant.calendar_file import calendar_of, still_to_come
    from assistant.coming_dates import coming_dates

    printed = file == STANDARD_OUTPUT
    if not printed:
        _check_may_be_written(file)
    now_wall_s = time.time()
    found = coming_dates(journal, now_wall_s)
    calendar = calendar_of(found.beers, now_wall_s)
    if calendar is None:
        click.echo("Nothing is to come for the beers on record: no calendar is made.", err=printed)
    elif printed:
        click.echo(calendar, nl=False)
    else:
        _write(file, calendar)
        click.echo(_told(still_to_come(found.beers, now_wall_s)))
    faults = [*map(str, found.faults), *_on_no_calendar(found.beers)]
    if faults:
        fail("\n".join(faults), status=RECORD_FAILED)


def _check_may_be_written(file: Path) -> None:
    from assistant.calendar_file import is_ours

    if not os.path.lexists(file):
        return
    try:
        if file.is_file() and not file.is_symlink():
            with file.open("rb") as there:
                if is_ours(there.read(ENOUGH_TO_KNOW)):
                    return
    except OSError as error:
        fail(f"{_shown(file)} can't be read: {error.strerror}")
    fail(
        f"{_shown(file)} is there already and is no calendar of Kettleside's;"
        " name a file that is one, or that is not there"
    )


def _write(file: Path, calendar: bytes) -> None:
    from assistant.record.disk import write_whole

    try:
        write_whole(file, calendar)
    except OSError as error:
        fail(f"{_shown(file)} can't be written: {error.strerror}")


def _told(beers: "Sequence[Awaited]") -> str:
    """How many dates there are, and the next of them."""
    from assistant.calendar_file import moment_of

    dates = [
        (moment, beer, coming)
        for beer in beers
        for coming in beer.comings
        if (moment := moment_of(beer, coming)) is not None
    ]
    moment, beer, coming = min(dates, key=lambda date: date[0])
    count = "1 date" if len(dates) == 1 else f"{len(dates)} dates"
    first = f"{harmless(beer.beer)}, {harmless(coming.what)}"
    return f"{count} to come, first {moment.astimezone():%Y-%m-%d %H:%M}: {first}."


def _on_no_calendar(beers: "Sequence[Awaited]") -> Iterator[str]:
    from assistant.calendar_file import moment_of

    for beer in beers:
        for coming in beer.comings:
            if moment_of(beer, coming) is None:
                wall_s = beer.zero_wall_s + coming.at_s
                yield (
                    f"day {beer.number}: the date of its {coming.key} is on no calendar:"
                    f" {wall_s:g} s after 1970 began"
                )


def _shown(file: Path) -> str:
    return harmless(str(file), 300)
