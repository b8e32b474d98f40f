"""Sounding one thing after another on the output, with the ear shut while it sounds."""

from collections.abc import Callable
from enum import Enum, auto

import numpy as np

from assistant.backing_off import PAUSES_S, BackingOff, Pauses
from assistant.speaking.mixer import Track
from assistant.speaking.output import Output
from assistant.speaking.spoken import Spoken

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
    """The output as one thread uses it; ``mute`` is told when the ear is to be shut and opened.

    Whatever raises :class:`~assistant.speaking.devices.NoLoudspeaker` is to be followed by
    :meth:`lose`. It is then looked for at once, for another may be there, and after that when
    ``pauses_s`` have passed.
    """

    def __init__(
        self, output: Output, mute: Callable[[bool], None], *, pauses_s: Pauses = PAUSES_S
    ) -> None:
        self._output, self._tell_mute = output, mute
        self._backing_off = BackingOff((0.0, *pauses_s))
        self._muted = self._sounds = False
        self._gap: Track | None = None
        self._on_top: Track | None = None

    @property
    def is_there(self) -> bool:
        """Whether anything can be heard."""
        return self._sounds

    @property
    def is_opening(self) -> bool:
        """Whether it is open, and has yet to show that it takes any sound."""
        return self._output.is_open and not self._sounds

    @property
    def until_next_try_s(self) -> float:
        """Seconds until a missing one is looked for again."""
        return self._backing_off.due_in_s

    def keep(self) -> bool:
        """Look after it: open it, or see that it is still there; whether it began to take sound
        just now.

        Raises :class:`~assistant.speaking.devices.NoLoudspeaker`.
        """
        if not self._output.is_open:
            if not self.until_next_try_s:
                self._output.open()
            return False
        self._output.check()
        if not self._output.sounds:
            return False
        self._backing_off.works()
        began, self._sounds = not self._sounds, True
        return began

    def sound(self, spoken: Spoken, look: Look) -> End:
        """Sound this to its end, or until ``look`` tells another; shuts the ear before it.

        Raises :class:`~assistant.speaking.devices.NoLoudspeaker`.
        """
        self.mute(True)
        return self._watched(self._output.play(spoken), look)

    def sound_on_top(self, spoken: Spoken) -> None:
        """Let this sound over what sounds now; raises as :meth:`sound` does."""
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
        """Let go of the device, which failed; the ear is opened."""
        self._backing_off.failed()
        self._sounds = False
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
