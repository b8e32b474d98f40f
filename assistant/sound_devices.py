"""One microphone and one loudspeaker in one process, which PortAudio keeps a single list for.

A device plugged in later is found only when PortAudio starts anew, and that ends the streams of
both sides. So whoever wants a new list has the other side let go first: the microphone opens again
by itself, and a stream of the loudspeaker is opened again under whoever plays on it.
"""

import threading
from collections.abc import Callable
from contextlib import suppress

from assistant.backing_off import PAUSES_S, Pauses
from assistant.hearing.ear.device import NoStream, refresh_devices
from assistant.hearing.ear.microphone import Microphone
from assistant.hearing.ear.trouble import Trouble
from assistant.speaking.devices import (
    Device,
    Fill,
    NoLoudspeaker,
    OpenStream,
    OutputDevices,
    PortAudioDevices,
    RateRefused,
)
from assistant.speaking.output import STALLED_S, Output


class _LastingStream:
    """A stream that lives on while the device under it is closed and opened again."""

    def __init__(self, open_it: Callable[[], OpenStream]) -> None:
        self._open_it = open_it
        self._stream: OpenStream | None = open_it()
        self._away = self._closed = False
        self._lock = threading.Lock()

    @property
    def latency_s(self) -> float:
        with self._lock:
            return self._stream.latency_s if self._stream else 0.0

    @property
    def active(self) -> bool:
        with self._lock:
            return self._away or (self._stream is not None and self._stream.active)

    def close(self) -> None:
        with self._lock:
            self._closed = True
            if self._stream is not None:
                self._stream.close()
                self._stream = None

    def release(self) -> None:
        """Close the device; whoever plays sees a stream that asks for nothing just now."""
        with self._lock:
            if self._stream is not None:
                self._away = True
                self._stream.close()
                self._stream = None

    def take_again(self) -> None:
        """Open the device again; where that fails the stream is lost like any other."""
        with self._lock:
            away, self._away = self._away, False
            if away and not self._closed:
                try:
                    self._stream = self._open_it()
                except (NoLoudspeaker, RateRefused):
                    self._stream = None


class SoundDevices:
    """Makes the microphone and the output of a day, and sees to it that both live side by side.

    ``microphone`` and ``loudspeaker`` are a name, a part of one, a number, or None for the usual;
    ``pauses_s`` are those between attempts to open the microphone. A device that moves no sound for
    ``stalled_s`` is gone.
    """

    def __init__(
        self,
        *,
        on_trouble: Callable[[Trouble], None],
        microphone: str | int | None = None,
        loudspeaker: Device = None,
        devices: OutputDevices | None = None,
        pauses_s: Pauses = PAUSES_S,
        stalled_s: float = STALLED_S,
    ) -> None:
        self._devices = devices or PortAudioDevices()
        self._refreshing = threading.Lock()
        self._playing: _LastingStream | None = None
        self.is_quiet: Callable[[], bool] = lambda: True
        """Whether nothing sounds now that a search for a microphone would interrupt."""
        self.microphone = Microphone(
            microphone,
            on_trouble=on_trouble,
            refresh=self._refresh_for_microphone,
            pauses_s=pauses_s,
            stalled_s=stalled_s,
        )
        self.output = Output(
            self, device=loudspeaker, refresh=self._refresh_for_output, stalled_s=stalled_s
        )

    def names(self) -> tuple[str, ...]:
        """See :class:`OutputDevices`."""
        return self._devices.names()

    def open(self, fill: Fill, *, rate_hz: int, channels: int, device: Device) -> OpenStream:
        """See :class:`OutputDevices`."""
        with self._refreshing:
            self._playing = _LastingStream(
                lambda: self._devices.open(fill, rate_hz=rate_hz, channels=channels, device=device)
            )
            return self._playing

    @property
    def hangs(self) -> bool:
        """See :class:`OutputDevices`."""
        return self._devices.hangs

    def refresh(self) -> None:
        """See :class:`OutputDevices`."""
        self._refresh_for_output()

    def _refresh_for_microphone(self) -> None:
        # Whoever waited here would hold the microphone that the other side waits for; a list that
        # is not new this time is new the next time.
        if not self.is_quiet() or not self._refreshing.acquire(blocking=False):
            return
        try:
            if self._playing is not None:
                self._playing.release()
            try:
                # It may hang over this one since just now.
                if not self._devices.hangs:
                    with suppress(NoStream):
                        refresh_devices()
            finally:
                if self._playing is not None:
                    self._playing.take_again()
        finally:
            self._refreshing.release()

    def _refresh_for_output(self) -> None:
        # What hangs over a stream hangs over the list of all devices too.
        if self._devices.hangs or not self._refreshing.acquire(blocking=False):
            return
        try:
            with self.microphone.released() as let_go, suppress(NoStream):
                if let_go:
                    refresh_devices()
        finally:
            self._refreshing.release()
