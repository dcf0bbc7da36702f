"""Who may speak to the server, and how much: hosts, origins, sizes, response headers.

A page on any site can make a browser post to ``127.0.0.1``, and a name under a stranger's
control can be pointed there. So a request must name a host on the list, and whatever changes
something must come from our own pages. Programs without a browser send neither ``Origin`` nor
``Sec-Fetch-Site`` and are let through.
"""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOOPBACK = ("localhost", "127.0.0.1", "::1")
"""Hosts that always may be named."""

FORM_BYTES = 256 * 1024
"""Largest body of a form or a JSON request [bytes]."""

FOLDER_BYTES = 24 * 1024 * 1024
"""Largest house folder that is taken in [bytes]."""

SHEET_BYTES = 4 * 1024 * 1024 + FORM_BYTES
"""Largest spreadsheet that is taken in, with the form around it [bytes]."""

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})

CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; manifest-src 'self'"
)

HEADERS = {
    "X-Content-Type-Options": "nosniff",
    # same-origin, not no-referrer: the latter makes browsers post with "Origin: null"
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}


def host_name(host: str) -> str:
    """Return the host without its port, lower case; empty where it is no host at all.

    >>> host_name("LOCALHOST:8000"), host_name("[::1]:8000"), host_name("a/b@c")
    ('localhost', '::1', '')
    """
    try:
        parts = urlsplit(f"//{host}")
        name = parts.hostname or ""
        _ = parts.port  # raises where it is no number
    except ValueError:
        return ""
    return name if parts.netloc == host and "@" not in host else ""


class Guard:
    """ASGI middleware that refuses strangers and adds the headers of every answer."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str] = ()) -> None:
        self.app = app
        self.hosts = frozenset(h.lower() for h in (*LOOPBACK, *hosts))

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Check one request, then hand it on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self.refusal(scope, headers)
        if refusal is not None:
            await refusal(scope, receive, _with_headers(send))
            return
        limit = most_of(scope["path"])
        await self.app(scope, _limited(receive, limit), _with_headers(send))

    def refusal(self, scope: Scope, headers: Headers) -> PlainTextResponse | None:
        """Return why a request is refused, or None."""
        host = headers.get("host", "")
        if host_name(host) not in self.hosts:
            return PlainTextResponse(
                "This server does not answer to that name. Open it as http://localhost "
                "or by the address that it printed when it was started.",
                status_code=421,
            )
        if scope["method"] in SAFE:
            return None
        if not same_origin(headers, f"{scope['scheme']}://{host}"):
            return PlainTextResponse(
                "Refused: this came from a page of another site. Open the house here and "
                "do it again.",
                status_code=403,
            )
        limit = most_of(scope["path"])
        told = headers.get("content-length", "0")
        if not told.isdecimal() or len(told) > 18 or int(told) > limit:
            return PlainTextResponse(too_large(limit), status_code=413)
        return None


def most_of(path: str) -> int:
    """Return how large a body may be that is sent to a path [bytes]: files may be larger.

    >>> most_of("/load") == FOLDER_BYTES, most_of("/h/a/do/move") == FORM_BYTES
    (True, True)
    """
    of_a_house = path.startswith("/h/")
    if path == "/load" or (of_a_house and path.endswith("/backdrop")):
        return FOLDER_BYTES
    return SHEET_BYTES if of_a_house and path.endswith("/import-work") else FORM_BYTES


def too_large(limit: int) -> str:
    """Return the words for a body over the limit [bytes]."""
    return f"Too large: {limit // 1024} KB at most. Leave out what the house does not need."


def same_origin(headers: Headers, own: str) -> bool:
    """Tell whether a request that changes something comes from our own pages, or no page."""
    site = headers.get("sec-fetch-site")
    origin = headers.get("origin")
    if site is not None and site not in ("same-origin", "none"):
        return False
    return origin is None or origin.lower() == own.lower()


def _limited(receive: Receive, limit: int) -> Receive:
    """Return a `receive` that refuses once more than `limit` bytes have come, said or not."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > limit:
            raise HTTPException(413, too_large(limit))
        return message

    return counted


def _with_headers(send: Send) -> Send:
    async def dressed(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            kind = headers.get("content-type", "")
            if kind.startswith("text/html"):
                headers.setdefault("Content-Security-Policy", CONTENT_POLICY)
            # ask again each time, but keep a left page as it was: what stood in its forms too
            headers.setdefault("Cache-Control", "no-cache, private")
        await send(message)

    return dressed
