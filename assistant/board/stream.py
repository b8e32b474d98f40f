"""The stream of one reader: what the board shows now, then each change as it comes."""

import asyncio
from collections.abc import Callable
from contextlib import suppress

from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

from assistant.board.showing import Showing, message

BEAT_S = 2.0
"""Seconds after which a reader hears that all is well; the page believes nothing older than 5."""

STUCK_S = 20.0
"""A reader that takes nothing for so long is let go; its page comes back by itself."""

MOST_READERS = 250

RETRY = b"retry: 1000\n\n"


class Streams:
    """Answers each reader's request for events, for as long as the reader stays."""

    def __init__(self, showing: Showing, at: Callable[[], float]) -> None:
        self._showing, self._at = showing, at
        self.readers = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send what is shown until the reader leaves, is stuck, or the board ends."""
        if self.readers >= MOST_READERS:
            full = PlainTextResponse("Too many are looking already.", status_code=503)
            await full(scope, receive, send)
            return
        self.readers += 1
        writing = asyncio.ensure_future(self._write(send))
        leaving = asyncio.ensure_future(_left(receive))
        try:
            await asyncio.wait((writing, leaving), return_when=asyncio.FIRST_COMPLETED)
        finally:
            self.readers -= 1
            for task in (writing, leaving):
                task.cancel()
                with suppress(asyncio.CancelledError, TimeoutError, OSError):
                    await task

    async def _write(self, send: Send) -> None:
        await send(
            {
                "type": "http.response.start",
                "status": 200,
                "headers": [(b"content-type", b"text/event-stream")],
            }
        )
        await self._send(send, RETRY)
        number, ended = 0, False
        while not ended:
            # What was shown as the board ended is the end of the day, so it is sent yet.
            ended = self._showing.ended
            number, fresh = self._showing.since(number)
            if fresh:
                await self._send(send, fresh)
            elif not ended and not await self._showing.change(BEAT_S):
                await self._send(send, message("beat", {"at": round(self._at(), 3)}))
        await send({"type": "http.response.body", "body": b""})

    async def _send(self, send: Send, body: bytes) -> None:
        async with asyncio.timeout(STUCK_S):
            await send({"type": "http.response.body", "body": body, "more_body": True})


async def _left(receive: Receive) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass
