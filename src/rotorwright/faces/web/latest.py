"""Latest wins: work asked for faster than it can be done is skipped, and only the newest answer is shown."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

Progress = Callable[[int, int], None]
Work = Callable[[Progress], Any]
Show = Callable[[Any], Awaitable[None] | None]

_POOL = ThreadPoolExecutor(max_workers=3, thread_name_prefix="rotorwright-page")
"""Apart from the event loop, so that nothing on a page ever waits for a sum."""


class Superseded(Exception):
    """Raised inside a piece of work whose answer nobody waits for any more."""


class Latest:
    """One place on a page that shows one answer.

    Parameters
    ----------
    show : callable
        Called in the event loop with each answer that is still wanted.
    fail : callable
        Called in the event loop with what a piece of work raised.
    """

    def __init__(self, show: Show, fail: Callable[[BaseException], None]) -> None:
        self._show = show
        self._fail = fail
        self._next: Work | None = None
        self._asked = 0
        self._running = False
        self.done, self.of = 0, 0
        """How far the running work is."""

    @property
    def busy(self) -> bool:
        """Return whether work is running."""
        return self._running

    def stop(self) -> None:
        """Stop the running work at its next step and forget what waits."""
        self._asked += 1
        self._next = None

    async def ask(self, work: Work) -> None:
        """Have work done now, or as soon as what runs is through, unless something newer is asked first.

        Parameters
        ----------
        work : callable
            Given a progress callback (steps done, steps in all) that raises `Superseded` once nobody waits any more.
        """
        self._next = work
        self._asked += 1
        if self._running:
            return
        self._running = True
        try:
            while self._next is not None:
                mine, work, self._next = self._asked, self._next, None
                self.done, self.of = 0, 0
                try:
                    answer = await asyncio.get_running_loop().run_in_executor(_POOL, work, self._watching(mine))
                except Superseded:
                    continue
                except Exception as problem:  # whatever it was, it is shown in its place, not lost
                    if self._asked == mine:
                        self._fail(problem)
                    continue
                if self._asked == mine:
                    shown = self._show(answer)
                    if shown is not None:
                        await shown
        finally:
            self._running = False

    def _watching(self, mine: int) -> Progress:
        def progress(done: int, of: int) -> None:
            if self._asked != mine:
                raise Superseded
            self.done, self.of = done, of

        return progress
