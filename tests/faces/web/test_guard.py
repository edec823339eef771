"""The gate: own address only, no requests from other pages, a code for the local network, limits, and the policy."""

import asyncio
from collections.abc import MutableMapping
from typing import Any

from rotorwright.faces.web.guard import COOKIE, MOST_BYTES, TRIES, Door, Guard, Sharing

PORT = 8477
HOST = (b"host", b"127.0.0.1:8477")
NEAR = (b"host", b"192.168.1.20:8477")
Message = MutableMapping[str, Any]


async def inner(scope: Message, receive: Any, send: Any) -> None:
    while scope["type"] == "http":
        message = await receive()
        if message["type"] == "http.disconnect":
            return
        if not message.get("more_body"):
            break
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b"in"})


def ask(
    guard: Guard, *heads: tuple[bytes, bytes], kind: str = "http", method: str = "GET", query: bytes = b"",
    client: str = "127.0.0.1", body: tuple[bytes, ...] = (b"",),
) -> list[Message]:  # fmt: skip
    sent: list[Message] = []
    parts = list(body)

    async def receive() -> Message:
        return {"type": "http.request", "body": parts.pop(0), "more_body": bool(parts)}

    async def send(message: Message) -> None:
        sent.append(message)

    scope = {
        "type": kind, "method": method, "path": "/", "query_string": query, "headers": list(heads),
        "client": (client, 1),
    }  # fmt: skip
    asyncio.run(guard(scope, receive, send))
    return sent


def status(sent: list[Message]) -> int:
    return int(sent[0].get("status", 0)) if sent else 0


def test_only_the_own_address_is_answered() -> None:
    guard = Guard(inner, PORT, Door())
    assert status(ask(guard, HOST)) == 200
    assert status(ask(guard, (b"host", b"localhost:8477"))) == 200
    for host in (b"evil.example:8477", b"127.0.0.1:80", b"127.0.0.1.evil.example:8477", b""):
        assert status(ask(guard, (b"host", host))) == 403
    assert status(ask(guard)) == 403


def test_other_pages_may_neither_change_anything_nor_open_a_socket() -> None:
    guard = Guard(inner, PORT, Door())
    foreign = (b"origin", b"https://evil.example")
    own = (b"origin", b"http://127.0.0.1:8477")
    assert status(ask(guard, HOST, foreign)) == 403
    assert status(ask(guard, HOST, foreign, method="POST")) == 403
    assert status(ask(guard, HOST, own, method="POST")) == 200
    assert ask(guard, HOST, foreign, kind="websocket")[0]["type"] == "websocket.close"
    assert ask(guard, HOST, kind="websocket")[0]["type"] == "websocket.close"
    assert ask(guard, HOST, own, kind="websocket")[0]["type"] == "http.response.start"


def test_too_much_is_turned_away_told_or_untold() -> None:
    guard = Guard(inner, PORT, Door())
    own = (b"origin", b"http://127.0.0.1:8477")
    told = (b"content-length", str(MOST_BYTES + 1).encode())
    assert status(ask(guard, HOST, own, told, method="POST")) == 403
    assert status(ask(guard, HOST, own, (b"content-length", b"-3"), method="POST")) == 403
    untold = (b"x" * (MOST_BYTES // 2 + 1),) * 3
    assert not ask(guard, HOST, own, method="POST", body=untold)


def test_the_policy_is_on_every_answer() -> None:
    heads = dict(ask(Guard(inner, PORT, Door()), HOST)[0]["headers"])
    policy = heads[b"content-security-policy"].decode()
    assert policy.startswith("default-src 'self'")
    assert "http" not in policy
    assert heads[b"x-content-type-options"] == b"nosniff"
    assert b"content-security-policy" in dict(ask(Guard(inner, PORT, Door()), (b"host", b"x"))[0]["headers"])


def shared() -> tuple[Guard, Sharing]:
    sharing = Sharing(("192.168.1.20",))
    return Guard(inner, PORT, Door(sharing)), sharing


def test_the_local_network_needs_the_code_and_then_carries_a_pass() -> None:
    guard, sharing = shared()
    assert status(ask(guard, NEAR, client="192.168.1.33")) == 403
    assert status(ask(Guard(inner, PORT, Door()), NEAR, client="192.168.1.33")) == 403
    paired = ask(guard, NEAR, client="192.168.1.33", query=f"pair={sharing.code}".encode())
    assert status(paired) == 303
    heads = dict(paired[0]["headers"])
    assert b"HttpOnly" in heads[b"set-cookie"]
    assert b"SameSite=Strict" in heads[b"set-cookie"]
    assert sharing.code.encode() not in heads[b"location"]
    cookie = (b"cookie", f"{COOKIE}={sharing.token}".encode())
    assert status(ask(guard, NEAR, cookie, client="192.168.1.33")) == 200
    assert status(ask(guard, NEAR, (b"cookie", f"{COOKIE}=x".encode()), client="192.168.1.33")) == 403
    assert status(ask(guard, HOST)) == 200, "the maker's own machine needs no code"
    assert status(ask(guard, HOST, client="192.168.1.33")) == 403, "claiming to be home is not being home"


def test_the_code_cannot_be_guessed_by_trying() -> None:
    guard, sharing = shared()
    for _ in range(TRIES):
        assert status(ask(guard, NEAR, client="192.168.1.33", query=b"pair=nope")) == 403
    right = f"pair={sharing.code}".encode()
    assert status(ask(guard, NEAR, client="192.168.1.33", query=right)) == 403
    sharing.wrong.clear()
    assert status(ask(guard, NEAR, client="192.168.1.33", query=right)) == 303


def test_an_unpaired_browser_is_asked_for_the_code_in_words() -> None:
    guard, sharing = shared()
    far = "192.168.1.33"
    asked = ask(guard, NEAR, client=far)
    assert b"text/html" in dict(asked[0]["headers"])[b"content-type"]
    assert b'name="pair"' in asked[1]["body"]
    assert b"That is not the code" in ask(guard, NEAR, client=far, query=b"pair=00")[1]["body"]
    spaced = f"pair={sharing.code[:4]}+{sharing.code[4:]}".encode()
    assert status(ask(guard, NEAR, client=far, query=spaced)) == 303
    for _ in range(TRIES):
        ask(guard, NEAR, client=far, query=b"pair=nope")
    assert b"Wait a minute" in ask(guard, NEAR, client=far, query=b"pair=nope")[1]["body"]
    own = (b"origin", b"http://192.168.1.20:8477")
    assert ask(guard, NEAR, own, kind="websocket", client=far)[0]["type"] == "websocket.close"


def test_closing_the_door_voids_the_pass() -> None:
    guard, sharing = shared()
    cookie = (b"cookie", f"{COOKIE}={sharing.token}".encode())
    assert status(ask(guard, NEAR, cookie, client="192.168.1.33")) == 200
    guard.door.sharing = None
    assert status(ask(guard, NEAR, cookie, client="192.168.1.33")) == 403
    guard.door.sharing = Sharing(("192.168.1.20",))
    assert status(ask(guard, NEAR, cookie, client="192.168.1.33")) == 403, "a new sharing needs a new code"
