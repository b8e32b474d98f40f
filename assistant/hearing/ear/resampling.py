"""From any sampling rate to the one that is heard at."""

import numpy as np

from assistant.hearing.ear.frames import to_sound
from assistant.hearing.engine import RATE_HZ, Sound

LOWEST_RATE_HZ = 4_000
HIGHEST_RATE_HZ = 384_000


class Resampler:
    """A stream at ``rate_hz``, 4000 to 384 000, brought to :data:`RATE_HZ` block by block.

    Raises ValueError for a rate out of that range.
    """

    def __init__(self, rate_hz: int) -> None:
        if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
            raise ValueError(
                f"a sampling rate of {rate_hz} Hz; {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ} wanted"
            )
        self._stream = None
        if rate_hz != RATE_HZ:
            from soxr import ResampleStream  # type: ignore[import-untyped]

            # In int16 the library would add dither, which is chance: no run would be like another.
            self._stream = ResampleStream(rate_hz, RATE_HZ, 1, dtype="float32")

    def feed(self, block: Sound) -> Sound:
        """What is ready with this block; the last milliseconds stay back until the next."""
        return self._next(block, last=False)

    def flush(self) -> Sound:
        """What stayed back; the stream is at its end and takes no more."""
        return self._next(np.zeros(0, np.int16), last=True)

    def _next(self, block: Sound, *, last: bool) -> Sound:
        if self._stream is None:
            return block
        return to_sound(self._stream.resample_chunk(block.astype(np.float32), last=last))
