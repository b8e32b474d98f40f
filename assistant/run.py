"""A live day from its opening to its end, with everything that takes part in it."""

import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING

import click

from assistant.advice.timeline import Stage
from assistant.board.chart import Trace
from assistant.day.effects import Effect
from assistant.day_board import BoardWanted, Pace, opened_board
from assistant.day_clock import DayClock, bridged
from assistant.day_loop import DayLoop
from assistant.day_sensors import DaySensors, NoSensors
from assistant.day_voice import DayVoice, Silence
from assistant.happening import Happening
from assistant.native_noise import native_noise_dropped
from assistant.record.journal import Day, Journal
from assistant.record.page import Clock
from assistant.schedule.faults import harmless
from assistant.schedule.model import Schedule
from assistant.screen_code import code_rows
from assistant.session import Session
from assistant.stopping import Stopping
from assistant.unsaved import all_kept

if TYPE_CHECKING:
    from assistant.sensor_card import SensorCard
    from assistant.voice_setup import VoiceWanted

LAST_WORDS_S = 10.0
"""So long the voice may take to end its last sentence when the day is finished."""


def run_day(
    schedule: Schedule,
    schedule_path: str,
    journal: Journal,
    *,
    speed: float,
    voice: "VoiceWanted | None" = None,
    board: BoardWanted | None = None,
    sensors: "SensorCard | None" = None,
) -> None:
    """Brew until the day is finished, by keyboard, and by voice, board and sensors where they are
    wanted.

    Raises KeyboardInterrupt when the brewer stops it, and
    :class:`~assistant.record.journal.RecordError` when the day can't be begun on the record or not
    all of it could be written by its end. While it lasts a record that fails stops nothing.
    """
    trace = Trace()
    session, effects, at = _open_day(schedule, schedule_path, journal, trace)
    clock = DayClock(at, speed)
    pace = Pace(at=clock.at, speed=speed)
    on_screen = sys.stdin.isatty() and sys.stdout.isatty()
    with ExitStack() as stack:
        stack.enter_context(all_kept(session.keeper))
        if voice is not None and on_screen:
            stack.enter_context(native_noise_dropped())
        day_board, found_at = stack.enter_context(
            opened_board(board, pace, trace, takes_words=True)
        )
        day_voice, lines = stack.enter_context(opened_voice(voice, clock))
        day = Happening(session, clock, day_voice)
        day.lines += lines
        day.begin(effects)
        day_sensors = stack.enter_context(opened_sensors(sensors))
        loop = DayLoop(day=day, clock=clock, voice=day_voice, board=day_board, sensors=day_sensors)
        try:
            if on_screen:
                loop.on_screen(effects, stack.enter_context(Stopping()))
            else:
                shown = code_rows(day_board.address) if day_board.shared else ()
                for line in (*found_at, *shown):
                    click.echo(line, err=True)
                loop.in_lines(effects)
        finally:
            # The voice may speak on for seconds, with nobody to take words in.
            day_board.end_words()
        if session.state.stage is Stage.FINISHED:
            day_voice.finish(LAST_WORDS_S)
    click.echo(f"`kettleside report {session.day_id}` prints this day.")
    if session.state.stage is Stage.FINISHED:
        click.echo(f"`kettleside tend {session.day_id}` looks after its beer.")


@contextmanager
def opened_voice(
    wanted: "VoiceWanted | None", clock: DayClock
) -> Iterator[tuple[DayVoice, tuple[str, ...]]]:
    """The voice that is wanted, for as long as the context lasts, and what it lacks, in lines."""
    if wanted is None:
        yield Silence(), ()
        return
    from assistant.voice_setup import live_voice

    with live_voice(wanted, clock.at) as (voice, lines):
        yield voice, lines


@contextmanager
def opened_sensors(card: "SensorCard | None") -> Iterator[DaySensors]:
    if card is None:
        yield NoSensors()
        return
    from assistant.sensing import Sensors

    with Sensors(card) as sensors:
        yield sensors


def _open_day(
    schedule: Schedule, schedule_path: str, journal: Journal, trace: Trace
) -> tuple[Session, tuple[Effect, ...], float]:
    """The day to brew: an unfinished one if the brewer wants it, else a new one."""
    old = journal.unfinished(schedule_path)
    goes_on = old is not None and click.confirm(_offer(old), default=True)
    now_s = time.time()
    if old is None or not goes_on:
        session, effects = Session.begin(journal, schedule, schedule_path, at=0.0, wall_s=now_s)
        return session, effects, 0.0
    bridge = bridged(journal.last(old.id), now_s)
    session, effects = Session.resume(
        journal, old, at=bridge.at, wall_s=now_s, unsure=bridge.unsure, watch=trace.add
    )
    return session, effects, bridge.at


def _offer(day: Day) -> str:
    began = Clock(wall_s=day.began_wall, at_s=0.0).moment(0.0)
    return f"{harmless(day.beer)}, begun {began:%A %H:%M}, is not finished. Go on with it?"
