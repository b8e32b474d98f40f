"""The board's addresses: its page, the stream of what it shows, and the place that takes words."""

import asyncio
import json
from collections.abc import Awaitable, Callable, Iterator, Mapping
from importlib.resources import files
from pathlib import PurePath

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from assistant.board.intake import Intake, Over, TooMuch
from assistant.board.stream import Streams

START = "index.html"

KINDS: Mapping[str, str] = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
}
"""What the page is made of."""

LARGEST_BODY = 4096
LONGEST_WORDS = 500
BODY_S = 5.0
"""A request that has not come in whole by then is refused."""


def make_app(streams: Streams, words: Intake | None) -> Starlette:
    """The board; ``words`` None is one that only shows."""
    app = Starlette(
        routes=[
            *_page(),
            Route("/events", streams),
            Route("/say", _say(words), methods=["POST"]),
        ],
        exception_handlers={HTTPException: _told},
    )
    # It would lead to an address without the token.
    app.router.redirect_slashes = False
    return app


def _page() -> Iterator[Route]:
    """An address for each file of the page, and none for anything else."""
    for file in files("assistant.board").joinpath("page").iterdir():
        kind = KINDS.get(PurePath(file.name).suffix)
        if kind is not None:
            path = "/" if file.name == START else f"/{file.name}"
            yield Route(path, _file(file.read_bytes(), kind))


def _file(body: bytes, kind: str) -> Callable[[Request], Response]:
    return lambda request: Response(body, media_type=kind)


def _say(words: Intake | None) -> Callable[[Request], Awaitable[Response]]:
    async def say(request: Request) -> Response:
        if words is None:
            raise HTTPException(409, "This day is driven by a program: the board only shows it.")
        try:
            words.put(await _words(request))
        except TooMuch:
            raise HTTPException(429, "Too much at once: wait a moment.") from None
        except Over:
            raise HTTPException(503, "The day's program is ending: it takes no words.") from None
        return Response(status_code=204)

    return say


async def _words(request: Request) -> str:
    if request.headers.get("content-type", "").partition(";")[0].strip() != "application/json":
        raise HTTPException(415, "Wanted is JSON.")
    try:
        async with asyncio.timeout(BODY_S):
            body = await _bounded(request)
    except TimeoutError:
        raise HTTPException(408, "That took too long to come in.") from None
    except ClientDisconnect:
        raise HTTPException(400, "That was broken off.") from None
    try:
        line = json.loads(body)
    except (ValueError, RecursionError):
        raise HTTPException(400, "That is not JSON.") from None
    words = line.get("say") if isinstance(line, dict) else None
    if not isinstance(words, str) or not words.strip() or len(line) != 1:
        raise HTTPException(400, 'Wanted are words: {"say": "done"}.')
    if len(words) > LONGEST_WORDS:
        raise HTTPException(413, f"At most {LONGEST_WORDS} letters at a time.")
    return words


async def _bounded(request: Request) -> bytes:
    body = b""
    async for chunk in request.stream():
        body += chunk
        if len(body) > LARGEST_BODY:
            raise HTTPException(413, "That is too much.", headers={"connection": "close"})
    return body


def _told(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    return PlainTextResponse(
        error.detail, status_code=error.status_code, headers=dict(error.headers or {})
    )
