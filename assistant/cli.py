"""The command ``kettleside``: what was asked for, in which room it is done, and how it ends."""

import sys
import time
from datetime import datetime
from pathlib import Path

import click

from assistant import __version__
from assistant.backup_command import backup, restore
from assistant.brew_command import brew
from assistant.command_options import data_option, engine_option, schedule_argument, units_option
from assistant.command_steps import (
    BAD_CALL,
    STOPPED,
    any_terminal,
    console,
    ended_in_words,
    fail,
    load_or_fail,
    opened_journal,
    plan_or_fail,
)
from assistant.kettle_command import kettle
from assistant.model_commands import model
from assistant.record_commands import days, export_day, import_days, mend
from assistant.report_command import report
from assistant.visit_commands import package, tend


class Stoppable(click.Group):
    """Commands that end with the status for Ctrl-C however early it comes, while loading too."""

    def invoke(self, ctx: click.Context) -> object:
        """Do what was asked for."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            fail("Stopped.", status=STOPPED)


@click.group(cls=Stoppable, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="kettleside")
def main() -> None:
    """Walks a brewer through a day at one kettle: timers, readings, sums, advice, and a record."""
    any_terminal()


@main.command()
@click.argument("schedule", type=click.Path(path_type=Path), required=False)
@click.option("--all", "everything", is_flag=True, help="Print every word that is spoken.")
@click.option("--text", is_flag=True, help="In silence: the brewer types instead of speaking.")
@units_option
def rehearse(schedule: Path | None, everything: bool, text: bool, units: str | None) -> None:
    """A whole day in a minute, with a simulated kettle and a brewer who speaks over its noise."""
    from rich.console import Console

    from assistant.brewing.errors import OutOfRange
    from assistant.rehearsal.day import Stuck
    from assistant.rehearsal.page import rehearse_command
    from assistant.samples import rehearsed_sample

    path = rehearsed_sample() if schedule is None else schedule
    loaded = load_or_fail(path, units)
    plan_or_fail(loaded, path)
    try:
        if text:
            rehearse_command(loaded, console(), everything)
        else:
            from assistant.rehearse_command import rehearse_by_sound

            errors = Console(stderr=True, highlight=False)
            rehearse_by_sound(loaded, console(), errors, everything)
    except (OutOfRange, Stuck) as error:
        fail(f"{path}: {error}")
    except KeyboardInterrupt:
        sys.exit(STOPPED)


@main.command()
@schedule_argument
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
@click.option("--start", metavar="HH:MM", default="09:00", show_default=True, help="Clock start.")
@units_option
@data_option
def plan(schedule: Path, as_json: bool, start: str, units: str | None, data: Path | None) -> None:
    """Water, heat, gravity, hops, yeast and the timeline of SCHEDULE.

    The kettle is taken as past brews have taught it, where any are on record.
    """
    from assistant.known_kettle import start_of
    from assistant.last_brew import last_brew_of
    from assistant.plan_page import plan_json, print_plan

    loaded = load_or_fail(schedule, units)
    by_card = plan_or_fail(loaded, schedule)
    try:
        clock = datetime.strptime(start, "%H:%M")
    except ValueError:
        raise click.BadParameter(f"{start!r} is no time of day such as 09:00") from None
    with ended_in_words():
        with opened_journal(data, read_only=True) as journal:
            known = start_of(journal, loaded, time.time())
            last = None if as_json else last_brew_of(journal, loaded.beer)
        if as_json:
            click.echo(plan_json(known.plan))
        else:
            print_plan(console(), known, clock, by_card=by_card, last=last)


@main.command()
@click.argument("files", metavar="FILE.wav...", nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="One JSON object a file, for programs.")
@click.option("--stage", metavar="NAME", help="As if at this stage of the day, such as boil.")
@click.option(
    "--expect", metavar="QUANTITY", help="As if this had just been asked for, such as gravity."
)
@units_option
@engine_option
@data_option
def hear(
    files: tuple[str, ...],
    as_json: bool,
    stage: str | None,
    expect: str | None,
    units: str | None,
    engine: str | None,
    data: Path | None,
) -> None:
    """What the recogniser makes of recordings; the wake word may be left out."""
    from assistant.hear_page import hear_files, hearing_context
    from assistant.hearing.engine import EngineFailed

    try:
        context = hearing_context(stage, expect, units)
    except ValueError as error:
        raise click.BadParameter(str(error)) from None
    try:
        all_heard = hear_files(files, context, engine, data, as_json=as_json)
    except EngineFailed as error:
        fail(str(error))
    except KeyboardInterrupt:
        sys.exit(STOPPED)
    if not all_heard:
        sys.exit(BAD_CALL)


@main.command()
@engine_option
@data_option
def check(engine: str | None, data: Path | None) -> None:
    """Try the recogniser, the voice, the loudspeaker and the microphone, one after another."""
    from assistant.check_page import check_all

    try:
        check_all(console(), engine, data)
    except KeyboardInterrupt:
        sys.exit(STOPPED)


for command in (
    brew,
    tend,
    package,
    kettle,
    model,
    days,
    report,
    export_day,
    import_days,
    mend,
    backup,
    restore,
):
    main.add_command(command)
