"""Long work of an aeroplane: it goes on while nobody looks, can be stopped, and is found again after a reload."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock
from typing import Any

from rotorwright.faces.web.latest import Progress
from rotorwright.logbook.steps import KEPT_IN

Work = Callable[[Progress], Any]
MOST_KEPT = 12
"""Files of finished and half-finished work kept in a folder; the oldest go first."""


class LongWork:
    """One piece of long work and what came of it."""

    def __init__(self, said: str, about: str) -> None:
        self.said = said
        """What it does, in words."""
        self.about = about
        """Revision of the aeroplane it is about."""
        self.done, self.of = 0, 0
        self.running = True
        self.stopping = False
        self.answer: Any = None
        self.problem: BaseException | None = None

    def stop(self) -> None:
        """Stop it at its next step; what is done till then is kept."""
        self.stopping = True

    def progress(self, done: int, of: int) -> None:
        """Note how far it is; called by the work.

        Raises
        ------
        KeyboardInterrupt
            If it shall stop: what studies take as "keep what is done and answer with it".
        """
        self.done, self.of = done, of
        if self.stopping:
            raise KeyboardInterrupt


class LongWorks:
    """Everything long that is being done or was done last, by aircraft file and kind.

    One at a time, apart from the sums of pages, so that no page waits for it.
    """

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="rotorwright-long")
        self._held: dict[tuple[str, str], LongWork] = {}
        self._lock = Lock()

    def find(self, file: str, kind: str) -> LongWork | None:
        """Return the work of a kind on a file, or None."""
        return self._held.get((file, kind))

    def start(self, file: str, kind: str, said: str, about: str, work: Work) -> LongWork:
        """Begin work of a kind; the one before it is stopped.

        Parameters
        ----------
        file, kind : str
        said : str
            What it does, in words.
        about : str
            Revision of the aeroplane.
        work : callable
            Given a progress callback that raises KeyboardInterrupt once it shall stop.
        """
        begun = LongWork(said, about)
        with self._lock:
            before = self._held.get((file, kind))
            if before is not None:
                before.stop()
            self._held[file, kind] = begun
        self._pool.submit(_do, begun, work)
        return begun

    def stop_all(self) -> None:
        """Stop everything, as when the server ends; files keep what is done."""
        for work in self._held.values():
            work.stop()


def _do(work: LongWork, act: Work) -> None:
    try:
        if not work.stopping:
            work.answer = act(work.progress)
    except KeyboardInterrupt:
        pass  # stopped before there was anything to answer with
    except Exception as problem:  # whatever it was, it is shown in its place, not lost
        work.problem = problem
    finally:
        work.running = False


def kept_file(folder: Path, kind: str, about: str, asked: Mapping[str, Any]) -> Path:
    """Return the file that keeps long work, one for each aeroplane, question and setting; the oldest are deleted.

    Parameters
    ----------
    folder : Path
        Of the aircraft files.
    kind : str
    about : str
        Revision of the aeroplane.
    asked : mapping
        What was asked, JSON-ready.
    """
    place = folder / KEPT_IN
    place.mkdir(exist_ok=True)
    text = json.dumps([kind, about, dict(asked)], sort_keys=True)
    path = place / f"{kind}-{hashlib.sha256(text.encode()).hexdigest()[:16]}.nc"
    older = sorted(place.glob("*.nc"), key=lambda each: each.stat().st_mtime, reverse=True)
    for each in older[MOST_KEPT:]:
        if each != path:
            each.unlink(missing_ok=True)
    return path
