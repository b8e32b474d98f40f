"""The loop of a live day: keys, words and time go in, and what they come to is shown."""

import errno
import os
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime

import click
from rich.console import Console, RenderableType

from assistant.advice.timeline import Stage
from assistant.day.effects import Effect, Refused, Say, Why
from assistant.day.streaming import wanted
from assistant.day.timers import next_due_s
from assistant.day_board import DayBoard
from assistant.day_clock import DayClock
from assistant.day_sensors import DaySensors, NoSensors
from assistant.day_voice import DayVoice
from assistant.ear_words import ear_words
from assistant.happening import Happening
from assistant.keyboard import Keyboard, LineEditor, PlainLines
from assistant.keys import Key
from assistant.screen import Screen, draw
from assistant.screen_code import Code
from assistant.sensor_heard import SensorNews, SensorReading
from assistant.session import Session
from assistant.stopping import QUESTION, Stopping
from assistant.text_lines import plain
from assistant.voice_news import News

REFRESH_S = 0.5
"""Real seconds between two pictures of the screen."""

GLANCE_S = 0.05
"""Real seconds between two looks for something heard: less than anyone notices."""

REMEMBERED = 12
"""How many of the last things said and typed are kept for the screen."""

LOUD = (Why.REMINDER, Why.WARNING)
"""What also rings the terminal's bell."""

HUNG_UP = 129
"""The exit status of a program whose terminal was closed, as a shell would have it."""


@dataclass(frozen=True, kw_only=True)
class Turn:
    """What came in since the last turn of the loop."""

    keys: Sequence[Key] = ()
    news: Sequence[News] = ()
    words: Sequence[str] = ()
    sensed: Sequence[SensorReading] = ()
    of_sensors: Sequence[SensorNews] = ()

    def __bool__(self) -> bool:
        return bool(self.keys or self.news or self.words or self.sensed or self.of_sensors)


@dataclass(frozen=True, kw_only=True)
class DayLoop:
    """What takes part in a day, and how it goes round; ``voice`` and ``board`` may be none."""

    day: Happening[Session]
    clock: DayClock
    voice: DayVoice
    board: DayBoard
    sensors: DaySensors = field(default_factory=NoSensors)

    def on_screen(self, effects: tuple[Effect, ...], stopping: Stopping) -> None:
        """Go round until the day is finished, with a terminal's keys and screen.

        Raises KeyboardInterrupt when the brewer stops it, and SystemExit where the terminal is
        gone.
        """
        console = Console(highlight=False)
        editor, code = LineEditor(), Code(self.board)
        said: list[Say] = []
        with terminal_may_close(), Keyboard() as keyboard, Screen(console) as screen:
            while True:
                _remember(effects, said, screen)
                self._show_board(effects)
                screen.show(
                    code.drawn(console.width, console.height)
                    or self._drawn(console, editor, said, stopping)
                )
                if self.day.session.state.stage is Stage.FINISHED:
                    break
                turn = self._wait(keyboard)
                if stopping.wanted:
                    raise KeyboardInterrupt
                if keyboard.ended:
                    raise SystemExit(HUNG_UP)
                if turn.keys or turn.words:
                    stopping.go_on()
                if turn.keys:
                    code.put_away()
                effects = self._happened(turn, editor, code)
        for say in said[-1:]:
            console.print(say.text, markup=False)

    def in_lines(self, effects: tuple[Effect, ...]) -> None:
        """Without a terminal: a line in is words, a line out is what is said and when."""
        told, trouble = 0, self.board.trouble
        with PlainLines() as keyboard:
            editor = LineEditor()
            while True:
                for line in self.day.lines[told:]:
                    click.echo(line, err=True)
                told = len(self.day.lines)
                self._show_board(effects)
                if self.board.trouble not in ("", trouble):
                    trouble = self.board.trouble
                    click.echo(trouble, err=True)
                for effect in effects:
                    if isinstance(effect, Say | Refused):
                        self._echo(effect)
                if self.day.session.state.stage is Stage.FINISHED or keyboard.ended:
                    return
                effects = self._happened(self._wait(keyboard), editor, None)

    def _drawn(
        self, console: Console, editor: LineEditor, said: Sequence[Say], stopping: Stopping
    ) -> RenderableType:
        status = self.voice.status
        return draw(
            self.day.session.state,
            typed=editor.text,
            asked=QUESTION if stopping.asked else "",
            heard=tuple(self.day.heard[-REMEMBERED:]),
            said=tuple(said[-REMEMBERED:]),
            ear=() if status is None else ear_words(status, self.day.troubles()),
            board=self.board.address,
            board_trouble=self.board.trouble,
            sensors_trouble=self.sensors.trouble,
            clock=f"{datetime.now():%H:%M}",
            width=console.width,
            height=console.height,
        )

    def _show_board(self, effects: Sequence[Effect]) -> None:
        session, gone = self.day.session, self.sensors.trouble
        sensors = (f"Sensors: {gone}",) if gone else ()
        self.board.show(
            session.day_id,
            session.state,
            effects,
            heard=self.day.heard,
            troubles=(*self.day.troubles(), *sensors),
        )

    def _wait(self, keyboard: Keyboard | PlainLines) -> Turn:
        """What comes in, as soon as anything does; nothing after a while."""
        due_s = next_due_s(self.day.session.state)
        wait_s = self.clock.wait_s(due_s, REFRESH_S)
        until_s = time.monotonic() + wait_s
        watched = (
            self.voice.status is not None
            or self.board.address
            or not isinstance(self.sensors, NoSensors)
        )
        glance_s = GLANCE_S if watched else wait_s
        had_ended = keyboard.ended
        while True:
            keys = keyboard.read(min(max(until_s - time.monotonic(), 0.0), glance_s))
            self.board.hear(self.voice.status)
            turn = Turn(
                keys=keys,
                news=self.voice.news(),
                words=self.board.words(),
                sensed=self.sensors.taken(wanted(self.day.session.state)),
                of_sensors=self.sensors.news(),
            )
            ends = keyboard.ended and not had_ended
            if turn or ends or time.monotonic() >= until_s:
                return turn

    def _happened(self, turn: Turn, editor: LineEditor, code: Code | None) -> tuple[Effect, ...]:
        effects: tuple[Effect, ...] = ()
        for told in turn.news:
            effects += self.day.told(told)
        for of_sensors in turn.of_sensors:
            effects += self.day.told_of_sensors(of_sensors)
        for reading in turn.sensed:
            # A day that is finished takes no readings, and a sensor is not told so.
            if self.day.session.state.stage is not Stage.FINISHED:
                effects += self.day.sensed(reading)
        for words in turn.words:
            effects += self.day.typed(words)
        for key in turn.keys:
            line = editor.feed(key)
            if line and not (code is not None and code.asked_for(line)):
                effects += self.day.typed(line)
        return effects + self.day.pass_time()

    def _echo(self, effect: Say | Refused) -> None:
        minutes, seconds = divmod(int(self.day.session.state.now_s), 60)
        click.echo(f"{minutes // 60}:{minutes % 60:02}:{seconds:02}  {plain(effect.text)}")


@contextmanager
def terminal_may_close() -> Iterator[None]:
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
