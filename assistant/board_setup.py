"""The board of a day put together: where it listens, who may see it, and how it is found."""

from collections.abc import Iterator
from contextlib import contextmanager
from ipaddress import ip_address

import ifaddr

from assistant.board.chart import Trace
from assistant.board.server import BoardFailed, BoardServer, listening_socket
from assistant.board.tokens import Tokens, kept_secret
from assistant.day_board import BoardWanted, DayBoard, NoBoard, Pace
from assistant.live_board import LiveBoard

LOOPBACK = "127.0.0.1"


@contextmanager
def live_board(
    wanted: BoardWanted, pace: Pace, trace: Trace, *, takes_words: bool
) -> Iterator[tuple[DayBoard, tuple[str, ...]]]:
    """A board for as long as the context lasts, and what there is to tell of it, in lines."""
    try:
        listening = listening_socket(wanted.port, shared=wanted.share)
    except BoardFailed as error:
        yield NoBoard(str(error)), (str(error),)
        return
    tokens = Tokens(kept_secret(wanted.folder)) if wanted.share else None
    port = listening.getsockname()[1]
    host = _own_address() if wanted.share else LOOPBACK

    def address_of(token: str) -> str:
        return f"http://{host}:{port}/{token}/" if token else f"http://{host}:{port}/"

    server = BoardServer(listening, at=pace.at, tokens=tokens, takes_words=takes_words)
    server.start()
    try:
        board = LiveBoard(
            server,
            pace,
            address_of=address_of,
            tokens=tokens,
            trace=trace,
            takes_words=takes_words,
        )
        yield board, (f"The board: {board.address}",)
    finally:
        server.close()


def _own_address() -> str:
    """The address other devices most likely reach this machine by: a private one before others."""
    found = [
        ip_address(each.ip)
        for adapter in ifaddr.get_adapters()
        for each in adapter.ips
        if isinstance(each.ip, str)
    ]
    reachable = [each for each in found if not each.is_loopback and not each.is_link_local]
    return str(min(reachable, key=lambda each: not each.is_private, default=LOOPBACK))
