"""Single utterances out of a stream of frames: where somebody begins to speak, and where it ends.

What decides is the level over the noise floor, averaged over five frames: in a boil it parts speech
from noise better than a voice activity detector, which calls everything speech from some loudness
on. The detector only has a veto at the end: where it found hardly any voice there was none. Time is
counted in frames, so that a recording is cut exactly like the sound of a room.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, auto

from assistant.hearing.ear.frames import FRAME_S, frames_in
from assistant.hearing.ear.noise_floor import NoiseFloor
from assistant.hearing.ear.speech import (
    MARGIN_DB,
    IsVoice,
    Judged,
    Utterance,
    is_speech,
    judge,
    margin_db,
    utterance,
)
from assistant.hearing.engine import Sound

SMOOTHED_FRAMES = 5
TRIGGER_FRAMES = 2
"""So many smoothed levels over the floor in a row begin an utterance."""

RUN_UP_FRAMES = SMOOTHED_FRAMES + TRIGGER_FRAMES - 1
"""How many frames take part in the decision that somebody speaks."""

LEAD_S = 0.33
TRAIL_S = 0.4
"""Room noise kept before the run-up and after the last loud frame: engines judge the room by it,
and in noise the weak ends of words hide there (a fifth of a second of them at 5 dB)."""

PAUSE_SHARE = 0.6
"""By more of its height over the noise than this, on average, the pause after speech is no pause
but noise that began: a pump, a boil."""

HYSTERESIS_DB = 1.5
"""By so much less than at its beginning speech must stand out to go on."""

SHORTEST_PAUSE_S = 0.3
LONGEST_PAUSE_S = 1.5

EARLY_S = 0.3
"""The pause after which what was said may well be at its end; most pauses within are shorter."""


@dataclass(frozen=True, kw_only=True)
class Segmenting:
    """How long things take, all in seconds.

    ``end_after_s`` is the pause that ends an utterance, 0.3 to 1.5; ``shortest_s`` is how much of
    it must be loud, at least 0.03; ``longest_s`` is where it is cut off, 1 to 60; ``tail_s`` is how
    long it stays deaf after having been muted, 0 to 5. Raises ValueError outside of these.
    """

    end_after_s: float = 0.55
    shortest_s: float = 0.12
    longest_s: float = 8.0
    tail_s: float = 0.5

    def __post_init__(self) -> None:
        for name, value_s, low_s, high_s in (
            ("end_after_s", self.end_after_s, SHORTEST_PAUSE_S, LONGEST_PAUSE_S),
            ("shortest_s", self.shortest_s, FRAME_S, 1.0),
            ("longest_s", self.longest_s, 1.0, 60.0),
            ("tail_s", self.tail_s, 0.0, 5.0),
        ):
            if not low_s <= value_s <= high_s:
                raise ValueError(f"{name} is {value_s} s; {low_s} to {high_s} s wanted")


SEGMENTING = Segmenting()


class _At(Enum):
    ROOM = auto()
    SPEECH = auto()
    OVERLONG = auto()


class Segmenter:
    """The state machine that cuts a stream of frames into utterances.

    ``floor`` is the noise floor as it is now.
    ``on_pause`` is given each utterance that may be at its end, :data:`EARLY_S` after its last
    sound: if it is, it comes again from :meth:`feed`, from and to the same moments.
    """

    def __init__(
        self,
        is_voice: IsVoice,
        segmenting: Segmenting = SEGMENTING,
        on_pause: Callable[[Utterance], None] | None = None,
    ) -> None:
        self._segmenting = segmenting
        self._on_pause = on_pause
        self.floor = NoiseFloor()
        self._is_voice = is_voice
        self._fed = 0
        self._muted = False
        self._deaf_until = 0
        self._forget()

    def _forget(self) -> None:
        self._at = _At.ROOM
        self._before: deque[Judged] = deque(maxlen=frames_in(LEAD_S) + RUN_UP_FRAMES)
        self._speech: list[Judged] = []
        self._recent_db: deque[float] = deque(maxlen=SMOOTHED_FRAMES)
        self._loud_run = 0
        self._first_loud = 0
        self._last_loud = 0
        self._noise_db = self.floor.level_db

    @property
    def now_s(self) -> float:
        """How much was fed so far, muted or not, in seconds."""
        return self._fed * FRAME_S

    @property
    def speaking(self) -> bool:
        """Whether an utterance is under way."""
        return self._at is _At.SPEECH

    @property
    def deaf(self) -> bool:
        """Whether the next frame will be dropped: muted, or in the tail after it."""
        return self._muted or self._fed < self._deaf_until

    def mute(self, muted: bool, tail_s: float | None = None) -> None:
        """Stop listening, or listen again after a tail of ``tail_s`` or the usual seconds.

        What is being said at that moment is thrown away.
        """
        if self._muted and not muted:
            tail_s = self._segmenting.tail_s if tail_s is None else tail_s
            self._deaf_until = self._fed + round(tail_s / FRAME_S)
        if self._muted != muted:
            self._forget()
        self._muted = muted

    def feed(self, frame: Sound, *, suspect: bool = False) -> Utterance | None:
        """Take in the next frame; the utterance that ended with it, if one did.

        ``suspect`` tells that samples were lost in or before the frame.
        """
        deaf = self.deaf
        self._fed += 1
        if deaf:
            return None
        judged = judge(frame, self._fed - 1, self._is_voice, suspect=suspect)
        if self.floor.feed(judged.level_db):
            self._forget()
            return None
        return self._step(judged)

    def flush(self) -> Utterance | None:
        """The utterance still under way where the stream ends, if any."""
        spoken = self._spoken(too_long=False) if self.speaking else None
        self._forget()
        return spoken

    def _step(self, judged: Judged) -> Utterance | None:
        self._recent_db.append(judged.level_db)
        over_db = sum(self._recent_db) / len(self._recent_db) - self.floor.level_db
        wanted_db = margin_db(self.floor.spread_db)
        if self._at is not _At.ROOM:
            goes_on = (
                over_db > wanted_db - HYSTERESIS_DB
                # The average lags behind the end of loud speech; the frame itself does not.
                and judged.level_db > self.floor.level_db + HYSTERESIS_DB
            )
            return self._in_speech(judged, goes_on)
        self._before.append(judged)
        self._loud_run = self._loud_run + 1 if over_db > wanted_db else 0
        if self._loud_run >= TRIGGER_FRAMES:
            self._begin(judged)
        return None

    def _begin(self, judged: Judged) -> None:
        self._at = _At.SPEECH
        self._speech = list(self._before)
        self._noise_db = self.floor.level_db
        self._first_loud = judged.at - RUN_UP_FRAMES + 1
        self._last_loud = judged.at

    def _in_speech(self, judged: Judged, goes_on: bool) -> Utterance | None:
        self._speech.append(judged)
        if goes_on:
            self._last_loud = judged.at
        paused = judged.at - self._last_loud >= frames_in(self._segmenting.end_after_s)
        if self._at is _At.OVERLONG:
            self._speech.clear()
            if paused:
                self._forget()
            return None
        if paused:
            return self._end()
        if self._on_pause and judged.at - self._last_loud == frames_in(EARLY_S):
            early = self._spoken(too_long=False)
            if early is not None:
                self._on_pause(early)
        if len(self._speech) >= frames_in(self._segmenting.longest_s):
            spoken = self._spoken(too_long=True)
            self._at = _At.OVERLONG
            return spoken
        return None

    def _end(self) -> Utterance | None:
        spoken = self._spoken(too_long=False)
        after = [judged for judged in self._speech if judged.at > self._last_loud]
        after_db = sum(judged.level_db for judged in after) / len(after)
        # Where it is as loud as before, it was the floor that rose and not a voice that fell.
        if spoken and after_db > spoken.noise_db + PAUSE_SHARE * spoken.above_noise_db:
            spoken = None
        self._forget()
        self._before.extend(after)
        self._recent_db.extend(judged.level_db for judged in after)
        return spoken

    def _spoken(self, *, too_long: bool) -> Utterance | None:
        loud = [
            judged
            for judged in self._speech
            if self._first_loud <= judged.at <= self._last_loud
            and judged.level_db > self._noise_db + MARGIN_DB[0]
        ]
        if not is_speech(loud, self._segmenting.shortest_s):
            return None
        last = loud[-1].at + frames_in(TRAIL_S)
        kept = [judged for judged in self._speech if judged.at <= last]
        return utterance(kept, loud, self._noise_db, too_long=too_long)
