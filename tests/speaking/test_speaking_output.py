"""The one output stream: what is mixed, at which rate, and a device refused, lost and found."""

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from loudspeakers import Desk

from assistant.speaking.devices import NoLoudspeaker, PortAudioDevices
from assistant.speaking.mixer import FADE_S, Mixer, Track
from assistant.speaking.output import Output
from assistant.speaking.spoken import Spoken

RATE_HZ = 22_050


@pytest.fixture
def desk(monkeypatch: pytest.MonkeyPatch) -> Desk:
    desk = Desk()
    monkeypatch.setitem(sys.modules, "sounddevice", desk)
    return desk


def ramp(length: int, *, rate_hz: int = RATE_HZ, level: int = 8000) -> Spoken:
    return Spoken(sound=np.full(length, level, dtype=np.int16), rate_hz=rate_hz)


def block(frames: int, channels: int = 1) -> np.ndarray:
    return np.full((frames, channels), np.nan, dtype=np.float32)


def filled(mixer: Mixer, frames: int) -> list[float]:
    out = block(frames)
    mixer.fill(out)
    return out[:, 0].tolist()


def test_two_tracks_are_added_and_end_each_in_its_time() -> None:
    mixer = Mixer()
    mixer.add(Track(np.full(6, 0.25, dtype=np.float32), 100))
    mixer.add(Track(np.full(3, 0.5, dtype=np.float32), 100))
    assert filled(mixer, 4) == [0.75, 0.75, 0.75, 0.25]
    assert filled(mixer, 4) == [0.25, 0.25, 0, 0]


def test_what_is_too_loud_together_stays_within_full_scale() -> None:
    mixer = Mixer()
    for _ in range(3):
        mixer.add(Track(np.full(4, -0.75, dtype=np.float32), 100))
    assert filled(mixer, 4) == [-1, -1, -1, -1]


def test_both_channels_get_the_same() -> None:
    mixer = Mixer()
    mixer.add(Track(np.array([0.5, -0.5], dtype=np.float32), 100))
    out = block(3, 2)
    mixer.fill(out)
    assert out.tolist() == [[0.5, 0.5], [-0.5, -0.5], [0, 0]]


def test_a_sound_that_is_cut_fades_within_milliseconds() -> None:
    mixer = Mixer()
    track = Track(np.full(RATE_HZ, 0.5, dtype=np.float32), RATE_HZ)
    mixer.add(track)
    filled(mixer, 256)
    track.cut()
    faded = np.array(filled(mixer, 1024))
    assert track.finished
    assert faded[0] == 0.5
    assert np.all(np.diff(faded) <= 0)
    assert np.abs(np.diff(faded)).max() < 0.01
    assert np.flatnonzero(faded)[-1] <= FADE_S * RATE_HZ


@pytest.mark.parametrize("begun", [False, True])
def test_a_track_can_be_cut_before_it_begins_and_at_its_end(begun: bool) -> None:
    mixer = Mixer()
    track = Track(np.full(3, 0.5, dtype=np.float32), RATE_HZ)
    mixer.add(track)
    if begun:
        filled(mixer, 3)
    track.cut()
    assert filled(mixer, 4) == [0, 0, 0, 0]
    assert track.finished


def test_sound_goes_out_at_the_rate_of_the_voice_where_that_is_taken(desk: Desk) -> None:
    output = Output()
    output.open()
    output.play(ramp(300))
    desk.ask(512)
    assert output.rate_hz == RATE_HZ
    assert desk.heard[:300].tolist() == [8000 / 32768] * 300
    assert not desk.heard[300:].any()
    [stream] = desk.streams
    assert (stream.channels, stream.blocksize, stream.wanted_latency) == (1, 0, "high")


@pytest.mark.parametrize(("rates_hz", "taken_hz"), [({48_000, 44_100}, 48_000), ({44_100}, 44_100)])
def test_a_refused_rate_is_got_round_by_resampling(
    desk: Desk, rates_hz: set[int], taken_hz: int
) -> None:
    desk.rates_hz = rates_hz
    output = Output()
    output.open()
    time_s = np.arange(RATE_HZ) / RATE_HZ
    tone = np.rint(16000 * np.sin(2 * np.pi * 440 * time_s)).astype(np.int16)
    output.play(Spoken(sound=tone, rate_hz=RATE_HZ))
    desk.ask(taken_hz)
    assert output.rate_hz == taken_hz
    spectrum = np.abs(np.fft.rfft(desk.heard))
    assert np.argmax(spectrum) == 440
    assert np.abs(desk.heard[1000:-1000]).max() == pytest.approx(16000 / 32768, rel=0.01)


def test_a_device_that_is_stereo_only_is_given_two_channels(desk: Desk) -> None:
    desk.channel_counts = {2}
    output = Output()
    output.open()
    assert desk.streams[-1].channels == 2


def test_a_device_that_takes_none_of_the_rates_is_told(desk: Desk) -> None:
    desk.rates_hz = {8_000}
    with pytest.raises(NoLoudspeaker, match="takes no rate of ours: 44100 hertz, 2 channels"):
        Output().open()


@pytest.mark.parametrize(
    ("device", "message"),
    [
        (None, "No sound: no loudspeaker is plugged in or switched on."),
        ("attic", "No sound: there is no loudspeaker 'attic'."),
    ],
)
def test_a_loudspeaker_that_is_not_there_is_told(
    desk: Desk, device: str | None, message: str
) -> None:
    desk.pull_out()
    with pytest.raises(NoLoudspeaker) as refused:
        Output(device=device).open()
    assert str(refused.value) == message


def test_a_missing_portaudio_is_told_with_its_package(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "sounddevice.py").write_text("raise OSError('PortAudio library not found')\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    with pytest.raises(NoLoudspeaker, match=r"^No sound: install the package libportaudio2\.$"):
        Output().open()


def test_a_missing_python_package_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(NoLoudspeaker, match="python -m pip install sounddevice"):
        Output().open()
    desk = Desk()
    desk.rates_hz = {48_000}
    monkeypatch.setitem(sys.modules, "sounddevice", desk)
    monkeypatch.setitem(sys.modules, "soxr", None)
    output = Output()
    output.open()
    with pytest.raises(NoLoudspeaker, match="python -m pip install soxr"):
        output.play(ramp(10))


def pulled_out(desk: Desk, clock: list[float]) -> None:
    desk.pull_out()


def frozen(desk: Desk, clock: list[float]) -> None:
    clock[0] += 2.5


@pytest.mark.parametrize("lose", [pulled_out, frozen])
def test_a_device_that_asks_for_nothing_any_more_is_lost_and_can_be_opened_again(
    desk: Desk, lose: Callable[[Desk, list[float]], None]
) -> None:
    clock = [0.0]
    output = Output(clock=lambda: clock[0])
    output.open()
    for _ in range(5):
        clock[0] += 1.9
        desk.ask()
        output.check()
    lose(desk, clock)
    with pytest.raises(NoLoudspeaker, match="the loudspeaker is gone"):
        output.check()
    assert desk.streams[0].closed
    assert not output.is_open
    desk.plug_in()
    output.open()
    output.play(ramp(10))
    desk.ask()
    output.check()
    assert desk.heard[-256:-246].tolist() == [8000 / 32768] * 10


def test_devices_are_looked_up_anew_only_where_that_is_allowed(desk: Desk) -> None:
    for refresh, wanted in ((None, 0), (PortAudioDevices().refresh, 1)):
        output = Output(refresh=refresh)
        output.open()
        assert desk.refreshed == 0
        output.close()
        output.open()
        assert desk.refreshed == wanted


def test_the_loudspeakers_are_listed_without_the_microphones(desk: Desk) -> None:
    assert PortAudioDevices().names() == ("desk loudspeaker",)
