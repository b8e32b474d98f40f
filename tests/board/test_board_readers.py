"""However many look on, and however slowly: the day waits for nobody and each sees the newest."""

import select
import socket
import threading
import time
from contextlib import ExitStack, closing
from datetime import datetime

import pytest
from board.served import SECRET, Served, read_until, served, shown

from assistant.board import server as board_server
from assistant.board import stream
from assistant.board.server import BoardServer, room
from assistant.board.showing import message
from assistant.board.stream import MOST_READERS
from assistant.board.tokens import Tokens

LARGE = "x" * 200_000


def settled(server: BoardServer, readers: int) -> None:
    """Wait until so many are looking on."""
    until_s = time.monotonic() + 10
    while server.readers != readers:
        assert time.monotonic() < until_s, f"{server.readers} look on and not {readers}"
        time.sleep(0.01)


def test_a_reader_gets_what_stands_and_then_what_comes() -> None:
    with served() as board:
        board.server.show("picture", {"number": 1})
        board.server.show("course", {"number": 2})
        with closing(board.reader()) as reader:
            first = read_until(reader, b'"number":2')
            assert shown(first) == [("picture", {"number": 1}), ("course", {"number": 2})]
            board.server.show("picture", {"number": 3})
            assert shown(read_until(reader, b'"number":3}\n\n')) == [("picture", {"number": 3})]


def test_a_reader_who_hears_nothing_new_hears_that_all_is_well() -> None:
    with served() as board, closing(board.reader()) as reader:
        assert shown(read_until(reader, b'"at":12.5}\n\n')) == [("beat", {"at": 12.5})]


def test_two_hundred_readers_at_once_all_see_what_happens() -> None:
    with served() as board, ExitStack() as stack:
        readers = [stack.enter_context(closing(board.reader())) for _ in range(200)]
        settled(board.server, 200)
        board.server.show("picture", {"label": "heat off"})
        for reader in readers:
            read_until(reader, b'"label":"heat off"')
        assert board.ask("/")[0] == 200
    assert board.server.readers == 0


def test_one_reader_too_many_is_told_so_and_the_others_stay() -> None:
    with served() as board, ExitStack() as stack:
        readers = [stack.enter_context(closing(board.reader())) for _ in range(MOST_READERS)]
        settled(board.server, MOST_READERS)
        late = stack.enter_context(closing(board.reader()))
        assert b" 503 " in read_until(late, b"Too many are looking already.")
        board.server.show("picture", {"label": "stir"})
        for reader in readers:
            read_until(reader, b'"label":"stir"')


def test_a_reader_is_never_taken_for_one_who_asks_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(board_server, "PATIENCE_S", 0.05)
    with served() as board, closing(board.reader()) as reader:
        settled(board.server, 1)
        time.sleep(0.5)
        board.server.show("picture", {"label": "stir"})
        read_until(reader, b'"label":"stir"')


def test_what_no_page_could_read_is_never_sent() -> None:
    with pytest.raises(ValueError, match="JSON"):
        message("course", {"ends_at": float("nan")})


def test_a_reader_who_leaves_makes_room() -> None:
    with served() as board:
        with closing(board.reader()):
            settled(board.server, 1)
        settled(board.server, 0)


def test_a_reader_who_takes_nothing_holds_up_nobody_and_misses_only_the_past() -> None:
    with served() as board, closing(board.reader(receive_bytes=4096)) as slow:
        settled(board.server, 1)
        with closing(board.reader()) as quick:
            settled(board.server, 2)
            for number in range(100):
                board.server.show("picture", {"number": number, "text": LARGE})
            board.server.show("picture", {"last": True})
            read_until(quick, b'"last":true')
            got = read_until(slow, b'"last":true')
    # Twenty megabytes were shown; what was sent fits the buffers of two sockets.
    assert len(got) < 8_000_000


def test_a_reader_who_takes_nothing_for_long_is_let_go(monkeypatch) -> None:
    monkeypatch.setattr(stream, "STUCK_S", 0.3)
    with served() as board, closing(board.reader(receive_bytes=4096)):
        settled(board.server, 1)
        for number in range(100):
            board.server.show("picture", {"number": number, "text": LARGE})
            time.sleep(0.01)
        settled(board.server, 0)


def test_what_is_shown_as_a_board_ends_still_reaches_its_readers() -> None:
    with served() as board:
        reader = board.reader()
        board.server.show("picture", {"finished": False})
        read_until(reader, b'"finished":false')
        board.server.show("picture", {"finished": True})
    with closing(reader):
        read_until(reader, b'"finished":true')


def test_closing_a_board_lets_its_readers_go_and_gives_the_port_back() -> None:
    with served() as board:
        reader = board.reader()
        settled(board.server, 1)
        threads = threading.active_count()
    with closing(reader):
        while reader.recv(65536):
            pass
    assert threading.active_count() < threads
    board.server.show("picture", {"label": "nobody looks"})


def strangers(board: Served, stack: ExitStack, count: int) -> list[socket.socket]:
    """Connections that ask for nothing."""
    return [
        stack.enter_context(closing(socket.create_connection(("127.0.0.1", board.port))))
        for _ in range(count)
    ]


def test_whoever_has_no_token_keeps_nobody_out_by_mere_connections() -> None:
    token = Tokens(SECRET).token(datetime.now())
    with served(shared=True) as board, ExitStack() as stack:
        readers = [stack.enter_context(closing(board.reader(f"/{token}/events"))) for _ in range(5)]
        settled(board.server, 5)
        strangers(board, stack, room() + 20)
        assert board.ask(f"/{token}/")[0] == 200
        assert board.say("done", f"/{token}/say")[0] == 204
        board.server.show("picture", {"label": "stir"})
        for reader in readers:
            read_until(reader, b'"label":"stir"')


def test_whoever_asks_without_a_token_keeps_nobody_out_either(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(board_server, "MOST_CONNECTIONS", 10)
    token = Tokens(SECRET).token(datetime.now())
    with served(shared=True) as board, ExitStack() as stack:
        for stranger in strangers(board, stack, 10):
            stranger.sendall(f"GET /events HTTP/1.1\r\nHost: {board.host}\r\n\r\n".encode())
            read_until(stranger, b"scan it")
        assert board.ask(f"/{token}/")[0] == 200


def test_of_too_many_connections_the_oldest_that_ask_nothing_are_closed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(board_server, "MOST_CONNECTIONS", 10)
    with served() as board, ExitStack() as stack:
        idle = strangers(board, stack, 25)
        assert board.ask("/")[0] == 200
        closed, _, _ = select.select(idle, [], [], 0)
        assert closed == idle[: len(closed)]
        assert len(closed) >= 15
