"""Chimes that differ in pitch and rhythm, so that a brewer knows them without a word.

Each tone has a fundamental of 150 to 1000 Hz and at least four harmonics between 300 and 4000 Hz
within 15 dB of each other: energy where a boil is quieter and small loudspeakers are not deaf. The
shape is borrowed from IEC 60601-1-8, the alarms of medical equipment (as summarised by makers of
sounders); no conformity is claimed.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, auto
from functools import cache

import numpy as np
import numpy.typing as npt

from assistant.speaking.spoken import FULL_SCALE, Spoken

CHIME_RATE_HZ = 22_050

HARMONICS = (1.0, 0.8, 0.65, 0.55, 0.45)
"""Amplitudes of a tone's partials: the fundamental, its octave and so on, 7 dB from first to last.

Of a tone up to 800 Hz all five lie below 4000 Hz, and of one from 300 Hz all above 300 Hz.
"""

RISE_S, FALL_S = 0.012, 0.03
"""Slow enough that a tone begins and ends without a click."""


class Chime(Enum):
    """What a chime means."""

    HEADS_UP = auto()
    DUE = auto()
    WARNING = auto()
    LISTENING = auto()
    HEARD = auto()
    NOT_HEARD = auto()


@dataclass(frozen=True, kw_only=True)
class Tone:
    """A tone of ``frequency_hz`` (its fundamental) for ``length_s`` and then a silence."""

    frequency_hz: float
    length_s: float
    then_s: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Melody:
    """Tones one after another; ``peak`` of the loudest sample, of full scale, 0 to 1."""

    tones: tuple[Tone, ...]
    peak: float


def _melody(peak: float, *tones: tuple[float, float, float]) -> Melody:
    return Melody(
        peak=peak,
        tones=tuple(
            Tone(frequency_hz=frequency, length_s=length, then_s=then)
            for frequency, length, then in tones
        ),
    )


LOUD, SOFT = 0.7, 0.28
"""Alarms sound alone; soft chimes sound on top of words, and both together stay unclipped."""

MELODIES: Mapping[Chime, Melody] = {
    Chime.HEADS_UP: _melody(LOUD, (392.0, 0.22, 0.08), (523.0, 0.34, 0.15)),
    Chime.DUE: _melody(
        LOUD,
        (523.0, 0.18, 0.07),
        (523.0, 0.18, 0.07),
        (659.0, 0.36, 0.22),
        (523.0, 0.18, 0.07),
        (523.0, 0.18, 0.07),
        (659.0, 0.36, 0.15),
    ),
    Chime.WARNING: _melody(
        LOUD,
        (784.0, 0.13, 0.05),
        (622.0, 0.13, 0.05),
        (784.0, 0.13, 0.05),
        (622.0, 0.13, 0.05),
        (784.0, 0.3, 0.15),
    ),
    Chime.LISTENING: _melody(SOFT, (698.0, 0.12, 0.0)),
    Chime.HEARD: _melody(SOFT, (587.0, 0.08, 0.02), (784.0, 0.1, 0.0)),
    Chime.NOT_HEARD: _melody(SOFT, (440.0, 0.12, 0.04), (330.0, 0.2, 0.0)),
}
"""Pitches of the equal-tempered scale, rounded to a hertz."""


def tone(frequency_hz: float, length_s: float) -> npt.NDArray[np.float64]:
    """One tone with a soft beginning and end, its loudest sample 1; 0.05 s or longer."""
    count = round(length_s * CHIME_RATE_HZ)
    time_s = np.arange(count) / CHIME_RATE_HZ
    wave = np.zeros(count)
    for order, amplitude in enumerate(HARMONICS, start=1):
        wave += amplitude * np.sin(2 * np.pi * frequency_hz * order * time_s)
    wave *= np.minimum(1.0, time_s / RISE_S)
    wave *= np.minimum(1.0, (length_s - time_s) / FALL_S)
    shaped: npt.NDArray[np.float64] = wave / np.abs(wave).max()
    return shaped


@cache
def chime_sound(chime: Chime) -> Spoken:
    """A chime's sound; rendered once."""
    melody = MELODIES[chime]
    pieces: list[npt.NDArray[np.float64]] = []
    for part in melody.tones:
        pieces.append(tone(part.frequency_hz, part.length_s))
        pieces.append(np.zeros(round(part.then_s * CHIME_RATE_HZ)))
    sound = np.concatenate(pieces) * melody.peak * (FULL_SCALE - 1)
    return Spoken(sound=np.rint(sound).astype(np.int16), rate_hz=CHIME_RATE_HZ)
