"""A stand-in for the library sounddevice, input side: the calls the ear makes, and no hardware."""

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pytest

INVALID_RATE = -9997
INVALID_CHANNELS = -9998
INVALID_DEVICE = -9996
DEVICE_UNAVAILABLE = -9985


class PortAudioError(Exception):
    """As the library raises it: a text and PortAudio's number for it."""


@dataclass
class FakeMicrophone:
    """A device: what it takes, and whether it is plugged in."""

    name: str = "USB microphone"
    rates_hz: tuple[int, ...] = (16_000, 44_100, 48_000)
    channels: tuple[int, ...] = (1, 2)
    most_channels: int = 2
    default_rate_hz: int = 48_000
    plugged: bool = True
    busy: bool = False
    stalled: bool = False
    overflows: bool = False


@dataclass
class Status:
    """The flags a callback is given."""

    input_overflow: bool = False


@dataclass
class FakeStream:
    """An input stream: :meth:`deliver` is the audio thread calling back."""

    devices: "FakeSoundDevices"
    microphone: FakeMicrophone
    samplerate: int
    channels: int
    callback: Callable[..., None]
    settings: dict[str, Any]
    started: bool = False
    closed: bool = False

    @property
    def active(self) -> bool:
        if self.closed:
            raise PortAudioError("Invalid stream pointer", -9988)
        return self.started and self.microphone.plugged

    def start(self) -> None:
        self.started = True

    def abort(self) -> None:
        self.started = False
        if not self.microphone.plugged:
            raise PortAudioError("Unanticipated host error", -9999)

    def close(self) -> None:
        self.devices.hang()
        self.closed = True

    def deliver(self, samples: "np.ndarray[Any, Any]", status: Status | None = None) -> None:
        """Hand over samples: one channel's, which all the channels get."""
        if not self.started or self.closed:
            return
        block = np.repeat(samples.astype(np.int16)[:, None], self.channels, axis=1)
        self.callback(block, len(block), None, status or Status())
        # The library reuses its buffer, so whoever did not copy hears what comes later.
        block[:] = -1


@dataclass
class FakeSoundDevices:
    """The library: put in place of the real one by :func:`plug_in`."""

    microphones: list[FakeMicrophone] = field(default_factory=lambda: [FakeMicrophone()])
    streams: list[FakeStream] = field(default_factory=list)
    refreshed: int = 0
    hang: Callable[[], None] = lambda: None
    PortAudioError = PortAudioError

    def __post_init__(self) -> None:
        self._initialized = 1
        self._listed = [device for device in self.microphones if device.plugged]

    @property
    def stream(self) -> FakeStream:
        """The stream opened last."""
        return self.streams[-1]

    def query_devices(self, device: int | None = None, kind: str | None = None) -> Any:
        rows = [
            {
                "index": index,
                "name": microphone.name,
                "max_input_channels": microphone.most_channels,
                "default_samplerate": float(microphone.default_rate_hz),
            }
            for index, microphone in enumerate(self._listed)
        ]
        if kind is None and device is None:
            return rows
        inputs = [row for row in rows if row["max_input_channels"] > 0]
        if not inputs:
            raise PortAudioError("Error querying device -1")
        return inputs[0] if device is None else rows[device]

    def check_input_settings(self, device: int, channels: int, samplerate: int) -> None:
        microphone = self._listed[device]
        if not microphone.plugged:
            raise PortAudioError("Invalid device", INVALID_DEVICE)
        if microphone.busy:
            raise PortAudioError("Device unavailable", DEVICE_UNAVAILABLE)
        if channels not in microphone.channels:
            raise PortAudioError("Invalid number of channels", INVALID_CHANNELS)
        if samplerate not in microphone.rates_hz:
            raise PortAudioError("Invalid sample rate", INVALID_RATE)

    def InputStream(
        self,
        *,
        device: int,
        samplerate: int,
        channels: int,
        callback: Callable[..., None],
        **settings: Any,
    ) -> FakeStream:
        assert self._initialized > 0
        self.check_input_settings(device, channels, samplerate)
        stream = FakeStream(self, self._listed[device], samplerate, channels, callback, settings)
        self.streams.append(stream)
        return stream

    def _terminate(self) -> None:
        self._initialized -= 1
        for stream in self.streams:
            stream.closed = True

    def _initialize(self) -> None:
        self._initialized += 1
        self.refreshed += 1
        self._listed = [device for device in self.microphones if device.plugged]


def plug_in(patch: pytest.MonkeyPatch, *microphones: FakeMicrophone) -> FakeSoundDevices:
    """Have ``import sounddevice`` give a library with these microphones."""
    devices = FakeSoundDevices(microphones=list(microphones))
    patch.setitem(sys.modules, "sounddevice", devices)
    return devices
