"""Sounds of one stream added up, block by block, in the audio callback.

The callback runs between the device's deadlines: it only adds what is ready. Nothing is rendered,
resampled, locked or waited for there; a fade of milliseconds is all that is reckoned.
"""

import numpy as np
import numpy.typing as npt

Block = npt.NDArray[np.float32]
"""Samples from -1 to 1; of a stream, frames by channels."""

FADE_S = 0.008
"""A sound that is cut fades this fast: no click, and no syllable more."""


class Track:
    """One sound on its way out: ``samples`` at the stream's rate."""

    def __init__(self, samples: Block, rate_hz: int) -> None:
        self._samples = samples
        self._place = 0
        self._fade = np.linspace(1.0, 0.0, max(round(FADE_S * rate_hz), 1), dtype=np.float32)
        self._cut = False
        self.begun = False
        """Whether a sample of it was handed to the device."""
        self.finished = not len(samples)

    def cut(self) -> None:
        """Fade out now and end."""
        self._cut = True

    def add_to(self, mono: Block) -> None:
        """Add the next samples to a block of one channel; the audio callback's part."""
        if self._cut:
            self._fade_out()
        if self.finished:
            return
        piece = self._samples[self._place : self._place + len(mono)]
        mono[: len(piece)] += piece
        self._place += len(piece)
        self.begun = True
        self.finished = self._place >= len(self._samples)

    def _fade_out(self) -> None:
        self._cut = False
        tail = self._samples[self._place : self._place + len(self._fade)]
        self._samples, self._place = tail * self._fade[: len(tail)], 0
        # What has not begun ends without a sound.
        self.finished = self.finished or not self.begun


class Mixer:
    """The tracks of a stream; one thread adds, the audio callback fills."""

    def __init__(self) -> None:
        self._tracks: tuple[Track, ...] = ()
        self.blocks = 0
        """How many blocks the device has asked for."""

    def add(self, track: Track) -> None:
        """Let a track sound from the next block on."""
        self._tracks = (*(other for other in self._tracks if not other.finished), track)

    def fill(self, block: Block) -> None:
        """Fill a block of frames by channels with the sum of all tracks, kept within -1 to 1."""
        self.blocks += 1
        block.fill(0.0)
        mono = block[:, 0]
        for track in self._tracks:
            track.add_to(mono)
        np.clip(mono, -1.0, 1.0, out=mono)
        for channel in range(1, block.shape[1]):
            block[:, channel] = mono
