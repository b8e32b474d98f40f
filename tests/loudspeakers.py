"""A stand-in for the module sounddevice, output side: its device asks for sound when told to."""

import time
from collections.abc import Callable
from types import ModuleType
from typing import Any

import numpy as np
from sound_devices import INVALID_CHANNELS, INVALID_RATE, PortAudioError

BLOCK = 256
PATIENCE_S = 20.0
"""A safety net only: no test waits for it unless it fails."""


class OutputStream:
    """A stream of the stand-in, opened as one of sounddevice's is."""

    def __init__(
        self,
        *,
        samplerate: int,
        channels: int,
        dtype: str,
        callback: Callable[..., None],
        device: int | str | None,
        blocksize: int,
        latency: str | float,
        desk: "Desk",
    ) -> None:
        desk.check_output_settings(
            device=device, channels=channels, dtype=dtype, samplerate=samplerate
        )
        self.samplerate, self.channels, self.dtype = samplerate, channels, dtype
        self.callback, self.blocksize, self.wanted_latency = callback, blocksize, latency
        self.desk = desk
        self.latency = 0.1
        self.active = self.closed = False
        desk.streams.append(self)

    def start(self) -> None:
        if self.desk.unplugged:
            raise PortAudioError("Unanticipated host error [PaErrorCode -9999]")
        self.active = True

    def close(self, ignore_errors: bool = True) -> None:
        self.desk.hang()
        self.active, self.closed = False, True

    def ask(self, frames: int) -> np.ndarray:
        block = np.full((frames, self.channels), np.nan, dtype=self.dtype)
        self.callback(block, frames, None, None)
        return block


class Desk(ModuleType):
    """The module: plug it in, pull it out, and listen to what was played."""

    PortAudioError = PortAudioError

    def __init__(self) -> None:
        super().__init__("sounddevice")
        self.devices = ["desk loudspeaker"]
        self.unplugged = False
        self.rates_hz = {22_050, 44_100, 48_000}
        self.channel_counts = {1, 2}
        self.streams: list[OutputStream] = []
        self.refreshed = 0
        self.played = bytearray()
        self.mutes: list[tuple[int, bool]] = []
        self.takes_nothing = False
        self.hang: Callable[[], None] = lambda: None

    def OutputStream(self, **options: Any) -> OutputStream:  # the name is sounddevice's
        return OutputStream(**options, desk=self)

    def query_devices(self, device: int | str | None = None, kind: str | None = None) -> Any:
        microphone = {"name": "desk microphone", "max_output_channels": 0}
        there = [] if self.unplugged else self.devices
        listed = [{"name": name, "max_output_channels": 2} for name in there]
        if device is None and kind is None:
            return [microphone, *listed]
        if isinstance(device, str):
            found = [each for each in listed if device in each["name"]]
            if not found:
                raise ValueError(f"No output device matching {device!r}")
            return found[0]
        if not listed:
            raise PortAudioError("Error querying device -1")
        return listed[0]

    def check_output_settings(
        self, *, device: int | str | None, channels: int, dtype: str, samplerate: int
    ) -> None:
        if samplerate not in self.rates_hz:
            raise PortAudioError("Invalid sample rate", INVALID_RATE)
        if channels not in self.channel_counts:
            raise PortAudioError("Invalid number of channels", INVALID_CHANNELS)

    def _terminate(self) -> None:
        for stream in self.streams:
            stream.active = False

    def _initialize(self) -> None:
        self.refreshed += 1

    def pull_out(self) -> None:
        """The plug is pulled: nothing is asked for any more."""
        self.unplugged = True
        for stream in self.streams:
            stream.active = False

    def plug_in(self) -> None:
        """It is there again, for those who open it."""
        self.unplugged = False

    @property
    def at(self) -> int:
        """Frames asked for so far."""
        return len(self.played) // 4

    def mute(self, muted: bool) -> None:
        """Note what the ear is told, and when by the device's count of frames."""
        self.mutes.append((self.at, muted))

    @property
    def muted(self) -> bool:
        """What the ear was told last."""
        return bool(self.mutes) and self.mutes[-1][1]

    def ask(self, frames: int = BLOCK) -> None:
        """Let every stream that runs ask for a block."""
        for stream in self.streams:
            if stream.active and not self.takes_nothing:
                self.played += stream.ask(frames)[:, 0].tobytes()

    def run(self, true: Callable[[], bool]) -> None:
        """Let time pass at the device until this is true."""
        end = time.monotonic() + PATIENCE_S
        while not true():
            assert time.monotonic() < end, "it never happened"
            self.ask()
            # The announcer looks every few milliseconds, so a block must not take much less.
            time.sleep(0.001)

    def run_for(self, length_s: float) -> None:
        """Let so much of the device's own time pass."""
        end = self.at + length_s * self.streams[-1].samplerate
        self.run(lambda: self.at >= end)

    @property
    def heard(self) -> np.ndarray:
        """All that was played."""
        return np.frombuffer(bytes(self.played), dtype=np.float32)

    def places(self, sound: np.ndarray) -> list[int]:
        """The frames where exactly this was played."""
        wanted = sound.astype(np.float32).tobytes()
        places, at = [], self.played.find(wanted)
        while at >= 0:
            if at % 4 == 0:
                places.append(at // 4)
            at = self.played.find(wanted, at + 1)
        return places
