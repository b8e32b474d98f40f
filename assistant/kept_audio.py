"""What was said, kept as WAV files where the brewer asked for it, and nowhere else."""

import re
import wave
from pathlib import Path

from assistant.hearing.engine import RATE_HZ, Sound

SAMPLE_BYTES = 2
LONGEST_NAME = 60


class KeptAudio:
    """A folder that each utterance is written to; made with the first of them."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, sound: Sound, at_s: float, told: str) -> None:
        """Write a sound heard ``at_s`` seconds into the day, ``told`` in its name.

        Raises OSError where it can't be written.
        """
        self._folder.mkdir(parents=True, exist_ok=True)
        words = re.sub(r"[^a-z0-9]+", "-", told.casefold()).strip("-")[:LONGEST_NAME]
        name = f"{max(at_s, 0.0):08.1f}-{words or 'nothing'}"
        path, count = self._folder / f"{name}.wav", 1
        while path.exists():
            count += 1
            path = self._folder / f"{name}-{count}.wav"
        with wave.open(str(path), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(SAMPLE_BYTES)
            file.setframerate(RATE_HZ)
            file.writeframes(sound.astype("<i2").tobytes())
