"""The ear without a microphone: blocks of sound in, utterances out, on a clock of its own."""

from collections.abc import Callable, Sequence

from assistant.hearing.ear.frames import SILENCE_DB, Framer, level_db
from assistant.hearing.ear.hum import HumCut
from assistant.hearing.ear.resampling import Resampler
from assistant.hearing.ear.segmenter import SEGMENTING, Segmenter, Segmenting
from assistant.hearing.ear.speech import IsVoice, Utterance
from assistant.hearing.ear.voice_activity import webrtc_voice
from assistant.hearing.engine import RATE_HZ, Sound


class Chain:
    """Resampling, hum cut and segmenter in a row, for a stream of mono blocks at ``rate_hz``.

    For ``on_pause`` see :class:`Segmenter`. Raises ImportError where ``is_voice`` is not given and
    PocketSphinx is not installed, and ValueError for a sampling rate that can't be.
    """

    def __init__(
        self,
        rate_hz: int = RATE_HZ,
        segmenting: Segmenting = SEGMENTING,
        is_voice: IsVoice | None = None,
        on_pause: Callable[[Utterance], None] | None = None,
    ) -> None:
        self._resampler = Resampler(rate_hz)
        self._framer = Framer()
        self._hum = HumCut()
        self._segmenter = Segmenter(is_voice or webrtc_voice(), segmenting, on_pause)
        self.level_db = SILENCE_DB
        """The level of the last frame in dBFS, hum cut, for a meter."""

    @property
    def now_s(self) -> float:
        """The clock of the stream: what was fed so far, in seconds."""
        return self._segmenter.now_s

    @property
    def floor_db(self) -> float:
        """The noise floor as it is now, in dBFS."""
        return self._segmenter.floor.level_db

    @property
    def speaking(self) -> bool:
        """Whether an utterance is under way."""
        return self._segmenter.speaking

    @property
    def deaf(self) -> bool:
        """Whether what comes next will be dropped: muted, or in the tail after it."""
        return self._segmenter.deaf

    def mute(self, muted: bool, tail_s: float | None = None) -> None:
        """Stop listening, or listen again after a tail; see :meth:`Segmenter.mute`."""
        self._segmenter.mute(muted, tail_s)

    def feed(self, block: Sound, *, suspect: bool = False) -> list[Utterance]:
        """Take in a block of any length; the utterances that ended in it.

        ``suspect`` tells that samples were lost in or before the block.
        """
        return self._cut(self._framer.feed(self._resampler.feed(block)), suspect)

    def flush(self) -> list[Utterance]:
        """The stream is at its end: the utterances that were not ended by a pause."""
        frames = self._framer.feed(self._resampler.flush()) + self._framer.flush()
        spoken = self._cut(frames, False)
        unended = self._segmenter.flush()
        return spoken if unended is None else [*spoken, unended]

    def _cut(self, frames: Sequence[Sound], suspect: bool) -> list[Utterance]:
        spoken = []
        for frame in frames:
            clean = self._hum.filter(frame)
            self.level_db = level_db(clean)
            ended = self._segmenter.feed(clean, suspect=suspect)
            if ended is not None:
                spoken.append(ended)
        return spoken
