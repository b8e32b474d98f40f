"""The board of a day put together: where it listens, who may see it, and how it is found."""

import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from ipaddress import ip_address

import ifaddr

from assistant.board.chart import Trace
from assistant.board.server import BoardFailed, BoardServer, listening_socket
from assistant.board.tokens import Tokens, kept_secret
from assistant.day_board import BoardWanted, DayBoard, NoBoard, Pace
from assistant.live_board import LOOPBACK, LiveBoard

INWARD = ("docker", "br-", "veth", "virbr")
"""Adapters that lead to nothing but programs on this machine."""


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
    server = BoardServer(listening, at=pace.at, tokens=tokens, takes_words=takes_words)
    server.start()
    try:
        board = LiveBoard(
            server,
            pace,
            host=own_address if wanted.share else lambda: LOOPBACK,
            port=listening.getsockname()[1],
            tokens=tokens,
            trace=trace,
            takes_words=takes_words,
        )
        lines = (f"The board: {board.address}", board.trouble)
        yield board, tuple(line for line in lines if line)
    finally:
        server.close()


def own_address() -> str:
    """The address other devices most likely reach this machine by, or loopback where none can.

    That is the one it would send from itself; a network without a way out, such as a phone's or
    the machine's own, tells none, and a private address of one of its adapters serves.
    """
    return _sends_from() or _listens_at()


def _sends_from() -> str:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking, suppress(OSError):
        # Nothing is sent; the address stands for any that is far away (RFC 5737).
        asking.connect(("192.0.2.1", 9))
        return str(asking.getsockname()[0])
    return ""


def _listens_at() -> str:
    found = [
        ip_address(each.ip)
        for adapter in ifaddr.get_adapters()
        if not adapter.nice_name.startswith(INWARD)
        for each in adapter.ips
        if isinstance(each.ip, str)
    ]
    reachable = [each for each in found if not each.is_loopback and not each.is_link_local]
    return str(min(reachable, key=lambda each: not each.is_private, default=LOOPBACK))
