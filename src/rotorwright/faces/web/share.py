"""Sharing with the local network: off until the maker switches it on, and then only for who has the code."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import segno
import uvicorn

from rotorwright.base.errors import InputError
from rotorwright.faces.web.guard import PAIR, Door, Sharing
from rotorwright.faces.web.network import is_near, own_addresses

CLOSES_WITHIN = 1
"""How long shared pages may take to close when sharing ends [s]."""
CAUTION = (
    "Whoever has the code sees and changes your aircraft files. Nothing is encrypted: share in a network you trust, "
    "and stop when you are done."
)


class _Listener(uvicorn.Server):
    """A second ear of the same server; the first one hears Ctrl-C."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave the signals to the first server."""
        yield


class Share:
    """The switch: a listener on one address of the local network beside the one on this machine.

    Parameters
    ----------
    app : ASGI application
        The pages with the gate in front of them.
    port : int
    door : Door
        The gate's door, opened and closed here.
    address : str
        Address of this machine to share at; the likeliest of its own unless told.
    """

    def __init__(self, app: Any, port: int, door: Door, address: str = "") -> None:
        self._app, self._port, self._door, self._wish = app, port, door, address
        self._listener: _Listener | None = None
        self._task: asyncio.Task[None] | None = None
        self.address = ""

    @property
    def on(self) -> bool:
        """Return whether the local network is let in with the code."""
        return self._door.sharing is not None

    @property
    def code(self) -> str:
        """Return the pairing code; empty while nothing is shared."""
        return self._door.sharing.code if self._door.sharing else ""

    @property
    def plain_url(self) -> str:
        """Return the address to type into another device, without the code."""
        return f"http://{self.address}:{self._port}/"

    @property
    def url(self) -> str:
        """Return the address with the code, as it stands in the picture to scan."""
        return f"{self.plain_url}?{PAIR}={self.code}"

    def picture(self) -> str:
        """Return the picture to scan, black on white as scanners want it, as a data address."""
        return segno.make(self.url, error="m", micro=False).svg_data_uri(
            scale=8, border=4, dark="#000000", light="#ffffff"
        )

    def print_picture(self) -> None:
        """Write the picture to scan to the terminal."""
        segno.make(self.url, error="m", micro=False).terminal(compact=True)

    async def start(self) -> None:
        """Begin sharing with a new code.

        Raises
        ------
        InputError
            If this machine is in no local network, or the address cannot be listened on.
        """
        if self.on:
            return
        address = share_address(self._wish)
        try:
            ear = socket.create_server((address, self._port))
        except OSError as problem:
            reason = problem.strerror or str(problem)
            raise InputError(f"cannot be listened on: {reason}", place="sharing", found=address) from None
        config = uvicorn.Config(
            self._app, lifespan="off", log_level="error", timeout_graceful_shutdown=CLOSES_WITHIN, proxy_headers=False
        )
        self.address = address
        self._listener = _Listener(config)
        self._door.sharing = Sharing((address,))
        self._task = asyncio.create_task(self._listener.serve(sockets=[ear]))

    async def stop(self) -> None:
        """End sharing: the code, every pass given for it and every open page of another device are void."""
        self._door.sharing = None
        if self._listener is not None and self._task is not None:
            self._listener.should_exit = True
            await asyncio.wait([self._task], timeout=2.0 * CLOSES_WITHIN + 1.0)
        self._listener = self._task = None


def share_address(wish: str = "") -> str:
    """Return the address to share at.

    Raises
    ------
    InputError
        If the wished one is not of a local network, or this machine has none.
    """
    own = own_addresses()
    if wish:
        if not is_near(wish, loopback=True):
            allowed = ", ".join(own) or "an address of a local network"
            raise InputError("is no address of a local network", place="sharing", found=f'"{wish}"', allowed=allowed)
        return wish
    if not own:
        hint = "Join the wireless network your phone is in, or open a hotspot on the phone and join that"
        raise InputError("found no local network", place="sharing", hint=hint)
    return own[0]
