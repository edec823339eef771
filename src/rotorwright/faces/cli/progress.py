"""Progress on standard error, for anything that takes longer than a second."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from types import TracebackType
from typing import Any

COMPILING = "Compiling the physics once, about a minute. Later runs start at once."


class Progress:
    """A line that says what is being done, and how far, once it has taken longer than a second.

    On a terminal the line is rewritten and wiped at the end; in a file each new message is one line.
    """

    def __init__(self, first: str = "working", patience: float = 1.0) -> None:
        self.message, self.share = first, 0.0
        self.began: tuple[float, float] | None = None
        """Share with which the work began (a study gone on with has some done), and when."""
        self.patience = patience
        self._terminal = sys.stderr.isatty()
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._show, daemon=True)
        self._said = ""

    def __call__(self, done: int, total: int) -> None:
        """Take note of how many steps of the work are done."""
        self.share = done / total if total else 0.0
        if self.began is None or self.share < self.began[0]:
            self.began = self.share, time.monotonic()

    def __enter__(self) -> Progress:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._over.set()
        self._thread.join()
        if self._terminal and self._said:
            print("\r" + " " * len(self._said) + "\r", end="", file=sys.stderr, flush=True)

    def _show(self) -> None:
        started = time.monotonic()
        if self._over.wait(self.patience):
            return
        while True:
            seconds = time.monotonic() - started
            if self._terminal:
                share = f" {100 * self.share:3.0f} %" if self.share > 0.0 else ""
                line = f"{self.message}{share}  {seconds:.0f} s{self._left()}"
                print("\r" + line.ljust(len(self._said)), end="", file=sys.stderr, flush=True)
                self._said = line
            elif self.message != self._said:
                print(self.message, file=sys.stderr, flush=True)
                self._said = self.message
            if self._over.wait(0.25):
                return

    def _left(self) -> str:
        if self.began is None:
            return ""
        first, then = self.began
        return time_left(self.share, time.monotonic() - then, first)


def time_left(share: float, seconds: float, first: float = 0.0) -> str:
    """Return what is left of a work in words, nothing before enough of it is done to tell.

    ``first`` is the share that was there when the clock began.
    """
    new = share - first
    if share >= 1.0 or new <= 0.03 * (1.0 - first) or seconds < 5.0:
        return ""
    left = seconds * (1.0 - share) / new
    return f", about {left:.0f} s left" if left < 120.0 else f", about {left / 60.0:.0f} min left"


NOT_NEEDED = ("scipy", "yaml")
"""What numba looks for at import and no kernel of ours calls: linear algebra, and a reader of a settings file."""


def load_compiler() -> None:
    """Import numba without libraries it can do without; whoever needs them imports them afterwards as usual.

    That saves a third of every start. Done here and not in the library: it is this process's own business.
    """
    if "numba" in sys.modules:
        return
    kept_out = [name for name in NOT_NEEDED if name not in sys.modules]
    if Path(".numba_config.yaml").exists():  # somebody's settings of numba, then
        kept_out = [name for name in kept_out if name != "yaml"]
    blocked: Any = None
    sys.modules.update(dict.fromkeys(kept_out, blocked))
    try:
        import_module("numba.np.arraymath")
    finally:
        for name in kept_out:
            del sys.modules[name]


@contextmanager
def working(message: str) -> Iterator[Progress]:
    """Show progress round work that uses the compiled physics; tells of the first compile."""
    load_compiler()
    from rotorwright.base.jit import kernels_are_cached

    with Progress(message if kernels_are_cached() else COMPILING) as progress:
        yield progress
