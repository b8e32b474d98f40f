"""No request to the board is large, slow, many or strange enough to harm."""

import json
import socket
from collections.abc import Iterator
from contextlib import closing

import pytest
from board.served import Served, served

from assistant.board import app, server
from assistant.board.app import LARGEST_BODY, LONGEST_WORDS
from assistant.board.intake import WAITING_WORDS


@pytest.fixture(scope="module")
def board() -> Iterator[Served]:
    with served() as running:
        yield running


TEN_MB = 10 * 1024 * 1024


def post_head(board: Served, length: int) -> bytes:
    return (
        f"POST /say HTTP/1.1\r\nHost: {board.host}\r\nOrigin: http://{board.host}\r\n"
        f"Content-Type: application/json\r\nContent-Length: {length}\r\n\r\n"
    ).encode()


def status_of(answer: bytes) -> int:
    return int(answer.split(b" ", 2)[1])


def test_ten_megabytes_are_refused_after_the_first_few_thousand_bytes() -> None:
    with served() as board, closing(socket.create_connection(("127.0.0.1", board.port))) as sent:
        sent.settimeout(10)
        sent.sendall(post_head(board, TEN_MB))
        taken = 0
        answer = b""
        block = b" " * 65536
        try:
            while taken < TEN_MB:
                taken += sent.send(block)
        except (ConnectionError, TimeoutError):
            pass
        try:
            answer = sent.recv(4096)
        except ConnectionError:
            assert taken < TEN_MB
        assert not answer or status_of(answer) == 413
        assert board.server.words() == []
        assert board.ask("/")[0] == 200


@pytest.mark.parametrize(
    ("body", "status"),
    [
        pytest.param(b'{"say": "done"}', 204, id="words"),
        pytest.param('{"say": "66 °C"}'.encode(), 204, id="words with a sign"),
        pytest.param(b"", 400, id="nothing"),
        pytest.param(b"done", 400, id="no JSON"),
        pytest.param(b"[]", 400, id="a list"),
        pytest.param(b"{}", 400, id="no words"),
        pytest.param(b'{"say": 7}', 400, id="a number"),
        pytest.param(b'{"say": "  "}', 400, id="blanks"),
        pytest.param(b'{"say": "done", "at": 4}', 400, id="more than words"),
        pytest.param(b"[" * 2000, 400, id="nested too deep"),
        pytest.param(b'{"say": "\xff"}', 400, id="no text"),
        pytest.param(json.dumps({"say": "a" * (LONGEST_WORDS + 1)}).encode(), 413, id="too long"),
        pytest.param(json.dumps({"say": "a" * LARGEST_BODY}).encode(), 413, id="far too long"),
    ],
)
def test_only_words_of_bearable_length_come_through(
    board: Served, body: bytes, status: int
) -> None:
    found, _ = board.ask(
        "/say",
        "POST",
        body=body,
        Origin=f"http://{board.host}",
        Content_Type="application/json",
    )
    assert found == status
    assert bool(board.server.words()) is (status == 204)


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_what_a_plain_form_can_send_is_not_taken(board: Served, kind: str) -> None:
    assert board.say("done", Content_Type=kind)[0] == 415
    assert board.server.words() == []


def test_no_more_words_wait_than_a_day_can_take_in() -> None:
    with served() as board:
        statuses = [board.say(f"note {number}")[0] for number in range(WAITING_WORDS + 3)]
        assert statuses == [204] * WAITING_WORDS + [429] * 3
        assert len(board.server.words()) == WAITING_WORDS
        assert board.say("done")[0] == 204


def test_words_are_refused_once_nobody_will_take_them_in() -> None:
    with served() as board:
        assert board.say("done")[0] == 204
        board.server.end_words()
        status, told = board.say("undo")
        assert (status, board.server.words()) == (503, ["done"])
    assert "takes no words" in told


def test_a_day_driven_by_a_program_takes_no_words_from_its_board() -> None:
    with served(takes_words=False) as board:
        status, told = board.say("done")
    assert status == 409
    assert "driven by a program" in told


def test_words_that_dribble_in_are_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(app, "BODY_S", 0.2)
    with served() as board, closing(socket.create_connection(("127.0.0.1", board.port))) as sent:
        sent.settimeout(10)
        sent.sendall(post_head(board, 100) + b'{"say"')
        assert status_of(sent.recv(4096)) == 408


@pytest.mark.parametrize("begun", [b"", b"G", b"GET / HTTP/1.1\r\nHost: 127."])
def test_a_request_that_never_ends_is_hung_up_on(
    begun: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server, "PATIENCE_S", 0.1)
    with served() as board, closing(socket.create_connection(("127.0.0.1", board.port))) as sent:
        sent.settimeout(10)
        sent.sendall(begun)
        assert sent.recv(4096) == b""


def test_an_endless_head_is_refused() -> None:
    with served() as board, closing(socket.create_connection(("127.0.0.1", board.port))) as sent:
        sent.settimeout(10)
        sent.sendall(b"GET / HTTP/1.1\r\nX: " + b"a" * 100_000)
        assert status_of(sent.recv(4096)) == 400


@pytest.mark.parametrize(
    "path", ["/../../pyproject.toml", "/page/board.js", "/%2e%2e/app.py", "/say/x", "/app.py"]
)
def test_nothing_but_the_page_itself_is_served(board: Served, path: str) -> None:
    assert board.ask(path)[0] == 404
