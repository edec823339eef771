"""Where long work is started, watched, stopped and shown: it goes on while nobody looks and is found after a reload."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from nicegui import ui

from rotorwright.base.errors import InputProblems
from rotorwright.faces.web.frame import Here, told
from rotorwright.faces.web.long_work import LongWork, Work
from rotorwright.faces.web.sheet_view import push, words

LOOKS_EVERY = 0.4
"""How often the page looks how far long work is [s]."""
Prepare = Callable[[], tuple[str, Work] | None]


class LongPlace:
    """A button that starts long work, its progress, a button that stops it, and its answer.

    Parameters
    ----------
    here : Here
    kind : str
    start : str
        What the starting button says.
    prepare : callable
        Returns what the work does in words and the work, or None if what was asked cannot be read.
    show : callable
        Draws the answer.
    """

    def __init__(self, here: Here, kind: str, start: str, prepare: Prepare, show: Callable[[Any], None]) -> None:
        self._here, self._kind, self._prepare, self._fill = here, kind, prepare, show
        self._shown: object = None
        with ui.element("div").classes("rw-row"):
            self._start = push(start, self._begin, main=True, mark=f"start-{kind}")
            self._stop = push("Stop", self._halt, small=True, mark=f"stop-{kind}")
            self._words = words("", "rw-quiet").props('role="status"').mark(f"state-{kind}")
        self._bar = ui.element("progress").classes("rw-progress").props(f'max="1" aria-label="{start}: how far"')
        self._wrong = words("", "rw-caution").props('role="alert"')
        self._wrong.set_visibility(False)
        self._place = ui.element("div").mark(f"answer-{kind}")
        ui.timer(LOOKS_EVERY, self.refresh)
        self.refresh()

    @property
    def _work(self) -> LongWork | None:
        return self._here.answers.works.find(self._here.file.name, self._kind)

    def _begin(self) -> None:
        aeroplane = self._here.file.aeroplane
        self._wrong.set_visibility(False)
        if aeroplane is None:
            return
        try:
            ready = self._prepare()
        except InputProblems as problem:
            self._complain(told(problem))
            return
        if ready is None:
            return
        said, work = ready
        self._here.answers.works.start(self._here.file.name, self._kind, said, aeroplane.revision, work)
        self._place.clear()
        self.refresh()

    def _halt(self) -> None:
        if self._work is not None:
            self._work.stop()
        self.refresh()

    def _complain(self, said: str) -> None:
        self._wrong.set_text(said)
        self._wrong.set_visibility(True)

    def refresh(self) -> None:
        """Show how far the work is, and its answer once there is one."""
        work = self._work
        running = work is not None and work.running
        self._stop.set_visibility(running)
        self._bar.set_visibility(running)
        if work is None:
            return
        if running:
            share = work.done / work.of if work.of else 0.0
            self._bar.props(f'value="{share:.3f}"')
            state = "Stopping at the next step" if work.stopping else "Under way" if work.of else "Getting ready"
            so_far = f": {work.done} of {work.of}" if work.of else ""
            self._words.set_text(f"{work.said}. {state}{so_far}. You may leave this page or load it anew meanwhile.")
            return
        aeroplane = self._here.file.aeroplane
        older = aeroplane is not None and aeroplane.revision != work.about
        note = " Of the aeroplane as it was before its last change." if older else ""
        ended = "Stopped" if work.stopping else "Done"
        self._words.set_text(f"{work.said}. {ended}.{note}")
        if self._shown is work:
            return
        self._shown = work
        if work.problem is not None:
            self._complain(told(work.problem))
        self._place.clear()
        if work.answer is not None:
            with self._place:
                self._fill(work.answer)
