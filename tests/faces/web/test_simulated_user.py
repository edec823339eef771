"""Each page's main task by a simulated user: see the answer, change something, see another answer, find it saved."""

from __future__ import annotations

import asyncio
import gc
import shutil
from pathlib import Path

import psutil
from nicegui import Client
from nicegui.testing import User

from faces.web.browser import EXAMPLES
from faces.web.simulated import maker_at, text_of, until, until_said

NAME = "thistledown"
SPAN = "rotor.left.span"
EDITS, SETTLED = 240, 80
GROWTH = 24e6
"""Most that the second part of a long session may add to the memory in use [bytes]."""


async def the_aeroplane_is_tried_changed_saved_and_taken_back(user: User, path: Path) -> None:
    before = path.read_text(encoding="utf-8")
    await user.open(f"/{NAME}/aeroplane")
    first = await until_said(user, "verdict", "%")
    user.find(marker=SPAN).trigger("typed", "300 mm")
    await until_said(user, "verdict", "At first sight")
    assert path.read_text(encoding="utf-8") == before, "only tried so far"
    user.find(marker=SPAN).trigger("done", "300 mm")
    assert 'span = "300 mm"' in path.read_text(encoding="utf-8")
    assert await until_said(user, "verdict", "%") != first
    await until_said(user, "mass", "g")
    user.find(marker="take-back").click()
    assert path.read_text(encoding="utf-8") == before
    await until(lambda: text_of(user, "verdict") == first, "the first verdict again")


async def every_page_answers_and_answers_anew_after_an_edit(user: User, path: Path) -> None:
    for page in ("balance", "rotors", "power", "shake", "handling"):
        await user.open(f"/{NAME}/{page}")
        first = await until_said(user, "answer", " ")
        text = path.read_text(encoding="utf-8")
        assert text.count('span = "380 mm"') >= 1
        path.write_text(text.replace('span = "380 mm"', 'span = "340 mm"'), encoding="utf-8")
        await until(lambda seen=first: text_of(user, "answer") not in ("", seen), f"{page}: another answer", 0.02)
        path.write_text(text, encoding="utf-8")
        await until(lambda seen=first: text_of(user, "answer") == seen, f"{page}: the first answer again", 0.02)


async def a_long_session_keeps_no_memory(user: User, path: Path) -> None:
    own, seen = psutil.Process(), []
    await user.open(f"/{NAME}/aeroplane")
    await until_said(user, "verdict", "%")
    for number in range(EDITS):
        typed = f"{300 + 0.2 * number:.1f} mm"
        user.find(marker=SPAN).trigger("typed", typed)
        if number % 20 == 0:
            user.find(marker=SPAN).trigger("done", typed)
        await asyncio.sleep(0.002)
        if number in (SETTLED, EDITS - 1):
            await until_said(user, "verdict", "%" if number % 20 == 0 else "At first sight")
            gc.collect()
            seen.append((own.memory_info().rss, len(next(iter(Client.instances.values())).elements)))
    assert seen[1][0] - seen[0][0] < GROWTH
    assert seen[1][1] <= 1.02 * seen[0][1], "elements are left behind on the page"
    assert len(Client.instances) == 1


def test_a_simulated_user_finds_every_page_at_work(tmp_path: Path) -> None:
    # one simulation for all: a second one in the same process does not start its timers
    path = tmp_path / f"{NAME}.toml"
    shutil.copy(EXAMPLES / path.name, path)

    async def whole() -> None:
        async with maker_at(tmp_path) as user:
            await a_long_session_keeps_no_memory(user, path)
            shutil.copyfile(EXAMPLES / path.name, path)
            await asyncio.sleep(2.0)  # the page looks at its files by itself
            await the_aeroplane_is_tried_changed_saved_and_taken_back(user, path)
            await every_page_answers_and_answers_anew_after_an_edit(user, path)

    asyncio.run(whole())
