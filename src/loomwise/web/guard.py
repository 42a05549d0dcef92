"""What every request and answer must be: from this machine, from our own pages, not too large.

A page of another site that is open in the same browser can reach a server on this machine too; so
the name it was asked by and the site it was asked from are checked, and nothing but our own files
may run or be loaded in our pages.
"""

from collections.abc import Sequence
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MAX_FORM, MAX_FILE = 6_000_000, 26_000_000
"""Largest body of a form, and of one with a photograph, a circuit or a record. [bytes]"""
WITH_FILES = ("/photos", "/circuit", "/live", "/heading")
SAFE = ("GET", "HEAD", "OPTIONS")
POLICY = "; ".join((
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' data:",
    "connect-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'",
))  # fmt: skip
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
LOCAL = ("127.0.0.1", "localhost", "::1")


class TooLargeError(Exception):
    """The body goes on longer than it may."""


class Guard:
    """Refuses what does not come from our own pages, and adds the headers that keep it so."""

    def __init__(self, app: ASGIApp, hosts: Sequence[str] = LOCAL) -> None:
        self.app, self.hosts = app, frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        limit = MAX_FILE if scope["path"].endswith(WITH_FILES) else MAX_FORM
        refused = refusal(scope["method"], Headers(scope=scope), self.hosts, limit)
        if refused is not None:
            await refused(scope, receive, _with_headers(send, scope))
            return
        try:
            await self.app(scope, _measured(receive, limit), _with_headers(send, scope))
        except TooLargeError:
            await _too_large(limit)(scope, receive, _with_headers(send, scope))


def refusal(method: str, headers: Headers, hosts: frozenset[str], limit: int) -> Response | None:
    """Why a request is refused, or None."""
    host = urlsplit(f"//{headers.get('host', '')}").hostname or ""
    if host not in hosts:
        return PlainTextResponse("This server answers to this machine only.", 400)
    if method not in SAFE and not _from_us(headers):
        return PlainTextResponse("This was sent from another site: nothing was done.", 403)
    length = headers.get("content-length", "0")
    if not length.isdigit() or int(length) > limit:
        return _too_large(limit)
    return None


def _from_us(headers: Headers) -> bool:
    """Whether a form comes from a page of ours; a program that is no browser says nothing."""
    site = headers.get("sec-fetch-site")
    if site is not None and site not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc == headers.get("host")


def _too_large(limit: int) -> Response:
    return PlainTextResponse(f"This is too large: the limit is {limit // 1_000_000} MB.", 413)


def _measured(receive: Receive, limit: int) -> Receive:
    """The body as it comes, stopped where it gets too large."""
    seen = 0

    async def next_piece() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > limit:
            raise TooLargeError
        return message

    return next_piece


def _with_headers(send: Send, scope: Scope) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers[name] = value
            if not scope["path"].startswith("/static/"):
                headers["cache-control"] = "no-store"
        await send(message)

    return sent
