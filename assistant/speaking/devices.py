"""Loudspeakers as PortAudio gives them, behind the few calls that are used.

sounddevice is imported only when a stream is wanted: without PortAudio the very import fails.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Protocol

from assistant.closing import Closing
from assistant.speaking.mixer import Block

Fill = Callable[[Block], None]
Device = int | str | None
"""An index, a part of a name, or None for the one the system prefers."""

CLOSING_S = 2.0

LATENCY = "high"
"""Robust against a busy machine; PortAudio's other choice drops out first."""


HANGS = "No sound: the loudspeaker hangs and can't be closed. Unplug it, or start Kettleside again."


class NoLoudspeaker(Exception):
    """No stream can be opened; the text says what to install or to plug in."""


class RateRefused(Exception):
    """The device is there but does not take this rate or this number of channels."""


class OpenStream(Protocol):
    """A stream that runs."""

    @property
    def latency_s(self) -> float:
        """From the callback to the air, in seconds."""
        ...

    @property
    def active(self) -> bool:
        """Whether it still asks for sound."""
        ...

    def close(self) -> None:
        """End it; never raises."""
        ...


class OutputDevices(Protocol):
    """What the output needs of the platform."""

    def names(self) -> tuple[str, ...]:
        """The loudspeakers there are; raises :class:`NoLoudspeaker` without PortAudio."""
        ...

    def open(self, fill: Fill, *, rate_hz: int, channels: int, device: Device) -> OpenStream:
        """Start a stream that asks ``fill`` for each block of frames by channels.

        Raises :class:`NoLoudspeaker` and :class:`RateRefused`.
        """
        ...

    def refresh(self) -> None:
        """Look for devices plugged in since; ends every stream of the process, inputs too."""
        ...

    @property
    def hangs(self) -> bool:
        """Whether the system hangs over a stream that was closed; a refresh would hang too."""
        ...


@dataclass(frozen=True)
class _Stream:
    stream: Any
    closings: list[Closing]

    @property
    def latency_s(self) -> float:
        return float(self.stream.latency)

    @property
    def active(self) -> bool:
        try:
            return bool(self.stream.active)
        except Exception:
            # The library has its own words for a stream whose device is gone.
            return False

    def close(self) -> None:
        closing = Closing(self.stream.close, CLOSING_S, "the loudspeaker")
        self.closings[:] = [each for each in (*self.closings, closing) if each.hangs]


@dataclass(frozen=True)
class PortAudioDevices:
    """The real loudspeakers, through sounddevice."""

    _closings: list[Closing] = field(default_factory=list)

    @property
    def hangs(self) -> bool:
        """See :class:`OutputDevices`."""
        return any(closing.hangs for closing in self._closings)

    def names(self) -> tuple[str, ...]:
        """See :class:`OutputDevices`."""
        sounddevice = _sounddevice()
        return tuple(
            str(device["name"])
            for device in sounddevice.query_devices()
            if device["max_output_channels"] > 0
        )

    def open(self, fill: Fill, *, rate_hz: int, channels: int, device: Device) -> OpenStream:
        """See :class:`OutputDevices`."""
        sounddevice = _sounddevice()
        if self.hangs:
            raise NoLoudspeaker(HANGS)
        wanted = {
            "device": device,
            "channels": channels,
            "dtype": "float32",
            "samplerate": rate_hz,
        }
        try:
            sounddevice.query_devices(device, "output")
        except (sounddevice.PortAudioError, ValueError) as error:
            raise NoLoudspeaker(_no_loudspeaker(device)) from error
        try:
            sounddevice.check_output_settings(**wanted)
        except (sounddevice.PortAudioError, ValueError) as error:
            raise RateRefused(f"{rate_hz} hertz, {channels} channels: {error}") from error
        try:
            stream = sounddevice.OutputStream(
                **wanted,
                blocksize=0,
                latency=LATENCY,
                callback=lambda block, frames, time, status: fill(block),
            )
            stream.start()
        except (sounddevice.PortAudioError, ValueError) as error:
            raise NoLoudspeaker(f"No sound: the loudspeaker can't be used: {error}.") from error
        return _Stream(stream, self._closings)

    def refresh(self) -> None:
        """See :class:`OutputDevices`."""
        sounddevice = _sounddevice()
        sounddevice._terminate()
        sounddevice._initialize()


def _no_loudspeaker(device: Device) -> str:
    if device is None:
        return "No sound: no loudspeaker is plugged in or switched on."
    return f"No sound: there is no loudspeaker {device!r}."


def _sounddevice() -> Any:
    try:
        import sounddevice  # type: ignore[import-untyped]
    except ImportError as error:
        raise NoLoudspeaker("No sound: python -m pip install sounddevice.") from error
    except OSError as error:
        raise NoLoudspeaker("No sound: install the package libportaudio2.") from error
    return sounddevice
