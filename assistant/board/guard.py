"""Who may look at the board and speak to it: checked before anything of the board is touched.

A page of another site, open in the same browser, can send requests here. So the name that the
browser was told to go to (Host) must be an address of this machine, which a name that was rebound
to it is not, and words are only taken from the board's own page (Origin; RFC 6454, and Fetch
Metadata, W3C). On the local network the address must also hold the token.
"""

from collections.abc import Awaitable, Callable, Mapping
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from assistant.board.tokens import Tokens

HTTP_PORT = 80
"""A browser leaves it out of a Host."""

LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})

ADMITTED = "admitted"
"""What the guard notes in the state of a request that may pass."""

METHODS = ("GET", "HEAD", "POST")

HEADERS: Mapping[str, str] = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
"""With every answer, a refusal too: nothing from elsewhere, no framing, no trace of the token."""


class Guard:
    """Hands on to ``app`` what may pass; ``tokens`` None is a board that is not shared."""

    def __init__(
        self,
        app: ASGIApp,
        *,
        tokens: Tokens | None,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        self._app, self._tokens, self._now = app, tokens, now

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or hand it on."""
        if scope["type"] != "http":
            return
        sending = _with_headers(send)
        refused = self._refusal(scope)
        if refused is None and self._tokens is not None:
            inside = self._inside(scope["path"])
            if inside is None:
                refused = PlainTextResponse(NO_TOKEN, status_code=404)
            elif not inside:
                # Whoever types the address may leave out its last stroke.
                refused = RedirectResponse(f"{scope['path']}/")
            else:
                scope = {**scope, "path": inside, "raw_path": inside.encode()}
        if refused is None:
            scope.setdefault("state", {})[ADMITTED] = True
        await (refused or self._app)(scope, receive, sending)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not _is_own(host, scope):
            return PlainTextResponse(WRONG_HOST, status_code=421)
        if scope["method"] not in METHODS:
            return PlainTextResponse("Only GET and POST.", status_code=405)
        if scope["method"] == "POST" and not _from_own_page(headers, host):
            return PlainTextResponse(WRONG_ORIGIN, status_code=403)
        return None

    def _inside(self, path: str) -> str | None:
        """The path behind the token, empty where nothing follows; None where it is not good."""
        _, _, rest = path.partition("/")
        token, slash, inside = rest.partition("/")
        good = self._tokens is not None and self._tokens.is_good(token, self._now())
        return slash + inside if good else None


def is_admitted(scope: Mapping[str, Any]) -> bool:
    """Whether a request has passed the guard."""
    return bool(scope.get("state", {}).get(ADMITTED))


NO_TOKEN = (
    "There is no board at this address. Its address holds a code that changes each day: scan it "
    "again from the terminal Kettleside runs in."
)
WRONG_HOST = "This is not the name of the board: use the address that Kettleside shows."
WRONG_ORIGIN = "Words are only taken from the board's own page."


def _is_own(host: str, scope: Scope) -> bool:
    """Whether a Host header names this machine by an address, or as localhost."""
    try:
        parts = urlsplit(f"//{host}")
        name, port = parts.hostname, parts.port
    except ValueError:
        return False
    server, listening = scope.get("server") or ("", None)
    if parts.username is not None or parts.path or parts.query or parts.fragment:
        return False
    return (
        (HTTP_PORT if port is None else port) == listening
        and name is not None
        and name in LOOPBACK | {server}
    )


def _from_own_page(headers: Headers, host: str) -> bool:
    site = headers.get("sec-fetch-site", "same-origin")
    return headers.get("origin") == f"http://{host}" and site == "same-origin"


def _with_headers(send: Send) -> Callable[[Message], Awaitable[None]]:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            MutableHeaders(scope=message).update(HEADERS)
        await send(message)

    return sending
