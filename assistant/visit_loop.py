"""The loop of a visit: keys, words and time go in, and what they come to is shown."""

import time
from dataclasses import dataclass, field
from datetime import datetime

import click
from rich.console import Console, RenderableType

from assistant.day.effects import Effect, Refused, Say, Why
from assistant.day.quantities import Quantity
from assistant.day_clock import DayClock
from assistant.day_loop import GLANCE_S, LOUD, REFRESH_S, REMEMBERED, terminal_may_close
from assistant.day_sensors import DaySensors, NoSensors
from assistant.day_voice import DayVoice
from assistant.ear_words import ear_words
from assistant.happening import Happening
from assistant.keyboard import Keyboard, LineEditor, PlainLines
from assistant.screen import Screen
from assistant.text_lines import plain
from assistant.visit import Visit
from assistant.visit_screen import draw_visit


@dataclass(frozen=True, kw_only=True)
class VisitLoop:
    """What takes part in a visit, and how it goes round until the visit is over."""

    visit: Happening[Visit]
    clock: DayClock
    voice: DayVoice
    sensors: DaySensors = field(default_factory=NoSensors)
    said: list[Say] = field(default_factory=list)

    def on_screen(self, effects: tuple[Effect, ...]) -> None:
        """With a terminal's keys and screen. Raises KeyboardInterrupt when the brewer stops it."""
        console = Console(highlight=False)
        editor = LineEditor()
        with terminal_may_close(), Keyboard() as keyboard, Screen(console) as screen:
            while True:
                self._remember(effects, screen)
                screen.show(self._drawn(console, editor))
                if self.visit.session.state.over or keyboard.ended:
                    break
                effects = self._turn(keyboard, editor)
        for say in self.said[-1:]:
            console.print(say.text, markup=False)

    def in_lines(self, effects: tuple[Effect, ...]) -> None:
        """Without a terminal: a line in is words, a line out is what is said."""
        told = 0
        with PlainLines() as keyboard:
            editor = LineEditor()
            while True:
                for line in self.visit.lines[told:]:
                    click.echo(line, err=True)
                told = len(self.visit.lines)
                for effect in effects:
                    if isinstance(effect, Say | Refused):
                        click.echo(plain(effect.text))
                if self.visit.session.state.over or keyboard.ended:
                    return
                effects = self._turn(keyboard, editor)

    def _turn(self, keyboard: Keyboard | PlainLines, editor: LineEditor) -> tuple[Effect, ...]:
        """What comes in, as soon as anything does; only time after a while."""
        until_s = time.monotonic() + REFRESH_S
        had_ended = keyboard.ended
        effects: tuple[Effect, ...] = ()
        while True:
            watched = self.voice.status is not None or not isinstance(self.sensors, NoSensors)
            glance_s = GLANCE_S if watched else REFRESH_S
            keys = keyboard.read(min(max(until_s - time.monotonic(), 0.0), glance_s))
            news = self.voice.news()
            for told in news:
                effects += self.visit.told(told)
            of_sensors, sensed = self.sensors.news(), self.sensors.taken(self._asked)
            for told_of in of_sensors:
                effects += self.visit.told_of_sensors(told_of)
            for reading in sensed:
                effects += self.visit.sensed(reading)
            for key in keys:
                line = editor.feed(key)
                if line and not self.visit.session.state.over:
                    effects += self.visit.typed(line)
            ends = keyboard.ended and not had_ended
            if keys or news or of_sensors or sensed or ends or time.monotonic() >= until_s:
                return effects + self.visit.pass_time()

    @property
    def _asked(self) -> tuple[Quantity, ...]:
        return tuple(ask.quantity for ask in self.visit.session.state.asks)

    def _drawn(self, console: Console, editor: LineEditor) -> RenderableType:
        status = self.voice.status
        return draw_visit(
            self.visit.session.state,
            typed=editor.text,
            heard=tuple(self.visit.heard[-REMEMBERED:]),
            said=tuple(self.said[-REMEMBERED:]),
            ear=() if status is None else ear_words(status, self.visit.troubles()),
            sensors=self.sensors.trouble,
            clock=f"{datetime.now():%a %H:%M}",
            width=console.width,
            height=console.height,
        )

    def _remember(self, effects: tuple[Effect, ...], screen: Screen) -> None:
        for effect in effects:
            if isinstance(effect, Refused):
                self.said.append(Say(text=effect.text, why=Why.ANSWER))
            elif isinstance(effect, Say):
                self.said.append(effect)
                if effect.why in LOUD:
                    screen.bell()
