"""The board's server: a thread of its own with uvicorn in it, which the day never waits for."""

import asyncio
import logging
import os
import socket
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Any

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from assistant.board.app import make_app
from assistant.board.guard import Guard, is_admitted
from assistant.board.intake import Intake
from assistant.board.showing import Showing, message
from assistant.board.stream import MOST_READERS, Streams
from assistant.board.tokens import Tokens

PORT = 4716
"""Where a board is looked for first, so that a page finds it again after a restart."""

ANY_PORT = 0
BACKLOG = 64
"""Connections taken in at one go: few, as each is a descriptor until it is looked at."""

MOST_CONNECTIONS = MOST_READERS + 50
LARGEST_HEAD = 16 * 1024
PATIENCE_S = 10.0
"""A connection that is found twice in a row, so far apart, without a whole request is closed."""

UNHEARD_MS = 30_000
"""The system drops a connection whose other end has taken nothing for so long."""

STARTED_S, ENDED_S = 5.0, 3.0


class BoardFailed(Exception):
    """There can be no board; the message says why, in a line."""


def listening_socket(port: int | None, *, shared: bool) -> socket.socket:
    """A socket on loopback, or on the local network where ``shared``.

    It has the port wanted; where none is, :data:`PORT`, or whichever is free. Raises
    :class:`BoardFailed` where there is none to be had.
    """
    host = "0.0.0.0" if shared else "127.0.0.1"
    wanted = (PORT, ANY_PORT) if port is None else (port,)
    for attempt in wanted:
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if os.name == "posix":
            # On Windows it would let two programs have the same port.
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if hasattr(socket, "TCP_USER_TIMEOUT"):
            with suppress(OSError):
                listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, UNHEARD_MS)
        try:
            listening.bind((host, attempt))
            listening.listen(BACKLOG)
            return listening
        except OSError as error:
            listening.close()
            fault = error
    raise BoardFailed(f"There is no board: port {wanted[0]} can't be had ({fault.strerror}).")


class BoardServer:
    """Serves the board on a socket from :meth:`start` to :meth:`close`.

    ``at`` tells the seconds of the day, from any thread. Words come in by :meth:`words` where
    ``takes_words``.
    """

    def __init__(
        self,
        listening: socket.socket,
        *,
        at: Callable[[], float],
        tokens: Tokens | None,
        takes_words: bool,
    ) -> None:
        self._listening, self._at, self._tokens = listening, at, tokens
        self._words = Intake() if takes_words else None
        self._loop: asyncio.AbstractEventLoop | None = None
        self._showing: Showing | None = None
        self._streams: Streams | None = None
        self._server: uvicorn.Server | None = None
        self._ready = threading.Event()
        self._thread = threading.Thread(target=self._run, name="board", daemon=True)
        self.fault: str = ""

    @property
    def readers(self) -> int:
        """How many look on now."""
        return self._streams.readers if self._streams is not None else 0

    def start(self) -> None:
        """Begin to serve."""
        self._thread.start()
        self._ready.wait(STARTED_S)

    def show(self, kind: str, shown: Mapping[str, Any] | None) -> None:
        """Show something new to everyone, at once."""
        loop, showing = self._loop, self._showing
        if loop is None or showing is None:
            return
        # A loop that has just ended takes nothing more.
        with suppress(RuntimeError):
            loop.call_soon_threadsafe(showing.show, kind, message(kind, shown))

    def words(self) -> list[str]:
        """The words that came in since the last time, the oldest first."""
        return [] if self._words is None else self._words.taken()

    def end_words(self) -> None:
        """Refuse words from now on, and say so: nobody will ask for them."""
        if self._words is not None:
            self._words.end()

    def close(self) -> None:
        """Let all readers go and give the port back."""
        loop, showing, server = self._loop, self._showing, self._server
        if server is not None:
            server.should_exit = True
        if loop is not None and showing is not None:
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(showing.end)
        if self._thread.is_alive():
            self._thread.join(ENDED_S)
        self._listening.close()

    def _run(self) -> None:
        try:
            asyncio.run(self._serve())
        except (Exception, SystemExit) as error:
            # The day goes on without its board, whatever the matter with that is.
            self.fault = f"The board has ended ({error!r})."
        finally:
            wanted = self._server is not None and self._server.should_exit
            if not wanted and not self.fault:
                self.fault = "The board has ended."
            self._ready.set()

    async def _serve(self) -> None:
        logging.getLogger("uvicorn").addHandler(logging.NullHandler())
        self._showing = Showing()
        self._streams = Streams(self._showing, self._at)
        app = Guard(make_app(self._streams, self._words), tokens=self._tokens)
        self._server = uvicorn.Server(
            uvicorn.Config(
                app,
                http=ImpatientProtocol,
                ws="none",
                lifespan="off",
                log_config=None,
                access_log=False,
                server_header=False,
                proxy_headers=False,
                backlog=BACKLOG,
                timeout_graceful_shutdown=1,
                h11_max_incomplete_event_size=LARGEST_HEAD,
            )
        )
        self._loop = asyncio.get_running_loop()
        # Told nowhere, as uvicorn's own troubles: the terminal is the day's.
        self._loop.set_exception_handler(lambda loop, context: None)
        self._loop.call_soon(self._ready.set)
        await self._server.serve(sockets=[self._listening])


def room() -> int:
    """How many connections there may be: a third of the files this program may open, at most."""
    try:
        import resource
    except ImportError:
        return MOST_CONNECTIONS
    files, _ = resource.getrlimit(resource.RLIMIT_NOFILE)
    return (
        MOST_CONNECTIONS if files == resource.RLIM_INFINITY else min(MOST_CONNECTIONS, files // 3)
    )


class ImpatientProtocol(H11Protocol):
    """uvicorn's own, which would wait for the end of a request's head for ever, and in any number.

    Where there is no room for one more, the oldest goes that has not been let in: whoever has no
    token keeps nobody out.
    """

    _waited = 0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A connection begins."""
        super().connection_made(transport)
        self._began_s = self.loop.time()
        self._look_again()
        if len(self.connections) > room():
            self._make_room()

    def connection_lost(self, exc: Exception | None) -> None:
        """A connection ends."""
        self._timer.cancel()
        super().connection_lost(exc)

    def _make_room(self) -> None:
        strangers = [
            each
            for each in self.connections
            if isinstance(each, ImpatientProtocol) and not each._let_in()
        ]
        oldest = min(strangers, key=lambda each: each._began_s)
        self.connections.discard(oldest)
        oldest.transport.abort()

    def _let_in(self) -> bool:
        return self.scope is not None and is_admitted(self.scope)

    def _look_again(self) -> None:
        self._timer = self.loop.call_later(PATIENCE_S, self._look)

    def _look(self) -> None:
        answering = self.cycle is not None and not self.cycle.response_complete
        self._waited = 0 if answering else self._waited + 1
        if self._waited > 1:
            self.transport.close()
        else:
            self._look_again()
