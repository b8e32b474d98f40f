"""What is done to a sound before it is looked at: each look has a front end of its own.

Looks that fail in different ways are worth more together than the best of them alone. None is best
everywhere: measured suppression suits a fan, RNNoise a boil, and people who talk nearby are better
left as they are.
"""

from collections.abc import Iterable

import numpy as np

from assistant.hearing.engine import EngineFailed, Sound
from assistant.hearing.rnnoise import RNNoise
from assistant.hearing.suppression import suppressed

LEFT_DB = 26.0
"""Measured noise is lowered until it is so far below the speech."""

RAW, CLEAN, SPEECH, MOSTLY = "raw", "clean", "speech", "mostly"
"""As it came; measured noise taken out; RNNoise's speech; that with a little of the noise left."""

SPEECH_SHARE = 0.8
"""The share of RNNoise's speech in ``mostly``; the rest is the sound as it came."""


class FrontEnds:
    """Makes the sounds for the looks; without RNNoise, ``clean`` stands in for what needs it.

    ``lacking`` says why there is none, and is empty where there is one.
    """

    def __init__(self) -> None:
        self._network: RNNoise | None
        self.lacking = ""
        try:
            self._network = RNNoise()
        except EngineFailed as error:
            self._network, self.lacking = None, str(error)

    def of(self, sound: Sound, names: Iterable[str]) -> dict[str, Sound]:
        """The sound through each of the front ends named."""
        wanted = tuple(names)
        made = {RAW: sound}
        if self._network is not None and {SPEECH, MOSTLY} & set(wanted):
            speech = self._network.speech_of(sound)
            made[SPEECH] = speech
            mixed = SPEECH_SHARE * speech.astype(np.float64) + (1 - SPEECH_SHARE) * sound
            made[MOSTLY] = mixed.astype(np.int16)
        for name in wanted:
            if name not in made:
                made[name] = suppressed(sound, LEFT_DB)
        return {name: made[name] for name in wanted}
