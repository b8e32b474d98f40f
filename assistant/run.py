"""The loop of a live day: keys and time in, effects out to the screen, the record in between."""

import sys
import time
from datetime import datetime

import click
from rich.console import Console

from assistant.advice.timeline import Stage
from assistant.day.effects import Effect, Refused, Say, Why
from assistant.day.events import TimePassed
from assistant.day.listening import listening
from assistant.day.timers import next_due_s
from assistant.hearing.words import NotUnderstood, understand
from assistant.keyboard import Keyboard, LineEditor, PlainLines
from assistant.record.journal import Day, Journal
from assistant.schedule.model import Schedule
from assistant.screen import Screen, draw
from assistant.session import Session

REFRESH_S = 0.5
"""Real seconds between two pictures of the screen."""

REMEMBERED = 12
"""How many of the last things said and typed are kept for the screen."""

LOUD = (Why.REMINDER, Why.WARNING)
"""What also rings the terminal's bell."""


class DayClock:
    """Seconds since the day began, running ``speed`` times as fast as the wall from ``at`` on.

    It runs on the monotonic clock, so that setting the wall clock moves no timer.
    """

    def __init__(self, at: float, speed: float) -> None:
        self._at = at
        self._speed = speed
        self._started_s = time.monotonic()

    def at(self) -> float:
        """Now, in seconds of the day."""
        return self._at + (time.monotonic() - self._started_s) * self._speed

    def wait_s(self, due_s: float | None, longest_s: float) -> float:
        """Real seconds until ``due_s``, never negative and at most ``longest_s``."""
        if due_s is None:
            return longest_s
        return min(max((due_s - self.at()) / self._speed, 0.0), longest_s)


def run_day(schedule: Schedule, schedule_path: str, journal: Journal, *, speed: float) -> None:
    """Brew at the keyboard until the day is finished.

    Raises :class:`~assistant.record.journal.RecordError` when the record can't be written and
    KeyboardInterrupt when the brewer stops it; either way what was accepted is on record.
    """
    session, effects, at = _open_day(schedule, schedule_path, journal)
    clock = DayClock(at, speed)
    if sys.stdin.isatty() and sys.stdout.isatty():
        _on_screen(session, clock, effects)
    else:
        _in_lines(session, clock, effects)
    click.echo(f"`kettleside report {session.day_id}` prints this day.")


def _open_day(
    schedule: Schedule, schedule_path: str, journal: Journal
) -> tuple[Session, tuple[Effect, ...], float]:
    """The day to brew: an unfinished one if the brewer wants it, else a new one."""
    old = journal.unfinished(schedule_path)
    now_s = time.time()
    if old is not None and click.confirm(_offer(old), default=True):
        last = journal.last(old.id)
        at = last[0] + max(now_s - last[1], 0.0) if last else 0.0
        session, effects = Session.resume(journal, old, at=at, wall_s=now_s)
        return session, effects, at
    session, effects = Session.begin(journal, schedule, schedule_path, at=0.0, wall_s=now_s)
    return session, effects, 0.0


def _offer(day: Day) -> str:
    began = datetime.fromtimestamp(day.began_wall)
    return f"{day.beer}, begun {began:%A %H:%M}, is not finished. Go on with it?"


def _on_screen(session: Session, clock: DayClock, effects: tuple[Effect, ...]) -> None:
    console = Console(highlight=False)
    editor = LineEditor()
    said: list[Say] = []
    heard: list[str] = []
    with Keyboard() as keyboard, Screen(console) as screen:
        while True:
            _remember(effects, said, screen)
            screen.show(
                draw(
                    session.state,
                    typed=editor.text,
                    heard=tuple(heard[-REMEMBERED:]),
                    said=tuple(said[-REMEMBERED:]),
                    clock=f"{datetime.now():%H:%M}",
                    width=console.width,
                    height=console.height,
                )
            )
            if session.state.stage is Stage.FINISHED:
                break
            wait_s = clock.wait_s(next_due_s(session.state), REFRESH_S)
            effects = ()
            for key in keyboard.read(wait_s):
                line = editor.feed(key)
                if line:
                    heard.append(line)
                    effects += _say(session, line, clock.at())
            effects += session.happen(TimePassed(at=clock.at()), time.time())
    for say in said[-1:]:
        console.print(say.text, markup=False)


def _remember(effects: tuple[Effect, ...], said: list[Say], screen: Screen) -> None:
    for effect in effects:
        if isinstance(effect, Refused):
            said.append(Say(text=effect.text, why=Why.ANSWER))
        elif isinstance(effect, Say):
            said.append(effect)
            if effect.why in LOUD:
                screen.bell()


def _say(session: Session, words: str, at: float) -> tuple[Effect, ...]:
    """What typed words come to; those that mean nothing now are answered and change nothing."""
    try:
        event = understand(words, listening(session.state), at)
    except NotUnderstood as error:
        return (Refused(text=str(error)),)
    return session.happen(event, time.time())


def _in_lines(session: Session, clock: DayClock, effects: tuple[Effect, ...]) -> None:
    """Without a terminal: a line in is words, a line out is what is said and when."""
    with PlainLines() as keyboard:
        editor = LineEditor()
        while True:
            for effect in effects:
                if isinstance(effect, Say | Refused):
                    minutes, seconds = divmod(int(session.state.now_s), 60)
                    click.echo(f"{minutes // 60}:{minutes % 60:02}:{seconds:02}  {effect.text}")
            if session.state.stage is Stage.FINISHED or keyboard.ended:
                return
            effects = ()
            for key in keyboard.read(clock.wait_s(next_due_s(session.state), REFRESH_S)):
                line = editor.feed(key)
                if line:
                    effects += _say(session, line, clock.at())
            effects += session.happen(TimePassed(at=clock.at()), time.time())
