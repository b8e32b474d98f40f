"""The one way to the network: HTTPS, the server's certificate checked, and no way off it.

The opener has handlers for HTTPS alone, so that neither the list of models nor a server's redirect
can lead to a file of this computer or to a line that anybody may read and change.
"""

import ssl
from http.client import HTTPMessage
from typing import IO
from urllib.parse import urlsplit
from urllib.request import (
    HTTPDefaultErrorHandler,
    HTTPErrorProcessor,
    HTTPRedirectHandler,
    HTTPSHandler,
    OpenerDirector,
    ProxyHandler,
    Request,
)

SCHEME = "https"


class LedAway(Exception):
    """A server wants the request to go on elsewhere than by HTTPS; the text is the address."""


class _ByHttpsOnly(HTTPRedirectHandler):
    def redirect_request(
        self,
        req: Request,
        fp: IO[bytes],
        code: int,
        msg: str,
        headers: HTTPMessage,
        newurl: str,
    ) -> Request | None:
        """The request to go on with. Raises :class:`LedAway`."""
        if not is_safe(newurl):
            raise LedAway(newurl)
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def is_safe(url: str) -> bool:
    """Whether an address is one of HTTPS and names a host."""
    try:
        parts = urlsplit(url)
    except ValueError:
        return False
    return parts.scheme == SCHEME and bool(parts.hostname)


def https_opener() -> OpenerDirector:
    """What opens addresses of HTTPS and nothing else, by a proxy where the system has one."""
    opener = OpenerDirector()
    for handler in (
        ProxyHandler(),
        HTTPSHandler(context=ssl.create_default_context()),
        HTTPDefaultErrorHandler(),
        HTTPErrorProcessor(),
        _ByHttpsOnly(),
    ):
        opener.add_handler(handler)
    return opener
