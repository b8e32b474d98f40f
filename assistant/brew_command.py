"""``kettleside brew``: a day by voice, keyboard and board, or by JSON lines."""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.command_options import data_option, engine_option, schedule_argument, units_option
from assistant.command_steps import (
    STOPPED,
    ended_in_words,
    fail,
    load_or_fail,
    opened_journal,
    plan_or_fail,
    sensors_or_fail,
)

if TYPE_CHECKING:
    from assistant.day_board import BoardWanted
    from assistant.voice_setup import VoiceWanted

VOICE_KEEPS_REAL_TIME = (
    "At this speed nothing is spoken or heard, since a voice keeps real time; --voice insists."
)


@click.command()
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
@click.option(
    "--board/--no-board",
    default=None,
    help="Serve a page that shows the day.  [default: board, but not with --pipe]",
)
@click.option("--share", is_flag=True, help="Let phones on the local network see the board.")
@click.option("--port", type=click.IntRange(1, 65535), help="Where the board listens.")
@engine_option
@click.option(
    "--keep-audio",
    type=click.Path(path_type=Path, file_okay=False),
    help="Keep what is said as WAV files in this folder; else no sound is kept anywhere.",
)
@click.option(
    "--sensors",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Take readings by MQTT, as this file says; needs kettleside[mqtt].",
)
@units_option
@data_option
def brew(
    schedule: Path,
    pipe: bool,
    voice: bool | None,
    speed: float,
    board: bool | None,
    share: bool,
    port: int | None,
    engine: str | None,
    keep_audio: Path | None,
    sensors: Path | None,
    units: str | None,
    data: Path | None,
) -> None:
    """Run a brew day, or go on with an unfinished one of the same SCHEDULE."""
    if board is False and (share or port is not None):
        fail("--no-board leaves nothing for --share or --port: leave it out, or them")
    if pipe and sensors is not None:
        fail("--pipe and --sensors don't go together: the driver of a pipe sends the readings")
    loaded = load_or_fail(schedule, units)
    card = None if sensors is None else sensors_or_fail(sensors)
    plan_or_fail(loaded, schedule)
    from assistant.record.beers import keep_newest

    path = str(schedule.resolve())
    with opened_journal(data) as journal, ended_in_words(), _stopped_by_hand():
        if board is None:
            board = share or port is not None or not pipe
        shown = _board_wanted(share, port, journal.folder) if board else None
        if pipe:
            from assistant.pipe import run_pipe

            wall = iter(time.time, None)
            run_pipe(loaded, path, journal, sys.stdin.buffer, sys.stdout, wall, shown)
        else:
            from assistant.run import run_day

            wanted = voice_wanted(voice, speed, engine, keep_audio, data)
            run_day(loaded, path, journal, speed=speed, voice=wanted, board=shown, sensors=card)
        keep_newest(journal)


def _board_wanted(share: bool, port: int | None, folder: Path) -> "BoardWanted":
    from assistant.day_board import BoardWanted

    return BoardWanted(share=share, port=port, folder=folder)


def voice_wanted(
    voice: bool | None, speed: float, engine: str | None, keep: Path | None, data: Path | None
) -> "VoiceWanted | None":
    """The voice a command was asked for, or None; it ends where the engine named is not there."""
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
            fail(str(error))
    return VoiceWanted(engine=engine, keep=keep, data=data)


@contextmanager
def _stopped_by_hand() -> Iterator[None]:
    """End with the status for Ctrl-C, at a question too, and say that nothing is lost."""
    try:
        yield
    except (KeyboardInterrupt, click.Abort):
        fail("Stopped. The day is kept: the same command goes on with it.", status=STOPPED)
