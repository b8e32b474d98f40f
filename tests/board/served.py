"""A board served on loopback, and what a browser or an attacker sends it, by plain sockets."""

import http.client
import json
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from assistant.board.server import BoardServer, listening_socket
from assistant.board.tokens import Tokens

SECRET = b"a secret of thirty-two bytes, ok"
ANY_PORT_S = 10.0


@dataclass(frozen=True, kw_only=True)
class Served:
    """A board that runs, and where."""

    server: BoardServer
    port: int

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.port}"

    def ask(
        self,
        path: str,
        method: str = "GET",
        *,
        host: str | None = None,
        body: bytes | None = None,
        **headers: str,
    ) -> tuple[int, bytes]:
        """The status and the body of an answer; a header's name has ``_`` for ``-``."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=ANY_PORT_S)
        sent = {"Host": self.host if host is None else host}
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        try:
            connection.request(method, path, body=body, headers=sent)
            answer = connection.getresponse()
            return answer.status, answer.read()
        finally:
            connection.close()

    def say(self, words: object, path: str = "/say", **headers: str) -> tuple[int, str]:
        """What the board's own page would send."""
        sent = {"Origin": f"http://{self.host}", "Content_Type": "application/json"} | headers
        status, body = self.ask(path, "POST", body=json.dumps({"say": words}).encode(), **sent)
        return status, body.decode()

    def reader(self, path: str = "/events", receive_bytes: int | None = None) -> socket.socket:
        """A connection that has asked for the events and read nothing yet."""
        reader = socket.socket()
        if receive_bytes is not None:
            reader.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, receive_bytes)
        reader.settimeout(ANY_PORT_S)
        reader.connect(("127.0.0.1", self.port))
        reader.sendall(f"GET {path} HTTP/1.1\r\nHost: {self.host}\r\n\r\n".encode())
        return reader


@contextmanager
def served(*, shared: bool = False, takes_words: bool = True) -> Iterator[Served]:
    """A board for as long as the context lasts, on a port of its own."""
    listening = listening_socket(0, shared=False)
    server = BoardServer(
        listening,
        at=lambda: 12.5,
        tokens=Tokens(SECRET) if shared else None,
        takes_words=takes_words,
    )
    server.start()
    try:
        yield Served(server=server, port=listening.getsockname()[1])
    finally:
        server.close()


def read_until(reader: socket.socket, wanted: bytes) -> bytes:
    """Everything a reader gets up to and with ``wanted``."""
    got = b""
    while wanted not in got:
        more = reader.recv(65536)
        assert more, f"the stream ended before {wanted!r}"
        got += more
    return got


def shown(body: bytes) -> list[tuple[str, Any]]:
    """The events in a piece of a stream: their kind and what they carry."""
    found = []
    for event in body.split(b"\n\n"):
        lines = dict(line.split(b": ", 1) for line in event.split(b"\n") if b": " in line)
        if b"event" in lines and b"data" in lines:
            found.append((lines[b"event"].decode(), json.loads(lines[b"data"])))
    return found
