"""The aeroplane itself: seen in three dimensions, its parts to change, where its mass sits."""

from __future__ import annotations

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems
from rotorwright.design.changes import from_text
from rotorwright.faces.web.box import Box
from rotorwright.faces.web.form import PartsForm
from rotorwright.faces.web.frame import Here, in_background, told
from rotorwright.faces.web.latest import Latest
from rotorwright.faces.web.questions import Answer, checked
from rotorwright.faces.web.sheet_view import heading, push, words
from rotorwright.faces.web.view import AeroplaneView


def draw_aeroplane(here: Here) -> None:
    """Draw the page."""
    _AeroplanePage(here)


class _AeroplanePage:
    def __init__(self, here: Here) -> None:
        self._here = here
        self._client = ui.context.client
        self._picked = ""
        self._form: PartsForm | None = None
        self._check = Latest(self._show_check, self._failed)
        with ui.element("div").classes("rw-split"):
            with ui.element("div"):
                self._view = AeroplaneView(here.dark)
                self._view.on("picked", lambda event: self._pick(str(event.args)))
                words("Drag to turn it, touch a part to change it. The red ball is the balance point.", "rw-quiet")
                self._mass = ui.element("div").mark("mass")
            with ui.element("div"):
                heading(1, "Its parts")
                words("Type a value with its unit, as on a drawing: 620 mm, 24 in, 3S, 2200 mAh.", "rw-quiet")
                self._form_place = ui.element("div")
                with ui.element("details").classes("rw-part"):
                    TextElement(tag="summary", text="The whole file as text")
                    self._text = Box(
                        here.file.text, "whole-file", tag="textarea", done=self._replace,
                        more='class="rw-text" aria-label="The aircraft file"',
                    )  # fmt: skip
                    self._text_wrong = words("", "rw-caution").props('role="alert"')
                    self._text_wrong.set_visibility(False)
                    with ui.element("div").classes("rw-row"):
                        push("Save a copy on this device", self._download, small=True)
        here.redraw = self.show
        self.show()

    def show(self) -> None:
        """Draw the aeroplane as the file tells it now."""
        aeroplane = self._here.file.aeroplane
        self._text.show(self._here.file.text)
        if aeroplane is None:
            return
        self._view.show(aeroplane, None, self._picked)
        if self._form is None or not self._form.refresh():
            self._draw_form()
        in_background(self._check.ask(lambda progress: self._here.answers.ask(checked, aeroplane, progress)))

    def _tried(self, path: str, typed: str) -> None:
        self._here.try_out({path: from_text(typed)})

    def _pick(self, part: str) -> None:
        self._picked = part
        self._draw_form()
        self.show()

    def _draw_form(self) -> None:
        self._form_place.clear()
        with self._form_place:
            self._form = PartsForm(self._here.file, self._tried)
            self._form.build(self._picked)

    def _show_check(self, answer: Answer) -> None:
        aeroplane = answer.result.aeroplane
        with self._client:
            found = [answer.quantities.get(f"centre_of_gravity_{axis}") for axis in ("aft", "right", "up")]
            told_places = [each.value for each in found if each is not None and each.value is not None]
            centre = (told_places[0], told_places[1], told_places[2]) if len(told_places) == 3 else None
            self._view.show(aeroplane, centre, self._picked)
            self._mass.clear()
            with self._mass:
                self._here.view(answer).show(answer.sheet)

    def _failed(self, problem: BaseException) -> None:
        with self._client:
            self._mass.clear()
            with self._mass:
                words(told(problem), "rw-caution")

    def _replace(self, typed: str) -> None:
        self._text.hold(typed)
        try:
            self._here.file.replace(typed, "edited as text")
        except InputProblems as problem:
            self._text_wrong.set_text(told(problem))
            self._text_wrong.set_visibility(True)
            return
        self._text_wrong.set_visibility(False)

    def _download(self) -> None:
        ui.download.content(self._here.file.text, self._here.file.path.name, "application/toml")
