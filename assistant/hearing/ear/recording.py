"""All that is spoken in a recording, as one utterance."""

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from assistant.hearing.ear.frames import Framer, frames_in
from assistant.hearing.ear.hum import HumCut
from assistant.hearing.ear.noise_floor import LOWEST_DB
from assistant.hearing.ear.resampling import Resampler
from assistant.hearing.ear.segmenter import SEGMENTING, SMOOTHED_FRAMES, Segmenting
from assistant.hearing.ear.speech import (
    MARGIN_DB,
    VOICED_SHARE,
    IsVoice,
    Judged,
    Utterance,
    is_speech,
    judge,
    margin_db,
    utterance,
)
from assistant.hearing.ear.voice_activity import webrtc_voice
from assistant.hearing.engine import Sound

FLOOR_PERCENT = 10
SPREAD_PERCENTS = (3, 12)
"""Lower than for a room: in a recording there may be hardly anything but speech."""

LOUDEST_PERCENT = 95
SPEECH_RANGE_DB = 8.0
"""A recording whose levels range over more than this is no mere noise, a boil's least of all."""

DIGITAL_SILENCE_DB = -95.0

KEPT_S = 0.7
"""What is kept of a recording before and after the speech in it: at 5 dB a weak first syllable may
be nearly half a second before what is surely speech."""

RUN_FRAMES = 5
"""So many loud frames in a row may be a voice; a bubble of the boil is shorter."""


def whole(
    sound: Sound,
    rate_hz: int,
    segmenting: Segmenting = SEGMENTING,
    is_voice: IsVoice | None = None,
) -> Utterance | None:
    """All that is spoken in a recording as one utterance, whatever pauses it has.

    What lies before and after it is trimmed to 0.7 s; None where nothing is spoken. Unlike in a
    stream the noise floor is that of the whole recording. Raises as
    :class:`~assistant.hearing.ear.chain.Chain` does.
    """
    judged = _judged(sound, rate_hz, is_voice or webrtc_voice())
    for floor_db, wanted_db in _floors(judged):
        runs = _voiced_runs(judged, floor_db + wanted_db)
        loud = [frame for run in runs for frame in run]
        if is_speech(loud, segmenting.shortest_s):
            first, last = loud[0].at, loud[-1].at
            from_, to = max(first - frames_in(KEPT_S), 0), last + 1 + frames_in(KEPT_S)
            too_long = last - first >= frames_in(segmenting.longest_s)
            return utterance(judged[from_:to], loud, floor_db, too_long=too_long)
    return None


def _judged(sound: Sound, rate_hz: int, is_voice: IsVoice) -> list[Judged]:
    resampler, framer, hum = Resampler(rate_hz), Framer(), HumCut()
    heard = np.concatenate((resampler.feed(sound), resampler.flush()))
    frames = framer.feed(heard) + framer.flush()
    return [
        judge(hum.filter(frame), at, is_voice, suspect=False) for at, frame in enumerate(frames)
    ]


def _floors(judged: Sequence[Judged]) -> Iterator[tuple[float, float]]:
    """What may be the noise floor, in dBFS, and how far over it speech must be, in dB.

    That of the room first; then none at all, for speech with so little room around it that its own
    weakest frames were taken for the floor.
    """
    # Pauses of digital silence, as editors leave them, are not the room that was recorded.
    levels_db = [frame.level_db for frame in judged if frame.level_db > DIGITAL_SILENCE_DB]
    if not levels_db:
        return
    floor_db, low_db, high_db, loudest_db = np.percentile(
        levels_db, (FLOOR_PERCENT, *SPREAD_PERCENTS, LOUDEST_PERCENT)
    )
    yield max(float(floor_db), LOWEST_DB), margin_db(float(high_db - low_db))
    if loudest_db - floor_db > SPEECH_RANGE_DB:
        yield LOWEST_DB, MARGIN_DB[0]


def _voiced_runs(judged: Sequence[Judged], threshold_db: float) -> list[list[Judged]]:
    """The runs of frames that are loud on average of their neighbours and have a voice in them."""
    if len(judged) < SMOOTHED_FRAMES:
        return []
    levels_db = np.array([frame.level_db for frame in judged])
    padded = np.pad(levels_db, SMOOTHED_FRAMES // 2, mode="edge")
    smoothed = np.convolve(padded, np.full(SMOOTHED_FRAMES, 1 / SMOOTHED_FRAMES), "valid")
    runs = [
        [frame for frame, _ in run]
        for loud, run in groupby(
            zip(judged, smoothed, strict=True), key=lambda pair: pair[1] > threshold_db
        )
        if loud
    ]
    return [
        run
        for run in runs
        if len(run) >= RUN_FRAMES and sum(frame.voice for frame in run) >= VOICED_SHARE * len(run)
    ]
