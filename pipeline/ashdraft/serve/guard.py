"""What every request must pass before a page sees it, and what every answer carries.

Host against a list (DNS rebinding), Origin and Sec-Fetch-Site on everything that is not a plain
read (cross-site requests), the device's token, the rate, the size and the time of a body.
"""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Final

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from .devices import Devices

COOKIE: Final = "ashdraft"
OPEN_PATHS: Final = ("/pair/", "/static/")
"""Paths that need no token: the pairing page and the files it is drawn with."""
LARGEST_BODY: Final = 2_000_000
"""Bytes: ten seconds of 16-bit sound at 96,000 samples a second, and a little."""
SLOWEST_BODY: Final = 30.0
"""Seconds in which a body must have arrived."""
RATE: Final = 30.0
BURST: Final = 120.0
"""Requests a second and at once that one address may make."""
_READS: Final = ("GET", "HEAD")
_ADDRESSES: Final = 1024

HEADERS: Final = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        "media-src 'self' blob:; connect-src 'self'; font-src 'self'; worker-src 'self'; "
        "manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "microphone=(self), screen-wake-lock=(self), camera=(), geolocation=()",
    "cache-control": "no-store",
}


@dataclass(slots=True)
class Guard:
    """ASGI middleware. `hosts` are the names, without port, that a Host header may hold."""

    app: ASGIApp
    devices: Devices
    hosts: Collection[str]
    clock: Callable[[], float] = time.monotonic
    _buckets: dict[str, tuple[float, float]] = field(default_factory=dict)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request that may not pass; hand on any other."""
        if scope["type"] != "http":
            if scope["type"] == "websocket":
                await send({"type": "websocket.close", "code": 1008})
                return
            await self.app(scope, receive, send)
            return
        body = _Body(receive)

        async def headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                body.answered = True
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        refused = self._refused(scope)
        if refused is not None:
            await refused(scope, receive, headed)
            return
        try:
            await self.app(scope, body, headed)
        except _TooMuch as fault:
            if body.answered:
                raise
            await _say(fault.status, fault.text)(scope, receive, headed)

    def _refused(self, scope: Scope) -> PlainTextResponse | None:
        headers = Headers(scope=scope)
        if self._too_often(scope):
            return _say(429, "Too many requests.", {"retry-after": "2"})
        if len(headers.getlist("host")) != 1 or _name(headers["host"]) not in self.hosts:
            return _say(421, "This is not the address of these pages.")
        if not _same_site(scope, headers):
            return _say(403, "Another site asked for this.")
        length = headers.get("content-length")
        if length is not None and not (length.isdecimal() and int(length) <= LARGEST_BODY):
            return _say(413, "That is too large.")
        if scope["path"].startswith(OPEN_PATHS):
            return None
        if not self.devices.knows(_token(headers)):
            return _say(
                401,
                "This device is not paired. On the computer that runs Ashdraft, open the link in "
                "the terminal; for a phone, scan the square there.",
            )
        return None

    def _too_often(self, scope: Scope) -> bool:
        """A token bucket for each address."""
        client = scope.get("client")
        address = client[0] if client else ""
        now = self.clock()
        left, since = self._buckets.get(address, (BURST, now))
        left = min(BURST, left + (now - since) * RATE)
        if len(self._buckets) >= _ADDRESSES and address not in self._buckets:
            self._buckets.clear()
        self._buckets[address] = (max(left - 1.0, 0.0), now)
        return left < 1.0


class _TooMuch(Exception):
    def __init__(self, status: int, text: str) -> None:
        super().__init__(text)
        self.status, self.text = status, text


class _Body:
    """`receive` with an end: a body too large or too slow is cut off."""

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._until = time.monotonic() + SLOWEST_BODY
        self._size = 0
        self._ended = False
        self.answered = False

    async def __call__(self) -> Message:
        if self._ended or self.answered:
            return await self._receive()
        try:
            left = max(self._until - time.monotonic(), 0.0)
            message = await asyncio.wait_for(self._receive(), left)
        except TimeoutError:
            raise _TooMuch(408, "The request did not arrive in time.") from None
        self._size += len(message.get("body", b""))
        if self._size > LARGEST_BODY:
            raise _TooMuch(413, "That is too large.")
        self._ended = message["type"] != "http.request" or not message.get("more_body", False)
        return message


def _same_site(scope: Scope, headers: Headers) -> bool:
    """Whether no other site is behind the request (Fetch Metadata, W3C working draft).

    A plain read may come from nowhere (an address typed, a code scanned). Anything else must
    say that it comes from these pages: by Sec-Fetch-Site or, where a browser has none, by Origin
    alone. A form of a page without referrer says "null" for its origin (Fetch, 3.2).
    """
    site = headers.get("sec-fetch-site")
    if scope["method"] in _READS:
        return site in (None, "none", "same-origin")
    origin = headers.get("origin")
    here = f"{scope['scheme']}://{headers['host']}"
    if site is not None:
        return site == "same-origin" and origin in (None, "null", here)
    return origin == here


def _name(host: str) -> str:
    """The host without its port: `[::1]:8750` gives `[::1]`."""
    name, colon, port = host.rpartition(":")
    if colon and port.isdecimal() and not (name.startswith("[") and not name.endswith("]")):
        return name.lower()
    return host.lower()


def _token(headers: Headers) -> str:
    try:
        cookie = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return ""
    return cookie.value if cookie is not None else ""


def _say(status: int, text: str, headers: dict[str, str] | None = None) -> PlainTextResponse:
    return PlainTextResponse(text + "\n", status, headers)
