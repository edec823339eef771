"""The first page: the aeroplanes of the folder, and a new one from five numbers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems, Problem
from rotorwright.design.quick_start import ROTOR_KINDS, THRUST_SOURCES
from rotorwright.design.units import read, read_cells
from rotorwright.faces.web.box import Box
from rotorwright.faces.web.bring import Pick
from rotorwright.faces.web.desk import Desk
from rotorwright.faces.web.frame import in_background, told, units_switch
from rotorwright.faces.web.latest import Latest, Progress
from rotorwright.faces.web.sheet_view import heading, push, words
from rotorwright.faces.web.visit import KEPT as VISIT
from rotorwright.faces.web.visit import begin_again

FIRST = "aeroplane"
ASKED = {
    "name": ("Name", "My rotor aeroplane", "It also names the file."),
    "mass": ("Ready to fly it may weigh", "1.2 kg", "Batteries in."),
    "span": ("It may span", "1.4 m", "What fits your car and field."),
    "elevation": ("The field lies at", "100 m", "Thin air costs lift and thrust."),
    "temperature": ("On a warm flying day", "25 degC", ""),
    "cells": ("Battery", "3S", "Cells in series."),
}


class Home:
    """Draws the first page."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._client = ui.context.client
        self._typed: dict[str, str] = {name: entry[1] for name, entry in ASKED.items()}
        self._typed |= {"rotor": ROTOR_KINDS[0], "thrust": THRUST_SOURCES[0]}
        self._latest = Latest(self._made, self._failed)
        with ui.element("div").classes("rw-page"):
            heading(1, "Rotorwright")
            words("From one text file to an honest flight verdict for aeroplanes that hang from spinning rotors.")
            heading(2, "Your aeroplanes")
            names = desk.names()
            if not names:
                words(f"None yet in {desk.folder}. Begin with five numbers below.")
            with ui.element("div").classes("rw-row"):
                for name in names:
                    TextElement(tag="a", text=name).classes("rw-button").props(f'href="/{name}/{FIRST}"').mark(name)
            with ui.element("div").classes("rw-field rw-narrow"):
                TextElement(tag="label", text="Bring in an aircraft file from elsewhere").props('for="bring"')
                Pick("bring", self._brought).mark("bring")
            self._not_brought = words("", "rw-caution").props('role="alert"')
            self._not_brought.set_visibility(False)
            with ui.element("div").classes("rw-row"):
                units_switch(desk)
                if desk.steps.recall(VISIT):
                    push("Show me round again", self._visit_again, small=True, mark="visit-again")
            with ui.element("p"):
                TextElement(tag="a", text="Open this page on your phone").props('href="/share"').mark("to-share")
            heading(2, "A new one")
            with ui.element("p"):
                TextElement(
                    tag="a", text="From what you have and wish: several different designs to choose from"
                ).props('href="/brief"').mark("to-brief")
            words(
                "Or at once: five numbers make a complete aeroplane to change afterwards. What you did not say is "
                "filled in with ordinary parts and marked as a guess."
            )
            with ui.element("div").classes("rw-fields"):
                for name, (label, given, said) in ASKED.items():
                    self._asked(name, label, given, said)
                self._choice("rotor", "Rotors", ROTOR_KINDS)
                self._choice("thrust", "Thrust from", THRUST_SOURCES)
            with ui.element("div").classes("rw-row"):
                push("Make it", self._make, main=True, mark="make")
                self._status = words("", "rw-quiet").props('role="status"')
            self._wrong = words("", "rw-caution").props('role="alert"')
            self._wrong.set_visibility(False)
            words(
                "An estimate is no permission to fly: local rules and your club's safety officer come first. Keep "
                "hands and faces out of the plane of anything that spins.",
                "rw-caution",
            )

    def _brought(self, to: str, said: str) -> None:
        self._not_brought.set_text(said)
        self._not_brought.set_visibility(bool(said))
        if to:
            ui.navigate.to(to)

    def _visit_again(self) -> None:
        begin_again(self._desk)
        names = self._desk.names()
        if names:
            ui.navigate.to(f"/{names[0]}/{FIRST}")

    def _asked(self, name: str, label: str, given: str, said: str) -> None:
        with ui.element("div").classes("rw-field"):
            TextElement(tag="label", text=label).props(f'for="new-{name}"')
            Box(given, f"new-{name}", typed=lambda typed: self._take(name, typed)).mark(f"new-{name}")
            TextElement(tag="small", text=said)

    def _choice(self, name: str, label: str, choices: tuple[str, ...]) -> None:
        with ui.element("div").classes("rw-field"):
            TextElement(tag="label", text=label).props(f'for="new-{name}"')
            Box(
                choices[0], f"new-{name}", tag="select", words=choices, done=lambda typed: self._take(name, typed)
            ).mark(f"new-{name}")

    def _take(self, name: str, typed: str) -> None:
        self._typed[name] = typed

    def _make(self) -> None:
        self._wrong.set_visibility(False)
        try:
            wishes = self._wishes()
        except InputProblems as problem:
            self._failed(problem)
            return
        self._status.set_text("Sizing it until it should fly …")

        def work(progress: Progress) -> tuple[str, str]:
            from rotorwright.studies.quick_start import quick_start

            return str(wishes["name"]), quick_start(**wishes, progress=progress).text

        in_background(self._latest.ask(work))

    def _wishes(self) -> dict[str, Any]:
        """Return what was asked for, SI.

        Raises
        ------
        InputProblems
            With everything that cannot be read, at once.
        """
        problems: list[Problem] = []

        def taken(name: str, reader: Callable[[str], Any]) -> Any:
            try:
                return reader(self._typed[name])
            except ValueError as problem:
                label, example, _ = ASKED[name]
                found = f'"{self._typed[name]}"'
                problems.append(Problem(str(problem), place=label, found=found, allowed=f'such as "{example}"'))
                return None

        cells = taken("cells", read_cells)
        wishes = {
            "name": self._typed["name"].strip() or ASKED["name"][1],
            "mass": taken("mass", lambda text: read(text, "mass")),
            "span_limit": taken("span", lambda text: read(text, "length")),
            "elevation": taken("elevation", lambda text: read(text, "length")),
            "temperature": taken("temperature", lambda text: read(text, "temperature")),
            "cells": None if cells is None else cells.series,
            "rotor_kind": self._typed["rotor"],
            "thrust_source": self._typed["thrust"],
        }
        if problems:
            raise InputProblems(problems)
        return wishes

    def _made(self, made: tuple[str, str]) -> None:
        name, text = made
        free = self._desk.free_name(name)
        with self._client:
            try:
                self._desk.add(free, text)
            except InputProblems as problem:
                self._failed(problem)
                return
            ui.navigate.to(f"/{free}/{FIRST}")

    def _failed(self, problem: BaseException) -> None:
        with self._client:
            self._status.set_text("")
            self._wrong.set_text(told(problem))
            self._wrong.set_visibility(True)
