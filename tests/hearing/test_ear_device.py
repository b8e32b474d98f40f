"""The microphone: opened, refused, overflowing, gone and back; on a layer without hardware."""

import builtins
import sys
from threading import Event
from time import sleep
from types import ModuleType

import numpy as np
import pytest
from sound_devices import FakeMicrophone, FakeSoundDevices, Status, plug_in

from assistant.backing_off import PAUSES_S
from assistant.hearing.ear import device as device_layer
from assistant.hearing.ear.device import BLOCKS_WAITING, NoStream, choose, microphones
from assistant.hearing.ear.microphone import (
    MUTED_S,
    NO_SOUND_S,
    OVERFLOWS,
    Microphone,
)
from assistant.hearing.ear.trouble import Trouble

BLOCK = np.arange(1, 321)


class Rig:
    """A microphone on a fake layer, on a clock that is set by hand."""

    def __init__(self, devices: FakeSoundDevices, wanted: str | int | None = None) -> None:
        self.devices = devices
        self.now_s = 100.0
        self.troubles: list[Trouble] = []
        self.microphone = Microphone(
            wanted, on_trouble=self.troubles.append, now_s=lambda: self.now_s
        )

    def pass_time(self, seconds: float, step_s: float = 0.5) -> None:
        for _ in range(round(seconds / step_s)):
            self.now_s += step_s
            self.microphone.read(0)

    def deliver(self, samples: "np.ndarray" = BLOCK, status: Status | None = None) -> None:
        self.devices.stream.deliver(samples, status)


@pytest.fixture
def rig(monkeypatch: pytest.MonkeyPatch) -> Rig:
    return Rig(plug_in(monkeypatch, FakeMicrophone()))


def test_it_is_opened_by_the_first_reading_as_the_library_advises(rig: Rig) -> None:
    assert rig.devices.streams == []
    assert rig.microphone.read(0) is None
    stream = rig.devices.stream
    assert (stream.samplerate, stream.channels) == (16_000, 1)
    assert stream.settings == {"dtype": "int16", "blocksize": 0, "latency": "high"}
    assert rig.troubles == []


def test_a_block_is_a_copy_with_the_time_it_came(rig: Rig) -> None:
    rig.microphone.read(0)
    rig.now_s = 107.0
    rig.deliver()
    rig.now_s = 108.0
    block = rig.microphone.read(0)
    assert block is not None
    assert block.sound.tolist() == BLOCK.tolist()
    assert (block.arrived_s, block.suspect) == (107.0, False)


@pytest.mark.parametrize("rate_hz", [48_000, 44_100, 32_000])
def test_a_device_that_refuses_16_khz_is_resampled(
    monkeypatch: pytest.MonkeyPatch, rate_hz: int
) -> None:
    rig = Rig(plug_in(monkeypatch, FakeMicrophone(rates_hz=(rate_hz,), default_rate_hz=rate_hz)))
    rig.microphone.read(0)
    assert rig.devices.stream.samplerate == rate_hz
    at_s = np.arange(rate_hz) / rate_hz
    rig.deliver(8000 * np.sin(2 * np.pi * 440 * at_s))
    block = rig.microphone.read(0)
    assert block is not None
    assert block.sound.size == pytest.approx(16_000, abs=800)
    spectrum = np.abs(np.fft.rfft(block.sound[2000:10000]))
    assert np.argmax(spectrum) * 2 == 440


def test_a_device_with_two_channels_only_is_mixed(monkeypatch: pytest.MonkeyPatch) -> None:
    rig = Rig(plug_in(monkeypatch, FakeMicrophone(channels=(2,))))
    rig.microphone.read(0)
    rig.deliver()
    block = rig.microphone.read(0)
    assert block is not None
    assert block.sound.tolist() == BLOCK.tolist()


@pytest.mark.parametrize(
    ("devices", "wanted", "trouble"),
    [
        ((), None, Trouble.NO_MICROPHONE),
        ((FakeMicrophone(most_channels=0),), None, Trouble.NO_MICROPHONE),
        ((FakeMicrophone(),), "lavalier", Trouble.NO_SUCH_MICROPHONE),
        ((FakeMicrophone(),), 7, Trouble.NO_SUCH_MICROPHONE),
        ((FakeMicrophone(),), " ", Trouble.NO_SUCH_MICROPHONE),
        ((FakeMicrophone(busy=True),), None, Trouble.MICROPHONE_REFUSED),
        ((FakeMicrophone(rates_hz=()),), None, Trouble.RATE_REFUSED),
        ((FakeMicrophone(rates_hz=(), channels=(1,)),), None, Trouble.RATE_REFUSED),
    ],
)
def test_what_keeps_it_closed_is_told_once(
    monkeypatch: pytest.MonkeyPatch,
    devices: tuple[FakeMicrophone, ...],
    wanted: str | int | None,
    trouble: Trouble,
) -> None:
    rig = Rig(plug_in(monkeypatch, *devices), wanted)
    rig.pass_time(120)
    assert rig.troubles == [trouble]
    assert not rig.microphone.open


@pytest.mark.parametrize(
    ("wanted", "index"),
    [(None, 1), (2, 2), ("2", 2), ("usb headset", 2), ("usb", 1), ("HEADSET", 2), ("USB", 1)],
)
def test_a_microphone_by_number_name_or_part_of_a_name(
    monkeypatch: pytest.MonkeyPatch, wanted: str | int | None, index: int
) -> None:
    plug_in(
        monkeypatch,
        FakeMicrophone(name="USB speaker", most_channels=0),
        FakeMicrophone(name="USB microphone"),
        FakeMicrophone(name="USB headset"),
    )
    assert choose(wanted).index == index
    assert [device.name for device in microphones()] == ["USB microphone", "USB headset"]
    assert [device.usual for device in microphones()] == [True, False]


@pytest.mark.parametrize(
    ("error", "trouble"),
    [
        (ImportError("No module named 'sounddevice'"), Trouble.NO_SOUNDDEVICE),
        (OSError("PortAudio library not found"), Trouble.NO_PORTAUDIO),
    ],
)
def test_a_library_that_is_missing_is_told_once_and_not_tried_again(
    monkeypatch: pytest.MonkeyPatch, error: Exception, trouble: Trouble
) -> None:
    tried = []
    real_import = builtins.__import__

    def failing(name: str, *rest: object) -> ModuleType:
        if name == "sounddevice":
            tried.append(name)
            raise error
        return real_import(name, *rest)  # type: ignore[arg-type]

    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    monkeypatch.setattr(builtins, "__import__", failing)
    troubles: list[Trouble] = []
    now_s = [0.0]
    microphone = Microphone(on_trouble=troubles.append, now_s=lambda: now_s[0])
    for _ in range(50):
        now_s[0] += 5
        assert microphone.read(0) is None
    assert troubles == [trouble]
    assert microphone.hopeless
    assert len(tried) == 1
    with pytest.raises(NoStream, match="There is no ear"):
        microphones()


def test_it_is_gone_when_its_stream_is_inactive_and_back_when_plugged_in(rig: Rig) -> None:
    rig.microphone.read(0)
    rig.deliver()
    rig.microphone.read(0)
    rig.devices.microphones[0].plugged = False
    rig.microphone.read(0)
    assert rig.troubles == [Trouble.MICROPHONE_GONE]
    assert rig.devices.streams[0].closed
    rig.pass_time(60)
    assert rig.troubles == [Trouble.MICROPHONE_GONE]
    rig.devices.microphones[0].plugged = True
    rig.pass_time(PAUSES_S[-1] + 1)
    assert rig.microphone.open
    assert rig.troubles == [Trouble.MICROPHONE_GONE]
    rig.deliver()
    block = rig.microphone.read(0)
    assert block is not None
    assert block.suspect
    assert rig.troubles == [Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_BACK]


def test_a_stream_that_says_it_is_active_and_delivers_nothing_is_gone(rig: Rig) -> None:
    rig.microphone.read(0)
    rig.pass_time(NO_SOUND_S - 0.5)
    assert rig.troubles == []
    rig.pass_time(1)
    assert rig.troubles == [Trouble.MICROPHONE_GONE]
    assert rig.devices.streams[0].closed


def test_what_is_found_again_at_once_closes_nobody_elses_stream(rig: Rig) -> None:
    rig.microphone.read(0)
    rig.pass_time(NO_SOUND_S + PAUSES_S[0])
    rig.pass_time(1)
    assert len(rig.devices.streams) == 2
    assert rig.devices.refreshed == 1


def test_attempts_grow_rarer_and_never_end(rig: Rig) -> None:
    rig.devices.microphones[0].plugged = False
    rig.devices._initialize()
    rig.devices.refreshed = 0
    rig.microphone.read(0)
    rig.pass_time(sum(PAUSES_S))
    in_the_beginning = rig.devices.refreshed
    rig.pass_time(300)
    assert in_the_beginning == len(PAUSES_S)
    assert rig.devices.refreshed - in_the_beginning == 300 / PAUSES_S[-1]


def test_a_refresh_of_the_callers_is_used(monkeypatch: pytest.MonkeyPatch) -> None:
    devices = plug_in(monkeypatch)
    refreshed = []
    now_s = [0.0]
    microphone = Microphone(
        on_trouble=lambda trouble: None,
        refresh=lambda: refreshed.append(now_s[0]),
        now_s=lambda: now_s[0],
    )
    for now_s[0] in (0.0, 1.0, 2.0, 3.0):
        microphone.read(0)
    assert refreshed == [1.0, 3.0]
    assert devices.refreshed == 0


def test_while_released_the_stream_is_closed_and_nobody_is_told(rig: Rig) -> None:
    rig.microphone.read(0)
    with rig.microphone.released():
        assert rig.devices.streams[0].closed
        assert rig.microphone.read(0) is None
        assert not rig.microphone.open
    rig.microphone.read(0)
    assert rig.microphone.open
    assert rig.troubles == []


def test_sound_that_finds_no_room_is_dropped_and_the_next_is_suspect(rig: Rig) -> None:
    rig.microphone.read(0)
    for _ in range(BLOCKS_WAITING + 3):
        rig.deliver()
    taken = [rig.microphone.read(0) for _ in range(BLOCKS_WAITING)]
    assert [block.suspect for block in taken if block] == [False] * BLOCKS_WAITING
    assert rig.microphone.read(0) is None
    rig.deliver()
    rig.deliver()
    late = [rig.microphone.read(0), rig.microphone.read(0)]
    assert [block.suspect for block in late if block] == [True, False]


def test_an_overflow_makes_its_block_suspect_and_some_are_told_once(rig: Rig) -> None:
    rig.microphone.read(0)
    for count in range(3 * OVERFLOWS):
        rig.deliver(status=Status(input_overflow=True))
        block = rig.microphone.read(0)
        assert block is not None
        assert block.suspect
        assert rig.troubles == ([Trouble.OVERFLOW] if count >= OVERFLOWS - 1 else [])


def test_rare_overflows_are_not_worth_a_word(rig: Rig) -> None:
    rig.microphone.read(0)
    for _ in range(3 * OVERFLOWS):
        rig.now_s += 20
        rig.deliver(status=Status(input_overflow=True))
        rig.microphone.read(0)
    assert rig.troubles == []


@pytest.mark.parametrize("garbage", [None, "no sound", 7])
def test_the_callback_never_raises(rig: Rig, garbage: object) -> None:
    rig.microphone.read(0)
    rig.devices.stream.callback(garbage, 0, None, garbage)
    rig.deliver()
    block = rig.microphone.read(0)
    assert block is not None
    assert block.suspect


def test_pure_silence_is_told_once_until_there_is_sound_again(rig: Rig) -> None:
    rig.microphone.read(0)
    silence = np.zeros(320)
    told = []
    for samples in [silence] * 30 + [BLOCK] + [silence] * 30:
        rig.now_s += 0.5
        rig.deliver(samples)
        rig.microphone.read(0)
        told.append(len(rig.troubles))
    assert rig.troubles == [Trouble.MICROPHONE_MUTED] * 2
    assert told.index(1) == pytest.approx(MUTED_S / 0.5, abs=1)
    assert told[30] == 1


def test_a_device_that_hangs_is_left_alone_until_the_system_lets_it_go(
    rig: Rig, monkeypatch: pytest.MonkeyPatch
) -> None:
    let_go = Event()
    monkeypatch.setattr(device_layer, "CLOSE_WITHIN_S", 0.01)
    rig.devices.hang = lambda: bool(let_go.wait(10)) and None
    rig.microphone.read(0)
    rig.pass_time(200)
    assert rig.troubles == [Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_STUCK]
    assert (rig.microphone.hangs, rig.microphone.hopeless) == (True, False)
    assert (len(rig.devices.streams), rig.devices.refreshed) == (1, 0)
    let_go.set()
    while rig.microphone.hangs:
        sleep(0.001)
    again = Event()
    rig.devices.hang = lambda: bool(again.wait(10)) and None
    rig.pass_time(100)
    assert rig.microphone.hangs
    again.set()
    while rig.microphone.hangs:
        sleep(0.001)
    while not rig.microphone.open:
        rig.pass_time(0.5)
    rig.deliver()
    rig.microphone.read(0)
    assert rig.troubles[2:] == [Trouble.MICROPHONE_BACK]


def test_a_device_that_hangs_is_no_reason_to_wait_for_who_wants_it_released(
    rig: Rig, monkeypatch: pytest.MonkeyPatch
) -> None:
    let_go = Event()
    monkeypatch.setattr(device_layer, "CLOSE_WITHIN_S", 0.01)
    rig.devices.hang = lambda: bool(let_go.wait(10)) and None
    rig.microphone.read(0)
    with rig.microphone.released() as released:
        assert not released
    let_go.set()


def test_a_loose_plug_is_not_tried_ever_faster(rig: Rig) -> None:
    for _ in range(600):
        rig.now_s += 0.5
        rig.microphone.read(0)
        stream = rig.devices.streams[-1] if rig.devices.streams else None
        if stream is not None and not stream.closed:
            rig.deliver()
            rig.microphone.read(0)
            stream.started = False
    assert rig.troubles[:4] == [Trouble.MICROPHONE_GONE, Trouble.MICROPHONE_BACK] * 2
    assert len(rig.devices.streams) <= len(PAUSES_S) + 300 / PAUSES_S[-1]


def test_closed_it_stays_closed(rig: Rig) -> None:
    rig.microphone.read(0)
    rig.microphone.close()
    assert rig.devices.stream.closed
    assert rig.microphone.read(0) is None
    assert len(rig.devices.streams) == 1


@pytest.mark.parametrize("trouble", Trouble)
def test_every_trouble_is_one_plain_line(trouble: Trouble) -> None:
    assert trouble.line.endswith(".")
    assert "\n" not in trouble.line
    assert len(trouble.line) < 170
