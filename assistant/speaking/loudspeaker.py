"""Sounding one thing after another on the output, with the ear shut while it sounds."""

import time
from collections.abc import Callable
from enum import Enum, auto

import numpy as np

from assistant.speaking.devices import NoLoudspeaker
from assistant.speaking.mixer import Track
from assistant.speaking.output import Output
from assistant.speaking.spoken import Spoken

RETRY_S = 5.0
"""How often a missing loudspeaker is looked for."""

SILENCE_RATE_HZ = 8_000


class End(Enum):
    """How a sound came to its end."""

    DONE = auto()
    OUTRANKED = auto()
    HUSHED = auto()
    CLOSED = auto()


Look = Callable[[], End | None]
"""Waits a moment; tells why a sound is to end now, or None to let it go on."""


class Loudspeaker:
    """The output as one thread uses it; ``mute`` is told when the ear is to be shut and opened."""

    def __init__(
        self, output: Output, mute: Callable[[bool], None], *, retry_s: float = RETRY_S
    ) -> None:
        self._output, self._tell_mute, self._retry_s = output, mute, retry_s
        self._muted = False
        self._next_try_s = 0.0
        self._gap: Track | None = None
        self._on_top: Track | None = None

    @property
    def is_there(self) -> bool:
        """Whether anything can be heard."""
        return self._output.is_open

    @property
    def until_next_try_s(self) -> float:
        """Seconds until a missing one is looked for again."""
        return max(self._next_try_s - time.monotonic(), 0.0)

    def keep(self) -> bool:
        """Look after it: open it, or see that it is still there; whether it was opened just now.

        Raises :class:`NoLoudspeaker`; the ear is open then.
        """
        try:
            if self._output.is_open:
                self._output.check()
            elif not self.until_next_try_s:
                self._next_try_s = time.monotonic() + self._retry_s
                self._output.open()
                return True
        except NoLoudspeaker:
            self.lose()
            raise
        return False

    def sound(self, spoken: Spoken, look: Look) -> End:
        """Sound this to its end, or until ``look`` tells another; shuts the ear before it.

        Raises :class:`NoLoudspeaker`; the loudspeaker is looked for at once then.
        """
        self.mute(True)
        try:
            return self._watched(self._output.play(spoken), look)
        except NoLoudspeaker:
            self.lose()
            self._next_try_s = 0.0
            raise

    def sound_on_top(self, spoken: Spoken) -> None:
        """Let this sound over what sounds now."""
        if self._on_top is not None:
            self._on_top.cut()
        self._on_top = self._output.play(spoken)

    def settle(self, look: Look) -> End:
        """Wait until the last sample has left the device; the ear is still shut."""
        silence = _silence(max(self._output.latency_s, 0.02))
        end = self.sound(silence, look)
        while end is End.DONE and self._on_top is not None and not self._on_top.finished:
            end = self.sound(silence, look)
        return end

    def mute(self, muted: bool) -> None:
        """Tell the ear, if that is news to it."""
        if muted != self._muted:
            self._muted = muted
            self._tell_mute(muted)

    def keep_gap(self, length_s: float) -> None:
        """From now on it is the ear's turn, counted by the samples of the device."""
        self.end_gap()
        self._gap = self._output.play(_silence(length_s))

    @property
    def in_gap(self) -> bool:
        """Whether it is still the ear's turn."""
        return self._gap is not None and not self._gap.finished

    def end_gap(self) -> None:
        """The ear's turn is over."""
        if self._gap is not None:
            self._gap.cut()
            self._gap = None

    def lose(self) -> None:
        """Let go of the device; the ear is opened."""
        self._output.close()
        self._gap = self._on_top = None
        self.mute(False)

    def _watched(self, track: Track, look: Look) -> End:
        while not track.finished:
            end = look()
            if end is not None:
                track.cut()
                return end
            self._output.check()
        return End.DONE


def _silence(length_s: float) -> Spoken:
    count = max(round(length_s * SILENCE_RATE_HZ), 1)
    return Spoken(sound=np.zeros(count, dtype=np.int16), rate_hz=SILENCE_RATE_HZ)
