"""What stands before every route: right host, same origin, a known visitor, a sensible size; strict headers after.

A page elsewhere can make a browser send requests here. It gets nowhere: the
host must be this machine's own address (a name that was made to point here is
none), a change must come from a page of this origin and as JSON, and the
cookie is never sent from another site.
"""

from __future__ import annotations

import asyncio
import ipaddress
import json
from typing import Any, Awaitable, Callable, MutableMapping

from .doorkeeper import Doorkeeper, is_loopback

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]

MOST_BYTES = 2_000_000
"""Of one request; our own estimate: five times the longest text, as UTF-8."""
SLOWEST_S = 20.0
"""Seconds a request's body may take; our own estimate."""
OPEN_TO_ALL = ("/enter", "/door", "/pair", "/page/")
"""Routes that ask for no cookie: they show nothing of a book."""
POLICY = ("default-src 'none'; script-src 'self'; style-src 'self'{nonce}; img-src 'self' data:; connect-src 'self'; "
          "base-uri 'none'; form-action 'self'; frame-ancestors 'none'")
"""No inline script anywhere; inline style only with the nonce of the one page that holds the editor. ``data:`` images
are the editor's own marks under a mistake."""
HEADERS = {
    "x-content-type-options": "nosniff", "x-frame-options": "DENY", "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin", "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=()", "cache-control": "no-store",
}


class Guard:
    """The application behind the checks of this module."""

    def __init__(self, app: Callable[[Scope, Receive, Send], Awaitable[None]], door: Doorkeeper) -> None:
        self.app = app
        self.door = door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # no web sockets here: the server answers that itself
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        client = (scope.get("client") or ("", 0))[0]
        port = (scope.get("server") or ("", 0))[1]

        async def guarded(message: MutableMapping[str, Any]) -> None:
            if message["type"] == "http.response.start":
                there = {name.lower() for name, _ in message["headers"]}
                added = {**HEADERS, "content-security-policy": POLICY.format(nonce="")}
                message["headers"] = [*message["headers"], *(
                    (name.encode(), value.encode()) for name, value in added.items() if name.encode() not in there)]
            await send(message)

        fault = self._fault(scope, headers, client)
        if fault is not None:
            await _refuse(guarded, *fault)
            return
        cookie = _cookie(headers.get("cookie", ""), cookie_name(port))
        role = self.door.role(cookie, client)
        path = scope["path"]
        if role is None and not path.startswith(OPEN_TO_ALL):
            if scope["method"] in ("GET", "HEAD") and not path.startswith("/api/"):
                await _see_other(guarded, "/door")
            else:
                await _refuse(guarded, 403, "this page isn't known to the desk", "open the address that plait open printed")
            return
        scope["role"] = role
        body = b""
        if scope["method"] == "POST":
            try:
                body = await asyncio.wait_for(_body(receive), SLOWEST_S)
            except (TooLarge, asyncio.TimeoutError) as error:
                large = isinstance(error, TooLarge)
                await _refuse(guarded, 413 if large else 408, f"that is more than {MOST_BYTES // 1_000_000} MB"
                              if large else "the request never ended", "send less at a time")
                return
        await self.app(scope, _replayed(body, receive), guarded)

    def _fault(self, scope: Scope, headers: dict[str, str], client: str) -> tuple[int, str, str] | None:
        """(status, message, help) of a request that is not answered; None for one that may go on."""
        host = headers.get("host", "")
        if not self._known_host(host, scope):
            return 421, "the desk isn't known by that address", "open the address that plait open printed"
        if not self.door.shared and not is_loopback(client):
            return 403, "this book isn't shared", "start it with plait open --share"
        method = scope["method"]
        if method not in ("GET", "HEAD", "POST"):
            return 405, "that is no way to ask", "use the page"
        site = headers.get("sec-fetch-site", "")
        if method != "POST":
            if site == "cross-site" and scope["path"].startswith("/api/"):
                return 403, "another site asked for this", "open the page itself"
            return None
        if headers.get("origin", "") != f"http://{host}" or site not in ("", "same-origin"):
            return 403, "another site asked for this", "open the page itself"
        kind = headers.get("content-type", "").split(";")[0].strip().lower()
        wanted = "application/x-www-form-urlencoded" if scope["path"] == "/pair" else "application/json"
        if kind != wanted:
            return 415, "that is not what the page sends", "load the page again"
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BYTES:
            return 413, f"that is more than {MOST_BYTES // 1_000_000} MB", "send less at a time"
        return None

    def _known_host(self, host: str, scope: Scope) -> bool:
        """Whether a request names this machine by an address it has, or as localhost; never by another name."""
        address, port = _split(host)
        server, at = (scope.get("server") or ("", 0))[:2]
        if port != str(at):
            return False
        if is_loopback(server):
            return address in ("localhost", "127.0.0.1", "::1")
        try:
            return self.door.shared and ipaddress.ip_address(address) == ipaddress.ip_address(server.split("%")[0])
        except ValueError:
            return False


class TooLarge(Exception):
    """A body of more than MOST_BYTES."""


def cookie_name(port: int) -> str:
    """The cookie of the server at a port: another run beside it has its own."""
    return f"plaitbook-{port}"


def _split(host: str) -> tuple[str, str]:
    if host.startswith("["):
        address, _, rest = host[1:].partition("]")
        return address, rest.removeprefix(":") or "80"
    address, _, port = host.partition(":")
    return address.lower(), port or "80"


def _cookie(header: str, name: str) -> str:
    for pair in header.split(";"):
        key, _, value = pair.strip().partition("=")
        if key == name:
            return value
    return ""


async def _body(receive: Receive) -> bytes:
    parts, size = [], 0
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return b""
        parts.append(message.get("body", b""))
        size += len(parts[-1])
        if size > MOST_BYTES:
            raise TooLarge
        if not message.get("more_body"):
            return b"".join(parts)


def _replayed(body: bytes, receive: Receive) -> Receive:
    """The body once, then whatever the connection says."""
    given = False

    async def again() -> MutableMapping[str, Any]:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again


async def _refuse(send: Send, status: int, message: str, help: str) -> None:
    body = json.dumps({"refused": message, "help": help}).encode()
    await send({"type": "http.response.start", "status": status, "headers": [
        (b"content-type", b"application/json"), (b"content-length", str(len(body)).encode()),
        *([(b"connection", b"close")] if status == 413 else [])]})
    await send({"type": "http.response.body", "body": body})


async def _see_other(send: Send, where: str) -> None:
    await send({"type": "http.response.start", "status": 303, "headers": [(b"location", where.encode()), (b"content-length", b"0")]})
    await send({"type": "http.response.body", "body": b""})
