"""Who may talk to the page: only this machine, or on request the local network with a pairing code.

Source of the rules: OWASP Cheat Sheet Series, "DNS rebinding" and "WebSocket security" advice as commonly given (from
memory): check the Host of every request and the Origin of every request that changes something or opens a socket.
"""

from __future__ import annotations

import hmac
import secrets
import time
from collections import deque
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import parse_qs

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LOOPBACK_NAMES = ("127.0.0.1", "localhost", "[::1]")
LOOPBACK_CLIENTS = ("127.0.0.1", "::1")
COOKIE = "rotorwright_pass"
PAIR = "pair"
"""The query field a pairing code arrives in."""
MOST_BYTES = 2_000_000
"""Largest request body: an aircraft file has a few kilobytes, a measured record some hundred."""
TRIES, TRIES_WITHIN = 5, 60.0
"""Wrong pairing codes allowed within so many seconds [s]."""

UNPAIRED = "Scan the picture on the computer that serves this page, or type its eight-digit code."
WRONG = "That is not the code. It stands on the computer that serves this page."
TRIED_OUT = "Too many wrong codes. Wait a minute, then type the one on the computer that serves this page."
_ASKING = """<!doctype html><html lang="en-GB"><meta charset="utf-8"><title>Rotorwright: code</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>
body{{font:1.15rem/1.5 sans-serif;margin:2rem auto;max-width:22rem;padding:0 1rem;background:#f6f1e4;color:#22252b}}
input,button{{font:inherit;font-size:1.5rem;width:100%;box-sizing:border-box;padding:.6rem;margin:.5rem 0}}
input{{border:2px solid #22252b;background:#fffdf6;color:#22252b}} button{{background:#22252b;color:#f6f1e4;border:0}}
</style>
<main><h1>Rotorwright</h1><p role="status">{reason}</p><form method="get"><label for="code">Code</label>
<input id="code" name="pair" inputmode="numeric" autocomplete="off" pattern="[0-9 ]*" required autofocus>
<button>Open the page</button></form></main></html>"""

POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'unsafe-inline' 'unsafe-eval'",  # the page framework starts from an inline script
        "style-src 'self' 'unsafe-inline'",  # and lays out with inline styles
        "img-src 'self' data: blob:",  # pictures are handed over as data for saving
        "font-src 'self' data:",
        "connect-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    )
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"x-frame-options", b"DENY"),
)


@dataclass
class Sharing:
    """The pass of a shared page: a code to type or scan, and the token a paired browser carries."""

    names: tuple[str, ...]
    """Addresses of this machine in the local network under which the page may be called."""
    code: str = field(default_factory=lambda: f"{secrets.randbelow(10**8):08d}")
    token: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    wrong: deque[float] = field(default_factory=deque)

    def accepts(self, code: str) -> bool:
        """Return whether a pairing code is right; after too many wrong ones nothing is, for a minute."""
        now = time.monotonic()
        while self.wrong and now - self.wrong[0] > TRIES_WITHIN:
            self.wrong.popleft()
        if len(self.wrong) >= TRIES:
            return False
        right = hmac.compare_digest(code.encode(), self.code.encode())
        if not right:
            self.wrong.append(now)
        return right


@dataclass
class Door:
    """Who is let in besides this machine: nobody, until somebody shares."""

    sharing: Sharing | None = None


class Guard:
    """The gate every request and every socket passes.

    Parameters
    ----------
    app : ASGI application
    port : int
        The port the page is served on.
    door : Door
        Opened and closed while the page is served.
    """

    def __init__(self, app: App, port: int, door: Door) -> None:
        self.app = app
        self.port = port
        self.door = door

    @property
    def hosts(self) -> set[str]:
        """Return the names this page answers to now."""
        names = LOOPBACK_NAMES + (self.door.sharing.names if self.door.sharing else ())
        return {f"{name}:{self.port}" for name in names} | ({*names} if self.port == 80 else set())

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or turn it away with a sentence."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        heads = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        reason, pairing = self._refused(scope, heads)
        if reason:
            await _turn_away(scope, receive, send, reason)
            return
        if pairing and self.door.sharing is not None:
            await _let_in(send, str(scope["path"]), self.door.sharing.token)
            return
        await self.app(scope, _limited(receive) if scope["type"] == "http" else receive, _with_headers(scope, send))

    def _refused(self, scope: Scope, heads: dict[str, str]) -> tuple[str, bool]:
        """Return why a request is turned away ("" if it is not), and whether it has just been paired."""
        if heads.get("host", "").lower() not in self.hosts:
            return "This page answers only to its own address.", False
        origin = heads.get("origin")
        changes = scope["type"] == "websocket" or scope.get("method") not in ("GET", "HEAD")
        if (origin is not None or changes) and not self._own(origin, scope):
            return "This request came from another page.", False
        length = heads.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BYTES:
            return f"This is larger than {MOST_BYTES // 1_000_000} MB.", False
        if at_home((scope.get("client") or ("", 0))[0], heads.get("host", "")):
            return "", False
        sharing = self.door.sharing
        if sharing is None:
            return "This page is not shared.", False
        cookie = SimpleCookie(heads.get("cookie", "")).get(COOKIE)
        if cookie is not None and hmac.compare_digest(cookie.value.encode(), sharing.token.encode()):
            return "", False
        if scope["type"] == "websocket":
            return UNPAIRED, False
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get(PAIR, [""])[0]
        if not given:
            return UNPAIRED, False
        if sharing.accepts("".join(given.split())):
            return "", True
        return (TRIED_OUT if len(sharing.wrong) >= TRIES else WRONG), False

    def _own(self, origin: str | None, scope: Scope) -> bool:
        if origin is None:  # no browser, or a socket of a program on this machine
            return scope["type"] != "websocket"
        scheme, _, host = origin.partition("://")
        return scheme in ("http", "https") and host.lower() in self.hosts


def at_home(client: str, host: str) -> bool:
    """Return whether a request comes from this machine and calls it so."""
    return client in LOOPBACK_CLIENTS and host.lower().rpartition(":")[0] in LOOPBACK_NAMES


def _limited(receive: Receive) -> Receive:
    """Return a receiver that cuts the line when more bytes come than were announced or allowed."""
    seen = 0

    async def bounded() -> MutableMapping[str, Any]:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        return {"type": "http.disconnect"} if seen > MOST_BYTES else message

    return bounded


def _with_headers(scope: Scope, send: Send) -> Send:
    async def adding(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            message["headers"] = [*message.get("headers", []), *HEADERS]
        await send(message)

    return adding if scope["type"] == "http" else send


async def _turn_away(scope: Scope, receive: Receive, send: Send, reason: str) -> None:
    if scope["type"] == "websocket":
        await receive()
        await send({"type": "websocket.close", "code": 1008, "reason": reason})
        return
    asks = reason in (UNPAIRED, WRONG, TRIED_OUT)
    body = (_ASKING.format(reason=reason) if asks else reason).encode()
    kind = b"text/html" if asks else b"text/plain"
    heads = [(b"content-type", kind + b"; charset=utf-8"), (b"content-length", str(len(body)).encode()), *HEADERS]
    await send({"type": "http.response.start", "status": 403, "headers": heads})
    await send({"type": "http.response.body", "body": body})


async def _let_in(send: Send, path: str, token: str) -> None:
    """Answer a right pairing code: keep the pass in the browser and drop the code from the address."""
    cookie = f"{COOKIE}={token}; Path=/; HttpOnly; SameSite=Strict; Max-Age=86400"
    heads = [(b"location", path.encode()), (b"set-cookie", cookie.encode()), (b"content-length", b"0"), *HEADERS]
    await send({"type": "http.response.start", "status": 303, "headers": heads})
    await send({"type": "http.response.body", "body": b""})
