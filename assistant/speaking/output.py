"""The one output stream of the program: opened, watched, lost and found again."""

import time
from collections.abc import Callable, Sequence

import numpy as np

from assistant.speaking.devices import (
    Device,
    NoLoudspeaker,
    OpenStream,
    OutputDevices,
    PortAudioDevices,
    RateRefused,
)
from assistant.speaking.mixer import Block, Mixer, Track
from assistant.speaking.spoken import FULL_SCALE, Spoken

RATES_HZ = (22_050, 48_000, 44_100)
"""The rate of the voice first; devices that refuse it take one of the others."""

CHANNELS = (1, 2)

STALLED_S = 2.0
"""A device that asks for nothing for so long is gone: PortAudio tells nobody."""


class Output:
    """A loudspeaker that may be missing or vanish.

    ``device`` is an index, a part of a name, or None; ``refresh`` is called before a lost device is
    looked for again, see :meth:`OutputDevices.refresh` for what that ends. Not thread-safe: one
    thread opens, plays, watches and closes.
    """

    def __init__(
        self,
        devices: OutputDevices | None = None,
        *,
        device: Device = None,
        rates_hz: Sequence[int] = RATES_HZ,
        refresh: Callable[[], None] | None = None,
        stalled_s: float = STALLED_S,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._devices = devices or PortAudioDevices()
        self._device, self._rates_hz, self._refresh = device, tuple(rates_hz), refresh
        self._stalled_s, self._clock = stalled_s, clock
        self._stream: OpenStream | None = None
        self._mixer = Mixer()
        self._seen_blocks, self._seen_at_s = 0, 0.0
        self._tried = False
        self.rate_hz = self._rates_hz[0]

    @property
    def is_open(self) -> bool:
        """Whether a stream was opened and not lost since."""
        return self._stream is not None

    @property
    def sounds(self) -> bool:
        """Whether the device has asked for sound since it was opened; many open and never do."""
        return self._stream is not None and self._mixer.blocks > 0

    @property
    def latency_s(self) -> float:
        """From handing over a sample to hearing it, in seconds; 0 without a stream."""
        return self._stream.latency_s if self._stream else 0.0

    def open(self) -> None:
        """Open the stream if it is not; raises :class:`NoLoudspeaker`."""
        if self._stream is not None:
            return
        if self._tried and self._refresh is not None:
            self._refresh()
        self._tried = True
        refused: list[str] = []
        for rate_hz in self._rates_hz:
            for channels in CHANNELS:
                self._mixer = Mixer()
                try:
                    self._stream = self._devices.open(
                        self._mixer.fill, rate_hz=rate_hz, channels=channels, device=self._device
                    )
                except RateRefused as error:
                    refused.append(str(error))
                    continue
                self.rate_hz = rate_hz
                self._seen_blocks, self._seen_at_s = 0, self._clock()
                return
        raise NoLoudspeaker(f"No sound: the loudspeaker takes no rate of ours: {refused[-1]}.")

    def play(self, spoken: Spoken, *, then_silent_s: float = 0.0) -> Track:
        """Let it sound now, on top of what sounds already, with a silence as part of it after it.

        Raises :class:`NoLoudspeaker` where it can't be brought to the device's rate.
        """
        samples = _at_rate(spoken, self.rate_hz)
        silence = np.zeros(round(then_silent_s * self.rate_hz), dtype=np.float32)
        track = Track(np.concatenate([samples, silence]), self.rate_hz)
        self._mixer.add(track)
        return track

    def check(self) -> None:
        """Raise :class:`NoLoudspeaker` where the stream was lost; to be called while it is open."""
        if self._stream is None:
            raise NoLoudspeaker("No sound: there is no loudspeaker.")
        now_s = self._clock()
        if self._mixer.blocks != self._seen_blocks:
            self._seen_blocks, self._seen_at_s = self._mixer.blocks, now_s
        if not self._stream.active or now_s - self._seen_at_s > self._stalled_s:
            self.close()
            raise NoLoudspeaker("No sound: the loudspeaker is gone. Plug it in or switch it on.")

    def close(self) -> None:
        """Close the stream, if there is one."""
        if self._stream is not None:
            self._stream.close()
            self._stream = None


def _at_rate(spoken: Spoken, rate_hz: int) -> Block:
    samples: Block = spoken.sound.astype(np.float32) / np.float32(FULL_SCALE)
    if spoken.rate_hz == rate_hz or not len(samples):
        return samples
    try:
        import soxr  # type: ignore[import-untyped]
    except ImportError as error:
        raise NoLoudspeaker("No sound: python -m pip install soxr.") from error
    resampled: Block = soxr.resample(samples, spoken.rate_hz, rate_hz).astype(np.float32)
    return resampled
