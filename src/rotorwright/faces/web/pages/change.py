"""Next change: what to change first, another size, a look around, and what earlier changes have done."""

from __future__ import annotations

import time
from collections.abc import Mapping
from functools import partial
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.aircraft_file import loads
from rotorwright.design.grown import BUILDS, POWERS
from rotorwright.faces.web.asking import Ask, Asking
from rotorwright.faces.web.box import Box
from rotorwright.faces.web.chart import drawing_of
from rotorwright.faces.web.frame import Here, told
from rotorwright.faces.web.latest import Progress
from rotorwright.faces.web.pages.answer_page import AnswerPlace
from rotorwright.faces.web.pages.look_around import LookAround
from rotorwright.faces.web.questions import Answer
from rotorwright.faces.web.sheet_view import heading, push, words
from rotorwright.logbook.steps import Step

OFFERED = 5
"""Steps that can be made at once."""
RANK = {
    "chance of flight": "chance", "thrust left": "thrust", "weight it carries": "weight", "slowest speed": "slow",
    "climb": "climb", "distance from shake": "clear",
}  # fmt: skip
SMALLEST, LARGEST, SIZE_STEP, SIZE = 0.5, 3.0, 0.05, 1.5
PRESENT = "choose an earlier state"


def draw_change(here: Here) -> None:
    """Draw the page."""
    heading(1, "Next change")
    _ChangePage(here)


class _ChangePage:
    def __init__(self, here: Here) -> None:
        self._here = here
        heading(2, "What to change first")
        self._rank = Asking(here, "the next change", (Ask("rank", "Rank by", choices=tuple(RANK)),), self._levers)
        self._levers_place = AnswerPlace(here, self._levers_question(), self._show_levers)
        heading(2, "At another size")
        self._sizes()
        heading(2, "Look around")
        self._around = LookAround(here)
        heading(2, "What has changed since")
        self._since = ui.element("div")
        self._compared = AnswerPlace(here, partial(compared, before=here.file.text), self._show_compared, at_once=False)
        self._states()
        here.redraw = self._redraw

    def _redraw(self) -> None:
        self._levers_place.again()
        self._scaled.again()
        self._around.refresh_fields()
        self._states()
        self._compared.again()

    def _levers_question(self) -> partial[Answer]:
        return partial(ranked, rank=RANK[self._rank.typed["rank"]])

    def _levers(self) -> None:
        self._levers_place.ask(self._levers_question())

    def _show_levers(self, answer: Answer) -> None:
        found, drawing = answer.result
        view = self._here.view(answer)
        for sentence in answer.sheet.lead:
            words(sentence.text, "rw-lead" if sentence.tone == "lead" else "")
        with ui.element("div").classes("rw-row").mark("make-changes"):
            for effect in [each for each in (found.ranked or found.others) if each.lever.changes][:OFFERED]:
                lever = effect.lever
                push(f"Make it: {lever.label}", partial(self._make, dict(lever.changes), lever.label), small=True)
        words("A change made is written into the aircraft file; Take back undoes it.", "rw-quiet")
        view.drawing(drawing)
        view.show(answer.sheet, lead=False)

    def _make(self, changes: Mapping[str, Any], said: str) -> None:
        try:
            self._here.file.change(changes, said)
        except InputProblems as problem:
            ui.notify(told(problem), type="warning", multi_line=True)
            return
        ui.notify(f"Changed: {said}")

    def _sizes(self) -> None:
        held = self._here.desk.steps.recall(f"size of {self._here.file.name}")
        self._size = float(held or SIZE)
        TextElement(tag="label", text="Size over the present one, length by length").props('for="size"')
        Box(
            f"{self._size:.2f}", "size", typed=self._slide, done=self._sized,
            more=f'type="range" class="rw-slider" min="{SMALLEST}" max="{LARGEST}" step="{SIZE_STEP}"',
        )  # fmt: skip
        self._size_words = words("", "rw-lead").props('role="status"').mark("size-words")
        self._rules = Asking(
            self._here, "another size",
            (
                Ask("build", "Sheets and tubes", "same: as thick as they are; grown: thicker with size; stock: the "
                    "next tube there is.", choices=BUILDS),
                Ask("power", "Motors, propellers, packs", "grown: they follow size; same: they stay; chosen: anew.",
                    choices=POWERS),
            ),
            lambda: self._scaled.again(),
        )  # fmt: skip
        with ui.element("div").classes("rw-row"):
            push("Fly it at this size", self._fly_scaled, main=True, mark="fly-scaled")
        self._scaled = AnswerPlace(self._here, self._size_question(), self._show_scaled, at_once=False)
        self._slide(f"{self._size:.2f}")

    def _size_question(self) -> partial[Answer]:
        rules = self._rules.typed
        return partial(scaled, size=self._size, build=rules["build"], power=rules["power"])

    def _slide(self, typed: str) -> None:
        self._size_words.set_text(f"{float(typed):.2f} times as long, as wide and as high")

    def _sized(self, typed: str) -> None:
        self._size = float(typed)
        self._slide(typed)
        self._here.desk.steps.remember(f"size of {self._here.file.name}", typed)
        self._fly_scaled()

    def _fly_scaled(self) -> None:
        self._scaled.ask(self._size_question())

    def _show_scaled(self, answer: Answer) -> None:
        found, drawing = answer.result
        view = self._here.view(answer)
        view.show(answer.sheet)
        view.drawing(drawing)
        with ui.element("div").classes("rw-row"):
            push("Keep this size as a new aeroplane", partial(self._keep_scaled, found), mark="keep-scaled")

    def _keep_scaled(self, found: Any) -> None:
        from rotorwright.sheets.scale import scaled_text

        file, desk = self._here.file, self._here.desk
        try:
            text = scaled_text(found, file.text, file.path.name)
            name = desk.free_name(f"{file.name} x{found.size:.3g}".replace(".", "-"))
            desk.add(name, text)
        except InputProblems as problem:
            ui.notify(told(problem), type="warning", multi_line=True)
            return
        ui.navigate.to(f"/{name}/{self._here.page}")

    def _states(self) -> None:
        """Offer the earlier states of the file."""
        file, steps = self._here.file, self._here.desk.steps
        here = steps.here(file.path.name)
        held = [step for step in steps.all(file.path.name) if here is None or step.number != here.number]
        self._earlier = {state_words(step): step.text for step in reversed(held)}
        self._since.clear()
        with self._since:
            if not self._earlier:
                words("Nothing yet: every change from now on can be looked at here.", "rw-quiet")
                return
            with ui.element("div").classes("rw-field"):
                TextElement(tag="label", text="The aeroplane now beside").props('for="since"')
                Box(PRESENT, "since", tag="select", words=(PRESENT, *self._earlier), done=self._compare)

    def _compare(self, chosen: str) -> None:
        if chosen in self._earlier:
            self._compared.ask(partial(compared, before=self._earlier[chosen]))

    def _show_compared(self, answer: Answer) -> None:
        _, drawing = answer.result
        view = self._here.view(answer)
        view.show(answer.sheet)
        if drawing is not None:
            view.drawing(drawing)


def state_words(step: Step) -> str:
    """Return an earlier state as it is offered: number, time of this machine, what was said."""
    when = time.strftime("%d %b %H:%M", time.localtime(step.time))
    return f"{step.number}, {when}: {step.said}"


def ranked(aeroplane: Aeroplane, progress: Progress, *, rank: str) -> Answer:
    """Return what every natural step buys."""
    from rotorwright.sheets.levers import levers_picture, levers_sheet
    from rotorwright.studies.lever_table import levers

    found = levers(aeroplane, target=rank, progress=progress)
    drawing = drawing_of(levers_picture(found), "What each step buys, with its band.", f"{aeroplane.name} next change")
    return Answer((found, drawing), found.base, lambda both: levers_sheet(both[0]))


def scaled(aeroplane: Aeroplane, progress: Progress, *, size: float, build: str, power: str) -> Answer:
    """Return the aeroplane at another size."""
    from rotorwright.sheets.scale import scale_picture, scale_sheet
    from rotorwright.studies.scale import scale

    found = scale(aeroplane, size=size, build=build, power=power, progress=progress)
    said = "Chance of flying and what grows how fast, over all sizes looked at."
    drawing = drawing_of(scale_picture(found), said, f"{aeroplane.name} sizes")
    return Answer((found, drawing), found.quantities, lambda both: scale_sheet(both[0]))


def compared(aeroplane: Aeroplane, progress: Progress, *, before: str) -> Answer:
    """Return what changed since an earlier text of the file, what that moved and which change did it."""
    from rotorwright.sheets.compare import compare_picture, compare_sheet
    from rotorwright.studies.compare import compare

    found = compare(loads(before, "before"), aeroplane, progress=progress)
    drawing = None
    if any(step.attributions for step in found.steps):
        said = "What each change has done to the thrust left."
        drawing = drawing_of(compare_picture(found), said, f"{aeroplane.name} changes")
    return Answer((found, drawing), {}, lambda both: compare_sheet(both[0], more=True))
