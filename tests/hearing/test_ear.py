"""The ear as a whole: from the fake microphone's callback to utterances and troubles."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event

import numpy as np
import pytest
from room_sounds import NEEDS_ESPEAK, boil, placed, room, sound
from sound_devices import FakeMicrophone, FakeSoundDevices, Status, plug_in

from assistant.hearing.ear.chain import Chain
from assistant.hearing.ear.ear import UTTERANCES_WAITING, Ear
from assistant.hearing.ear.microphone import Microphone
from assistant.hearing.ear.speech import Utterance
from assistant.hearing.ear.trouble import Trouble
from assistant.hearing.engine import RATE_HZ

BLOCK = 1600
LAST_WORD = "volume"
SOON_S = 20.0


class Kitchen:
    """An ear on a fake layer, whose clock goes with the sound that is delivered."""

    def __init__(self, devices: FakeSoundDevices) -> None:
        self.devices = devices
        self.now_s = 0.0
        self.played_s = 0.0
        self.troubles: list[Trouble] = []
        self.microphone = Microphone(on_trouble=self.note, now_s=self.clock)
        self.ear = Ear(self.microphone, on_trouble=self.note, now_s=self.clock)

    def clock(self) -> float:
        return self.now_s

    def note(self, trouble: Trouble) -> None:
        self.troubles.append(trouble)

    def until(self, holds: Callable[[], bool]) -> None:
        """Wait for the ear's thread; fails after a long time."""
        waiting = Event()
        for _ in range(round(SOON_S / 0.01)):
            if holds():
                return
            waiting.wait(0.01)
        pytest.fail("the ear did not get there")

    def play(self, samples: np.ndarray, status: Status | None = None) -> None:
        """Deliver samples, at most half a minute of them: what waits has its bounds."""
        whole = sound(samples)
        for at in range(0, whole.size, BLOCK):
            self.now_s += BLOCK / RATE_HZ
            self.played_s += BLOCK / RATE_HZ
            self.devices.stream.deliver(whole[at : at + BLOCK], status)

    def heard(self) -> list[Utterance]:
        """What was heard up to now: a word at the end of it all shows when that is."""
        self.play(placed(4.0, (2.5, LAST_WORD)) + room(4.0, seed=9))
        utterances = []
        while not utterances or utterances[-1].started_s < self.played_s - 2:
            utterance = self.ear.hear(SOON_S)
            assert utterance is not None, "the last word was not heard"
            utterances.append(utterance)
        return utterances[:-1]


@pytest.fixture
def kitchen(monkeypatch: pytest.MonkeyPatch) -> Iterator[Kitchen]:
    devices = plug_in(monkeypatch, FakeMicrophone())
    with listening(Kitchen(devices)) as kitchen:
        yield kitchen


@contextmanager
def listening(kitchen: Kitchen) -> Iterator[Kitchen]:
    with kitchen.ear:
        kitchen.until(lambda: bool(kitchen.devices.streams) and kitchen.devices.stream.started)
        yield kitchen


@NEEDS_ESPEAK
def test_what_is_said_is_heard_in_its_order(kitchen: Kitchen) -> None:
    kitchen.play(placed(7.0, (2.0, "undo"), (4.5, "mash temperature")) + room(7.0))
    first, second = kitchen.heard()
    assert first.started_s == pytest.approx(2.0, abs=0.1)
    assert second.started_s == pytest.approx(4.5, abs=0.1)
    assert kitchen.ear.hear(0) is None
    assert kitchen.troubles == []


@NEEDS_ESPEAK
def test_what_sounds_while_muted_is_not_heard_however_late_it_is_looked_at(
    kitchen: Kitchen,
) -> None:
    kitchen.play(room(2.0))
    kitchen.ear.mute(True)
    kitchen.play(placed(2.0, (0.5, "mash temperature")) + room(2.0))
    kitchen.ear.mute(False)
    kitchen.play(placed(2.0, (0.9, "undo")) + room(2.0))
    (utterance,) = kitchen.heard()
    assert utterance.started_s == pytest.approx(4.9, abs=0.1)


@NEEDS_ESPEAK
def test_an_echo_in_the_tail_is_not_heard_and_the_tail_can_be_shorter(kitchen: Kitchen) -> None:
    kitchen.play(room(2.0))
    for tail_s in (1.0, 0.1):
        kitchen.ear.mute(True)
        kitchen.play(room(1.0))
        kitchen.ear.mute(False, tail_s)
        kitchen.play(placed(2.0, (0.3, "skip")) + room(2.0))
    (utterance,) = kitchen.heard()
    assert utterance.started_s == pytest.approx(6.3, abs=0.1)


@NEEDS_ESPEAK
def test_lost_sound_makes_an_utterance_suspect(kitchen: Kitchen) -> None:
    kitchen.play(placed(3.0, (2.0, "undo")) + room(3.0), Status(input_overflow=True))
    (utterance,) = kitchen.heard()
    assert utterance.suspect
    assert Trouble.OVERFLOW in kitchen.troubles


@NEEDS_ESPEAK
def test_when_nobody_takes_them_the_oldest_utterances_go(kitchen: Kitchen) -> None:
    kitchen.play(room(2.0))
    for _ in range(UTTERANCES_WAITING + 2):
        kitchen.play(placed(1.6, (0.2, "undo")) + room(1.6))
    kitchen.play(room(1.0))
    kitchen.until(lambda: kitchen.ear.floor_db < -70 and kitchen.microphone.waiting == 0)
    waiting = kitchen.heard()
    assert len(waiting) <= UTTERANCES_WAITING
    assert waiting[-1].started_s == pytest.approx(kitchen.played_s - 4.0 - 1.0 - 1.4, abs=0.1)


def test_a_meter_shows_the_level_and_the_floor(kitchen: Kitchen) -> None:
    kitchen.play(boil(5.0, 300))
    kitchen.until(lambda: kitchen.ear.floor_db > -50)
    kitchen.until(lambda: -50 < kitchen.ear.level_db < -35)
    assert not kitchen.ear.speaking


def test_a_loud_boil_is_told_once(kitchen: Kitchen) -> None:
    kitchen.play(boil(20.0, 3000))
    kitchen.until(lambda: bool(kitchen.troubles))
    kitchen.play(boil(5.0, 3000))
    kitchen.until(lambda: kitchen.microphone.waiting == 0)
    assert kitchen.troubles == [Trouble.TOO_LOUD]


@NEEDS_ESPEAK
def test_a_microphone_that_is_gone_and_back_is_heard_again(kitchen: Kitchen) -> None:
    kitchen.play(room(1.0))
    kitchen.devices.microphones[0].plugged = False
    kitchen.until(lambda: kitchen.troubles == [Trouble.MICROPHONE_GONE])
    kitchen.devices.microphones[0].plugged = True
    kitchen.now_s += 60
    kitchen.until(lambda: len(kitchen.devices.streams) == 2 and kitchen.devices.stream.started)
    kitchen.play(placed(4.0, (2.0, "undo")) + room(4.0))
    assert len(kitchen.heard()) == 1
    assert kitchen.troubles == [Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_BACK]


@NEEDS_ESPEAK
def test_a_device_at_48_khz_is_heard_as_well(monkeypatch: pytest.MonkeyPatch) -> None:
    devices = plug_in(monkeypatch, FakeMicrophone(rates_hz=(48_000,)))
    with listening(Kitchen(devices)) as kitchen:
        samples = placed(5.0, (2.0, "undo")) + room(5.0)
        at = np.arange(0, samples.size - 1, 1 / 3)
        kitchen.play(np.interp(at, np.arange(samples.size), samples))
        utterance = kitchen.ear.hear(SOON_S)
    assert utterance is not None
    assert utterance.started_s == pytest.approx(2.0, abs=0.1)


@NEEDS_ESPEAK
def test_without_the_voice_detector_loudness_decides_and_it_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "pocketsphinx", None)
    with listening(Kitchen(plug_in(monkeypatch, FakeMicrophone()))) as kitchen:
        kitchen.play(placed(4.0, (2.0, "undo")) + room(4.0))
        assert len(kitchen.heard()) == 1
        assert kitchen.troubles == [Trouble.NO_VOICE_DETECTOR]


def broken(*anything: object, **more: object) -> None:
    raise RuntimeError("a fault nobody thought of")


def test_whatever_kills_the_ear_is_told_once_and_it_is_made_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    tried: list[None] = []

    def counted(*anything: object, **more: object) -> None:
        tried.append(None)
        broken()

    devices = plug_in(monkeypatch, FakeMicrophone())
    whole = devices.query_devices
    monkeypatch.setattr(devices, "query_devices", counted)
    kitchen = Kitchen(devices)
    kitchen.ear = Ear(kitchen.microphone, on_trouble=kitchen.note, pauses_s=(0.001,))
    with kitchen.ear:
        kitchen.until(lambda: len(tried) > 5)
        assert kitchen.troubles == [Trouble.EAR_FAILED]
        monkeypatch.setattr(devices, "query_devices", whole)
        kitchen.until(lambda: bool(devices.streams) and devices.stream.started)
        kitchen.play(room(1.0))
        kitchen.until(lambda: len(kitchen.troubles) > 1)
    assert kitchen.troubles == [Trouble.EAR_FAILED, Trouble.EAR_BACK]


@NEEDS_ESPEAK
def test_an_ear_made_anew_hears_and_is_as_shut_as_the_one_before(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kitchen = Kitchen(plug_in(monkeypatch, FakeMicrophone()))
    kitchen.ear = Ear(
        kitchen.microphone, on_trouble=kitchen.note, pauses_s=(0.0,), now_s=kitchen.clock
    )
    feed = Chain.feed
    with listening(kitchen):
        kitchen.ear.mute(True)
        kitchen.play(room(1.0))
        monkeypatch.setattr(Chain, "feed", broken)
        kitchen.play(room(0.1))
        kitchen.until(lambda: kitchen.troubles == [Trouble.EAR_FAILED])
        monkeypatch.setattr(Chain, "feed", feed)
        kitchen.until(lambda: len(kitchen.devices.streams) > 1 and kitchen.devices.stream.started)
        kitchen.play(placed(4.0, (2.0, "undo")) + room(4.0))
        kitchen.ear.mute(False)
        kitchen.play(placed(4.0, (2.0, LAST_WORD)) + room(4.0))
        utterance = kitchen.ear.hear(SOON_S)
        assert utterance is not None
        assert utterance.started_s == pytest.approx(6.0, abs=0.2)
    assert kitchen.troubles == [Trouble.EAR_FAILED, Trouble.EAR_BACK]


def test_without_a_microphone_the_ear_waits_and_closes_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kitchen = Kitchen(plug_in(monkeypatch))
    with kitchen.ear:
        kitchen.until(lambda: bool(kitchen.troubles))
        assert kitchen.ear.hear(0) is None
    assert kitchen.troubles == [Trouble.NO_MICROPHONE]


def test_an_ear_that_never_started_can_be_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    devices = plug_in(monkeypatch, FakeMicrophone())
    Kitchen(devices).ear.close()
    assert devices.streams == []


def test_closing_lets_go_of_the_microphone(kitchen: Kitchen) -> None:
    kitchen.ear.close()
    assert kitchen.devices.stream.closed
