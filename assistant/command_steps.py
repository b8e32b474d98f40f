"""Steps that several commands take, and how a command ends where one of them fails."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from rich.console import Console

    from assistant.advice.plan import Plan
    from assistant.record.journal import Journal
    from assistant.schedule.model import Schedule
    from assistant.sensor_card import SensorCard

FAILED = 1
BAD_CALL = 2
RECORD_FAILED = 3
STOPPED = 130

LONGEST_LINE = 2000
"""No fault is told in more characters."""


def load_or_fail(path: Path, units: str | None) -> "Schedule":
    """The schedule of a file, shown in these units, or in its own where they are None.

    Where something is wrong with it, the command ends with a line for every fault.
    """
    from dataclasses import replace

    from assistant.schedule import ScheduleError, load
    from assistant.schedule.model import Units

    try:
        schedule = load(path)
    except ScheduleError as error:
        fail(str(error))
    return schedule if units is None else replace(schedule, units=Units(units))


def sensors_or_fail(path: Path) -> "SensorCard":
    """The sensors of a file, its warnings told; the command ends where they can't be had.

    Where something is wrong with the file, with a line for every fault.
    """
    from assistant.schedule import ScheduleError
    from assistant.sensing import MISSING, can_sense
    from assistant.sensor_card import load_sensors

    try:
        card = load_sensors(path)
    except ScheduleError as error:
        fail(str(error))
    if not can_sense():
        fail(MISSING)
    from assistant.schedule.faults import harmless

    for warning in card.warnings:
        click.echo(harmless(warning, LONGEST_LINE), err=True)
    return card


def plan_or_fail(schedule: "Schedule", path: Path) -> "Plan":
    """The plan of the schedule of a file; the command ends where that can't be brewed."""
    from assistant.advice import figures
    from assistant.advice.plan import make_plan
    from assistant.brewing.errors import NeverReaches, OutOfRange

    try:
        return make_plan(schedule)
    except NeverReaches as error:
        wanted, limit = (
            figures.temperature(value_c, schedule.units)
            for value_c in (error.wanted_c, error.limit_c)
        )
        fail(f"{path}: the heater never brings it to {wanted}: it would stop at {limit}")
    except OutOfRange as error:
        fail(f"{path}: this can't be brewed as written: {error}")


def data_folder(data: Path | None) -> Path:
    """The folder of the record: the one that was named, or else the platform's data folder."""
    from platformdirs import user_data_path

    return user_data_path("kettleside", appauthor=False) if data is None else data


@contextmanager
def opened_journal(
    data: Path | None, *, read_only: bool = False, thorough: bool = False
) -> Iterator["Journal"]:
    """The record in a folder, or in the platform's data folder, for as long as the context lasts.

    What was the matter with it is told where errors go. Where it can't be used, the command ends
    with the status for it.
    """
    from assistant.record.journal import Journal, RecordError

    try:
        journal = Journal.open(data_folder(data), read_only=read_only, thorough=thorough)
    except RecordError as error:
        fail(str(error), status=RECORD_FAILED)
    with journal:
        if journal.mended is not None:
            click.echo(journal.mended.sentence, err=True)
        if journal.copy_fault is not None:
            click.echo(str(journal.copy_fault), err=True)
        yield journal


@contextmanager
def ended_in_words() -> Iterator[None]:
    """End with a line and the status for it where the record or the printing fails, or at Ctrl-C.

    Whoever reads only the beginning of what is printed, as ``head`` does, has all that was wanted.
    """
    from assistant.record.journal import RecordError

    try:
        yield
    except RecordError as error:
        fail(str(error), status=RECORD_FAILED)
    except KeyboardInterrupt:
        fail("Stopped.", status=STOPPED)
    except BrokenPipeError:
        _leave_unprinted()
        sys.exit(0)
    except OSError as error:
        if error.filename is not None:
            raise
        _leave_unprinted()
        fail(f"This can't be printed: {error.strerror}.", status=FAILED)


def _leave_unprinted() -> None:
    """Have the rest go nowhere: what waits to be printed fails again when the program ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def any_terminal() -> None:
    """Print a question mark for what the terminal's encoding has no sign for, such as a degree."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")


def console() -> "Console":
    """A console for what a command was asked to print, as it stands."""
    from rich.console import Console

    return Console(highlight=False)


def fail(text: str, *, status: int = BAD_CALL) -> NoReturn:
    """End the command: a line or more where errors go, made harmless, and this exit status."""
    from assistant.schedule.faults import harmless

    for line in text.split("\n"):
        click.echo(harmless(line, LONGEST_LINE), err=True)
    sys.exit(status)
