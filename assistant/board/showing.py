"""What the board shows now, from the day's thread to however many readers there are.

Only the newest of each kind is kept, so that a reader who is slow misses what is past and nobody
waits for one.
"""

import asyncio
import json
from collections.abc import Mapping
from typing import Any

KINDS = ("picture", "course", "ear")
"""What is shown, in the order a new reader gets it."""


class Showing:
    """The newest of each kind, as it goes out. Lives in the loop of the server."""

    def __init__(self) -> None:
        self._newest: dict[str, tuple[int, bytes]] = {}
        self._number = 0
        self._changed = asyncio.Event()
        self.ended = False

    def show(self, kind: str, message: bytes) -> None:
        """From now on this is the newest of its kind."""
        self._number += 1
        self._newest[kind] = self._number, message
        self._wake()

    def end(self) -> None:
        """Let every reader go."""
        self.ended = True
        self._wake()

    def since(self, number: int) -> tuple[int, bytes]:
        """What is newer than ``number``, and the number that covers it all."""
        fresh = [
            message
            for kind in KINDS
            if kind in self._newest
            for shown, message in [self._newest[kind]]
            if shown > number
        ]
        return self._number, b"".join(fresh)

    async def change(self, timeout_s: float) -> bool:
        """Wait for something new, or the end; whether there is."""
        try:
            async with asyncio.timeout(timeout_s):
                await self._changed.wait()
        except TimeoutError:
            return False
        return True

    def _wake(self) -> None:
        changed, self._changed = self._changed, asyncio.Event()
        changed.set()


def message(kind: str, shown: Mapping[str, Any] | None) -> bytes:
    """One server-sent event (HTML Living Standard, 9.2); JSON in ASCII has no line break in it."""
    text = json.dumps(shown, separators=(",", ":"), allow_nan=False)
    return f"event: {kind}\ndata: {text}\n\n".encode()
