"""Parts that die, whatever and in whatever order: told once, tried again, and none waited for."""

import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from faults.audio import (
    SWITCHES,
    TONE_WORKER,
    Fault,
    Faults,
    Parts,
    SoundRoom,
    Spell,
    Worker,
    plugged,
)
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sound_devices import FakeMicrophone
from sound_rooms import LiveDay, ToldHearing, heard_as

from assistant.advice.plan import Plan
from assistant.day.commands import Command
from assistant.day.events import CommandGiven, DayBegan, EarTroubled, TimerRequested, Trouble
from assistant.day.listening import Listening
from assistant.day.speech import TROUBLES
from assistant.day.state import new_day
from assistant.hearing.ear import device as microphone_layer
from assistant.hearing.ear import ear
from assistant.hearing.ear.chain import Chain
from assistant.hearing.ear.trouble import Trouble as EarTrouble
from assistant.hearing.engine import Sound
from assistant.hearing.engine_process import EngineProcess, Patience
from assistant.hearing.grammar.tree import Grammar, Say
from assistant.hearing.recogniser import Heard
from assistant.schedule import Schedule
from assistant.speaking import agenda, rendering
from assistant.speaking import devices as loudspeaker_layer
from assistant.speaking.kept_sounds import KeptSounds
from assistant.speaking.voice import Voice
from assistant.voice_news import NO_EAR, OF_THE_EAR

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
        self.threads = THREADS
        """Those that must outlive all that is done to this home."""

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
            assert {thread.name for thread in threading.enumerate()} >= home.threads
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
    """Whether every trouble told to the day begins, is over, begins, and so on.

    The first may be one that is over: a microphone that never worked yet is told when it does.
    """
    standing: dict[str, bool] = {}
    for trouble in troubles:
        if trouble in TROUBLES:
            spec = TROUBLES[trouble]
            if standing.get(spec.field) is spec.begins:
                return False
            standing[spec.field] = spec.begins
    return True


def troubles(day: LiveDay) -> list[Trouble]:
    return [event.trouble for event in day.events if isinstance(event, EarTroubled)]


def of_sound(lines: list[str]) -> list[str]:
    """What was told of the loudspeaker and the voice.

    A machine that is busy elsewhere can hold up a microphone as short of patience as the one here.
    """
    mine = (NO_SOUND, NO_VOICE, SOUND_BACK, VOICE_BACK)
    return [line for line in lines if line.startswith(mine)]


@pytest.fixture
def home(tmp_path: Path, amber: Schedule, amber_plan: Plan) -> Iterator[Home]:
    """A home where all is well, and the first words have been said."""
    with a_home(tmp_path, amber, amber_plan) as home:
        home.day.until(lambda: home.day.live._listened)
        home.speaks()
        yield home


def test_while_the_system_hangs_over_the_microphone_no_new_list_is_asked_for(home: Home) -> None:
    refreshed = home.room.refreshed
    for fault in (Fault.MICROPHONE_HANGS, Fault.MICROPHONE_UNPLUGGED, Fault.LOUDSPEAKER_UNPLUGGED):
        SWITCHES[fault](home.parts, True)
    home.day.until(lambda: EarTrouble.MICROPHONE_STUCK.line in home.day.lines)
    home.day.until(lambda: Trouble.VOICE_GONE in troubles(home.day))
    looked = home.room.looked_for["output"]
    home.day.until(lambda: home.room.looked_for["output"] > looked + 3)
    assert (home.room.refreshed, home.room.would_have_hung) == (refreshed, 0)
    Faults(home.parts, ()).end()
    home.hears()
    home.speaks()


def test_while_the_system_hangs_over_the_loudspeaker_no_new_list_is_asked_for(home: Home) -> None:
    for fault in (Fault.LOUDSPEAKER_HANGS, Fault.MICROPHONE_UNPLUGGED, Fault.LOUDSPEAKER_UNPLUGGED):
        SWITCHES[fault](home.parts, True)
    home.day.until(lambda: Trouble.VOICE_GONE in troubles(home.day))
    home.day.until(lambda: home.room.hang.inside == 1)
    refreshed = home.room.refreshed
    looked = home.room.looked_for["input"]
    home.day.until(lambda: home.room.looked_for["input"] > looked + 3)
    assert (home.room.refreshed, home.room.would_have_hung) == (refreshed, 0)
    Faults(home.parts, ()).end()
    home.hears()
    home.speaks()


def test_the_voice_is_back_only_with_its_loudspeaker_and_its_worker(home: Home) -> None:
    for fault in (Fault.LOUDSPEAKER_UNPLUGGED, Fault.VOICE_DIES, Fault.VOICE_KILLED):
        SWITCHES[fault](home.parts, True)
    home.real_voice._kept = KeptSounds(0)
    home.day.until(lambda: any(line.startswith(NO_SOUND) for line in home.day.lines))
    # Without a loudspeaker nothing is rendered, so the worker is found dead once there is one.
    SWITCHES[Fault.LOUDSPEAKER_UNPLUGGED](home.parts, False)
    home.day.until(lambda: SOUND_BACK in home.day.lines)
    home.day.happen(CommandGiven(at=0.0, command=Command.HELP))
    home.day.until(lambda: any(line.startswith(NO_VOICE) for line in home.day.lines))
    SWITCHES[Fault.LOUDSPEAKER_UNPLUGGED](home.parts, True)
    home.day.until(lambda: of_sound(home.day.lines)[-1].startswith(NO_SOUND))
    SWITCHES[Fault.LOUDSPEAKER_UNPLUGGED](home.parts, False)
    home.day.until(lambda: of_sound(home.day.lines)[-1] == SOUND_BACK)
    assert home.day.state.ear.no_voice
    SWITCHES[Fault.VOICE_DIES](home.parts, False)
    home.day.until(lambda: of_sound(home.day.lines)[-1] == VOICE_BACK)
    home.day.until(lambda: not home.day.state.ear.no_voice)
    assert each_after_its_other(troubles(home.day))


def without_portaudio(home: Home, patch: pytest.MonkeyPatch, folder: Path) -> None:
    (folder / "sounddevice.py").write_text("raise OSError('PortAudio library not found')\n")
    patch.syspath_prepend(str(folder))
    patch.delitem(sys.modules, "sounddevice")
    # An ear for which there can be no microphone in this process has nothing to wait for.
    home.threads = THREADS - {"ear"}


def unplugged(home: Home, patch: pytest.MonkeyPatch, folder: Path) -> None:
    for fault in (Fault.MICROPHONE_UNPLUGGED, Fault.LOUDSPEAKER_UNPLUGGED):
        SWITCHES[fault](home.parts, True)


@pytest.mark.parametrize("lose", [unplugged, without_portaudio])
def test_with_all_the_sound_gone_every_timer_is_told_in_text(
    home: Home,
    lose: Callable[[Home, pytest.MonkeyPatch, Path], None],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    lose(home, monkeypatch, tmp_path)
    # A library that is gone takes no stream with it, so these end too.
    unplugged(home, monkeypatch, tmp_path)
    SWITCHES[Fault.VOICE_HANGS](home.parts, True)
    SWITCHES[Fault.RECOGNISER_GONE](home.parts, True)
    names = ["tea", "oven", "cat", "post"]
    for minutes, name in enumerate(names, 1):
        home.day.happen(TimerRequested(at=0.0, seconds=60.0 * minutes, name=name))
    told = []
    for name in names:
        home.day.pass_time(60.0)
        told.append(any(text.startswith(f"{name.capitalize()}: time") for text in home.day.said))
        for _ in range(50):
            home.day.run()
    assert told == [True] * len(names)
    assert {Trouble.MICROPHONE_GONE, Trouble.VOICE_GONE} <= set(troubles(home.day))
    assert home.day.live.finish(20.0)


def test_an_ear_that_dies_of_what_nobody_foresaw_is_told_once_and_hears_again(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    died: list[None] = []

    def broken(*anything: object, **more: object) -> None:
        died.append(None)
        raise ZeroDivisionError("frames")

    with monkeypatch.context() as patch:
        patch.setattr(Chain, "feed", broken)
        home.day.until(lambda: len(died) > 4)
        assert troubles(home.day)[-1] is Trouble.MICROPHONE_GONE
        assert home.day.state.ear.no_microphone
    home.day.until(lambda: not home.day.state.ear.no_microphone)
    home.hears()
    assert each_after_its_other(troubles(home.day))
    of_the_ear = {trouble.line for trouble in OF_THE_EAR}
    assert [line for line in home.day.lines if line in of_the_ear] == [
        EarTrouble.EAR_FAILED.line,
        EarTrouble.EAR_BACK.line,
    ]


class Asking:
    """Has a true process look at each sound, and hears the same each time."""

    def __init__(self, engine: EngineProcess) -> None:
        self.engine = engine
        self.heard = 0

    def recognise(
        self, sound: Sound, context: Listening, at: float = 0.0, *, suspect: bool = False
    ) -> Heard:
        self.engine.hear(sound, Grammar(Say(("kettle",))))
        self.heard += 1
        return heard_as("kettle help", CommandGiven(at=at, command=Command.WHERE), woken=True)


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGSTOP], ids=lambda each: each.name)
def test_a_recogniser_killed_or_stopped_in_the_midst_of_its_work_costs_no_word(
    number: signal.Signals,
    amber: Schedule,
    amber_plan: Plan,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    room = plugged(monkeypatch, FakeMicrophone())
    patience = Patience(answer_s=1.0, answer_per_s=0.0, start_s=20.0)
    engine = EngineProcess("misbehaving_engines:Slow", patience=patience)
    hearing = Asking(engine)
    day = LiveDay(room, new_day(amber, amber_plan), hearing)
    try:
        day.happen(DayBegan(at=0.0))
        day.hear()
        day.until(lambda: hearing.heard == 1)
        first = engine.pid
        day.hear()
        day.until(lambda: engine._lock.locked())
        Worker(pid=lambda: first).send(number)
        day.until(lambda: hearing.heard == 2)
        assert engine.pid != first
        assert (day.lines, troubles(day)) == ([], [])
    finally:
        engine.close()
        day.live.close()


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


@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
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
        assert each_after_its_other(troubles(day))
        assert told_once(day.lines, LOST.__contains__, FOUND.__contains__)
        for lost, found in ((NO_SOUND, SOUND_BACK), (NO_VOICE, VOICE_BACK)):
            assert told_once(day.lines, lambda line, lost=lost: line.startswith(lost), found.__eq__)
        assert home.room.would_have_hung == 0
        # Each side looks at most once a pause, again at once when it was lost, and again at once
        # when the other side had the list made anew.
        most = 3 * (ended_s / PAUSES_S[0] + len(spells) + 2)
        assert home.room.looked_for["output"] <= most
        assert home.room.looked_for["input"] <= most
