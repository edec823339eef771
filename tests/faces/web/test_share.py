"""Sharing: only private addresses, only when asked for, only with the code, over as soon as it is switched off."""

from __future__ import annotations

import asyncio
import urllib.error
import urllib.request
from typing import Any

import pytest

from faces.web.browser import free_port
from rotorwright.base.errors import InputProblems
from rotorwright.faces.web import share as module
from rotorwright.faces.web.guard import COOKIE, Door, Guard
from rotorwright.faces.web.network import is_near, own_addresses
from rotorwright.faces.web.share import Share, share_address

NEAR = "127.0.0.2"
"""Stands for an address of the local network: another machine name that this machine answers to."""


async def inside(scope: Any, receive: Any, send: Any) -> None:
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b"in"})


class Kept(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_: Any) -> None:
        return None


def get(url: str, cookie: str = "") -> tuple[int, str]:
    request = urllib.request.Request(url, headers={"Cookie": cookie} if cookie else {})
    try:
        with urllib.request.build_opener(Kept).open(request, timeout=5.0) as answer:
            return answer.status, answer.headers.get("set-cookie", "")
    except urllib.error.HTTPError as answer:
        with answer:
            return answer.code, answer.headers.get("set-cookie", "")


@pytest.mark.parametrize(
    ("address", "near"),
    [("10.0.0.4", True), ("172.16.0.1", True), ("172.32.0.1", False), ("192.168.178.20", True), ("169.254.7.7", True),
     ("8.8.8.8", False), ("0.0.0.0", False), ("127.0.0.1", False), ("printer", False), ("fe80::1", False)],
)  # fmt: skip
def test_only_addresses_of_rfc_1918_and_3927_are_near(address: str, near: bool) -> None:
    assert is_near(address) is near


def test_own_addresses_are_near() -> None:
    assert all(map(is_near, own_addresses()))


def test_a_public_address_is_never_shared_and_a_lonely_machine_is_told_what_to_do(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for wish in ("8.8.8.8", "0.0.0.0", "example.org"):
        with pytest.raises(InputProblems, match="no address of a local network"):
            share_address(wish)
    monkeypatch.setattr(module, "own_addresses", list)
    with pytest.raises(InputProblems, match="no local network"):
        share_address()
    monkeypatch.setattr(module, "own_addresses", lambda: ["192.168.1.20", "10.0.0.3"])
    assert share_address() == "192.168.1.20"


def test_shared_means_the_code_and_stopped_means_nobody() -> None:
    async def story() -> None:
        port, door = free_port(), Door()
        share = Share(Guard(inside, port, door), port, door, NEAR)
        away = asyncio.to_thread
        with pytest.raises(OSError, match="refused"):
            await away(get, f"http://{NEAR}:{port}/")
        await share.start()
        assert share.on
        code, url = share.code, share.plain_url
        assert url == f"http://{NEAR}:{port}/"
        assert share.url.endswith(code)
        assert len(code) == 8
        assert share.picture().startswith("data:image/svg+xml")
        assert (await away(get, url))[0] == 403
        assert (await away(get, f"{url}?pair={'1' * 7}x"))[0] == 403
        status, cookie = await away(get, share.url)
        assert status == 303
        assert cookie.startswith(COOKIE)
        assert (await away(get, url, cookie.split(";")[0]))[0] == 200
        assert (await away(get, url, f"{COOKIE}=other"))[0] == 403
        await share.stop()
        assert not share.on
        assert not share.code
        with pytest.raises(OSError, match="refused"):
            await away(get, url, cookie.split(";")[0])
        await share.start()
        assert share.code != code
        assert (await away(get, url, cookie.split(";")[0]))[0] == 403, "passes end with the sharing"
        await share.stop()

    asyncio.run(story())


def test_a_taken_port_is_said_and_nothing_is_shared() -> None:
    async def story() -> None:
        server = await asyncio.start_server(lambda *_: None, NEAR, 0)
        port = server.sockets[0].getsockname()[1]
        door = Door()
        with pytest.raises(InputProblems, match="cannot be listened on"):
            await Share(inside, port, door, NEAR).start()
        assert door.sharing is None
        server.close()
        await server.wait_closed()

    asyncio.run(story())
