"""Who may look at the board and speak to it."""

import asyncio
import http.client
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime

import pytest
from board.served import SECRET, Served, served
from starlette.responses import PlainTextResponse
from starlette.types import Message, Receive, Scope, Send

from assistant.board.guard import HEADERS, Guard
from assistant.board.tokens import Tokens


@pytest.fixture(scope="module")
def board() -> Iterator[Served]:
    with served() as running:
        yield running


@pytest.fixture(scope="module")
def shared_board() -> Iterator[Served]:
    with served(shared=True) as running:
        yield running


@pytest.mark.parametrize(
    "host",
    [
        pytest.param("evil.example", id="a name that was rebound to this machine"),
        pytest.param("evil.example:{port}", id="the same with our port"),
        pytest.param("127.0.0.1", id="without the port"),
        pytest.param("127.0.0.1:1", id="another port"),
        pytest.param("127.0.0.1:{port}.evil.example", id="our address as part of a name"),
        pytest.param("evil.example@127.0.0.1:{port}", id="a name before our address"),
        pytest.param("127.0.0.1:{port}/x", id="a path"),
        pytest.param("127.0.0.1:{port}?x", id="a query"),
        pytest.param("127.0.0.1:{port}#x", id="a fragment"),
        pytest.param("127.0.0.1%2e:{port}", id="a sign spelt out"),
        pytest.param("192.0.2.7:{port}", id="an address that is not this machine's"),
        pytest.param("", id="nothing"),
        pytest.param("[::1", id="half an address"),
    ],
)
@pytest.mark.parametrize("path", ["/", "/events", "/board.css"])
def test_another_host_sees_nothing(board: Served, host: str, path: str) -> None:
    status, body = board.ask(path, host=host.format(port=board.port))
    assert status == 421
    assert b"use the address that Kettleside shows" in body


@pytest.mark.parametrize("name", ["127.0.0.1", "localhost", "LOCALHOST", "[::1]"])
def test_this_machine_is_let_in_by_any_of_its_names(board: Served, name: str) -> None:
    assert board.ask("/", host=f"{name}:{board.port}")[0] == 200


def test_a_board_on_the_usual_port_of_the_web_is_found_without_it() -> None:
    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        await PlainTextResponse("in")(scope, receive, send)

    def status(host: str) -> int:
        sent: list[Message] = []

        async def send(message: Message) -> None:
            sent.append(message)

        scope = {
            "type": "http",
            "method": "GET",
            "path": "/",
            "headers": [(b"host", host.encode())],
            "server": ("127.0.0.1", 80),
        }
        # In a thread of its own: the browser's loop may be running in this one.
        with ThreadPoolExecutor(1) as thread:
            thread.submit(asyncio.run, Guard(app, tokens=None)(scope, no_body, send)).result()
        return int(sent[0]["status"])

    hosts = ("127.0.0.1", "127.0.0.1:80", "127.0.0.1:81", "evil.example")
    assert [status(host) for host in hosts] == [200, 200, 421, 421]


async def no_body() -> Message:
    return {"type": "http.disconnect"}


@pytest.mark.parametrize(
    "headers",
    [
        pytest.param({"Origin": "http://evil.example"}, id="a page from elsewhere"),
        pytest.param({"Origin": "http://127.0.0.1:1"}, id="a page of another port"),
        pytest.param({"Origin": "https://127.0.0.1:{port}"}, id="another scheme"),
        pytest.param({"Origin": "null"}, id="a sandboxed frame"),
        pytest.param({"Origin": ""}, id="no page"),
        pytest.param(
            {"Origin": "http://127.0.0.1:{port}", "Sec_Fetch_Site": "cross-site"},
            id="a browser that says cross-site",
        ),
        pytest.param(
            {"Origin": "http://127.0.0.1:{port}", "Sec_Fetch_Site": "same-site"},
            id="a page of another port, by the browser's word",
        ),
    ],
)
def test_words_from_another_page_are_refused(board: Served, headers: dict[str, str]) -> None:
    sent = {name: value.format(port=board.port) for name, value in headers.items()}
    status, _ = board.say("done", **sent)
    assert status == 403
    assert board.server.words() == []


def test_words_without_an_origin_are_refused(board: Served) -> None:
    status, _ = board.ask("/say", "POST", body=b'{"say": "done"}', Content_Type="application/json")
    assert status == 403
    assert board.server.words() == []


def test_words_from_the_boards_own_page_are_taken(board: Served) -> None:
    status, _ = board.say("done", Sec_Fetch_Site="same-origin")
    assert (status, board.server.words()) == (204, ["done"])


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "BREW"])
def test_nothing_but_looking_and_speaking_is_answered(board: Served, method: str) -> None:
    assert board.ask("/", method)[0] == 405


def token_of_today() -> str:
    return Tokens(SECRET).token(datetime.now())


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/events",
        "/say",
        "/board.js",
        "/{wrong}/",
        "/{token}x/",
        "/x{token}/",
        "/%00/",
        "//{token}/",
        "/%C3%BC/",
        "/" + "a" * 5000 + "/",
    ],
)
def test_a_shared_board_is_nowhere_without_its_token(shared_board: Served, path: str) -> None:
    token = token_of_today()
    wrong = token[:-1] + ("a" if token[-1] != "a" else "b")
    status, body = shared_board.ask(path.format(token=token, wrong=wrong))
    assert status == 404
    assert b"scan it again" in body


def test_an_address_that_is_typed_without_its_last_stroke_leads_on_with_its_token(
    shared_board: Served,
) -> None:
    token = token_of_today()
    connection = http.client.HTTPConnection("127.0.0.1", shared_board.port, timeout=10)
    connection.request("GET", f"/{token}", headers={"Host": shared_board.host})
    answer = connection.getresponse()
    assert (answer.status, answer.getheader("location")) == (307, f"/{token}/")
    connection.close()
    assert shared_board.ask(f"/{token}/board.css/")[0] == 404


def test_a_shared_board_is_found_and_spoken_to_behind_its_token(shared_board: Served) -> None:
    token = token_of_today()
    assert shared_board.ask(f"/{token}/")[0] == 200
    assert shared_board.ask(f"/{token}/board.css")[0] == 200
    assert shared_board.say("done", f"/{token}/say")[0] == 204
    assert shared_board.say("done")[0] == 404
    assert shared_board.server.words() == ["done"]


@pytest.mark.parametrize("path", ["/", "/board.js", "/nowhere", "/events/../../etc/passwd"])
@pytest.mark.parametrize("host", [None, "evil.example"])
def test_every_answer_forbids_framing_and_anything_from_elsewhere(
    board: Served, path: str, host: str | None
) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", board.port, timeout=10)
    connection.request("GET", path, headers={"Host": host or board.host})
    answer = connection.getresponse()
    headers = {name.lower(): value for name, value in answer.getheaders()}
    answer.read()
    connection.close()
    assert HEADERS.items() <= headers.items()
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "unsafe" not in headers["content-security-policy"]
    assert "access-control-allow-origin" not in headers
    assert "server" not in headers
