"""Sounds that were rendered before, within a bound of memory."""

import threading
from collections import OrderedDict

from assistant.speaking.spoken import Spoken

Key = tuple[str, int, str | None]
"""Text, words a minute and voice."""


class KeptSounds:
    """Sounds by what they say, the ones used longest ago dropped beyond ``most_bytes``."""

    def __init__(self, most_bytes: int) -> None:
        self._most_bytes = most_bytes
        self._bytes = 0
        self._sounds: OrderedDict[Key, Spoken] = OrderedDict()
        self._lock = threading.Lock()

    def __contains__(self, key: Key) -> bool:
        with self._lock:
            return key in self._sounds

    def get(self, key: Key) -> Spoken | None:
        with self._lock:
            spoken = self._sounds.get(key)
            if spoken is not None:
                self._sounds.move_to_end(key)
            return spoken

    def put(self, key: Key, spoken: Spoken) -> None:
        with self._lock:
            if key in self._sounds or spoken.sound.nbytes > self._most_bytes:
                return
            self._sounds[key] = spoken
            self._bytes += spoken.sound.nbytes
            while self._bytes > self._most_bytes:
                _, dropped = self._sounds.popitem(last=False)
                self._bytes -= dropped.sound.nbytes
