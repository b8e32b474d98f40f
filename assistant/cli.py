"""The command ``kettleside``: what was asked for, in which room it is done, and how it ends."""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from assistant import __version__
from assistant.model_commands import model

if TYPE_CHECKING:
    from rich.console import Console

    from assistant.advice.plan import Plan
    from assistant.record.journal import Journal
    from assistant.schedule.model import Schedule
    from assistant.voice_setup import VoiceWanted

BAD_CALL = 2
RECORD_FAILED = 3
STOPPED = 130

schedule_argument = click.argument("schedule", type=click.Path(path_type=Path))
units_option = click.option(
    "--units", type=click.Choice(["metric", "us"]), help="Show and hear these units."
)
data_option = click.option(
    "--data",
    type=click.Path(path_type=Path, file_okay=False),
    envvar="KETTLESIDE_DATA",
    help="The folder of the record; else $KETTLESIDE_DATA, else the platform's data folder.",
)
engine_option = click.option(
    "--engine",
    type=click.Choice(["vosk", "pocketsphinx"]),
    help="What hears; else Vosk if a model of its is there, else PocketSphinx.",
)

VOICE_KEEPS_REAL_TIME = (
    "At this speed nothing is spoken or heard, since a voice keeps real time; --voice insists."
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="kettleside")
def main() -> None:
    """Walks a brewer through a day at one kettle: timers, readings, sums, advice, and a record."""


@main.command()
@schedule_argument
@click.option("--pipe", is_flag=True, help="Drive the day by JSON lines on standard input.")
@click.option(
    "--voice/--no-voice",
    default=None,
    help="Speak and listen, or keyboard and screen only.  [default: voice, but not at a --speed]",
)
@click.option(
    "--speed",
    type=click.FloatRange(min=1, max=1000),
    default=1.0,
    show_default=True,
    help="Run the clock this many times as fast, for trying things.",
)
@engine_option
@click.option(
    "--keep-audio",
    type=click.Path(path_type=Path, file_okay=False),
    help="Keep what is said as WAV files in this folder; else no sound is kept anywhere.",
)
@units_option
@data_option
def brew(
    schedule: Path,
    pipe: bool,
    voice: bool | None,
    speed: float,
    engine: str | None,
    keep_audio: Path | None,
    units: str | None,
    data: Path | None,
) -> None:
    """Run a brew day, or go on with an unfinished one of the same SCHEDULE."""
    loaded = _load(schedule, units)
    _plan(loaded, schedule)
    path = str(schedule.resolve())
    with _journal(data) as journal, _record_kept(), _stopped_by_hand():
        if pipe:
            from assistant.pipe import run_pipe

            wall = iter(time.time, None)
            run_pipe(loaded, path, journal, sys.stdin.buffer, sys.stdout, wall)
        else:
            from assistant.run import run_day

            wanted = _voice_wanted(voice, speed, engine, keep_audio, data)
            run_day(loaded, path, journal, speed=speed, voice=wanted)


def _voice_wanted(
    voice: bool | None, speed: float, engine: str | None, keep: Path | None, data: Path | None
) -> "VoiceWanted | None":
    if voice is None and speed > 1:
        click.echo(VOICE_KEEPS_REAL_TIME, err=True)
    if voice is False or (voice is None and speed > 1):
        return None
    from assistant.engines import open_engine
    from assistant.hearing.engine import EngineFailed
    from assistant.voice_setup import VoiceWanted

    if engine is not None:
        # Without one that was asked for by name the day would begin without an ear.
        try:
            open_engine(engine, data).close()
        except EngineFailed as error:
            _fail(str(error))
    return VoiceWanted(engine=engine, keep=keep, data=data)


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
    loaded = _load(path, units)
    _plan(loaded, path)
    try:
        if text:
            rehearse_command(loaded, _console(), everything)
        else:
            from assistant.rehearse_command import rehearse_by_sound

            errors = Console(stderr=True, highlight=False)
            rehearse_by_sound(loaded, _console(), errors, everything)
    except (OutOfRange, Stuck) as error:
        _fail(f"{path}: {error}")
    except KeyboardInterrupt:
        sys.exit(STOPPED)


@main.command()
@schedule_argument
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
@click.option("--start", metavar="HH:MM", default="09:00", show_default=True, help="Clock start.")
@units_option
def plan(schedule: Path, as_json: bool, start: str, units: str | None) -> None:
    """Water, heat, gravity, hops, yeast and the timeline of SCHEDULE."""
    from assistant.plan_page import plan_json, print_plan

    loaded = _load(schedule, units)
    planned = _plan(loaded, schedule)
    if as_json:
        click.echo(plan_json(planned))
        return
    try:
        clock = datetime.strptime(start, "%H:%M")
    except ValueError:
        raise click.BadParameter(f"{start!r} is no time of day such as 09:00") from None
    print_plan(_console(), loaded, planned, clock)


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
        _fail(str(error))
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
        check_all(_console(), engine, data)
    except KeyboardInterrupt:
        sys.exit(STOPPED)


main.add_command(model)


@main.command()
@data_option
def days(data: Path | None) -> None:
    """The brew days on record, newest first."""
    with _record_kept(), _journal(data, read_only=True) as journal:
        found = journal.days()
    if not found:
        click.echo("No brew day is on record yet.")
    for day in found:
        began = datetime.fromtimestamp(day.began_wall)
        click.echo(f"{day.id:>4}  {began:%Y-%m-%d %H:%M}  {day.status.value:<8}  {day.beer}")


@main.command()
@click.argument("day", type=int)
@data_option
def report(day: int, data: Path | None) -> None:
    """A page of one DAY, by its number in `kettleside days`."""
    from assistant.record.replay import replay
    from assistant.record.report import report as report_of

    with _record_kept(), _journal(data, read_only=True) as journal:
        found = journal.day(day)
        if found is None:
            _fail(f"day {day} is not on record; `kettleside days` lists those that are")
        state = replay(journal.schedule(day), journal.events(day))
    click.echo(report_of(state, found))


def _load(path: Path, units: str | None) -> "Schedule":
    from dataclasses import replace

    from assistant.schedule import ScheduleError, load
    from assistant.schedule.model import Units

    try:
        loaded = load(path)
    except ScheduleError as error:
        _fail(str(error))
    return loaded if units is None else replace(loaded, units=Units(units))


def _plan(schedule: "Schedule", path: Path) -> "Plan":
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
        _fail(f"{path}: the heater never brings it to {wanted}: it would stop at {limit}")
    except OutOfRange as error:
        _fail(f"{path}: this can't be brewed as written: {error}")


@contextmanager
def _journal(data: Path | None, *, read_only: bool = False) -> Iterator["Journal"]:
    from platformdirs import user_data_path

    from assistant.record.journal import Journal, RecordError

    folder = user_data_path("kettleside", appauthor=False) if data is None else data
    try:
        journal = Journal.open(folder, read_only=read_only)
    except RecordError as error:
        _fail(str(error), status=RECORD_FAILED)
    with journal:
        yield journal


@contextmanager
def _record_kept() -> Iterator[None]:
    """End with the status for it where the record can't be written or read, and say so."""
    from assistant.record.journal import RecordError

    try:
        yield
    except RecordError as error:
        _fail(str(error), status=RECORD_FAILED)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)


@contextmanager
def _stopped_by_hand() -> Iterator[None]:
    """End with the status for Ctrl-C, at a question too, and say that nothing is lost."""
    try:
        yield
    except (KeyboardInterrupt, click.Abort):
        _fail("Stopped. The day is kept: the same command goes on with it.", status=STOPPED)


def _console() -> "Console":
    from rich.console import Console

    return Console(highlight=False)


def _fail(text: str, *, status: int = BAD_CALL) -> NoReturn:
    click.echo(text, err=True)
    sys.exit(status)
