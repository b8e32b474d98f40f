"""Parts that die, whatever and in whatever order: told once, tried again, and none waited for."""

import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from faults.audio import TONE_WORKER, Fault, Faults, Parts, SoundRoom, Spell, Worker, plugged
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sound_devices import FakeMicrophone
from sound_rooms import LiveDay, ToldHearing

from assistant.advice.plan import Plan
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, DayBegan, EarTroubled, TimerRequested, Trouble
from assistant.day.speech import TROUBLES
from assistant.day.state import new_day
from assistant.hearing.ear import device as microphone_layer
from assistant.hearing.ear import ear
from assistant.hearing.ear.trouble import Trouble as EarTrouble
from assistant.schedule import Schedule
from assistant.speaking import agenda, rendering
from assistant.speaking import devices as loudspeaker_layer
from assistant.speaking.voice import Voice
from assistant.voice_news import NO_EAR

PAUSES_S = (0.03, 0.06)
STALLED_S = 0.1
FAULTS_S = 0.6
THREADS = {"attending", "recognising", "announcer", "announcer rendering", "ear"}
LOST = {trouble.line for trouble in NO_EAR}
FOUND = {EarTrouble.MICROPHONE_BACK.line, EarTrouble.EAR_BACK.line}
NO_SOUND, NO_VOICE = ("No sound", "No voice")
SOUND_BACK, VOICE_BACK = ("Sound is back.", "The voice is back.")


class Home:
    """A day with a live voice whose parts can be made to die."""

    def __init__(self, room: SoundRoom, state: Any, folder: Path) -> None:
        how = folder / "how"
        how.write_text("")
        self.hearing = ToldHearing()
        self.real_voice = Voice(
            worker=(sys.executable, "-S", "-E", str(TONE_WORKER), str(how)),
            attempts=2,
            starting_s=0.5,
            saying_s=0.2,
            pauses_s=PAUSES_S,
        )
        self.day = LiveDay(
            room,
            state,
            self.hearing,
            self.real_voice,
            pauses_s=PAUSES_S,
            stalled_s=STALLED_S,
        )
        self.parts = Parts(
            room=room,
            voice=Worker(pid=lambda: self.real_voice.worker_pid),
            voice_how=how,
            hearing=self.hearing,
        )
        self.began_s = time.monotonic()

    @property
    def room(self) -> SoundRoom:
        return self.day.room

    def played(self) -> int:
        """How many samples that were no silence went to the device."""
        return sum(any(self.room.played[at : at + 4]) for at in range(0, len(self.room.played), 4))

    def hears(self) -> None:
        """Fails unless the ear, its microphone and the recogniser hear what is said from now on."""
        self.day.until(lambda: not self.day.live.status.deaf)
        self.hearing.says.append("kettle where are we")
        self.day.hear()
        self.day.until(lambda: not self.hearing.says)

    def speaks(self) -> None:
        """Fails unless what is to be said from now on sounds, in words."""
        self.day.until(lambda: not self.day.live._announcer.fails)
        self.day.until_quiet()
        self.room.played.clear()
        self.day.happen(CommandGiven(at=0.0, command=Command.WHERE))
        self.day.until(lambda: self.played() > 0)
        self.day.until_quiet()


@contextmanager
def a_home(folder: Path, amber: Schedule, plan: Plan) -> Iterator[Home]:
    """A home with all its waiting made short; nothing in it may end or fail unseen."""
    escaped: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(threading, "excepthook", lambda hook: escaped.append(repr(hook.exc_value)))
        patch.setattr(microphone_layer, "CLOSE_WITHIN_S", 0.05)
        patch.setattr(loudspeaker_layer, "CLOSING_S", 0.05)
        patch.setattr(ear, "READ_S", 0.05)
        patch.setattr(agenda, "IDLE_S", 0.05)
        patch.setattr(rendering, "LOOK_S", 0.05)
        home = Home(plugged(patch, FakeMicrophone()), new_day(amber, plan), folder)
        try:
            home.day.happen(DayBegan(at=0.0))
            yield home
            assert {thread.name for thread in threading.enumerate()} >= THREADS
        finally:
            for fault in (home.room.hang, home.room.inputs.hang):
                fault.switch(False)
            home.day.live.close()
    assert escaped == []


def told_once(told: list[str], lost: Callable[[str], bool], found: Callable[[str], bool]) -> bool:
    """Whether no loss is told a second time before it is over."""
    standing: set[str] = set()
    for line in told:
        if lost(line):
            if line in standing:
                return False
            standing.add(line)
        elif found(line):
            standing.clear()
    return True


def each_after_its_other(troubles: list[Trouble]) -> bool:
    """Whether every trouble told to the day begins, is over, begins, and so on."""
    standing: dict[str, bool] = {}
    for trouble in troubles:
        if trouble in TROUBLES:
            spec = TROUBLES[trouble]
            if standing.get(spec.field, False) is spec.begins:
                return False
            standing[spec.field] = spec.begins
    return True


SPELLS = st.lists(
    st.builds(
        Spell,
        at_s=st.floats(min_value=0.0, max_value=FAULTS_S / 2),
        lasts_s=st.floats(min_value=0.0, max_value=FAULTS_S / 2),
        fault=st.sampled_from(Fault),
    ),
    min_size=1,
    max_size=7,
)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(spells=SPELLS)
def test_whatever_dies_is_told_once_costs_nothing_and_works_again(
    amber: Schedule,
    amber_plan: Plan,
    tmp_path: Path,
    spells: list[Spell],
) -> None:
    with a_home(tmp_path, amber, amber_plan) as home:
        day = home.day
        day.until(lambda: day.live._listened and not day.live._announcer.busy)
        day.happen(TimerRequested(at=0.0, seconds=60.0, name="tea"))
        faults = Faults(home.parts, spells)
        began_s = time.monotonic()
        said = 0
        while (now_s := time.monotonic() - began_s) < faults.over_s + STALLED_S:
            faults.at(now_s)
            day.run()
            if now_s > 0.1 * said:
                # Something is said and heard all the time, and a timer falls due in its midst.
                said += 1
                home.hearing.says.append("kettle help")
                day.hear()
                day.pass_time(20.0)
        faults.end()
        home.hearing.says.clear()
        assert any("Tea" in text for text in day.said)
        home.speaks()
        home.hears()
        ended_s = time.monotonic() - began_s
        troubles = [event.trouble for event in day.events if isinstance(event, EarTroubled)]
        assert each_after_its_other(troubles)
        assert told_once(day.lines, LOST.__contains__, FOUND.__contains__)
        for lost, found in ((NO_SOUND, SOUND_BACK), (NO_VOICE, VOICE_BACK)):
            assert told_once(day.lines, lambda line, lost=lost: line.startswith(lost), found.__eq__)
        assert home.room.would_have_hung == 0
        # Each side looks at most once a pause, again at once when it was lost, and again at once
        # when the other side had the list made anew.
        most = 3 * (ended_s / PAUSES_S[0] + len(spells) + 2)
        assert home.room.looked_for["output"] <= most
        assert home.room.looked_for["input"] <= most
