"""A page that asks one question about the aeroplane and shows the sheet that answers it."""

from __future__ import annotations

from collections.abc import Callable

from nicegui import ui

from rotorwright.faces.web.frame import Here, in_background, told
from rotorwright.faces.web.latest import Latest
from rotorwright.faces.web.questions import Answer, Question
from rotorwright.faces.web.sheet_view import heading, push, words

PROGRESS_EVERY = 0.3
"""How often the progress of long work is written [s]."""


def answer_page(title: str, question: Question) -> Callable[[Here], None]:
    """Return what draws a page with a heading and the answer to a question, reckoned again after each change."""

    def draw(here: Here) -> None:
        heading(1, title)
        AnswerPlace(here, question)

    return draw


class AnswerPlace:
    """Where an answer appears: work with progress that can be stopped, then the sheet.

    Parameters
    ----------
    here : Here
    question : callable
    fill : callable, optional
        Draws an answer; its sheet if left out.
    at_once : bool
        False waits until it is asked for the first time.
    """

    def __init__(
        self, here: Here, question: Question, fill: Callable[[Answer], object] | None = None, *, at_once: bool = True
    ) -> None:
        self._here, self._question = here, question
        self._fill = fill or (lambda answer: here.view(answer).show(answer.sheet))
        self._client = ui.context.client
        with ui.element("div").classes("rw-row").props('role="status"') as self._working:
            self._words = words("Reckoning …", "rw-quiet")
            push("Stop", self._stop, small=True, mark="stop")
        self._place = ui.element("div").mark("answer")
        self._latest = Latest(self._show, self._failed)
        self._timer = ui.timer(PROGRESS_EVERY, self._progress)
        self._asked = False
        here.redraw = self.again
        self._working.set_visibility(False)
        if at_once:
            self.ask()

    def again(self) -> None:
        """Ask anew after a change, if anything was asked before."""
        if self._asked:
            self.ask()

    def ask(self, question: Question | None = None) -> None:
        """Ask the question, or another one from now on, about the aeroplane as it is now."""
        self._question = question or self._question
        self._asked = True
        aeroplane = self._here.file.aeroplane
        if aeroplane is None:
            self._place.clear()
            self._working.set_visibility(False)
            return
        self._working.set_visibility(True)
        self._place.classes(add="rw-waiting")
        question, answers = self._question, self._here.answers
        in_background(self._latest.ask(lambda progress: answers.ask(question, aeroplane, progress)))

    def _show(self, answer: Answer) -> None:
        with self._client:
            self._working.set_visibility(False)
            self._place.clear()
            self._place.classes(remove="rw-waiting")
            with self._place:
                self._fill(answer)

    def _failed(self, problem: BaseException) -> None:
        with self._client:
            self._working.set_visibility(False)
            self._place.clear()
            with self._place:
                words(f"No answer: {told(problem)}", "rw-caution")

    def _progress(self) -> None:
        if self._latest.busy and self._latest.of:
            self._words.set_text(f"Reckoning … {100 * self._latest.done // self._latest.of} %")

    def _stop(self) -> None:
        self._latest.stop()
        self._working.set_visibility(False)
        with self._place:
            words("Stopped. Any change, or going to this page again, starts it anew.", "rw-quiet")
