"""A piece of sound, ready to be played."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Sound = npt.NDArray[np.int16]
"""Mono samples."""

FULL_SCALE = 32_768

EDGE_LEVEL = 300
"""What is louder than this, of 32 768, is no silence; synthesised silence is nearly all noughts."""

EDGE_KEPT_S = 0.02


@dataclass(frozen=True, kw_only=True)
class Spoken:
    """``sound`` at ``rate_hz`` samples a second."""

    sound: Sound
    rate_hz: int

    @property
    def length_s(self) -> float:
        """How long it takes to play, in seconds."""
        return len(self.sound) / self.rate_hz


def trimmed(spoken: Spoken) -> Spoken:
    """Without the silence before and after, which would only keep the ear shut for longer."""
    loud = np.flatnonzero(np.abs(spoken.sound.astype(np.int32)) > EDGE_LEVEL)
    if not len(loud):
        return Spoken(sound=spoken.sound[:0], rate_hz=spoken.rate_hz)
    kept = round(EDGE_KEPT_S * spoken.rate_hz)
    cut = spoken.sound[max(loud[0] - kept, 0) : loud[-1] + kept + 1]
    return Spoken(sound=cut, rate_hz=spoken.rate_hz)


def at_peak(spoken: Spoken, peak: float) -> Spoken:
    """Made as loud as its loudest sample allows: that becomes ``peak`` of full scale, 0 to 1."""
    loudest = int(np.abs(spoken.sound.astype(np.int32)).max(initial=0))
    if not loudest:
        return spoken
    scaled = spoken.sound.astype(np.float64) * (peak * (FULL_SCALE - 1) / loudest)
    return Spoken(sound=np.rint(scaled).astype(np.int16), rate_hz=spoken.rate_hz)


def at_volume(spoken: Spoken, volume: float) -> Spoken:
    """The same at a volume from 0 to 1."""
    quieter = np.rint(spoken.sound * np.float64(volume)).astype(np.int16)
    return Spoken(sound=quieter, rate_hz=spoken.rate_hz)
