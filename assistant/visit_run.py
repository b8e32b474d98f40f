"""A visit from its opening to its end, with everything that takes part in it."""

import sys
import time
from contextlib import ExitStack
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.cellar.events import VisitBegan
from assistant.day_clock import DayClock, bridged
from assistant.happening import Happening
from assistant.native_noise import native_noise_dropped
from assistant.record.beers import BeerOnRecord
from assistant.record.journal import Journal
from assistant.run import LAST_WORDS_S, opened_sensors, opened_voice
from assistant.sensor_card import slowed
from assistant.unsaved import all_kept
from assistant.visit import Visit
from assistant.visit_loop import VisitLoop

if TYPE_CHECKING:
    from assistant.sensor_card import SensorCard
    from assistant.voice_setup import VoiceWanted

EVERY_S = 900.0
"""Beer changes in hours: a sensor is read no oftener on a visit, which may last for weeks."""


def run_visit(
    journal: Journal,
    beer: BeerOnRecord,
    errand: VisitBegan,
    *,
    speed: float,
    voice: "VoiceWanted | None" = None,
    sensors: "SensorCard | None" = None,
) -> None:
    """Tend or package until the visit is over, by keyboard, and by voice where it is wanted.

    ``sensors`` that report by themselves may keep a visit going for weeks. Raises
    KeyboardInterrupt when the brewer stops it, and
    :class:`~assistant.record.journal.RecordError` when not all of it could be written by its end.
    """
    now_s = time.time()
    bridge = bridged(journal.last(beer.day.id), now_s)
    began = replace(errand, at=bridge.at, unsure=bridge.unsure)
    visit, effects = Visit.begin(journal, beer, began, now_s)
    clock = DayClock(bridge.at, speed)
    on_screen = sys.stdin.isatty() and sys.stdout.isatty()
    with ExitStack() as stack:
        stack.enter_context(all_kept(visit.keeper))
        stack.callback(visit.end)
        if voice is not None and on_screen:
            stack.enter_context(native_noise_dropped())
        day_voice, lines = stack.enter_context(opened_voice(voice, clock))
        happening = Happening(visit, clock, day_voice)
        happening.lines += lines
        happening.begin(effects)
        listened_to = stack.enter_context(
            opened_sensors(None if sensors is None else slowed(sensors, EVERY_S))
        )
        loop = VisitLoop(visit=happening, clock=clock, voice=day_voice, sensors=listened_to)
        if on_screen:
            loop.on_screen(effects)
        else:
            loop.in_lines(effects)
        if visit.state.over:
            day_voice.finish(LAST_WORDS_S)
