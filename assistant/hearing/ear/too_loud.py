"""Whether the room is too loud for an ear to be trusted; told once, not over and over."""

from collections import deque

from assistant.hearing.ear.speech import Utterance
from assistant.hearing.ear.trouble import Trouble

FLOOR_DB = -30.0
"""A floor above this leaves a voice too little room below the loudest the microphone can take."""

FLOOR_FOR_S = 3.0
ABOVE_NOISE_DB = 9.0
LAST_UTTERANCES = 3
QUIETER_DB = 6.0
QUIET_FOR_S = 30.0


class TooLoud:
    """Follows the noise floor, and how far speech stands out of it.

    It is too loud when the floor has been high for some seconds, or when the last few utterances
    stood out too little on average; and quiet again only when the floor has been well below what it
    was then for long.
    """

    def __init__(self) -> None:
        self._above_noise_db: deque[float] = deque(maxlen=LAST_UTTERANCES)
        self._loud_at_db: float | None = None
        self._lasted_s = 0.0

    def room(self, floor_db: float, length_s: float) -> Trouble | None:
        """Take in the noise floor (dBFS) over the last ``length_s``; what is to be told, if any."""
        if self._loud_at_db is None:
            self._lasted_s = self._lasted_s + length_s if floor_db > FLOOR_DB else 0.0
            return self._tell(floor_db) if self._lasted_s >= FLOOR_FOR_S else None
        quiet = floor_db <= self._loud_at_db - QUIETER_DB
        self._lasted_s = self._lasted_s + length_s if quiet else 0.0
        if self._lasted_s < QUIET_FOR_S:
            return None
        self._loud_at_db = None
        self._lasted_s = 0.0
        self._above_noise_db.clear()
        return Trouble.QUIET_AGAIN

    def heard(self, utterance: Utterance) -> Trouble | None:
        """Take in what was said; what is to be told, if any."""
        self._above_noise_db.append(utterance.above_noise_db)
        full = len(self._above_noise_db) == LAST_UTTERANCES
        mean_db = sum(self._above_noise_db) / len(self._above_noise_db)
        if self._loud_at_db is not None or not full or mean_db >= ABOVE_NOISE_DB:
            return None
        return self._tell(utterance.noise_db)

    def _tell(self, floor_db: float) -> Trouble:
        self._loud_at_db = floor_db
        self._lasted_s = 0.0
        return Trouble.TOO_LOUD
