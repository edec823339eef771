"""A simulated user of the page: no browser, no network, the server's own side in this process."""

from __future__ import annotations

import asyncio
import os
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from nicegui import Client
from nicegui.testing import User, user_simulation

from faces.web.served import FOLDER

SERVED = Path(__file__).with_name("served.py")
LOOKS_AGAIN = 0.002
PATIENCE = 240.0
"""Longest wait for an answer [s]; kernels may have to be compiled first."""


@asynccontextmanager
async def maker_at(folder: Path) -> AsyncIterator[User]:
    """Give a user who sits before the pages of a folder."""
    os.environ[FOLDER] = str(folder)
    try:
        async with user_simulation(main_file=SERVED) as user:
            try:
                yield user
            finally:
                Client.page_routes.clear()  # else the simulation forgets this package's modules, loaded or not
    finally:
        del os.environ[FOLDER]


def text_of(user: User, marker: str) -> str:
    """Return all that is written in what carries a marker."""
    return " ".join(
        str(each.text)
        for found in user.find(marker=marker).elements
        for each in (found, *found.descendants())
        if getattr(each, "text", "") and each.visible
    )


async def until(true: Callable[[], Any], what: str, wait: float = LOOKS_AGAIN) -> None:
    """Wait until something is so."""
    end = time.monotonic() + PATIENCE
    while not true():
        if time.monotonic() > end:
            raise AssertionError(f"never came: {what}")
        await asyncio.sleep(wait)


async def until_said(user: User, marker: str, words: str) -> str:
    """Wait until words stand in what carries a marker; return all that stands there."""
    await until(lambda: words in text_of(user, marker), f"{words!r} in {marker}", 0.02)
    return text_of(user, marker)
