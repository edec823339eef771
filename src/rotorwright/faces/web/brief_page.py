"""From what a maker has and wishes to several different designs, any of which becomes an aircraft file at a touch."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems
from rotorwright.design.catalogue.reader import materials
from rotorwright.design.units import read_cells
from rotorwright.faces.cli.options import Likely, Measures, speaking_of_options
from rotorwright.faces.web.box import Box
from rotorwright.faces.web.desk import Desk
from rotorwright.faces.web.frame import in_background, told, units_switch
from rotorwright.faces.web.home import FIRST
from rotorwright.faces.web.latest import Latest, Progress
from rotorwright.faces.web.sheet_view import SheetView, heading, push, words
from rotorwright.sheets.numbers import SYSTEMS, ShownUnits, percent_text, shown_in
from rotorwright.studies.brief_words import LAUNCHES, SURFACES

KEPT = "brief"
"""What the wishes typed last are remembered under."""
PROGRESS_EVERY = 0.3
_LENGTHS: Likely = (("m", "mm", "cm", "in"), 0.15, 12.0)
MEASURES: dict[str, tuple[str, str, str, str, Likely | None]] = {
    "mass": ("Ready to fly it may weigh", "1.2 kg", "Batteries in; empty: from what it carries.", "mass",
             (("kg", "g"), 0.1, 60.0)),
    "payload": ("It carries", "", "Empty: nothing.", "mass", (("g", "kg"), 0.0, 20.0)),
    "span": ("It may span", "1.4 m", "Tip to tip.", "length", _LENGTHS),
    "length": ("It may be long", "", "Empty: as long as it needs.", "length", _LENGTHS),
    "piece": ("Longest piece for the car", "", "Empty: no limit.", "length", _LENGTHS),
    "elevation": ("The field lies at", "100 m", "Thin air costs lift and thrust.", "length",
                  (("m", "ft"), -500.0, 6000.0)),
    "temperature": ("On a warm flying day", "25 degC", "", "temperature", None),
    "runway": ("The strip is long", "", "Empty: as long as it needs.", "length", (("m", "ft"), 1.0, 5000.0)),
}  # fmt: skip
"""Wish: label, what stands there at first, small print, dimension, and how a bare number may be meant."""
CHOICES: dict[str, tuple[str, tuple[str, ...]]] = {
    "launch": ("Launch", ("wheels", *(word for word in LAUNCHES if word != "wheels"))),
    "surface": ("The strip is", ("short grass", *(word for word in SURFACES if word != "short grass"))),
    "propellers": ("Thrust from", ("open propellers or fans", "ducted fans only")),
}
CELLS = "Battery"


def starting_wishes() -> dict[str, str]:
    """Return what stands in the fields at first."""
    wishes = {name: entry[1] for name, entry in MEASURES.items()}
    wishes |= {name: entry[1][0] for name, entry in CHOICES.items()}
    return wishes | {"cells": "3S", "sheet": "foam sheet"}


def read_wishes(typed: dict[str, str]) -> dict[str, Any]:
    """Return wishes in words as the study takes them, SI.

    Raises
    ------
    InputProblems
        With everything that cannot be read, at once.
    """
    measures = Measures()
    found: dict[str, Any] = {}
    for name, (label, _, _, dimension, likely) in MEASURES.items():
        text = typed[name].strip()
        if text:
            found[name] = measures.read(label, text, dimension, likely)
    pack = measures.parse(CELLS, typed["cells"], read_cells)
    measures.insist()
    return {
        **found,
        "cells": pack.series,
        "launch": typed["launch"],
        "surface": typed["surface"],
        "sheet": typed["sheet"],
        "open_propeller": typed["propellers"] == CHOICES["propellers"][1][0],
    }


class Briefs:
    """The one brief being worked on in a folder: every tab sees it, and a reload loses nothing.

    Parameters
    ----------
    desk : Desk
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.typed = starting_wishes()
        try:
            kept = json.loads(desk.steps.recall(KEPT) or "{}")
        except ValueError:
            kept = {}
        if isinstance(kept, dict):
            self.typed |= {name: str(kept[name]) for name in self.typed if name in kept}
        self.latest = Latest(self._found, self._failed)
        self.wanted = False
        """Whether somebody waits for the running work."""
        self.answer: Any = None
        self.problem: BaseException | None = None
        self.listeners: list[Callable[[], None]] = []

    def ask(self) -> None:
        """Look for designs that answer the wishes typed."""
        self.answer, self.problem = None, None
        try:
            wishes = read_wishes(self.typed)
        except InputProblems as problem:
            self.latest.stop()
            self._failed(problem)
            return
        self.desk.steps.remember(KEPT, json.dumps(self.typed))
        labels = {name: entry[0] for name, entry in MEASURES.items()} | {"cells": CELLS, "sheet": "Sheet material"}
        typed = {label: f'"{self.typed[name]}"' for name, label in labels.items()}

        def work(progress: Progress) -> Any:
            from rotorwright.studies.brief import brief

            with speaking_of_options(labels, typed):
                return brief(**wishes, progress=progress)

        self.wanted = True
        in_background(self.latest.ask(work))
        self._tell()

    def stop(self) -> None:
        """Give up looking."""
        self.latest.stop()
        self.wanted = False
        self._tell()

    def save(self, key: str) -> str:
        """Put one of the designs into the folder; return the name of its file.

        Raises
        ------
        InputProblems
            If it cannot be written.
        """
        design = next(each for each in self.answer.proposals if each.concept.key == key)
        name = self.desk.free_name(key)
        self.desk.add(name, design.text)
        return name

    def _found(self, answer: Any) -> None:
        self.answer, self.wanted = answer, False
        self._tell()

    def _failed(self, problem: BaseException) -> None:
        self.problem, self.wanted = problem, False
        self._tell()

    def _tell(self) -> None:
        for listener in list(self.listeners):
            listener()


class BriefPage:
    """Draws the page.

    Parameters
    ----------
    briefs : Briefs
    dark : bool
    """

    def __init__(self, briefs: Briefs, dark: bool) -> None:
        self._briefs, self._dark = briefs, dark
        self._client = ui.context.client
        with ui.element("div").classes("rw-page"):
            with ui.element("div").classes("rw-row"):
                TextElement(tag="a", text="All aeroplanes").classes("rw-back").props('href="/"')
                units_switch(briefs.desk)
            heading(1, "What shall it be?")
            words(
                "Say what you have and wish. Every way to build a rotor aeroplane that fits is sized as a complete "
                "design, with what speaks for it and against it. The ones that do not fit say what they lack."
            )
            with ui.element("div").classes("rw-fields"):
                for name, (label, _, said, _, _) in MEASURES.items():
                    self._asked(name, label, said)
                self._asked("cells", CELLS, "Cells in series of the packs you have.")
                for name, (label, offered) in CHOICES.items():
                    self._choice(name, label, offered)
                self._choice("sheet", "Sheet material", tuple(materials()))
            with ui.element("div").classes("rw-row"):
                self._go = push("Find designs", briefs.ask, main=True, mark="find")
                self._stop = push("Stop", briefs.stop, small=True, mark="stop")
                self._status = words("", "rw-quiet").props('role="status"')
            self._wrong = words("", "rw-caution").props('role="alert"')
            self._place = ui.element("div").mark("designs")
        self._timer = ui.timer(PROGRESS_EVERY, self._progress)
        briefs.listeners.append(self._show)
        self._client.on_delete(self._leave)
        self._show()

    def _leave(self) -> None:
        if self._show in self._briefs.listeners:
            self._briefs.listeners.remove(self._show)

    def _asked(self, name: str, label: str, said: str) -> None:
        with ui.element("div").classes("rw-field"):
            TextElement(tag="label", text=label).props(f'for="brief-{name}"')
            Box(self._briefs.typed[name], f"brief-{name}", typed=partial(self._take, name)).mark(f"brief-{name}")
            TextElement(tag="small", text=said)

    def _choice(self, name: str, label: str, offered: tuple[str, ...]) -> None:
        with ui.element("div").classes("rw-field"):
            TextElement(tag="label", text=label).props(f'for="brief-{name}"')
            now = self._briefs.typed[name]
            Box(now, f"brief-{name}", tag="select", words=offered, done=partial(self._take, name)).mark(f"brief-{name}")

    def _take(self, name: str, typed: str) -> None:
        self._briefs.typed[name] = typed

    def _show(self) -> None:
        from rotorwright.sheets.brief import brief_sheet

        briefs = self._briefs
        with self._client:
            self._progress()
            self._wrong.set_text("" if briefs.problem is None else told(briefs.problem))
            self._wrong.set_visibility(briefs.problem is not None)
            self._place.clear()
            if briefs.answer is None:
                return
            sheet = brief_sheet(briefs.answer, {}, SYSTEMS[shown_in()] or ShownUnits())
            with self._place:
                heading(2, "What was found")
                for sentence in sheet.lead:
                    words(sentence.text, "rw-lead")
                if briefs.answer.feasible:
                    words("Take one: it becomes an aircraft file in your folder and opens, every part to change.")
                with ui.element("div").classes("rw-row"):
                    for each in briefs.answer.feasible:
                        title = f"{each.concept.title[:1].upper()}{each.concept.title[1:]}"
                        said = f"{title} ({percent_text(each.probability)})"
                        push(said, partial(self._save, each.concept.key), mark=f"take-{each.concept.key}")
                SheetView({}, lambda name, quantity: None, self._dark).show(sheet, lead=False)

    def _save(self, key: str) -> None:
        try:
            name = self._briefs.save(key)
        except InputProblems as problem:
            self._wrong.set_text(told(problem))
            self._wrong.set_visibility(True)
            return
        ui.navigate.to(f"/{name}/{FIRST}")

    def _progress(self) -> None:
        latest = self._briefs.latest
        busy = self._briefs.wanted
        self._stop.set_visibility(busy)
        said = f"Sizing designs … {100 * latest.done // latest.of} %" if busy and latest.of else "Sizing designs …"
        self._status.set_text(said if busy else "")
