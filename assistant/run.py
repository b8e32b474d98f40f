"""A live day: it is opened, and then keys, words and time go in and what they come to is shown."""

import errno
import os
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from datetime import datetime
from typing import TYPE_CHECKING

import click
from rich.console import Console

from assistant.advice.timeline import Stage
from assistant.day.effects import Effect, Refused, Say, Why
from assistant.day.timers import next_due_s
from assistant.day_clock import DayClock, bridged
from assistant.day_voice import DayVoice, Silence
from assistant.ear_words import ear_words
from assistant.happening import Happening
from assistant.keyboard import Keyboard, LineEditor, PlainLines
from assistant.keys import Key
from assistant.native_noise import native_noise_dropped
from assistant.record.journal import Day, Journal
from assistant.record.page import Clock
from assistant.schedule.faults import harmless
from assistant.schedule.model import Schedule
from assistant.screen import Screen, draw
from assistant.session import Session
from assistant.stopping import QUESTION, Stopping
from assistant.text_lines import plain
from assistant.unsaved import all_kept
from assistant.voice_news import News

if TYPE_CHECKING:
    from assistant.voice_setup import VoiceWanted

REFRESH_S = 0.5
"""Real seconds between two pictures of the screen."""

GLANCE_S = 0.05
"""Real seconds between two looks for something heard: less than anyone notices."""

LAST_WORDS_S = 10.0
"""So long the voice may take to end its last sentence when the day is finished."""

REMEMBERED = 12
"""How many of the last things said and typed are kept for the screen."""

LOUD = (Why.REMINDER, Why.WARNING)
"""What also rings the terminal's bell."""


HUNG_UP = 129
"""The exit status of a program whose terminal was closed, as a shell would have it."""


def run_day(
    schedule: Schedule,
    schedule_path: str,
    journal: Journal,
    *,
    speed: float,
    voice: "VoiceWanted | None" = None,
) -> None:
    """Brew until the day is finished, by keyboard, and by voice where one is wanted.

    Raises KeyboardInterrupt when the brewer stops it, and
    :class:`~assistant.record.journal.RecordError` when the day can't be begun on the record or not
    all of it could be written by its end. While it lasts a record that fails stops nothing.
    """
    session, effects, at = _open_day(schedule, schedule_path, journal)
    clock = DayClock(at, speed)
    stopping = Stopping()
    on_screen = sys.stdin.isatty() and sys.stdout.isatty()
    with ExitStack() as stack:
        stack.enter_context(all_kept(session.keeper))
        if voice is not None and on_screen:
            stack.enter_context(native_noise_dropped())
        day_voice, lines = stack.enter_context(_voice(voice, clock))
        day = Happening(session, clock, day_voice)
        day.lines += lines
        day.begin(effects)
        if on_screen:
            stack.enter_context(stopping)
            _on_screen(day, clock, day_voice, effects, stopping)
        else:
            _in_lines(day, clock, day_voice, effects)
        if session.state.stage is Stage.FINISHED:
            day_voice.finish(LAST_WORDS_S)
    click.echo(f"`kettleside report {session.day_id}` prints this day.")


@contextmanager
def _voice(
    wanted: "VoiceWanted | None", clock: DayClock
) -> Iterator[tuple[DayVoice, tuple[str, ...]]]:
    if wanted is None:
        yield Silence(), ()
        return
    from assistant.voice_setup import live_voice

    with live_voice(wanted, clock.at) as (voice, lines):
        yield voice, lines


def _open_day(
    schedule: Schedule, schedule_path: str, journal: Journal
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
        journal, old, at=bridge.at, wall_s=now_s, unsure=bridge.unsure
    )
    return session, effects, bridge.at


def _offer(day: Day) -> str:
    began = Clock(wall_s=day.began_wall, at_s=0.0).moment(0.0)
    return f"{harmless(day.beer)}, begun {began:%A %H:%M}, is not finished. Go on with it?"


def _on_screen(
    day: Happening,
    clock: DayClock,
    voice: DayVoice,
    effects: tuple[Effect, ...],
    stopping: Stopping,
) -> None:
    console = Console(highlight=False)
    editor = LineEditor()
    said: list[Say] = []
    with _terminal_may_close(), Keyboard() as keyboard, Screen(console) as screen:
        while True:
            _remember(effects, said, screen)
            status = voice.status
            screen.show(
                draw(
                    day.session.state,
                    typed=editor.text,
                    asked=QUESTION if stopping.asked else "",
                    heard=tuple(day.heard[-REMEMBERED:]),
                    said=tuple(said[-REMEMBERED:]),
                    ear=() if status is None else ear_words(status, day.troubles()),
                    clock=f"{datetime.now():%H:%M}",
                    width=console.width,
                    height=console.height,
                )
            )
            if day.session.state.stage is Stage.FINISHED:
                break
            keys, news = _wait(keyboard, voice, clock.wait_s(_due_s(day), REFRESH_S))
            if stopping.wanted:
                raise KeyboardInterrupt
            if keyboard.ended:
                raise SystemExit(HUNG_UP)
            if keys:
                stopping.go_on()
            effects = _happened(day, editor, keys, news)
    for say in said[-1:]:
        console.print(say.text, markup=False)


@contextmanager
def _terminal_may_close() -> Iterator[None]:
    """End the program in silence where its terminal is gone: there is nobody to tell."""
    try:
        yield
    except OSError as error:
        if error.errno != errno.EIO:
            raise
        _write_to_nobody()
        raise SystemExit(HUNG_UP) from error
    except SystemExit as leaving:
        if leaving.code == HUNG_UP:
            _write_to_nobody()
        raise


def _write_to_nobody() -> None:
    # What is left in the buffers would fail once more as the program ends.
    nobody = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            os.dup2(nobody, stream.fileno())
    os.close(nobody)


def _remember(effects: tuple[Effect, ...], said: list[Say], screen: Screen) -> None:
    for effect in effects:
        if isinstance(effect, Refused):
            said.append(Say(text=effect.text, why=Why.ANSWER))
        elif isinstance(effect, Say):
            said.append(effect)
            if effect.why in LOUD:
                screen.bell()


def _due_s(day: Happening) -> float | None:
    return next_due_s(day.session.state)


def _wait(
    keyboard: Keyboard | PlainLines, voice: DayVoice, wait_s: float
) -> tuple[list[Key], list[News]]:
    """Keys and news, as soon as there are any; after ``wait_s`` real seconds none."""
    until_s = time.monotonic() + wait_s
    glance_s = wait_s if voice.status is None else GLANCE_S
    had_ended = keyboard.ended
    while True:
        keys = keyboard.read(min(max(until_s - time.monotonic(), 0.0), glance_s))
        news = voice.news()
        ends = keyboard.ended and not had_ended
        if keys or news or ends or time.monotonic() >= until_s:
            return keys, news


def _happened(
    day: Happening, editor: LineEditor, keys: Sequence[Key], news: Sequence[News]
) -> tuple[Effect, ...]:
    effects: tuple[Effect, ...] = ()
    for told in news:
        effects += day.told(told)
    for key in keys:
        line = editor.feed(key)
        if line:
            effects += day.typed(line)
    return effects + day.pass_time()


def _in_lines(
    day: Happening, clock: DayClock, voice: DayVoice, effects: tuple[Effect, ...]
) -> None:
    """Without a terminal: a line in is words, a line out is what is said and when."""
    told = 0
    with PlainLines() as keyboard:
        editor = LineEditor()
        while True:
            for line in day.lines[told:]:
                click.echo(line, err=True)
            told = len(day.lines)
            for effect in effects:
                if isinstance(effect, Say | Refused):
                    minutes, seconds = divmod(int(day.session.state.now_s), 60)
                    click.echo(
                        f"{minutes // 60}:{minutes % 60:02}:{seconds:02}  {plain(effect.text)}"
                    )
            if day.session.state.stage is Stage.FINISHED or keyboard.ended:
                return
            keys, news = _wait(keyboard, voice, clock.wait_s(_due_s(day), REFRESH_S))
            effects = _happened(day, editor, keys, news)
