"""The frame round every page: which aeroplane, does it fly, what can be taken back, where to go."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from nicegui import background_tasks, ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems
from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.faces.web.box import Box
from rotorwright.faces.web.desk import Desk, OpenFile
from rotorwright.faces.web.latest import Latest
from rotorwright.faces.web.questions import Answer, Answers, quick_balance, whole_balance
from rotorwright.faces.web.sheet_view import SheetView, heading, push, text, words
from rotorwright.faces.web.visit import Visit
from rotorwright.sheets.numbers import ShownUnits, percent_text, quantity_text, show_in, shown_in, units_of
from rotorwright.studies.shortfall import ENOUGH

SHOULD = 0.7
"""From this probability on the answer is drawn as a good one."""


@dataclass(frozen=True)
class Page:
    """One page: its name in the address, its title, and what draws it."""

    name: str
    title: str
    draw: Callable[[Here], None]


class Here:
    """One browser tab on one aeroplane.

    Parameters
    ----------
    desk : Desk
    answers : Answers
    file : OpenFile
    page : str
    dark : bool
    """

    def __init__(self, desk: Desk, answers: Answers, file: OpenFile, page: str, dark: bool) -> None:
        self.desk, self.answers, self.file, self.page, self.dark = desk, answers, file, page, dark
        self.redraw: Callable[[], None] = lambda: None
        """Draws the page's own part again after the file has changed."""
        self._banded = ""
        """Revision whose verdict with bands is shown: the quick one of the same need not come after it."""
        self._verdict = Latest(self._show_verdict, self._verdict_failed)
        self._bands = Latest(self._show_verdict, self._verdict_failed)
        self._client = ui.context.client

    def build(self, pages: Mapping[str, Page]) -> None:
        """Draw the frame and the page in it."""
        TextElement(tag="a", text="Skip to the page").classes("rw-skip").props('href="#page"')
        with ui.element("header").classes("rw-top"), ui.element("div").classes("rw-top-in"):
            TextElement(tag="a", text="All aeroplanes").props('href="/"')
            self._name = TextElement(tag="span", text=self.file.name).classes("rw-name")
            with (
                ui.element("div").classes("rw-answer").props('role="status" aria-live="polite"').mark("verdict") as box
            ):
                self._answer_box = box
                self._strong = TextElement(tag="b", text="…")
                self._rest = text("")
            self._back = push("Take back", self._take_back, small=True, mark="take-back")
            self._again = push("Repeat", self._repeat, small=True, mark="repeat")
            units_switch(self.desk)
            push("Light / dark", self._other_look, small=True, mark="look")
        with ui.element("nav").classes("rw-tabs").props('aria-label="Pages"'):
            for page in pages.values():
                link = (
                    TextElement(tag="a", text=page.title).props(f'href="/{self.file.name}/{page.name}"').mark(page.name)
                )
                if page.name == self.page:
                    link.props('aria-current="page"')
        with ui.element("div").classes("rw-page").props('id="page" tabindex="-1"'):
            Visit(self.desk, self.file.name, self.page)
            self._problems = ui.element("div").props('role="alert"')
            pages[self.page].draw(self)
        self._panel = ui.element("aside").classes("rw-panel").props('aria-label="What stands behind a number"')
        self._panel.set_visibility(False)
        self.file.listeners.append(self._changed)
        self._client.on_disconnect(self._leave)
        self._client.on_connect(self._arrive)
        self._changed(first=True)

    def _arrive(self) -> None:
        if self._changed not in self.file.listeners:
            self.file.listeners.append(self._changed)
            self._changed()

    def _leave(self) -> None:
        if self._changed in self.file.listeners:
            self.file.listeners.remove(self._changed)
        self._verdict.stop()
        self._bands.stop()

    def _changed(self, first: bool = False) -> None:
        """Show the file as it is now."""
        with self._client:
            aeroplane = self.file.aeroplane
            self._name.set_text(aeroplane.name if aeroplane is not None else self.file.name)
            self._problems.clear()
            with self._problems:
                if self.file.gone:
                    words("The file is gone from its folder. Nothing here is lost: put it back.", "rw-caution")
                    push("Put it back", self._put_back)
                for problem in self.file.problems:
                    words(problem.sentence(), "rw-caution")
            name = self.file.path.name
            self._back.props(remove="disabled") if self.desk.steps.back(name) else self._back.props("disabled")
            self._again.props(remove="disabled") if self.desk.steps.forward(name) else self._again.props("disabled")
            if aeroplane is not None:
                self.reckon(aeroplane, bands=True)
            if not first:
                self.redraw()

    def reckon(self, aeroplane: Aeroplane, *, bands: bool) -> None:
        """Say at the top whether an aeroplane flies: at once without bands, then with them if wanted."""
        self._answer_box.classes(add="rw-waiting")
        self._banded = ""
        self._bands.stop()
        in_background(self._verdict.ask(lambda progress: self.answers.ask(quick_balance, aeroplane, progress)))
        if bands:
            in_background(self._bands.ask(lambda progress: self.answers.ask(whole_balance, aeroplane, progress)))

    def try_out(self, changes: Mapping[str, Any]) -> None:
        """Say at the top what some changes would do, nothing written."""
        try:
            aeroplane = self.file.preview(changes)
        except InputProblems:
            return  # half-typed: the field itself will say so when it is left
        self.reckon(aeroplane, bands=False)

    def _show_verdict(self, answer: Answer) -> None:
        found = answer.result
        if found.samples:
            self._banded = found.aeroplane.revision
        elif self._banded == found.aeroplane.revision:
            return
        with self._client:
            strong, rest, flies = verdict_words(found, self.units(found.aeroplane))
            self._strong.set_text(strong)
            self._rest.set_text(rest)
            self._answer_box.classes(remove="rw-waiting")
            self._answer_box.classes(add="rw-flies") if flies else self._answer_box.classes(remove="rw-flies")

    def _verdict_failed(self, problem: BaseException) -> None:
        with self._client:
            self._strong.set_text("No answer: ")
            self._rest.set_text(told(problem))
            self._answer_box.classes(remove="rw-waiting")

    def units(self, aeroplane: Aeroplane) -> ShownUnits:
        """Return the units numbers are shown in."""
        return units_of(aeroplane.told)

    def view(self, answer: Answer) -> SheetView:
        """Return what draws an answer's sheet on this tab."""
        return SheetView(answer.quantities, self.explain, self.dark)

    def explain(self, name: str, quantity: Quantity) -> None:
        """Open the panel that tells what stands behind a number."""
        from rotorwright.sheets.explanation import explanation_sheet, explanations

        entry = explanations().get(name)
        aeroplane = self.file.aeroplane
        if entry is None or aeroplane is None:
            return
        units = self.units(aeroplane)
        self._panel.clear()
        with self._panel:
            with ui.element("div").classes("rw-row"):
                push("Close", lambda: self._panel.set_visibility(False), small=True, mark="close")
            heading(2, entry.title)
            words(quantity_text(quantity, units), "rw-lead")
            words(f"{quantity.support}: {_SUPPORT.get(quantity.support, '')}", "rw-quiet")
            sheet = explanation_sheet(entry, None, units)
            SheetView({}, self.explain, self.dark).show(sheet)
        self._panel.set_visibility(True)

    def _take_back(self) -> None:
        self._step(self.file.take_back, "Nothing to take back.")

    def _repeat(self) -> None:
        self._step(self.file.repeat, "Nothing to repeat.")

    def _step(self, go: Callable[[], Any], nothing: str) -> None:
        try:
            step = go()
        except InputProblems as problem:
            ui.notify(told(problem), type="warning", multi_line=True)
            return
        ui.notify(f"Now: {step.said}" if step is not None else nothing)

    def _put_back(self) -> None:
        try:
            self.desk.put_back(self.file)
        except InputProblems as problem:
            ui.notify(told(problem), type="warning", multi_line=True)

    def _other_look(self) -> None:
        self.desk.steps.remember("look", "light" if self.dark else "dark")
        ui.navigate.reload()


UNITS = "units"
"""What the units wished are remembered under."""
_UNITS_SAID = {"": "as in the file", "metric": "metric", "imperial": "imperial"}


def units_kept(desk: Desk) -> str:
    """Return the units wished last in a folder."""
    found = desk.steps.recall(UNITS) or ""
    return found if found in _UNITS_SAID else ""


def units_switch(desk: Desk) -> None:
    """Draw the choice of the units that numbers are shown in; the files keep theirs."""

    def choose(said: str) -> None:
        system = next(name for name, each in _UNITS_SAID.items() if each == said)
        desk.steps.remember(UNITS, system)
        show_in(system)
        ui.navigate.reload()

    with ui.element("div").classes("rw-units"):
        TextElement(tag="label", text="Units").props('for="units"')
        now = _UNITS_SAID[shown_in()]
        Box(now, "units", tag="select", words=tuple(_UNITS_SAID.values()), done=choose).mark("units")


_SUPPORT = {
    "inside data": "within what one source has tested",
    "between data": "within what several sources together have tested",
    "beyond data": "further than anything that has been tested; take it as a guess",
}


def verdict_words(found: Any, units: ShownUnits) -> tuple[str, str, bool]:
    """Return the verdict in a word, the sentence after it, and whether it flies."""

    def say(quantity: Quantity) -> str:
        return quantity_text(quantity, units)

    verdict = found.verdict
    if verdict.probability is None:
        flies = verdict.shortfall.kind == ENOUGH
        return (
            "At first sight it flies. " if flies else "At first sight it does not fly. ",
            verdict.shortfall.sentence(say),
            flies,
        )
    strong = f"{verdict.word[:1].upper()}{verdict.word[1:]} ({percent_text(verdict.probability)}). "
    return strong, verdict.shortfall.sentence(say), verdict.probability >= SHOULD


def told(problem: BaseException) -> str:
    """Return a problem in words for the page."""
    if isinstance(problem, InputProblems):
        return " ".join(each.sentence() for each in problem.problems)
    return f"a fault of the program ({type(problem).__name__}: {problem})"


def in_background(work: Any) -> None:
    """Run something in the event loop without waiting for it."""
    background_tasks.create(work)
